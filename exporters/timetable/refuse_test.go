package timetable

import (
	"bytes"
	encoding "encoding/json"
	"fmt"
	"math"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/dimmer"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/port"
)

// Each edit of the good file is refused at its line (and column).
func TestJSONRefusals(t *testing.T) {
	_, good := written(t, example(t))
	for _, c := range []struct{ old, new, want string }{
		{`"format": 2`, `"format": 3`, `t.json:2:13: this is format 3 and this program reads format 2; use a newer dayloom`},
		{`"format": 2`, `"format": 0`, `t.json:2:13: there is no format 0`},
		{`"format": 2,`, ``, `t.json:1:1: there is no key "format"`},
		{`"format": 2`, `"format": "1"`, `t.json:2:13: format must be a number`},
		{`"plan_hash":`, `"hash":`, `t.json:4:3: a timetable has no key "hash"; its keys are format, plan, plan_hash, clock`},
		{`"plan": "Quay Street \"north\" <1>",`, ``, `t.json:1:1: a timetable lacks the key "plan"`},
		{`"plan_hash": `, `"plan": "twice", "plan_hash": `, `t.json:4:3: a timetable has the key "plan" twice`},
		{`"summer_time": "ignore"`, `"summer_time": "maybe"`, `t.json:5:53: summer_time is "maybe"; it must be follow or ignore`},
		{`"point_count": 20`, `"point_count": 21`, `t.json:6:18: point_count says 21 points, but 20 are there`},
		{`"2027-03-27"`, `"2027-02-30"`, `t.json:10:19: valid_to: "2027-02-30" is not a date`},
		{`"2027-03-27"`, `"2026-03-27"`, `t.json:8:5: valid_to 2026-03-27 is before valid_from 2027-01-01`},
		{`"2027-03-27"`, `"2027-03-28"`, `t.json:48:5: valid_from 2027-03-28 overlaps the table before, which is valid to 2027-03-28`},
		{`"2027-03-27"`, `"2027-03-25"`, `t.json:48:5: no table is valid from 2027-03-26 to 2027-03-27`},
		{`      "valid_to": "2027-03-27",`, ``, `t.json:8:5: the table from 2027-01-01 has no valid_to, but another follows`},
		{`"days": ""`, `"days": "weekend"`, `t.json:9:43: days: "weekend" is no weekday; allowed are mon tue`},
		{`"days": ""`, `"days": 7`, `t.json:9:43: days must be text in quotes`},
		{`"days": ""`, `"days": "mon tue wed thu fri sat"`, `t.json:48:5: no table is valid on 2027-01-03 (Sunday)`},
		{`"unit": "V"`, `"unit": "%"`, `t.json:12:9: signal "volts" with unit "%"; allowed are volts with V`},
		{`"between_points": "ramp"`, `"between_points": "jump"`, `it must be hold or ramp`},
		{`"range": [0, 10], "step": 0.1,`, `"range": [0, 10],`, `t.json:12:9: a port that is not a switch needs a range`},
		{`"range": [0, 10], "step"`, `"range": [10, 0], "step"`, `t.json:12:9: a port that is not a switch needs a range (lowest, then highest command)`},
		{`"range": [0, 10], "step"`, `"range": [0, 10, 20], "step"`, `t.json:15:19: range must be a list of 2 numbers`},
		{`"step": 0.1`, `"step": -0.1`, `t.json:12:9: port 1 of rack: the step -0.1 must lie between 0`},
		{`[5,0.45]`, `[5,0.95],[6,0.5]`, `t.json:16:56: points 2 and 3: the light falls`},
		{`"kind":"log"`, `"kind":"cubic"`, `response kind "cubic"`},
		{`"time": "11:00"`, `"time": "08:30"`, `t.json:20:11: port 1 of rack: the time 08:30 comes after 08:30; times must rise`},
		{`"time": "11:00"`, `"time": "24:00"`, `t.json:20:20: "24:00" is not a time of day`},
		{`"time": "11:00"`, `"time": "9:00"`, `t.json:20:20: "9:00" is not a time of day`},
		{`"command": 5.0`, `"command": 12`, `t.json:20:11: port 1 of rack: the command 12 V lies outside the range, 0 to 10`},
		{`"command": 5.0`, `"command": -1`, `lies outside the range`},
		{`"command": 5.0`, `"command": "on"`, `t.json:20:11: the command must be a number; only a switch`},
		{`"command": 5.0`, `"command": null`, `t.json:20:40: command must be a number`},
		{`"command": 5.0`, `"command": 1e999`, `the number 1e999 is too large`},
		{`"command": "on"`, `"command": 1`, `t.json:43:11: the command of a switch must be "on" or "off"`},
		{`"command": "on"`, `"command": "up"`, `"up" is neither on nor off`},
		{`"light_percent": {"bar-blue": 45.000}`, `"light_percent": {"bar-blue": 145}`, `t.json:20:11: port 1 of rack: light_percent 145; it must lie between 0 and 100`},
		{`"light_percent": {"bar-blue": 45.000}`, `"light": {"bar-blue": 45}`, `a point has no key "light"; its keys are time, command, light_percent`},
		{`"controller": "@desk", "port": "1"`, `"controller": "rack", "port": "1"`, `t.json:30:9: port 1 of rack comes twice in the table from 2027-01-01`},
		{`"controller": "@desk", "port": "1"`, `"controller": "@desk", "port": "7"`, `t.json:48:5: the table from 2027-03-28 lacks port 7 of @desk`},
		{`"outlet": {"controller": "outlets", "port": "1"}`, `"outlet": {"controller": "outlets", "port": "2"}`, `t.json:12:9: port 1 of rack has its supply switched by port 2 of outlets, but there is no such switch`},
		{`"outlet": {"controller": "outlets", "port": "1"}`, `"outlet": {"controller": "rack", "port": "2"}`, `no such switch`},
		{`"controller": "@desk"`, `"controller": "@de\u0007sk"`, `cannot be printed`},
		{`"controller": "@desk"`, `"controller": ""`, `the name of the controller is missing`},
		{`"light_percent": {"bar-blue": 45.000}`, `"light_percent": 45`, `t.json:20:62: light_percent must be an object`},
		{`"light_percent": {"bar-blue": 45.000}`, `"light_percent": {"bar-red": 45}`, `t.json:20:11: light_percent must have one number for each channel of the port: bar-blue`},
		{`"channel": "moon", "response"`, `"channel": "moon", "never_off": 1, "response"`, `never_off must be true or false`},
		{`"clock": {`, `"clock": [`, `t.json:5:`},
		{`"tables": [`, `"tables": {}, "x": [`, `t.json:7:13: tables must be a list, [...]`},
		{`{"time": "11:00"`, `{time: "11:00"`, `t.json:20:12: this is not JSON`},
		{`"bar-blue"`, "\"bar\xffblue\"", `t.json:16:36: a byte here is not UTF-8`},
	} {
		t.Run(c.want, func(t *testing.T) {
			require.Contains(t, string(good), c.old)
			bad := strings.Replace(string(good), c.old, c.new, 1)
			_, err := Read("t.json", []byte(bad))
			require.Error(t, err)
			assert.Contains(t, err.Error(), c.want)
			assert.Regexp(t, `^t\.json:\d+:\d+: `, err.Error())
		})
	}
}

