package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/exporters/playback"
	"dayloom/schedule/calendar/acclimate"
	"dayloom/schedule/calendar/journal"
	"dayloom/schedule/day"
	"dayloom/schedule/plan"
)

var march = plan.Date{Year: 2027, Month: time.March, Day: 1}

// written is a report in all three formats; CSV is read back and JSON checked for form.
func written(t *testing.T, r Report) (text string, rows [][]string, js map[string]any) {
	t.Helper()
	var x, c, j bytes.Buffer
	require.NoError(t, Write(&x, "text", r))
	require.NoError(t, Write(&c, "csv", r))
	require.NoError(t, Write(&j, "json", r))
	rows, err := csv.NewReader(&c).ReadAll()
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(j.Bytes(), &js))
	for _, out := range []string{x.String(), j.String()} {
		for _, bad := range []string{"NaN", "Inf", "0001-01-01", "%!"} {
			assert.NotContains(t, out, bad)
		}
	}
	return x.String(), rows, js
}

func TestPlayedSaysWhoRoseTooMuch(t *testing.T) {
	p := &plan.Plan{Name: "nursery", Zones: []plan.Zone{{Name: "shelf"}}}
	r := NewPlayed(p, playback.RangeResult{From: march, To: march.AddDays(9), Corals: []playback.CoralRange{
		{Name: "fan", Least: playback.Extreme{Date: march, Value: 4}, Most: playback.Extreme{Date: march.AddDays(3), Value: 5},
			Rise: playback.Extreme{Date: march.AddDays(3), Value: 0.25}, RiseOf: "violet dose (380-430 nm)", Limit: 0.15, DaysOver: 1},
		{Name: "sea whip", Least: playback.Extreme{Date: march, Value: 4}, Most: playback.Extreme{Date: march, Value: 4}},
	}}, nil)
	text, rows, js := written(t, r)
	assert.Contains(t, text, "every date from 2027-03-01 to 2027-03-10 (10 days)")
	assert.Contains(t, text, "rises too much on 1 day")
	assert.Contains(t, text, "the DLI, peak PPFD or violet dose of 1 of 2 corals rises by more than is allowed")
	assert.Contains(t, text, "calculated DLI is within 1 % of the plan at every coral on every date")
	require.Len(t, rows, 3)
	assert.Equal(t, []string{"fan", "shelf", "4.00", "5.00", "+0.00", "", "+25.0", "violet", "2027-03-04", "15", "+0.0", "", "rises too much on 1 day"}, rows[1])
	assert.Equal(t, "", rows[2][9], "no limit where nothing rose")
	assert.Equal(t, false, js["no_rise_above_limit"])
	assert.Equal(t, true, js["kept"])
}

func TestJournalListsPlacesOnlyWhereMoved(t *testing.T) {
	p := &plan.Plan{Name: "nursery"}
	es := []journal.Entry{
		{Date: march, Coral: "fan", Do: journal.Moved, To: [3]float64{0.4, 0.305, 0.2}},
		{Date: march.AddDays(1), Do: journal.Outage, Days: 3, Remarks: "fuse, again"},
	}
	text, rows, js := written(t, NewJournal(p, "x/journal.yaml", es))
	assert.Contains(t, text, "30.5")
	assert.Equal(t, []string{"2027-03-01", "fan", "moved", "0.4000", "0.3050", "0.2000", ""}, rows[1])
	assert.Equal(t, []string{"2027-03-02", "", "outage 3 days", "", "", "", "fuse, again"}, rows[2])
	assert.NotContains(t, js["entries"].([]any)[1], "x_m")
	assert.Equal(t, "2027-03-01, fan: moved to x 40 cm, y 30.5 cm, depth 20 cm", Entry(es[0]))
	text, _, _ = written(t, NewJournal(p, "x/journal.yaml", nil))
	assert.Equal(t, "x/journal.yaml: no entries yet\n", text)
}

// A newcomer on its way is judged by its own target of the day, and what it had before
// arrival is a DLI alone.
func TestAcclimatedComparesOnlyWhatIsKnown(t *testing.T) {
	p := &plan.Plan{Name: "nursery", Channels: []plan.Channel{{Name: "lamp", Dimmable: true}},
		Zones: []plan.Zone{{Name: "shelf", DLI: 12, Within: 0.1, DLIMin: 8, DLIMax: math.Inf(1), PPFDMax: 480}}, Corals: []plan.Coral{{Name: "fan"}, {Name: "whip"}},
		Clock: plan.Clock{Zone: time.UTC}}
	g := &acclimate.Programme{
		Tracks: []acclimate.Track{{Coral: 0, By: plan.ByDimming, Arrives: march, Ends: march.AddDays(7), From: 5, To: 5.5, Ratio: 1.1, StepMax: 0.15,
			Events: []acclimate.Event{{Date: march, Of: 1, Target: 5}, {Date: march.AddDays(7), Step: 1, Of: 1, Target: 5.5}}}},
		Steps: []acclimate.Step{{Date: march, What: []string{"fan: begins"}, Change: day.Change{}, Corals: []acclimate.Light{
			{Name: "fan", Present: true, Target: 5, Measure: acclimate.Measure{DLI: 5.1, Peak: 200}, Rise: acclimate.Measure{DLI: 0.02}, Note: "newcomer", Verdict: "under limit"},
			{Name: "whip", Target: 12}}}},
		Under: []acclimate.Under{{Name: "whip", Days: 7, Least: 5}},
	}
	text, rows, js := written(t, NewAcclimated(p, g, plan.Date{}, plan.Date{}))
	assert.Contains(t, text, "whip is below target for 7 days; lowest DLI 5.00")
	assert.Contains(t, text, "no guarantee")
	require.Len(t, rows, 2, "who is not in the tank has no row")
	row := strings.Join(rows[1], "|")
	assert.Contains(t, row, "fan: begins")
	assert.Contains(t, row, "5.10|5.00|+2.0|200||0||met|newcomer")
	assert.Equal(t, true, js["all_met"])
	first := js["steps"].([]any)[0].(map[string]any)["corals"].([]any)[0]
	assert.NotContains(t, first, "ppfd_peak_rise")
	assert.Contains(t, first, "dli_rise")

	text, _, _ = written(t, NewAcclimated(p, g, march.AddDays(1), plan.Date{}))
	assert.NotContains(t, text, "fan: begins", "outside the dates asked for")
	text, _, _ = written(t, NewAcclimated(p, &acclimate.Programme{}, plan.Date{}, plan.Date{}))
	assert.Contains(t, text, "nothing to acclimate")
}
