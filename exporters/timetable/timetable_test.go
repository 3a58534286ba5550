package timetable

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/photon/dimmer"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/port"
)

var update = flag.Bool("update", false, "write the golden files again")

func date(t testing.TB, s string) plan.Date {
	t.Helper()
	d, err := plan.ParseDate(s)
	require.NoError(t, err)
	return d
}

// example has every signal, a name that is a formula to a spreadsheet, one that
// needs quotes, seconds, an outlet, and two tables of which the last is open.
func example(t testing.TB) File {
	t.Helper()
	table, err := dimmer.Table([]dimmer.Point{{Command: 1.2, Fraction: 0.07}, {Command: 5, Fraction: 0.45}, {Command: 10, Fraction: 1}})
	require.NoError(t, err)
	table, err = table.WithRange(0, 10)
	require.NoError(t, err)
	table, err = table.WithOffBelow(1.2)
	require.NoError(t, err)
	log, err := dimmer.Log(0, 65535)
	require.NoError(t, err)
	linear, err := dimmer.Linear(0, 100)
	require.NoError(t, err)
	at := func(h, m, s int) float64 { return float64(h*3600 + m*60 + s) }
	ports := []Port{
		{Port: port.Port{Controller: "rack", Name: "1", Kind: port.Kind{Signal: port.Volts, Range: [2]float64{0, 10}, Step: 0.1}, Outlet: port.Ref{Controller: "outlets", Port: "1"}, Lamps: []port.Lamp{{Channel: "bar-blue", Response: table}}},
			Points: []port.Point{{Time: 0, Command: 0}, {Time: at(8, 30, 0), Command: 1.2}, {Time: at(11, 0, 0), Command: 5}, {Time: at(20, 30, 0), Command: 0}}},
		{Port: port.Port{Controller: "rack", Name: "2", Kind: port.Kind{Signal: port.Counts, Range: [2]float64{0, 65535}, Step: 1, Hold: true}, Lamps: []port.Lamp{{Channel: `=HYPERLINK("x"), white`, Response: log}}},
			Points: []port.Point{{Time: at(0, 0, 30), Command: 65535}}},
		{Port: port.Port{Controller: "@desk", Name: "1", Kind: port.Kind{Signal: port.Percent, Range: [2]float64{0, 100}, Step: 0.25}, Lamps: []port.Lamp{{Channel: "moon", Response: linear}}},
			Points: []port.Point{{Time: at(21, 0, 0), Command: 1.5}, {Time: at(23, 59, 59), Command: 33.25}}},
		{Port: port.Port{Controller: "outlets", Name: "1", Kind: port.Switched()},
			Points: []port.Point{{Time: 0, Command: 0}, {Time: at(12, 0, 0), Command: 1}, {Time: at(15, 30, 0), Command: 0}}},
	}
	return File{
		Plan: "Quay Street \"north\" <1>", PlanHash: "sha256:" + strings.Repeat("0a", 32),
		Clock: Clock{Zone: "Europe/Lisbon", FollowsSummerTime: false, ControllerStays: false},
		Tables: []Table{
			{From: date(t, "2027-01-01"), To: date(t, "2027-03-27"), Ports: ports},
			{From: date(t, "2027-03-28"), Ports: ports},
		},
	}
}

func written(t testing.TB, f File) (csv, json []byte) {
	t.Helper()
	var c, j bytes.Buffer
	require.NoError(t, WriteCSV(&c, f))
	require.NoError(t, WriteJSON(&j, f))
	return c.Bytes(), j.Bytes()
}

func TestGolden(t *testing.T) {
	csv, json := written(t, example(t))
	for name, got := range map[string][]byte{"timetable.csv": csv, "timetable.json": json} {
		path := filepath.Join("testdata", name)
		if *update {
			require.NoError(t, os.WriteFile(path, got, 0o644))
		}
		want, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Equal(t, string(want), string(got))
	}
}

func TestReadBackIsWhatWasWritten(t *testing.T) {
	f := example(t)
	csv, json := written(t, f)
	got, err := Read("timetable.json", json)
	require.NoError(t, err)
	assert.Equal(t, f, got)
	assert.False(t, got.NeedsPlan())
	assert.Equal(t, 20, got.PointCount())

	got, err = Read("timetable.csv", csv)
	require.NoError(t, err)
	assert.True(t, got.NeedsPlan())
	for i, table := range got.Tables {
		assert.Equal(t, f.Tables[i].From, table.From)
		assert.Equal(t, f.Tables[i].To, table.To)
		for j, p := range table.Ports {
			want := f.Tables[i].Ports[j]
			assert.Equal(t, []any{want.Controller, want.Name, want.Channels(), want.Signal, want.Points}, []any{p.Controller, p.Name, p.Channels(), p.Signal, p.Points})
		}
	}
	var again bytes.Buffer
	require.ErrorContains(t, WriteJSON(&again, got), "complete the timetable from its plan")
}

