package tank

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A place that was dark and is lit has moved, by hand by 5 of 5, or of the floor where that is more; one that stays dark
// has not, though there be no floor.
func TestMoved(t *testing.T) {
	require.Equal(t, 1.0, moved([]float64{10, 0}, []float64{10, 5}, 1))
	require.Equal(t, 0.5, moved([]float64{10, 0}, []float64{8, 5}, 10))
	require.Equal(t, 0.2, moved([]float64{10, 5}, []float64{10, 6.25}, 0))
	require.Zero(t, moved([]float64{0}, []float64{0}, 0))
}
