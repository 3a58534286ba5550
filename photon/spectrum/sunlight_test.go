package spectrum_test

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/spectrum"
)

// The built-in sunlight has the shares of the published table at its full resolution, in
// bins of 20 nm, to a fiftieth of each.
func TestSunlightIsThePublishedOne(t *testing.T) {
	file, err := os.Open("../../testdata/published/sunlight-astm-g173.csv")
	require.NoError(t, err)
	defer file.Close()
	published, err := spectrum.ReadCSV(file)
	require.NoError(t, err)
	for lo := 400.0; lo < 700; lo += 20 {
		b := spectrum.Band{Lo: lo, Hi: lo + 20}
		assert.InEpsilon(t, published.PhotonShare(b, spectrum.PAR), spectrum.Sunlight().PhotonShare(b, spectrum.PAR), 0.02, "from %g nm", lo)
	}
}
