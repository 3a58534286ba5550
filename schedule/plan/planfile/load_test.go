package planfile

import (
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/emitter"
	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
)

const quay = "../../../testdata/plans/quay"

// folder is a set of files that a plan may name.
type folder map[string]string

func (f folder) read(path string) ([]byte, error) {
	if text, ok := f[filepath.ToSlash(path)]; ok {
		return []byte(text), nil
	}
	return nil, fs.ErrNotExist
}

// quayWith reads the example after changing its text; what is replaced must be there.
func quayWith(t *testing.T, oldNew ...string) (*plan.Plan, string) {
	t.Helper()
	files := folder{}
	for _, name := range []string{"plan.yaml", "readings.csv", "sensor.csv", "spot.ies", "spectra/white.csv"} {
		data, err := os.ReadFile(filepath.Join(quay, name))
		require.NoError(t, err)
		files[name] = string(data)
	}
	for i := 0; i < len(oldNew); i += 2 {
		before := files["plan.yaml"]
		files["plan.yaml"] = strings.Replace(before, oldNew[i], oldNew[i+1], 1)
		require.NotEqual(t, before, files["plan.yaml"], "%q is not in the plan", oldNew[i])
	}
	p, problems := Load(files.read, "plan.yaml")
	return p, problems.Text(nil)
}

func TestExampleIsReadWhole(t *testing.T) {
	p, problems := quayWith(t)
	require.Empty(t, problems)
	assert.Equal(t, "Quay Street coral nursery", p.Name)
	assert.Equal(t, "Europe/Lisbon", p.Clock.Zone.String())
	assert.False(t, p.Clock.FollowsSummerTime)
	assert.False(t, p.Clock.ControllerStays)
	assert.Equal(t, tank.Box{Length: 2.4, Width: 0.6, Depth: 0.38, Right: tank.Wall{Kind: tank.Glass}, Front: tank.Wall{Kind: tank.Glass},
		Back: tank.Wall{Kind: tank.Share, Share: 0.6}}, p.Tank.Box)
	assert.InDelta(t, 0.05+0.00635, p.Tank.Absorption.At(440), 1e-4, "pure water at 440 nm has 0.00635 /m (Pope and Fry 1997)")

	require.Len(t, p.Channels, 4)
	white, tubes, moon := p.Channels[1], p.Channels[2], p.Channels[3]
	assert.InDelta(t, 420, p.Channels[0].Flux.UmolS, 1e-9)
	assert.Equal(t, plan.Pos{Line: 18, Col: 11}, p.Channels[0].Flux.Pos)
	assert.False(t, p.Channels[0].Flux.Derived)
	assert.Equal(t, []float64{0.5, 0.5}, []float64{p.Channels[0].Emitters[0].Share, p.Channels[0].Emitters[1].Share})
	assert.Equal(t, emitter.Panel, white.Emitters[1].Kind)
	assert.Equal(t, emitter.Vec{0.2, 0, -1}, white.Emitters[1].Axis)
	assert.InDelta(t, math.Pi/2, white.Emitters[2].Turn, 1e-12)
	assert.NotNil(t, white.Emitters[2].Light)
	assert.InDelta(t, 0.20, white.Uncertainty.Common, 1e-12)
	assert.InDelta(t, 0.15, white.Uncertainty.Own, 1e-12)
	assert.InDelta(t, 0.12, moon.Uncertainty.Common, 1e-12, "80 % of the 15 % stated")
	assert.InDelta(t, 0.09, moon.Uncertainty.Own, 1e-12)
	assert.False(t, tubes.Dimmable)
	assert.Equal(t, []plan.AgePoint{{Hours: 0, Share: 1}, {Hours: 4000, Share: 0.88}, {Hours: 9000, Share: 0.78}}, tubes.Ageing)
	assert.Equal(t, 1200.0, tubes.HoursRun)
	assert.Equal(t, "2026-09-01", tubes.Installed.String())
	assert.InDelta(t, 12, moon.Flux.UmolS, 1e-9, "2.4 µmol/J of 5 W")
	assert.True(t, moon.Flux.Derived)

	assert.Equal(t, []int{0, 1}, p.Zones[0].Corals)
	assert.Equal(t, plan.Coral{Name: "staghorn-b", X: 0.7, Y: 0.22, Depth: 0.12, Pos: plan.Pos{Line: 73, Col: 7}}, p.Corals[1])
	assert.Equal(t, 0.15, p.Zones[1].Within)
	assert.Equal(t, [2]float64{2, 2.4}, p.Zones[1].Area.X)
	assert.True(t, math.IsInf(p.Zones[1].PPFDMax, 1))
}

