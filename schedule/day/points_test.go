package day_test

import (
	"encoding/csv"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/day"
	"dayloom/schedule/day/dose"
	"dayloom/schedule/light"
	"dayloom/schedule/plan/planfile"
	"dayloom/schedule/text/quantity"
)

// A measured reef day (testdata/published/reef-day-kaneohe.csv) asked for by points: its DLI is the trapezium
// sum of the measured PPFD, scaled to the coral's own light.
func TestAReefDayByPoints(t *testing.T) {
	f, err := os.Open("../../testdata/published/reef-day-kaneohe.csv")
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 1+56)
	sum, most, lastT, lastV := 0.0, 0.0, 0.0, 0.0
	for i, row := range rows[1:] {
		at, err := quantity.TimeOfDay(row[0])
		require.NoError(t, err)
		v, err := strconv.ParseFloat(row[1], 64)
		require.NoError(t, err)
		if i > 0 {
			sum += (v + lastV) / 2 * (at - lastT)
		}
		most, lastT, lastV = max(most, v), at, v
	}
	p, problems := planfile.Load(os.ReadFile, "../../testdata/plans/reef/plan.yaml")
	require.False(t, problems.HasErrors(), problems.Text(nil))
	field, problems := light.Survey(p)
	require.False(t, problems.HasErrors())
	full := field.Corals[0][0].PPFD
	got := dose.Of(p, field, day.Build(p, date, day.Change{}), nil).Corals[0]
	assert.InEpsilon(t, sum/most*0.6*full*1e-6, got.DLI, 1e-9)
	assert.InDelta(t, 0.6*full, got.Peak, 1e-9*full)
	assert.Equal(t, 13*hour, got.PeakAtS)

	// half an hour more of the 13 h 45 min that are lit stretches all of it
	longer := dose.Of(p, field, day.Build(p, date, day.Change{Stretch: 0.5 * hour}), nil).Corals[0]
	assert.InEpsilon(t, got.DLI*14.25/13.75, longer.DLI, 1e-9)
	assert.InDelta(t, 13.75*hour, day.LitSeconds(p, 0, day.Change{}), 1e-6)
}

// A spreadsheet that writes decimal commas gives the same day.
func TestPointsWithSemicolons(t *testing.T) {
	const file = "../../testdata/plans/reef/plan.yaml"
	p, _ := planfile.Load(os.ReadFile, file)
	q, problems := planfile.Load(func(path string) ([]byte, error) {
		b, err := os.ReadFile(path)
		if strings.HasSuffix(path, ".csv") {
			b = []byte(strings.NewReplacer(",", ";", ".", ",").Replace(string(b)))
		}
		return b, err
	}, file)
	require.False(t, problems.HasErrors(), problems.Text(nil))
	require.NotEmpty(t, p.Day[0].Daylight.Points)
	assert.Equal(t, p.Day[0].Daylight, q.Day[0].Daylight)
}