func TestCSVRefusals(t *testing.T) {
	good, _ := written(t, example(t))
	lines := strings.SplitAfter(string(good), "\r\n")
	swapped := strings.Join(lines[:2], "") + lines[3] + lines[2] + strings.Join(lines[4:], "")
	apart := strings.Join(lines[:4], "") + strings.Join(lines[5:10], "") + lines[4] + strings.Join(lines[10:], "")
	for _, c := range []struct{ old, new, want string }{
		{string(good), "", "t.csv:1: the file is empty"},
		{string(good), lines[0], "t.csv:1: there is no table in it"},
		{string(good), strings.ReplaceAll(string(good), ",", "\t"), "t.csv:1: the columns are separated by tabs; separate them with commas, or with semicolons where numbers have decimal commas"},
		{string(good), lines[0] + strings.Join(lines[2:], ""), "t.csv:2: this row is not the one that the file was written to begin with: the file was cut or edited"},
		{string(good), strings.Join(lines[:20], ""), "t.csv:20: this row is not the one that the file was written to end with: the file was cut or edited"},
		{string(good), swapped, "t.csv:4: port 1 of rack: the time 08:30 comes after 11:00"},
		{string(good), apart, "t.csv:10: port 1 of rack comes twice in the table from 2027-01-01"},
		{string(good), strings.Join(lines[:10], ""), "t.csv:6: the table from 2027-03-28 lacks port 2 of rack"},
		{string(good), strings.TrimSuffix(string(good), "\r\n"), "t.csv:21: the last line has no line end: the file was cut short"},
		{"light_percent,days\r\n", "light_percent,colour\r\n", "t.csv:1: the header must be"},
		{"2027-01-01", "01/02/2027", `t.csv:2: valid_from: "01/02/2027" is not a date`},
		{"2027-01-01", "", `t.csv:2: valid_from is missing`},
		{"00:00,0.0,V,0.000,\"\"\r\n", "00:00,0.0,V\r\n", "t.csv:2: the row has 8 columns in place of 10"},
		{"00:00,0.0,V,0.000,\"\"\r\n", "00:00,0.0,V,0.000,sun Mon\r\n", `t.csv:2: days: "Mon" is no weekday; allowed are mon tue wed thu fri sat sun, joined by spaces, or nothing for all`},
		{"00:00,0.0,V,0.000,\"\"\r\n", "00:00,0.0,V,0.000,sun mon sun\r\n", `t.csv:2: days: sun comes twice`},
		{"11:00,5.0,V", "11:00,5.0,count", "t.csv:4: port 1 of rack has the unit count here, but V"},
		{"11:00,5.0,V", "11:00,5.0 V,V", `t.csv:4: command: "5.0 V" is not a number`},
		{"11:00,5.0,V", "11:00,inf,V", `t.csv:4: command: "inf" is not a number`},
		{"11:00,5.0,V", "11:00,0x5,V", `t.csv:4: command: "0x5" is not a number`},
		{"11:00,5.0,V", "11.00,5.0,V", `t.csv:4: time: "11.00" is not a time of day`},
		{"rack,1,bar-blue,00:00,0.0,V", "rack,1,bar-blue,00:00,0.0,lx", `t.csv:2: the unit "lx" is none of V, %, count, switch`},
		{"12:00,on,", "12:00,ON,", `t.csv:17: command: "ON" is neither on nor off`},
		{"45.000", "450", "t.csv:4: port 1 of rack: light_percent 450"},
		{"45.000", "-", `t.csv:4: light_percent: "-" is not a number`},
		{`""x"")`, `"x)`, "t.csv:10: a quote at column"},
	} {
		t.Run(c.want, func(t *testing.T) {
			require.Contains(t, string(good), c.old)
			_, err := Read("t.csv", []byte(strings.Replace(string(good), c.old, c.new, 1)))
			require.Error(t, err)
			assert.True(t, strings.HasPrefix(err.Error(), c.want), err.Error())
		})
	}
}