// A file of format 1 is read as the same timetable.
func TestFormat1StaysReadable(t *testing.T) {
	data, err := os.ReadFile("testdata/timetable-1.json")
	require.NoError(t, err)
	got, err := Read("timetable.json", data)
	require.NoError(t, err)
	assert.Equal(t, example(t), got)
}

// Two channels on one output have a row each in csv, a number each in JSON.
func TestChannelsThatShareAPort(t *testing.T) {
	f := example(t)
	for i := range f.Tables {
		f.Tables[i].Ports = slices.Clone(f.Tables[i].Ports)
		p := &f.Tables[i].Ports[0]
		r, err := dimmer.Linear(0, 10)
		require.NoError(t, err)
		claim := 0.0125
		p.Lamps, p.Claim = append(slices.Clone(p.Lamps), port.Lamp{Channel: "uv", Response: r, OnFrom: 1.3, NeverOff: true}), &claim
	}
	f.Judged = [2]plan.Date{date(t, "2027-01-01"), date(t, "2027-01-01")}
	csv, json := written(t, f)
	assert.Contains(t, string(json), `{"time": "08:30", "command": 1.2, "light_percent": {"bar-blue": 7.000, "uv": 0.000}},`)
	assert.Contains(t, string(json), `"greatest_departure_percent": 1.250000,`)
	require.NoError(t, valid(schema(t), json))
	got, err := Read("t.json", json)
	require.NoError(t, err)
	assert.Equal(t, f, got)
	assert.Contains(t, string(csv), "rack,1,bar-blue,08:30,1.2,V,7.000,\r\n2027-01-01,2027-03-27,rack,1,uv,08:30,1.2,V,0.000,\r\n")
	back, err := Read("t.csv", csv)
	require.NoError(t, err)
	assert.Equal(t, f.Tables[0].Ports[0].Points, back.Tables[0].Ports[0].Points)
	assert.Equal(t, "bar-blue+uv", back.Tables[0].Ports[0].Channels())
	_, err = Read("t.csv", bytes.Replace(csv, []byte("rack,1,uv,08:30"), []byte("rack,1,vu,08:30"), 1))
	assert.ErrorContains(t, err, `port 1 of rack has the channel "vu" here, but "bar-blue+uv" in the rows before`)
}

func TestTableOnADate(t *testing.T) {
	f := example(t)
	for day, want := range map[string]int{"2026-12-31": -1, "2027-01-01": 0, "2027-03-27": 0, "2027-03-28": 1, "2030-06-01": 1} {
		got, ok := f.On(date(t, day))
		require.Equal(t, want >= 0, ok, day)
		if ok {
			assert.Equal(t, f.Tables[want].From, got.From, day)
		}
	}
}

// RFC 4180, section 2: rule 1 (CRLF), rule 4 (the same number of fields in each
// line), rules 5 to 7 (fields with a comma or quote in quotes, quotes doubled).
// The check splits the text by those rules itself.
func TestCSVFollowsRFC4180(t *testing.T) {
	csv, _ := written(t, example(t))
	require.True(t, bytes.HasSuffix(csv, []byte("\r\n")))
	lines := strings.Split(strings.TrimSuffix(string(csv), "\r\n"), "\r\n")
	require.Len(t, lines, 1+20, "a header and a row for each point")
	assert.Equal(t, "valid_from,valid_to,controller,port,channel,time,command,unit,light_percent,days", lines[0])
	for _, line := range lines {
		assert.NotContains(t, line, "\n")
		assert.NotContains(t, line, "\r")
		fields, quoted := 1, false
		for _, r := range line {
			switch {
			case r == '"':
				quoted = !quoted
			case r == ',' && !quoted:
				fields++
			}
		}
		assert.Equal(t, 10, fields, line)
		assert.False(t, quoted, line)
	}
	assert.Contains(t, lines[9], `,"'=HYPERLINK(""x""), white",`)
}

func schema(t testing.TB) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	require.NoError(t, c.AddResource("urn:dayloom:timetable:2", doc))
	s, err := c.Compile("urn:dayloom:timetable:2")
	require.NoError(t, err)
	return s
}

func valid(s *jsonschema.Schema, data []byte) error {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		return err
	}
	return s.Validate(doc)
}

