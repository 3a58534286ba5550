package sheet

import (
	"bytes"
	"encoding/xml"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/exporters/timetable"
	"dayloom/photon/dimmer"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/port"
)

var update = flag.Bool("update", false, "write the golden files again")

func example(t *testing.T) timetable.File {
	linear, err := dimmer.Linear(0, 10)
	require.NoError(t, err)
	off, err := linear.WithOffBelow(1.2)
	require.NoError(t, err)
	onOff, err := dimmer.Linear(0, 1)
	require.NoError(t, err)
	const hour = 3600.0
	ports := []timetable.Port{
		{Port: port.Port{Controller: "rack", Name: "1", Kind: port.Kind{Range: [2]float64{0, 10}, Step: 0.1}, Outlet: port.Ref{Controller: "outlets", Port: "2"}, Lamps: []port.Lamp{{Channel: "bar-blue <b>", Response: off}}},
			Points: []port.Point{{Time: 8 * hour, Command: 1.2}, {Time: 11 * hour, Command: 10}, {Time: 20 * hour, Command: 0}}},
		{Port: port.Port{Controller: "outlets", Name: "1", Kind: port.Kind{Signal: port.Switch, Range: [2]float64{0, 1}, Step: 1, Hold: true}, Lamps: []port.Lamp{{Channel: "tubes", Response: onOff}}},
			Points: []port.Point{{Time: 12 * hour, Command: 1}, {Time: 15 * hour, Command: 0}}},
		{Port: port.Port{Controller: "rack", Name: "2", Kind: port.Kind{Range: [2]float64{0, 10}, Step: 0.5, Hold: true}, Lamps: []port.Lamp{{Channel: "pendant-white", Response: linear}}},
			Points: []port.Point{{Time: 9 * hour, Command: 4.5}, {Time: 21 * hour, Command: 0}}},
	}
	from, to := plan.Date{Year: 2027, Month: 1, Day: 1}, plan.Date{Year: 2027, Month: 3, Day: 27}
	return timetable.File{Plan: "Quay Street", Clock: timetable.Clock{Zone: "Europe/Lisbon"},
		Tables: []timetable.Table{{From: from, To: to, Ports: ports}, {From: to.AddDays(1), Ports: ports[1:2]}}}
}

func TestGolden(t *testing.T) {
	f := example(t)
	for name, write := range map[string]func(io.Writer, timetable.File, Ending) error{"sheet.txt": WriteText, "sheet.html": WriteHTML} {
		var b bytes.Buffer
		require.NoError(t, write(&b, f, Ending{Clocks: plan.Date{Year: 2027, Month: 10, Day: 31}, Notes: []string{"These timetables repeat 2027-01-01 every day."}}))
		path := filepath.Join("testdata", name)
		if *update {
			require.NoError(t, os.WriteFile(path, b.Bytes(), 0o644))
		}
		want, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Equal(t, string(want), b.String())
	}
}

// By hand: the ramp of port 1 goes from 1.2 V at 08:00 to 10 V at 11:00 and to 0 V
// at 20:00, then back to 1.2 V at 08:00. At 09:00 it is at 1.2 + 8.8/3 = 4.13 V, at
// 12:00 at 10 − 10/9 = 8.89, at 15:00 at 5.56, at 18:00 at 2.22, at 21:00 at 0.1, at
// 06:00 at 1.0, at midnight at 0.4. Port 2 holds.
func TestExpectedByHand(t *testing.T) {
	all, err := pages(example(t), Ending{})
	require.NoError(t, err)
	require.Len(t, all, 3, "two controllers, and one of them again")
	assert.Equal(t, []string{"00:00", "06:00", "09:00", "12:00", "15:00", "18:00", "21:00"}, all[0].Times)
	// port 2 holds 4.5 V of 10 from 09:00 to 21:00: 3.6 of eight steps, rounded up, 24 half hours
	assert.Equal(t, strings.Repeat(" ", 18)+strings.Repeat("▄", 24)+strings.Repeat(" ", 6), all[0].Ports[1].Blocks)
	assert.True(t, strings.HasPrefix(all[0].Ports[1].Curve, "0.0,40.0 ") && strings.Contains(all[0].Ports[1].Curve, " 120.0,22.0 "), all[0].Ports[1].Curve)
	assert.Equal(t, []string{"0.4 V", "1.0 V", "4.1 V", "8.9 V", "5.6 V", "2.2 V", "0.1 V"}, all[0].Ports[0].Expected)
	assert.Equal(t, []string{"0.0 V", "0.0 V", "4.5 V", "4.5 V", "4.5 V", "4.5 V", "0.0 V"}, all[0].Ports[1].Expected)
	assert.Equal(t, []string{"off", "off", "off", "on", "off", "off", "off"}, all[1].Ports[0].Expected)
	assert.Equal(t, "from 2027-03-28, with no end", all[2].Valid)
}

// Every point and every caution is on its page, in text and in HTML; the HTML is
// well formed, refers to nothing outside, and has no text that acts as markup.
func TestBothFormsSayAll(t *testing.T) {
	f := example(t)
	var text, page bytes.Buffer
	require.NoError(t, WriteText(&text, f, Ending{}))
	require.NoError(t, WriteHTML(&page, f, Ending{}))
	assert.Equal(t, 2, strings.Count(text.String(), "\f"))
	assert.Equal(t, 3, strings.Count(page.String(), `<section class="page">`))
	for _, table := range f.Tables {
		for _, p := range table.Ports {
			for _, q := range p.Points {
				assert.Contains(t, text.String(), timetable.TimeOfDay(q.Time))
				assert.Contains(t, page.String(), "<td>"+timetable.TimeOfDay(q.Time)+"</td><td>"+p.Text(q.Command)+"</td>")
			}
		}
	}
	unwrapped := strings.Join(strings.Fields(text.String()), " ")
	for _, c := range Cautions() {
		assert.Equal(t, 3, strings.Count(unwrapped, c))
		assert.Equal(t, 3, strings.Count(page.String(), c))
	}
	assert.NotContains(t, page.String(), "<b>")
	assert.NotRegexp(t, `(?i)src=|href=|url\(|@import|https?:`, page.String())

	d := xml.NewDecoder(strings.NewReader(strings.NewReplacer("<!DOCTYPE html>", "", `<meta charset="utf-8">`, "", `<meta name="viewport" content="width=device-width, initial-scale=1">`, "").Replace(page.String())))
	for {
		_, err := d.Token()
		if err == io.EOF {
			break
		}
		require.NoError(t, err)
	}
}

func TestATimetableWithoutItsPlanIsRefused(t *testing.T) {
	f := example(t)
	f.Tables[0].Ports[0].Range = [2]float64{}
	require.ErrorContains(t, WriteText(io.Discard, f, Ending{}), "complete the timetable from its plan")
	require.ErrorContains(t, WriteHTML(io.Discard, f, Ending{}), "complete the timetable from its plan")
}