// A file cut at any byte is refused, also one of a single port, whose tables would follow each other after any cut.
func TestCutFilesAreRefused(t *testing.T) {
	one := weekly(t)
	for i := range one.Tables {
		one.Tables[i].Ports = one.Tables[i].Ports[2:3]
	}
	single := example(t)
	single.Tables = single.Tables[:1]
	single.Tables[0].Ports = []Port{single.Tables[0].Ports[1]}
	for _, f := range []File{example(t), weekly(t), one, single} {
		csv, json := written(t, f)
		for i := range bytes.TrimSpace(json) {
			_, err := Read("t.json", json[:i])
			require.Error(t, err, "cut at byte %d", i)
		}
		for i := range csv {
			_, err := Read("t.csv", csv[:i])
			require.Error(t, err, "cut at byte %d:\n%s", i, csv[:i])
		}
		got, err := Read("t.csv", csv)
		require.NoError(t, err)
		assert.False(t, got.Unended)
		rows := bytes.SplitAfter(csv, []byte("\r\n"))
		for i := 1; i < len(rows)-1; i++ {
			_, err := Read("t.csv", slices.Concat(rows[0], bytes.Join(rows[i+1:], nil)))
			require.Error(t, err, "%d rows lost from the beginning", i)
		}
	}
}