func TestExampleDayAndControllers(t *testing.T) {
	p, problems := quayWith(t)
	require.Empty(t, problems)
	require.Len(t, p.Day, 4)
	blue := p.Day[0].Daylight
	assert.Equal(t, []float64{30600, 39600, 63000, 73800}, []float64{blue.Sunrise.From, blue.Sunrise.To, blue.Sunset.From, blue.Sunset.To})
	assert.Equal(t, curve.Smooth, blue.Sunrise.Shape)
	assert.True(t, blue.Peak.Auto)
	assert.Equal(t, 0.55, p.Day[1].Daylight.Peak.Fraction)
	assert.Equal(t, 43200.0, p.Day[2].Switched.On)
	assert.Equal(t, plan.Follow, p.Day[3].Moonlight.Phase)
	assert.Equal(t, 0.015, p.Day[3].Moonlight.Peak)
	assert.Equal(t, curve.Even, p.Days[0].Parts[0].Daylight.Sunrise.Shape)

	rack := p.Controllers[0]
	assert.Equal(t, 16, rack.PointsPerDay)
	assert.Equal(t, 0.07, rack.Ports[0].Lamps[0].Response.Fraction(1.2))
	assert.Equal(t, 0.0, rack.Ports[0].Lamps[0].Response.Fraction(1.1))
	assert.Equal(t, 0.5, rack.Ports[1].Lamps[0].Response.Fraction(5))
	assert.Equal(t, [2]float64{0, 255}, p.Controllers[1].Range)
	outlets := p.Controllers[2]
	require.Len(t, outlets.Ports, 2, "the outlet that is only named is made")
	assert.Equal(t, "2", outlets.Ports[1].Name)
	assert.Empty(t, outlets.Ports[1].Channels)

	assert.Equal(t, plan.BandShare{Band: spectrum.Band{Lo: 400, Hi: 480}, AtLeast: 0.5, AtMost: 0.75, Pos: plan.Pos{Line: 127, Col: 7}}, p.Balance.Shares[0])
	assert.Equal(t, 42, p.Acclimation[0].OverDays)
	assert.Equal(t, 7, p.Acclimation[0].EveryDays)
	assert.Equal(t, "0 0 * * 0", p.Calendar[0].Pattern)
	assert.Equal(t, 0.6, p.Calendar[0].Scale)
	assert.Equal(t, -1, p.Calendar[0].Day)
	assert.Equal(t, 0, p.Calendar[1].Day)
	assert.Equal(t, -18.0, p.Season.LatitudeDeg)
	assert.Equal(t, 2, p.Relamps[0].Channel)
	assert.Equal(t, []int{0, 2}, p.Circuits[0].Channels)
	assert.Equal(t, 1.32, p.Meter.InWaterFactor)
	assert.Len(t, p.Meter.Spectral, 6)
}

func TestExampleReadings(t *testing.T) {
	p, _ := quayWith(t)
	require.Len(t, p.Readings.Rows, 3)
	assert.Equal(t, []plan.Lit{{Channel: 0, Fraction: 0.45, Command: "5V"}, {Channel: 2, Fraction: 1}}, p.Readings.Rows[1].Lit)
	assert.Equal(t, "after, cleaning", p.Readings.Rows[1].Note, "a quoted comma is text (RFC 4180, section 2)")
	assert.Equal(t, -1, p.Readings.Rows[2].Coral)
	assert.Equal(t, 1.2, p.Readings.Rows[2].X)
	assert.Equal(t, 0.4, p.Readings.Rows[0].X, "the coral's own place")
}

