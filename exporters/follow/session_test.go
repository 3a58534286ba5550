package follow

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/exporters/timetable"
	"dayloom/schedule/shape/port"
)

func told(changes []Change) []string {
	var out []string
	for _, c := range changes {
		out = append(out, c.At.UTC().Format("15:04:05 ")+c.Port+" "+c.Shown)
	}
	return out
}

// A ramp of a tenth of a volt a minute, as in TestARampIsRoundedByHand.
func ramp(t require.TestingT) *Follower {
	other := volts(t, port.Point{Command: 5})
	other.Name = "2"
	return follower(t, lisbon(t), timetable.Table{From: date(t, "2027-01-01"), Ports: []timetable.Port{
		volts(t, port.Point{Time: 28800}, port.Point{Time: 29400, Command: 1}, port.Point{Time: 72000, Command: 1}, port.Point{Time: 72060}), other}})
}

func TestASessionOfPlainTicks(t *testing.T) {
	s := NewSession(ramp(t), 5*time.Second)
	now := at(t, "2027-01-05T07:59:59Z")
	assert.Equal(t, []string{"07:59:59 1 0.0", "07:59:59 2 5.0"}, told(s.Step(now)), "all at once at the start")
	var got []string
	for range 200 {
		now = now.Add(999 * time.Millisecond)
		got = append(got, told(s.Step(now))...)
	}
	assert.Equal(t, []string{"08:00:30 1 0.1", "08:01:30 1 0.2", "08:02:30 1 0.3"}, got)
	assert.Empty(t, s.Step(now), "the same instant again")
}

func TestASessionThatJumps(t *testing.T) {
	s := NewSession(ramp(t), 5*time.Second)
	now := at(t, "2027-01-05T08:00:00Z")
	s.Step(now)
	// asleep for two hours: what is right now, and no replay of the ramp
	assert.Equal(t, []string{"10:00:00 1 1.0", "10:00:00 2 5.0"}, told(s.Step(now.Add(2*time.Hour))))
	// set back by three hours
	assert.Equal(t, []string{"07:00:00 1 0.0", "07:00:00 2 5.0"}, told(s.Step(now.Add(-time.Hour))))
	// set back by a second
	assert.Equal(t, []string{"06:59:59 1 0.0", "06:59:59 2 5.0"}, told(s.Step(now.Add(-time.Hour-time.Second))))
	// set to another year
	assert.Equal(t, []string{"07:04:45 1 0.5", "07:04:45 2 5.0"}, told(s.Step(at(t, "2031-08-01T07:04:45Z"))))
	// and on from there
	assert.Empty(t, s.Step(at(t, "2031-08-01T07:04:50Z")))
	assert.Equal(t, []string{"07:05:30 1 0.6"}, told(stepTo(s, at(t, "2031-08-01T07:05:31Z"))))
}

func stepTo(s *Session, end time.Time) (out []Change) {
	for t := s.last; t.Before(end); {
		t = t.Add(time.Second)
		out = append(out, s.Step(t)...)
	}
	return out
}

func TestASessionThatWaitsForItsTimetable(t *testing.T) {
	s := NewSession(ramp(t), time.Hour)
	assert.Empty(t, s.Step(at(t, "2026-12-31T23:00:00Z")))
	assert.Equal(t, []string{"00:00:00 1 0.0", "00:00:00 2 5.0"}, told(s.Step(at(t, "2027-01-01T00:00:00Z"))))
}

// lines of output, each written at once.
type pieces []string

func (p *pieces) Write(b []byte) (int, error) {
	*p = append(*p, string(b))
	return len(b), nil
}

func someChanges(t require.TestingT) []Change {
	odd := volts(t, port.Point{Command: 4.7})
	odd.Lamps[0].Channel, odd.Name = "=cmd, \"deep\" blue <b>", "2"
	f := follower(t, lisbon(t), timetable.Table{From: date(t, "2027-01-01"), Ports: []timetable.Port{odd, on(3600, 7200)}})
	return f.At(at(t, "2027-07-01T00:30:00Z"))
}

func TestJSONLines(t *testing.T) {
	var out pieces
	w := NewWriter(&out, "json")
	require.NoError(t, w.Write(nil))
	require.NoError(t, w.Write(someChanges(t)))
	require.Len(t, out, 1, "a batch is one piece")
	lines := strings.Split(strings.TrimSuffix(out[0], "\n"), "\n")
	require.Len(t, lines, 2)
	assert.Equal(t, `{"at":"2027-07-01T01:30:00+01:00","controller":"outlets","port":"1","channel":"tubes","command":"on","unit":"switch","light_percent":100.000}`, lines[1])
	var first map[string]any
	require.NoError(t, json.Unmarshal([]byte(lines[0]), &first))
	assert.Equal(t, 4.7, first["command"])
	assert.Equal(t, "V", first["unit"])
	assert.Equal(t, 47.0, first["light_percent"])
	assert.Equal(t, "=cmd, \"deep\" blue <b>", first["channel"])
}

// RFC 4180: a header, CRLF, quotes; and no cell that a spreadsheet would run.
func TestCSVLines(t *testing.T) {
	var out pieces
	w := NewWriter(&out, "csv")
	require.NoError(t, w.Write(someChanges(t)))
	require.NoError(t, w.Write(someChanges(t)[1:]))
	require.Len(t, out, 2)
	all := strings.Join(out, "")
	assert.Equal(t, strings.Count(all, "\n"), strings.Count(all, "\r\n"))
	rows, err := csv.NewReader(bytes.NewBufferString(all)).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 4, "one header, three rows")
	assert.Equal(t, []string{"at", "controller", "port", "channel", "command", "unit", "light_percent"}, rows[0])
	assert.Equal(t, []string{"2027-07-01T01:30:00+01:00", "rack", "2", "'=cmd, \"deep\" blue <b>", "4.7", "V", "47.000"}, rows[1])
	assert.Equal(t, "on", rows[3][4])
}