// resaved is a csv file without the quotes that it does not need, as programs save it that have read it.
func resaved(csv []byte) []byte {
	text := strings.ReplaceAll(string(csv), `,""`+"\r\n", ",\r\n")
	i := strings.LastIndex(text, `,"`)
	return []byte(text[:i] + strings.ReplaceAll(text[i:], `"`, ""))
}

// Where another program saved a csv file, cuts between rows may leave one without
// ports that the plan has, which shows when it is held against that; what cannot be seen
// are the last rows of the last port's last table (see the package doc).
func TestCutCopiesOfAnotherProgram(t *testing.T) {
	csv, _ := written(t, example(t))
	csv = resaved(csv)
	p := planOf(example(t))
	byPlan, unseen := 0, 0
	for i := range csv {
		f, err := Read("t.csv", csv[:i])
		if err != nil {
			continue
		}
		require.True(t, bytes.HasSuffix(csv[:i], []byte("\r\n")))
		require.True(t, f.Unended)
		last := string(csv[bytes.LastIndexByte(csv[:i-1], '\n')+1 : i])
		if _, differences := f.Through(&p); differences != nil {
			byPlan++
			continue
		}
		unseen++
		require.Contains(t, last, "2027-03-28,,outlets,1,,")
	}
	assert.Equal(t, 11, byPlan, "rows of the first port, and where all tables of another end")
	assert.Equal(t, 2, unseen, "all but the last row of the last port's last table")
}

// A spreadsheet's copy is the same timetable: with semicolons, decimal commas, seconds and a byte order mark.
func TestSpreadsheetsCopyIsReadBack(t *testing.T) {
	csv, _ := written(t, example(t))
	want, err := Read("t.csv", csv)
	require.NoError(t, err)
	copied := regexp.MustCompile(`([0-9])\.([0-9])`).ReplaceAllString(strings.ReplaceAll(string(resaved(csv)), ",", ";"), "$1,$2")
	copied = "\ufeff" + regexp.MustCompile(`(;[0-9]{2}:[0-9]{2});`).ReplaceAllString(copied, "$1:00;")
	require.Contains(t, copied, "rack;1;bar-blue;08:30:00;1,2;V;7,000;\r\n")
	got, err := Read("t.csv", []byte(strings.Replace(copied, `""x"");`, `""x""),`, 2)))
	require.NoError(t, err)
	want.Unended = true
	assert.Equal(t, want, got)
	_, err = Read("t.csv", []byte(strings.Replace(copied, ";1,2;V", ";1,2,3;V", 1)))
	assert.ErrorContains(t, err, `t.csv:3: command: "1,2,3" is not a number`)
}

// A csv file as it was written before, table by table, is the same timetable.
func TestCSVByTable(t *testing.T) {
	f := example(t)
	csv, _ := written(t, f)
	want, err := Read("t.csv", csv)
	require.NoError(t, err)
	var first, second []string
	for _, line := range strings.SplitAfter(string(csv), "\r\n") {
		if strings.HasPrefix(line, "2027-03-28") {
			second = append(second, line)
		} else {
			first = append(first, line)
		}
	}
	got, err := Read("t.csv", []byte(strings.Join(append(first, second...), "")))
	require.NoError(t, err)
	assert.Equal(t, want, got)
}

