package maps_test

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	"dayloom/schedule/maps"
	"dayloom/schedule/plan/planfile"
)

// The starter's map at a coral's place and its table say the same, to the third figure
// and the tables of rays that a grid is read from.
func TestMapAndTableAgree(t *testing.T) {
	p, problems := planfile.Load(func(path string) ([]byte, error) {
		return os.ReadFile(filepath.Join("../../cmd/dayloom/starters/nursery", path))
	}, "plan.yaml")
	require.NotNil(t, p, problems.Text(nil))
	f := survey(t, p)
	a, err := maps.Full(p, nil, spectrum.PAR)
	require.NoError(t, err)
	table, err := maps.AtCorals(p, f, a)
	require.NoError(t, err)
	for _, pl := range table.Places {
		g := tank.Grid{X0: pl.At.X, Dx: 1, Nx: 1, Y0: pl.At.Y, Dy: 1, Ny: 1, Depths: []float64{pl.At.Depth}}
		m, err := maps.OnGrid(context.Background(), f, a, g, nil)
		require.NoError(t, err)
		for k := range a.Channels {
			assert.InEpsilon(t, pl.Channel[k], m.At(k, 0), 3e-3, "%s, channel %d", pl.Name, k)
		}
		assert.InEpsilon(t, pl.Total, m.Total(0), 1.5e-3, pl.Name)
		sure, err := m.Uncertainty(context.Background(), f, len(p.Channels))
		require.NoError(t, err)
		assert.InEpsilon(t, 100*pl.SD/pl.Total, sure.Total(0), 0.02, "%s: the one common error stands for the whole covariance", pl.Name)
	}
}
