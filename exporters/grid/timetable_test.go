package grid

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A grid played back holds at every step what the timetable showed then, to the port's
// own step, and keeps it until the next.
func TestTimetableOfAGrid(t *testing.T) {
	f := example(t)
	got, err := Timetable("grid.csv", bytes.NewReader(write(t, f, day(0), day(3), 900)))
	require.NoError(t, err)
	require.Len(t, got.Tables, 2, "equal dates are one table")
	assert.Equal(t, day(1), got.Tables[0].To)
	assert.Equal(t, day(3), got.Tables[1].To)
	assert.True(t, got.NeedsPlan())
	for i, table := range got.Tables {
		for k, p := range table.Ports {
			want := f.Tables[i].Ports[k]
			assert.Equal(t, []any{want.Controller, want.Name, want.Channels(), want.Signal, true}, []any{p.Controller, p.Name, p.Channels(), p.Signal, p.Hold})
			tr, err := want.Course(want.Points)
			require.NoError(t, err)
			p.Range = want.Range
			held, err := p.Course(p.Points)
			require.NoError(t, err)
			for s := 0.0; s < 86400; s += 900 {
				require.InDelta(t, want.Round(tr.Command(s)), held.Command(s), 1e-9)
				require.Equal(t, held.Command(s), held.Command(s+899))
			}
		}
	}
}

func TestTimetableOfADamagedGrid(t *testing.T) {
	text := string(write(t, example(t), day(0), day(1), 3600))
	_, err := Timetable("grid.csv", strings.NewReader(strings.Replace(text, ":V", ":lm", 1)))
	assert.ErrorContains(t, err, `grid.csv:1: port 1 of =rack: there is no unit "lm"`)
	_, err = Timetable("grid.csv", strings.NewReader(text[:len(text)-40]))
	assert.ErrorContains(t, err, "grid.csv:4")
	_, err = Timetable("grid.csv", strings.NewReader(""))
	assert.ErrorContains(t, err, "grid.csv:1: the file is empty")
}