func TestPointsGoThroughThePortsOfThePlan(t *testing.T) {
	f := example(t)
	csv, json := written(t, f)
	bare, err := Read("t.csv", csv)
	require.NoError(t, err)
	p := planOf(f)
	got, differences := bare.Through(&p)
	require.Empty(t, differences)
	require.False(t, got.NeedsPlan())
	assert.Equal(t, f.Tables, got.Tables)
	assert.True(t, bare.NeedsPlan(), "the timetable it was made from is as it was")
	full, err := Read("t.json", json)
	require.NoError(t, err)
	again, differences := full.Through(&p)
	require.Empty(t, differences)
	assert.Equal(t, f, again)
}

// Whatever a file says of its ports is held against the plan.
func TestDifferencesFromThePlan(t *testing.T) {
	f := example(t)
	_, json := written(t, f)
	full, err := Read("t.json", json)
	require.NoError(t, err)
	linear := f.Tables[0].Ports[2].Lamps[0].Response
	for want, change := range map[string]func(p *plan.Plan){
		"the table from 2027-01-01 lacks port 9 of rack, which the plan has; it stays dark": func(p *plan.Plan) {
			p.Controllers[0].Ports = append(p.Controllers[0].Ports, plan.Port{Port: port.Port{Controller: "rack", Name: "9"}})
		},
		"port 2 of rack is in the timetable, but not in the plan":                           func(p *plan.Plan) { p.Controllers[1].Ports[0].Controller = "shelf" },
		"port 1 of rack drives bar-blue in the timetable, but bar-red in the plan":          func(p *plan.Plan) { p.Controllers[0].Ports[0].Lamps = []port.Lamp{{Channel: "bar-red"}} },
		"port 1 of rack takes volts in the timetable, but percent in the plan":              func(p *plan.Plan) { p.Controllers[0].Ports[0].Signal = port.Percent },
		"port 1 of rack is sent 5.0 V, outside its range in the plan, 0 to 4":               func(p *plan.Plan) { p.Controllers[0].Ports[0].Range[1] = 4 },
		"port 1 of rack has the step 0.1 in the timetable, but 0.5 in the plan":             func(p *plan.Plan) { p.Controllers[0].Ports[0].Step = 0.5 },
		"port 1 of rack has the between_points ramp in the timetable, but hold in the plan": func(p *plan.Plan) { p.Controllers[0].Ports[0].Hold = true },
		"port 1 of rack has the outlet outlets/1 in the timetable, but nothing in the plan": func(p *plan.Plan) { p.Controllers[0].Ports[0].Outlet = port.Ref{} },
		"port 1 of rack answers with another response (bar-blue) in the timetable than in the plan": func(p *plan.Plan) {
			p.Controllers[0].Ports[0].Lamps = []port.Lamp{{Channel: "bar-blue", Response: linear}}
		},
		"the timetable is for Europe/Lisbon, the day on standard time, the controller's clock following summer time, the plan for UTC, the day with summer time, the controller's clock following summer time": func(p *plan.Plan) {
			p.Clock = plan.Clock{ZoneName: "UTC", FollowsSummerTime: true}
		},
	} {
		p := planOf(f)
		p.Clock.ZoneName = "Europe/Lisbon"
		change(&p)
		_, differences := full.Through(&p)
		assert.Contains(t, differences, want)
	}
}

// The light that a file states is held against what its commands give.
func TestDoubts(t *testing.T) {
	_, json := written(t, example(t))
	f, err := Read("t.json", bytes.Replace(json, []byte(`"command": 5.0`), []byte(`"command": 6.0`), 1))
	require.NoError(t, err)
	assert.Equal(t, []string{"t.json:20:11: port 1 of rack at 11:00: light_percent is 45.000, but at 6.0 V the lamp gives 56.000"}, f.Doubts)
}

// planOf is the controllers of the example as a plan has them.
func planOf(f File) (p plan.Plan) {
	p.Clock.ZoneName = f.Clock.Zone
	for _, q := range f.Tables[0].Ports {
		if n := len(p.Controllers); n == 0 || p.Controllers[n-1].Name != q.Controller || p.Controllers[n-1].Signal != q.Signal {
			p.Controllers = append(p.Controllers, plan.Controller{Name: q.Controller, Kind: q.Kind})
		}
		c := &p.Controllers[len(p.Controllers)-1]
		c.Ports = append(c.Ports, plan.Port{Port: q.Port})
	}
	return p
}

