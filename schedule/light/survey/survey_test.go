package survey_test

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/fit"
	"dayloom/schedule/light"
	"dayloom/schedule/light/survey"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
)

func starter(t testing.TB, edits ...string) (*plan.Plan, light.Field) {
	p, problems := planfile.Load(func(path string) ([]byte, error) {
		b, err := os.ReadFile(filepath.Join("../../../cmd/dayloom/starters/nursery", path))
		return []byte(strings.NewReplacer(edits...).Replace(string(b))), err
	}, "plan.yaml")
	require.NotNil(t, p, problems.Text(nil))
	f, problems := light.Survey(p)
	require.False(t, problems.HasErrors())
	return p, f
}

func options(p *plan.Plan, n int) survey.Options {
	dose := make([]float64, len(p.Channels))
	for i := range dose {
		dose[i] = 4 * 3600
	}
	b := p.Tank.Box
	return survey.Options{Readings: n, Dose: dose, Grid: true, Reach: plan.Volume{X: [2]float64{0, b.Length}, Y: [2]float64{0, b.Width}, Depth: [2]float64{0, b.Depth}}}
}

// A survey is better than any of many chosen by chance from the same candidates, and what
// it promises is what the fit has after such readings.
func TestSurveyBeatsChance(t *testing.T) {
	p, f := starter(t, "readings: readings.csv\n", "")
	o := options(p, 8)
	o.Grid = false
	s, err := survey.Plan(p, f, o)
	require.NoError(t, err)
	require.Len(t, s.Lines, 8)
	assert.Less(t, s.After, 0.5*s.Before)

	after := func(rows []plan.Reading) float64 {
		q := *p
		q.Readings = &plan.Readings{Rows: rows}
		g, problems := light.Survey(&q)
		require.False(t, problems.HasErrors())
		sum := 0.0
		for i, c := range p.Corals {
			full := light.Full(f.Corals[i], nil)
			w := make([]float64, len(full))
			for ch := range w {
				w[ch] = full[ch] / light.DLI(full, o.Dose) * o.Dose[ch] * 1e-6
			}
			v := g.Fit().Covariance([]fit.Point{{At: light.Place{X: c.X, Y: c.Y, Depth: c.Depth}, Weight: w}}).At(0, 0)
			sum += v / float64(len(p.Corals))
		}
		return math.Sqrt(sum)
	}
	taken := func(lines []survey.Line) (rows []plan.Reading) {
		for _, l := range lines {
			l.PPFD = l.Expected.Value
			rows = append(rows, l.Reading)
		}
		return rows
	}
	mine := after(taken(s.Lines))
	assert.InEpsilon(t, s.After, mine, 0.25, "readings that agree to the last digit make the fit a little surer than it hoped for")
	r := rand.New(rand.NewPCG(1, 1))
	for range 30 {
		var rows []plan.Reading
		for range 8 {
			c, ch := p.Corals[r.IntN(len(p.Corals))], r.IntN(len(p.Channels))
			row := plan.Reading{Coral: -1, X: c.X, Y: c.Y, Depth: c.Depth, Digit: 1, Lit: []plan.Lit{{Channel: ch, Fraction: 1}}}
			e, err := f.Expect(row, -1)
			require.NoError(t, err)
			row.PPFD = e.Value
			rows = append(rows, row)
		}
		assert.Greater(t, after(rows), mine)
	}
}

// What was read already is not asked again: the same number of readings tells less.
func TestReadingsAlreadyThereCount(t *testing.T) {
	p, f := starter(t)
	s, err := survey.Plan(p, f, options(p, 4))
	require.NoError(t, err)
	assert.Less(t, s.Before, 0.06)
	assert.Less(t, s.Before-s.After, 0.01)
}

// Reach and corals bound the spots; together only where power allows it.
func TestLimits(t *testing.T) {
	p, f := starter(t, "readings: readings.csv\n", "")
	o := options(p, 10)
	o.Reach.Depth[1], o.Reach.X[1] = 0.15, 1.2
	s, err := survey.Plan(p, f, o)
	require.NoError(t, err)
	for _, l := range s.Lines {
		assert.True(t, l.Depth <= 0.15 && l.X <= 1.2)
		assert.Len(t, l.Lit, 1, "565 W are over power_max: never all at once")
	}
	o = options(p, 5)
	o.Corals, o.Grid = []int{1, 7}, false
	s, err = survey.Plan(p, f, o)
	require.NoError(t, err)
	assert.LessOrEqual(t, s.Spots, 2)
	for _, l := range s.Lines {
		assert.Contains(t, []int{1, 7}, l.Coral)
	}
	o.Corals = []int{}
	_, err = survey.Plan(p, f, o)
	assert.ErrorContains(t, err, "no place in reach")
}

func TestAllTogetherWhereAllowed(t *testing.T) {
	p, f := starter(t, "readings: readings.csv\n", "", "power_max: 430 W", "power_max: 1 kW")
	s, err := survey.Plan(p, f, options(p, 8))
	require.NoError(t, err)
	together := 0
	for _, l := range s.Lines {
		if len(l.Lit) > 1 {
			together++
		}
	}
	assert.Greater(t, together, 3, "one reading of all tells of the sum")
}

// 24 readings among 500 spots and 12 channels; the goal is 5 s.
func BenchmarkSurvey24Of500SpotsBy12Channels(b *testing.B) {
	p, _ := starter(b, "readings: readings.csv\n", "")
	q := *p
	for i := range 4 {
		c := q.Channels[i]
		c.Name += "-too"
		q.Channels = append(q.Channels, c)
	}
	q.Corals = nil
	for i := range 480 {
		q.Corals = append(q.Corals, plan.Coral{Name: "c", X: 0.1 + 2.2*float64(i%40)/40, Y: 0.05 + 0.5*float64(i/40)/12, Depth: 0.2})
	}
	f, _ := light.Survey(&q)
	o := options(&q, 24)
	o.Grid = false
	for b.Loop() {
		if _, err := survey.Plan(&q, f, o); err != nil {
			b.Fatal(err)
		}
	}
}
