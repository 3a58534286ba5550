package mix_test

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"dayloom/schedule/day"
	"dayloom/schedule/day/mix"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
)

// Colours of the starter: eight corals under eight channels, every 5 min of a day: spectra through the
// water included, the PPFD of the same rays not.
func BenchmarkDayOfEightCorals(b *testing.B) {
	p, problems := planfile.Load(func(path string) ([]byte, error) { return os.ReadFile(path) }, "../../../cmd/dayloom/starters/nursery/plan.yaml")
	require.NotNil(b, p, problems)
	f, problems := light.Survey(p)
	require.False(b, problems.HasErrors(), problems)
	d := day.Build(p, plan.Date{Year: 2027, Month: 3, Day: 1}, day.Change{})
	b.ResetTimer()
	for range b.N {
		places, err := mix.At(p, f)
		require.NoError(b, err)
		lit := 0
		for _, pl := range places[:8] {
			for _, m := range pl.Course(d, nil, 300) {
				if xy, ok := m.XYZ.Chromaticity(); ok {
					_, _ = xy.Temperature()
					lit++
				}
				m.XYZ.Swatch()
			}
		}
		require.Positive(b, lit)
	}
}