// Photons of one wavelength carry h c N_A / λ: 119.6266 J nm/µmol by the constants of
// the SI (BIPM 2019); 555 nm gives 683 lm/W by the definition of the candela.
func TestFluxIsTurnedIntoPhotons(t *testing.T) {
	const narrow = "{peak: 455 nm, width: 1 nm}"
	for _, c := range []struct {
		flux, spectrum string
		want, within   float64
	}{
		{"95 W radiant", narrow, 95 * 455 / 119.6266, 1e-4},
		{"683 lm", "{peak: 555 nm, width: 1 nm}", 555 / 119.6266, 1e-3},
		{"2.4 umol/J", narrow, 2.4 * 190, 1e-12},
		{"100 umol/s 380-750 nm", "[{peak: 455 nm, width: 5 nm, share: 40 %}, {peak: 725 nm, width: 5 nm, share: 60 %}]", 40, 1e-6},
		{"100 W radiant", "[{peak: 455 nm, width: 5 nm, share: 40 %}, {peak: 800 nm, width: 5 nm, share: 60 %}]", 0.4 * 100 * 119.6266 / (0.4*119.6266*119.6266/455 + 0.6*119.6266*119.6266/800), 1e-4},
	} {
		p, problems := quayWith(t, "420 umol/s", c.flux, "{peak: 455 nm, width: 22 nm}", c.spectrum)
		require.Empty(t, problems)
		assert.InEpsilon(t, c.want, p.Channels[0].Flux.UmolS, c.within, c.flux)
		assert.True(t, p.Channels[0].Flux.Derived)
		assert.Equal(t, c.flux, p.Channels[0].Flux.Given)
	}
}

func TestOtherWaysToSayIt(t *testing.T) {
	for _, c := range []struct {
		name     string
		change   []string
		check    func(t *testing.T, p *plan.Plan)
		warnings string
	}{
		{"a midday rest in two entries", []string{"    peak: auto\n    sunset: {from: \"17:30\"", "    peak: 60 %\n    sunset: {from: \"12:00\", to: \"13:00\"}\n  - channels: [bar-blue]\n    sunrise: {from: \"15:00\", to: \"16:00\"}\n    peak: 50 %\n    sunset: {from: \"17:30\""},
			func(t *testing.T, p *plan.Plan) { assert.Len(t, p.Day, 5) }, ""},
		{"hours found by balance", []string{`on: "12:00"`, "on: auto", `off: "15:30"`, "off: auto\n    window: {from: \"10:00\", to: \"18:00\", at_least: 2 h}"},
			func(t *testing.T, p *plan.Plan) {
				assert.Equal(t, &plan.Window{From: 36000, To: 64800, AtLeast: 7200}, p.Day[2].Switched.Window)
				assert.True(t, p.Day[2].Switched.AutoOn && p.Day[2].Switched.AutoOff)
			}, ""},
		{"the moon of a place", []string{"phase: follow", "phase: true-sky, latitude: 18 S, longitude: 147 E"},
			func(t *testing.T, p *plan.Plan) {
				assert.Equal(t, -18.0, p.Day[3].Moonlight.LatitudeDeg)
				assert.Equal(t, plan.TrueSky, p.Day[3].Moonlight.Phase)
			}, ""},
		{"a day that ends at midnight", []string{`to: "20:30", shape`, `to: "00:00", shape`},
			func(t *testing.T, p *plan.Plan) { assert.Equal(t, 0.0, p.Day[0].Daylight.Sunset.To) }, ""},
		{"by place", []string{"by: dimming", "by: place\n    within: {x: [20 cm, 220 cm], y: [10 cm, 50 cm], depth: [10 cm, 30 cm]}\n    apart: 8 cm\n    allow: big steps", "step_max: 20 %", "step_max: 80 %", "from_dli: 5", "from_place: {x: 10 cm, y: 10 cm, depth: 30 cm}"},
			func(t *testing.T, p *plan.Plan) {
				a := p.Acclimation[0]
				assert.True(t, a.Force)
				assert.Equal(t, plan.ByPlace, a.By)
				assert.Equal(t, [3]float64{0.1, 0.1, 0.3}, *a.FromPlace)
				assert.Equal(t, &plan.Volume{X: [2]float64{0.2, 2.2}, Y: [2]float64{0.1, 0.5}, Depth: [2]float64{0.1, 0.3}}, a.Within)
				assert.Equal(t, 0.08, a.Apart)
			}, ""},
		{"1-10 V", []string{"range: [0 V, 10 V]", "range: [1 V, 10 V]", "step: 0.1 V", "step: 0.5 V"},
			func(t *testing.T, p *plan.Plan) { assert.Equal(t, [2]float64{1, 10}, p.Controllers[0].Range) }, ""},
		{"percent with defaults", []string{"signal: counts\n    bits: 8", "signal: percent"},
			func(t *testing.T, p *plan.Plan) {
				c := p.Controllers[1]
				assert.Equal(t, [2]float64{0, 100}, c.Range)
				assert.Equal(t, []float64{1, 60}, []float64{c.Step, c.TimeStep})
				assert.Equal(t, 0.25, c.Ports[0].Lamps[0].Response.Fraction(50))
			}, ""},
		{"a pattern within dates, and one date", []string{`scale: 60 %}`, "scale: 60 %, from: 2027-06-01, to: 2027-08-31}\n  - {on: 2027-12-24, scale: 0 %}"},
			func(t *testing.T, p *plan.Plan) {
				assert.Equal(t, "2027-08-31", p.Calendar[0].To.String())
				assert.Equal(t, p.Calendar[1].From, p.Calendar[1].To)
				assert.Equal(t, 0.0, p.Calendar[1].Scale)
			}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, problems := quayWith(t, c.change...)
			require.NotNil(t, p, problems)
			assert.Equal(t, c.warnings, problems)
			c.check(t, p)
		})
	}
}

