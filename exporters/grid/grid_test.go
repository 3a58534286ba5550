package grid

import (
	"bytes"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"runtime"
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

func day(n int) plan.Date { return plan.Date{Year: 2027, Month: 1, Day: 1}.AddDays(n) }

// example has a ramp, a hold, a switch and names that need care; the second of
// its two tables is the first an hour later.
func example(t testing.TB) timetable.File {
	linear, err := dimmer.Linear(0, 10)
	require.NoError(t, err)
	f := timetable.File{Plan: "p"}
	for i, late := range []float64{0, 3600} {
		at := func(hour float64) float64 { return hour*3600 + late }
		f.Tables = append(f.Tables, timetable.Table{From: day(2 * i), To: day(2*i + 1), Ports: []timetable.Port{
			{Port: port.Port{Controller: "=rack", Name: "1", Kind: port.Kind{Range: [2]float64{0, 10}, Step: 0.1}, Lamps: []port.Lamp{{Channel: `a:b\c, "d"`, Response: linear}}},
				Points: []port.Point{{Time: at(8), Command: 0}, {Time: at(9), Command: 10}, {Time: at(18), Command: 0}}},
			{Port: port.Port{Controller: "rack", Name: "2", Kind: port.Kind{Signal: port.Percent, Range: [2]float64{0, 100}, Step: 1, Hold: true}, Lamps: []port.Lamp{{Response: linear}}},
				Points: []port.Point{{Time: at(6), Command: 30}, {Time: at(20), Command: 1}}},
			{Port: port.Port{Controller: "outlets", Name: "1", Kind: port.Kind{Signal: port.Switch, Range: [2]float64{0, 1}, Step: 1, Hold: true}, Lamps: []port.Lamp{{Channel: "tubes", Response: linear}}},
				Points: []port.Point{{Time: at(12), Command: 1}, {Time: at(15), Command: 0}}},
		}})
	}
	return f
}

func write(t testing.TB, f timetable.File, from, to plan.Date, step int) []byte {
	var b bytes.Buffer
	require.NoError(t, Write(&b, f, from, to, step))
	return b.Bytes()
}

func TestGolden(t *testing.T) {
	got := write(t, example(t), day(1), day(2), 3600)
	if *update {
		require.NoError(t, os.WriteFile("testdata/grid.csv", got, 0o644))
	}
	want, err := os.ReadFile("testdata/grid.csv")
	require.NoError(t, err)
	assert.Equal(t, string(want), string(got))
}

func TestRowsAreTheTrackAtTheirTimes(t *testing.T) {
	f := example(t)
	g, err := NewReader("grid.csv", bytes.NewReader(write(t, f, day(0), day(3), 300)))
	require.NoError(t, err)
	require.Equal(t, []Column{{"=rack", "1", `a:b\c, "d"`, "V"}, {"rack", "2", "", "%"}, {"outlets", "1", "tubes", "switch"}}, g.Columns())
	for n := 0; n < 4*288; n++ {
		row, err := g.Next()
		require.NoError(t, err)
		require.Equal(t, day(n/288), row.Date)
		require.Equal(t, float64(n%288*300), row.Time)
		table, ok := f.On(row.Date)
		require.True(t, ok)
		for i, p := range table.Ports {
			tr, err := p.Course(p.Points)
			require.NoError(t, err)
			// half a step: the ramp is rounded to what the port can send
			require.LessOrEqual(t, math.Abs(row.Commands[i]-tr.Command(row.Time)), p.Step/2+1e-9)
			if p.Hold {
				require.Equal(t, tr.Command(row.Time), row.Commands[i])
			}
		}
	}
	_, err = g.Next()
	assert.Equal(t, io.EOF, err)
	assert.Equal(t, 300.0, g.StepS())
}

func readAll(data []byte) error {
	g, err := NewReader("g.csv", bytes.NewReader(data))
	for err == nil {
		_, err = g.Next()
	}
	if err == io.EOF {
		return nil
	}
	return err
}

func TestRefusals(t *testing.T) {
	good := string(write(t, example(t), day(0), day(1), 3600))
	require.NoError(t, readAll([]byte(good)))
	lines := strings.SplitAfter(good, "\r\n")
	for want, bad := range map[string]string{
		"g.csv:1: the file is empty":                                 "",
		"g.csv:1: there are no rows":                                 lines[0],
		"g.csv:1: the header must be date, time":                     strings.Join(lines[1:], ""),
		`g.csv:1: the column "rack:2" is not`:                        strings.Replace(good, "rack:2::%", "rack:2", 1),
		"g.csv:2: the first row is at 01:00":                         lines[0] + strings.Join(lines[2:], ""),
		"g.csv:4: 2027-01-01 03:00 does not follow 2027-01-01 01:00": strings.Join(lines[:3], "") + lines[4] + lines[3] + strings.Join(lines[5:], ""),
		"g.csv:6: 2027-01-01 05:00 does not follow 2027-01-01 03:00": strings.Join(lines[:5], "") + strings.Join(lines[6:], ""),
		"g.csv:40: the file ends at 2027-01-02 14:00":                strings.Join(lines[:40], ""),
		"g.csv:49: the last line has no line end":                    strings.TrimSuffix(good, "\r\n"),
		"g.csv:3: the row has 6 columns in place of 5":               strings.Replace(good, "01:00,", "01:00,7,", 1),
		`g.csv:14: port 1 of outlets: "yes" is neither`:              strings.Replace(good, ",on", ",yes", 1),
		`g.csv:2: port 1 of =rack: the command "NaN" is not a numb`:  strings.Replace(good, "00:00,0.0", "00:00,NaN", 1),
		`g.csv:2: "24:00" is not a time`:                             strings.Replace(good, "00:00,", "24:00,", 1),
		`g.csv:2: "2027-13-01" is not a date`:                        strings.Replace(good, "2027-01-01,00", "2027-13-01,00", 1),
	} {
		err := readAll([]byte(bad))
		if assert.Error(t, err, want) {
			assert.True(t, strings.HasPrefix(err.Error(), want), "want %s\ngot  %s", want, err)
		}
	}
}

// Cut anywhere but between two dates, a grid is refused.
func TestCutGridsAreRefused(t *testing.T) {
	good := write(t, example(t), day(0), day(1), 3600)
	accepted := 0
	for i := range good {
		if readAll(good[:i]) == nil {
			accepted++
		}
	}
	assert.Equal(t, 1, accepted, "between the two dates")
}

func TestWriteRefusals(t *testing.T) {
	f := example(t)
	for _, c := range []struct {
		from, to plan.Date
		step     int
		want     string
	}{
		{day(0), day(1), 7, "must be whole seconds and divide the day"},
		{day(0), day(1), 0, "must be whole seconds and divide the day"},
		{day(1), day(0), 60, "must not come before the first"},
		{day(0), day(4), 3600, "no table for 2027-01-05"},
	} {
		assert.ErrorContains(t, Write(io.Discard, f, c.from, c.to, c.step), c.want)
	}
}

func FuzzReader(f *testing.F) {
	f.Add(write(f, example(f), day(0), day(0), 21600))
	f.Add([]byte("date,time,a\\:b:1::%\r\n2027-01-01,00:00,1\r\n2027-01-01,12:00,2\r\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if err := readAll(data); err != nil {
			require.Regexp(t, `^g\.csv:\d+: `, err.Error())
		}
	})
}

