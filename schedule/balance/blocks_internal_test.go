package balance

import (
	"context"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/light"
	"dayloom/schedule/plan/planfile"
)

// Solved tank by tank, the best sum of excesses and its bound are those of one programme over all tanks, and so is what
// every place gets where the targets leave no choice.
func TestBlocksAreTheWhole(t *testing.T) {
	p, problems := planfile.Load(os.ReadFile, "../../testdata/plans/tanks/plan.yaml")
	require.False(t, problems.HasErrors())
	for _, factor := range []float64{1, 1.4, 3} { // met, and out of reach
		q := *p
		q.Balance.PowerMaxW = 1000 // no limit that they share
		q.Zones = append(q.Zones[:0:0], p.Zones...)
		for i := range q.Zones {
			q.Zones[i].DLI *= factor
		}
		f, problems := light.Survey(&q)
		require.False(t, problems.HasErrors())
		byTank, problems, done := inBlocks(context.Background(), &q, f, Options{})
		require.True(t, done)
		require.Empty(t, problems)
		k, err := newTask(context.Background(), &q, f, Options{}).settle(whole)
		require.NoError(t, err)
		all := k.answer()
		assert.InDelta(t, all.Certificate.Sum, byTank.Certificate.Sum, 1e-6)
		assert.InDelta(t, all.Certificate.Bound, byTank.Certificate.Bound, 1e-6)
		assert.Equal(t, all.Met, byTank.Met)
		assert.Equal(t, all.Certificate.Proven, byTank.Certificate.Proven)
		for i, pl := range all.Places {
			assert.Equal(t, pl.Name, byTank.Places[i].Name)
			if factor == 3 {
				assert.InDelta(t, pl.DLI, byTank.Places[i].DLI, 1e-5*pl.DLI)
			}
		}
	}
}