func TestResponseFromReadings(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(quay, "plan.yaml"))
	require.NoError(t, err)
	files := folder{"spectra/white.csv": "nm,power\n400,1\n700,1\n", "sensor.csv": "400,1\n700,1\n"}
	ies, _ := os.ReadFile(filepath.Join(quay, "spot.ies"))
	files["spot.ies"] = string(ies)
	files["plan.yaml"] = strings.Replace(string(text), "response: [[1.2 V, 7 %], [5 V, 45 %], [10 V, 100 %]]", "response: readings", 1)
	files["readings.csv"] = "coral,lit,ppfd\nstaghorn-a,bar-blue@20%,20\nstaghorn-a,bar-blue@10V,198\nstaghorn-a,bar-blue,202\n" +
		"staghorn-a,bar-blue@5V,110\nstaghorn-b,bar-blue@5V,70\nstaghorn-b,bar-blue@2.5V tubes,70\n"
	p, problems := Load(files.read, "plan.yaml")
	require.NotNil(t, p, problems.Text(nil))
	r := p.Controllers[0].Ports[0].Lamps[0].Response
	for command, want := range map[float64]float64{1.1: 0, 2: 0.1, 5: 0.55, 10: 1, 3.5: 0.325} {
		assert.InDelta(t, want, r.Fraction(command), 1e-12, "the mean of 198 and 202 is full")
	}
	assert.InDelta(t, 0.55, p.Readings.Rows[4].Lit[0].Fraction, 1e-12)

	files["readings.csv"] = "coral,lit,ppfd\nstaghorn-a,bar-blue@5V,110\nstaghorn-a,bar-blue@4V,100\n"
	_, problems = Load(files.read, "plan.yaml")
	assert.Contains(t, problems.Text(nil), `no reading of "bar-blue" alone at its highest command`)
	files["readings.csv"] = "coral,lit,ppfd\nstaghorn-a,bar-blue@5V,110\nstaghorn-a,bar-blue,100\n"
	_, problems = Load(files.read, "plan.yaml")
	assert.Contains(t, problems.Text(nil), `the light of "bar-blue" falls as its command rises`)
}

// A table with everything that may be said of a reading.
func TestReadingsWithTheirCircumstances(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(quay, "plan.yaml"))
	require.NoError(t, err)
	inner := os.DirFS(quay)
	meters := regexp.MustCompile(`(?m)^meter: .*$`).ReplaceAllString(string(text), "meter: {old: {in_water_factor: 1.3}, new: {uncertainty: 3 %}}")
	p, problems := Load(func(path string) ([]byte, error) {
		switch path {
		case "plan.yaml":
			return []byte(meters), nil
		case "readings.csv":
			return []byte("coral,lit,ppfd,date,repeat_sd,meter,expected_umol_m2_s,low,high\n" +
				"staghorn-a,bar-blue@5V+tubes,112.50,2027-02-03,1.5,new,110,90,130\nstaghorn-a,all,300,,,old,,,\nstaghorn-a,none,2,2027-02-03,,,,,\n"), nil
		}
		return fs.ReadFile(inner, path)
	}, "plan.yaml")
	require.NotNil(t, p, problems.Text(nil))
	require.Len(t, p.Meters, 2)
	assert.Equal(t, "old", p.Meter.Name)
	assert.True(t, p.Meters[0].FactorGiven)
	assert.False(t, p.Meters[1].FactorGiven)
	assert.Equal(t, 0.03, p.Meters[1].Uncertainty)
	require.Len(t, p.Readings.Rows, 3)
	a, all, none := p.Readings.Rows[0], p.Readings.Rows[1], p.Readings.Rows[2]
	assert.Equal(t, "2027-02-03", a.Date.String())
	assert.Equal(t, []float64{1.5, 0.01}, []float64{a.RepeatSD, a.Digit})
	assert.Equal(t, 1, a.Meter)
	assert.Len(t, a.Lit, 2)
	assert.Len(t, all.Lit, len(p.Channels))
	assert.Equal(t, 0, all.Meter)
	assert.Empty(t, none.Lit)
}

