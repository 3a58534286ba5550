package balance

import (
	"context"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
)

// Of places off the colour wished for the farthest is named.
func TestTheFarthestColourIsTold(t *testing.T) {
	s := &system{task: &task{p: &plan.Plan{}}}
	s.p.Balance.Colour = &plan.ColourWish{}
	told := s.offWish([]Colour{{Place: "near", Distance: 0.01}, {Place: "met", Distance: 0.5, Met: true}, {Place: "far", Distance: 0.03}, {Place: "less", Distance: 0.02}})
	require.Len(t, told, 1)
	assert.Contains(t, told[0], "the colour at far is 0.0300")
	assert.Empty(t, s.offWish([]Colour{{Met: true}}))
}

// What wishes cost is told for all blocks: energy adds, of distances the greatest counts, and a block without a wish stays
// as it is.
func TestCostsAddUp(t *testing.T) {
	one := Cost{Energy: 2, Greatest: 0.1, Met: true, Distance: 0.02, Spectrum: 0.3}
	assert.Equal(t, &Cost{Energy: 5, Greatest: 0.2, Met: false, Distance: 0.02, Spectrum: 0.3},
		costs([]Answer{{Cost: &one}, {Energy: 3, Greatest: 0.2}}))
	assert.Equal(t, &Cost{Energy: 4, Greatest: 0.1, Met: true, Distance: 0.02, Spectrum: 0.3}, costs([]Answer{{Cost: &one}, {Cost: &one}}))
	assert.Nil(t, costs([]Answer{{Energy: 3}}))
}

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
