package picture

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Axes are whole decades that hold all points; a picture of nothing is still one.
func TestAgreement(t *testing.T) {
	a := Agreement{Title: "T", Series: []Series{{Name: "blue", Points: []Agreed{{Read: 0.5, Expected: 0.6, SD: 0.1}, {Read: 2126, Expected: 212, SD: 5, Marked: true, Label: "line 5"}}}}}
	lo, hi := a.decades()
	assert.InEpsilon(t, 0.1, lo, 1e-12)
	assert.InEpsilon(t, 10000, hi, 1e-12)
	lo, hi = Agreement{}.decades()
	assert.Equal(t, []float64{1, 100}, []float64{lo, hi})
	var one, two, empty bytes.Buffer
	require.NoError(t, WriteAgreement(&one, "svg", a))
	require.NoError(t, WriteAgreement(&two, "svg", a))
	assert.Equal(t, one.String(), two.String(), "same input, same bytes")
	assert.Contains(t, one.String(), ">line 5</text>")
	assert.NotContains(t, one.String(), "NaN")
	require.NoError(t, WriteAgreement(&empty, "png", Agreement{Title: "none"}))
	assert.Error(t, WriteAgreement(&empty, "pdf", a))
}