// Whatever is written passes the schema (JSON Schema 2020-12, judged by a
// general-purpose validator), is JSON by encoding/json (RFC 8259), and comes back.
func TestAnyFileValidatesAndComesBack(t *testing.T) {
	s := schema(t)
	rapid.Check(t, func(t *rapid.T) {
		f := drawFile(t)
		var first, second, asCSV bytes.Buffer
		require.NoError(t, WriteJSON(&first, f))
		require.True(t, json.Valid(first.Bytes()))
		require.NoError(t, valid(s, first.Bytes()))
		got, err := Read("t.json", first.Bytes())
		require.NoError(t, err)
		require.NoError(t, WriteJSON(&second, got))
		require.Equal(t, first.String(), second.String())
		require.Equal(t, f.Tables[0].Ports[0].Name, got.Tables[0].Ports[0].Name)

		require.NoError(t, WriteCSV(&asCSV, f))
		back, err := Read("t.csv", asCSV.Bytes())
		require.NoError(t, err)
		for i := range f.Tables {
			for j, p := range f.Tables[i].Ports {
				require.Equal(t, got.Tables[i].Ports[j].Points, back.Tables[i].Ports[j].Points)
				require.Equal(t, p.Channels(), back.Tables[i].Ports[j].Channels())
				for k, q := range p.Points {
					require.InDelta(t, q.Command, back.Tables[i].Ports[j].Points[k].Command, 1e-9*max(1, q.Command))
				}
			}
		}
	})
}

func drawFile(t *rapid.T) File {
	name := rapid.StringMatching(`[a-z=+'"\\,<é☾ -]{1,8}`)
	ports := make([]Port, rapid.IntRange(1, 4).Draw(t, "ports"))
	for i := range ports {
		p := Port{Port: port.Port{Controller: name.Draw(t, "controller"), Name: fmt.Sprint(i + 1), Kind: port.Kind{Hold: rapid.Bool().Draw(t, "hold")}, Lamps: []port.Lamp{{Channel: name.Draw(t, "channel")}}}}
		p.Signal = port.Signal(rapid.IntRange(0, 3).Draw(t, "signal"))
		steps := 1
		if p.Signal == port.Switch {
			p.Kind, p.Lamps = port.Switched(), []port.Lamp{port.SwitchLamp(p.Channels())}
		} else {
			steps = rapid.IntRange(1, 65535).Draw(t, "steps")
			p.Step = rapid.SampledFrom([]float64{1, 0.1, 0.05, 0.01, 0.125}).Draw(t, "step")
			p.Range = [2]float64{0, float64(steps) * p.Step}
			p.Lamps[0].Response, _ = dimmer.Square(0, p.Range[1])
		}
		times := rapid.SliceOfNDistinct(rapid.IntRange(0, 86399), 1, 5, rapid.ID[int]).Draw(t, "times")
		last := -1
		for _, s := range times {
			if s <= last {
				continue
			}
			last = s
			k := float64(rapid.IntRange(0, steps).Draw(t, "command"))
			q := port.Point{Time: float64(s), Command: k * p.Step}
			p.Points = append(p.Points, q)
		}
		ports[i] = p
	}
	f := File{Plan: name.Draw(t, "plan")}
	day := plan.Date{Year: 2027, Month: 1, Day: 1}
	for range rapid.IntRange(1, 3).Draw(t, "tables") {
		next := day.AddDays(rapid.IntRange(0, 40).Draw(t, "days"))
		f.Tables = append(f.Tables, Table{From: day, To: next, Ports: ports})
		day = next.AddDays(1)
	}
	if rapid.Bool().Draw(t, "open") {
		f.Tables[len(f.Tables)-1].To = plan.Date{}
	}
	return f
}

func TestCommandsHaveTheDecimalsOfTheStep(t *testing.T) {
	for _, c := range []struct {
		step, lo, command float64
		want              string
	}{
		{0.1, 0, 0.30000000000000004, "0.3"}, {0.1, 0, 7, "7.0"}, {1, 0, 255, "255"}, {0.25, 1, 1.5, "1.50"},
		{0.1, 0, 7.77, "7.77"}, // not on the step: nothing is rounded away
		{0, 0, 1.25, "1.25"}, {0.1, 0, math.Copysign(0, -1), "0.0"}, {10.0 / 255, 0, 10.0 / 255 * 3, "0.117647059"},
	} {
		p := Port{Port: port.Port{Kind: port.Kind{Range: [2]float64{c.lo, 1000}, Step: c.step}}}
		assert.Equal(t, c.want, string(p.appendCommand(nil, c.command, p.decimals())))
	}
}