// A spreadsheet's copy is the same rows: with semicolons, decimal commas, seconds and a byte order mark.
func TestSpreadsheetsCopyIsReadBack(t *testing.T) {
	f := example(t)
	for i := range f.Tables {
		f.Tables[i].Ports = f.Tables[i].Ports[1:]
	}
	good := string(write(t, f, day(0), day(1), 3600))
	want, err := Timetable("g.csv", strings.NewReader(good))
	require.NoError(t, err)
	assert.True(t, want.Unended)
	copied := "\ufeff" + strings.NewReplacer(",30,", ";30,0;", ":00,30,", ":00:00;30,0;", ":00,", ":00:00;", ",", ";").Replace(good)
	require.Contains(t, copied, "\r\n2027-01-01;06:00:00;30,0;off\r\n")
	got, err := Timetable("g.csv", strings.NewReader(copied))
	require.NoError(t, err)
	assert.Equal(t, want, got)
	assert.ErrorContains(t, readAll([]byte(strings.ReplaceAll(good, ",", "\t"))), "g.csv:1: the columns are separated by tabs")
}

// What stays in memory while 60 days of minutes
// pass through writer and reader together.
func TestMemoryDoesNotGrowWithTheRows(t *testing.T) {
	if testing.Short() {
		t.Skip("writes 60 days of minutes")
	}
	f := wide(t)
	grown := func(days int) uint64 {
		var before, after runtime.MemStats
		reader, writer := io.Pipe()
		go func() { writer.CloseWithError(Write(writer, f, day(0), day(days-1), 60)) }()
		g, err := NewReader("g.csv", reader)
		require.NoError(t, err)
		runtime.GC()
		runtime.ReadMemStats(&before)
		most, n := uint64(0), 0
		for ; ; n++ {
			_, err := g.Next()
			if err == io.EOF {
				break
			}
			require.NoError(t, err)
			if n%10000 == 0 {
				runtime.GC()
				runtime.ReadMemStats(&after)
				most = max(most, after.HeapAlloc-min(before.HeapAlloc, after.HeapAlloc))
			}
		}
		require.Equal(t, days*1440, n)
		return most
	}
	assert.Less(t, grown(60), uint64(1<<20), "bytes alive while 60 days of minutes pass through")
}

// wide is 16 ports of 24 points, open.
func wide(t testing.TB) timetable.File {
	linear, err := dimmer.Linear(0, 10)
	require.NoError(t, err)
	table := timetable.Table{From: day(0)}
	for i := range 16 {
		p := timetable.Port{Port: port.Port{Controller: "rack", Name: fmt.Sprint(i + 1), Kind: port.Kind{Range: [2]float64{0, 10}, Step: 0.1}, Lamps: []port.Lamp{{Channel: "c", Response: linear}}}}
		for k := range 24 {
			p.Points = append(p.Points, port.Point{Time: float64(k * 3600), Command: float64((k*7+i)%101) / 10})
		}
		table.Ports = append(table.Ports, p)
	}
	return timetable.File{Tables: []timetable.Table{table}}
}

func BenchmarkWriteYearOfMinutesFor16Ports(b *testing.B) {
	f := wide(b)
	for b.Loop() {
		require.NoError(b, Write(io.Discard, f, day(0), day(364), 60))
	}
}

func BenchmarkReadYearOfMinutesOf16Ports(b *testing.B) {
	data := write(b, wide(b), day(0), day(364), 60)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		require.NoError(b, readAll(data))
	}
}