func TestFilesAreFoundBesideThePlan(t *testing.T) {
	var asked []string
	inner := os.DirFS(quay)
	p, problems := Load(func(path string) ([]byte, error) {
		asked = append(asked, path)
		rel, err := filepath.Rel(filepath.FromSlash("some/where"), path)
		require.NoError(t, err)
		return fs.ReadFile(inner, filepath.ToSlash(rel))
	}, filepath.FromSlash("some/where/plan.yaml"))
	require.NotNil(t, p, problems.Text(nil))
	assert.Contains(t, asked, filepath.FromSlash("some/where/spectra/white.csv"))
	here, _ := quayWith(t)
	assert.Equal(t, here.Hash, p.Hash, "the folder's name is not part of the hash")
	changed, _ := quayWith(t, "dli: 14", "dli: 15")
	assert.NotEqual(t, here.Hash, changed.Hash)
	assert.Regexp(t, `^sha256:[0-9a-f]{64}$`, p.Hash)

	_, problems = Load(func(string) ([]byte, error) { return nil, errors.New("*fs.odd: no luck") }, "plan.yaml")
	assert.Equal(t, "plan.yaml:1:1: the file \"plan.yaml\" cannot be read; name a plan file that can be read\n", problems.Text(nil))
}

func TestLoadIsDeterministic(t *testing.T) {
	first, problems, text := loadIn("../../../testdata/broken", "079-many-faults.yaml")
	require.Nil(t, first)
	require.GreaterOrEqual(t, len(problems), 5)
	for range 5 {
		_, _, again := loadIn("../../../testdata/broken", "079-many-faults.yaml")
		require.Equal(t, text, again)
	}
}

func BenchmarkLoadQuayStreetWithFourChannels(b *testing.B) {
	read := func(path string) ([]byte, error) { return os.ReadFile(filepath.Join(quay, path)) }
	for b.Loop() {
		if p, _ := Load(read, "plan.yaml"); p == nil {
			b.Fatal("the example does not read")
		}
	}
}

// FuzzLoad: whatever the plan and its readings hold, reading ends, does not panic,
// and gives a plan or says at a line of a file why not.
func FuzzLoad(f *testing.F) {
	seeds, err := filepath.Glob("../../../testdata/*/*.yaml")
	if err != nil || len(seeds) < 40 {
		f.Fatal("the seeds are gone")
	}
	readings, err := os.ReadFile("../../../testdata/broken/files/readings-broken.csv")
	if err != nil {
		f.Fatal(err)
	}
	for _, path := range append(seeds, filepath.Join(quay, "plan.yaml")) {
		data, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data, readings)
	}
	f.Fuzz(func(t *testing.T, text, csv []byte) {
		read := func(path string) ([]byte, error) {
			switch filepath.Base(path) {
			case "plan.yaml":
				return text, nil
			case "readings.csv", "white.csv", "spot.ies":
				return csv, nil
			}
			return nil, fs.ErrNotExist
		}
		p, problems := Load(read, "plan.yaml")
		if (p == nil) != problems.HasErrors() {
			t.Fatal("a plan with errors, or neither plan nor error")
		}
		for _, problem := range problems {
			if problem.Line < 1 || problem.Col < 1 || problem.What == "" || strings.Contains(problem.Error(), "NaN") && !strings.Contains(string(text)+string(csv), "NaN") {
				t.Fatal(problem)
			}
		}
	})
}
