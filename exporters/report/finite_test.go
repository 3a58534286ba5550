package report

import (
	"bytes"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"dayloom/exporters/table"
)

// A number that is none names the coral and the channel, and nothing is written.
func TestNoReportWithoutNumbers(t *testing.T) {
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		r := CoralMap{MapHead: MapHead{Channels: []ChannelLevel{{"bar-blue", 1}}},
			Corals: []CoralLight{{Name: "staghorn-a", Full: map[string]float64{"bar-blue": bad}, lit: []float64{1}}}}
		for _, format := range Formats {
			var out bytes.Buffer
			assert.EqualError(t, Write(&out, format, r), "ppfd_full_umol_m2_s of staghorn-a, bar-blue came out as no number, so nothing is printed; look for an extreme number in the plan there, and report it if there is none")
			assert.Zero(t, out.Len())
		}
	}
	assert.NoError(t, allFinite(CoralMap{Corals: []CoralLight{{Name: "a", Total: 1}}}))
}

// A table of its own that holds such a word is refused too, by row and column.
func TestNoTableWithoutNumbers(t *testing.T) {
	a := table.Table{Columns: []table.Column{{Head: "coral", Key: "coral"}, {Head: "DLI", Key: "dli_mol_m2_d"}}}
	a.Add("staghorn-a", math.NaN())
	var out bytes.Buffer
	assert.EqualError(t, a.Text(&out), "DLI of staghorn-a came out as no number, so nothing is printed")
	assert.EqualError(t, a.CSV(&out), "dli_mol_m2_d of staghorn-a came out as no number, so nothing is printed")
	assert.Zero(t, out.Len())
}