func TestNonsenseIsNotWritten(t *testing.T) {
	for want, spoil := range map[string]func(*Port){
		"not a whole second":   func(p *Port) { p.Points[1].Time += 0.5 },
		"is not a number":      func(p *Port) { p.Points[1].Command = math.NaN() },
		"there are no points":  func(p *Port) { p.Points = nil },
		"cannot be printed":    func(p *Port) { p.Lamps = []port.Lamp{{Channel: "a\tb"}} },
		"outside the range, 0": func(p *Port) { p.Points[1].Command = 10.1 },
	} {
		f := example(t)
		p := f.Tables[0].Ports[0]
		p.Points = append([]port.Point(nil), p.Points...)
		spoil(&p)
		f.Tables[0].Ports[0] = p
		for _, err := range []error{WriteCSV(new(bytes.Buffer), f), WriteJSON(new(bytes.Buffer), f)} {
			require.Error(t, err, want)
		}
	}
}

// Whatever is accepted can be written, is judged good by the schema when it is
// JSON, and reads back the same.
func FuzzRead(f *testing.F) {
	csv, json := written(f, example(f))
	f.Add(true, csv)
	f.Add(false, json)
	first, err := os.ReadFile("testdata/timetable-1.json")
	require.NoError(f, err)
	f.Add(false, first)
	f.Add(false, []byte(`{"format": 1, "plan": "\ud83d", "tables": [[[{}]]]}`))
	s := schema(f)
	f.Fuzz(func(t *testing.T, isCSV bool, data []byte) {
		name, write := "t.json", WriteJSON
		if isCSV {
			name, write = "t.csv", WriteCSV
		}
		got, err := Read(name, data)
		if err != nil {
			require.Regexp(t, `^t\.(csv|json):\d+`, err.Error())
			return
		}
		var head struct{ Format float64 }
		if !isCSV && encoding.Unmarshal(data, &head) == nil && head.Format == Format {
			require.NoError(t, valid(s, data))
		}
		var first, second bytes.Buffer
		require.NoError(t, write(&first, got))
		again, err := Read(name, first.Bytes())
		require.NoError(t, err)
		require.NoError(t, write(&second, again))
		require.Equal(t, first.String(), second.String())
	})
}

// year is a file with another table on each of 365 days: 16 ports of 24 points.
func year(b *testing.B) File {
	response, err := dimmer.Linear(0, 10)
	require.NoError(b, err)
	f := File{Plan: "year", Clock: Clock{Zone: "Europe/Lisbon"}}
	for d := range 365 {
		day := plan.Date{Year: 2027, Month: 1, Day: 1}.AddDays(d)
		t := Table{From: day, To: day}
		for i := range 16 {
			p := Port{Port: port.Port{Controller: "rack", Name: fmt.Sprint(i + 1), Kind: port.Kind{Range: [2]float64{0, 10}, Step: 0.1}, Lamps: []port.Lamp{{Channel: fmt.Sprint("channel ", i), Response: response}}}}
			for k := range 24 {
				c := float64((k*7+i+d)%101) / 10
				p.Points = append(p.Points, port.Point{Time: float64(k*3600 + d%60*60), Command: c})
			}
			t.Ports = append(t.Ports, p)
		}
		f.Tables = append(f.Tables, t)
	}
	return f
}

func BenchmarkYearOfDailyTablesFor16Ports(b *testing.B) {
	f := year(b)
	csv, json := written(b, f)
	for name, do := range map[string]func() error{
		"write json": func() error { return WriteJSON(new(bytes.Buffer), f) },
		"write csv":  func() error { return WriteCSV(new(bytes.Buffer), f) },
		"read json":  func() error { _, err := Read("t.json", json); return err },
		"read csv":   func() error { _, err := Read("t.csv", csv); return err },
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				require.NoError(b, do())
			}
		})
	}
}
