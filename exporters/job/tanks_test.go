package job_test

import (
	"context"
	"fmt"
	"io/fs"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/exporters/compile"
	"dayloom/exporters/job"
	"dayloom/schedule/plan"
)

// trough is one tank of a farm as parts of a plan's text; %[1]d in it is the tank's number.
type trough struct{ tank, channels, zones, readings string }

// farm is the plan of some troughs, by their numbers, and its readings. One alone needs no names of tanks.
func farm(numbers []int, list []trough, more string) map[string][]byte {
	var tanks, channels, zones, names strings.Builder
	readings := "tank,coral,x_cm,y_cm,depth_cm,lit,ppfd\n"
	ports := ""
	for _, n := range numbers {
		t := list[n]
		fmt.Fprintf(&tanks, "  tank-%d: %s\n", n, t.tank)
		fmt.Fprintf(&channels, t.channels, n)
		fmt.Fprintf(&zones, t.zones, n)
		readings += fmt.Sprintf(t.readings, n)
	}
	for i, line := range strings.Split(strings.TrimSpace(channels.String()), "\n") {
		name, _, _ := strings.Cut(strings.TrimSpace(line), ":")
		fmt.Fprintf(&names, "%s, ", name)
		ports += fmt.Sprintf("%d: {channel: %s}, ", i+1, name)
	}
	box, text := "tanks:\n"+tanks.String(), channels.String()+"zones:\n"+zones.String()
	if len(numbers) == 1 {
		box = "tank: " + list[numbers[0]].tank + "\n"
		text = strings.ReplaceAll(text, fmt.Sprintf("tank: tank-%d, ", numbers[0]), "")
		readings = strings.ReplaceAll(strings.TrimPrefix(readings, "tank,"), fmt.Sprintf("tank-%d,", numbers[0]), "")
	}
	day := "day:\n  - {channels: [" + strings.TrimSuffix(names.String(), ", ") + `], sunrise: {from: "09:00", to: "11:00"}, peak: auto, sunset: {from: "17:00", to: "19:00"}}` + "\n"
	return map[string][]byte{"readings.csv": []byte(readings), "plan.yaml": []byte("plan: 1\nname: Farm\nclock: {zone: UTC}\n" + box + "channels:\n" + text + day +
		"controllers: {dimmer: {signal: percent, ports: {" + strings.TrimSuffix(ports, ", ") + "}}}\nreadings: readings.csv\nmeter: {in_water_factor: 1.1}\n" + more)}
}

func opened(t require.TestingT, files map[string][]byte) *job.Job {
	j, err := job.Open(context.Background(), job.Question{File: "plan.yaml", Read: func(path string) ([]byte, error) {
		if b, ok := files[path]; ok {
			return b, nil
		}
		return nil, fs.ErrNotExist
	}})
	require.NoError(t, err, "%v\n%v\n%s\n%s", j.Problems.Plan, j.Problems.Light, files["plan.yaml"], files["readings.csv"])
	return j
}

// drawn is a trough of any size with two lamps, three corals and sometimes an area, and what was read in it.
func drawn(t *rapid.T) trough {
	f := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	length, width, depth := f(60, 160, "length"), f(30, 60, "width"), f(25, 60, "depth")
	at := func() string {
		return fmt.Sprintf("x: %.1f cm, y: %.1f cm, depth: %.1f cm", f(5, length-5, "x"), f(5, width-5, "y"), f(5, depth-5, "z"))
	}
	channels, readings := "", ""
	for _, name := range []string{"blue", "cool white"} {
		channels += fmt.Sprintf("  %s-%%[1]d: {tank: tank-%%[1]d, flux: %.0f umol/s, power: %.0f W, spectrum: %s, emitters: [{point: {at: [%.0f cm, %.0f cm], height: %.0f cm}, beam: %.0f deg}]}\n",
			strings.Fields(name)[0], f(50, 300, "flux"), f(20, 150, "power"), name, f(0, length, "lamp x"), f(0, width, "lamp y"), f(15, 40, "height"), f(60, 120, "beam"))
	}
	zones := fmt.Sprintf("  shelf-%%[1]d: {tank: tank-%%[1]d, dli: %.2f, within: 20 %%%%, corals: {a-%%[1]d: {%s}, b-%%[1]d: {%s}, c-%%[1]d: {%s}}", f(2, 12, "dli"), at(), at(), at())
	if rapid.Bool().Draw(t, "area") {
		zones += fmt.Sprintf(", area: {x: [10 cm, %.0f cm], y: [10 cm, %.0f cm], depth: %.1f cm}", length-10, width-10, depth-5)
	}
	for _, r := range []string{"%%[1]d,a-%%[1]d,,,,blue-%%[1]d,%.0f\n", "%%[1]d,,15,15,10,cool-%%[1]d,%.0f\n", "%%[1]d,b-%%[1]d,,,,all,%.0f\n"} {
		if rapid.Bool().Draw(t, "read") {
			readings += "tank-" + fmt.Sprintf(r, f(20, 300, "ppfd"))
		}
	}
	if readings == "" {
		readings = "tank-%[1]d,a-%[1]d,,,,blue-%[1]d,90\n"
	}
	return trough{fmt.Sprintf("{length: %.1f cm, width: %.1f cm, depth: %.1f cm, walls: {left: glass, front: 40 %%}}", length, width, depth), channels, zones + "}\n", readings}
}

// A plan of two tanks gives each what it has alone: its light, how sure that is, and the levels found, where nothing that
// they share binds. DAYLOOM_LONG tries as many as rapid is told.
func TestTanksDoNotTouch(t *testing.T) {
	pairs := rapid.Custom(func(t *rapid.T) []trough { return []trough{drawn(t), drawn(t)} })
	if os.Getenv("DAYLOOM_LONG") != "" {
		rapid.Check(t, func(t *rapid.T) { apart(t, pairs.Draw(t, "tanks")) })
	}
	for seed := range 6 {
		apart(t, pairs.Example(seed))
	}
}

func apart(t require.TestingT, list []trough) {
	date := plan.Date{Year: 2027, Month: 2, Day: 3}
	shared := "balance: {power_max: 2 kW}\n"
	both := opened(t, farm([]int{0, 1}, list, shared))
	on := both.On(date).DLI()
	corals, areas, sum, bound := 0, 0, 0.0, 0.0
	for n := range list {
		alone := opened(t, farm([]int{n}, list, shared))
		sum, bound = sum+alone.Found.Certificate.Sum, bound+alone.Found.Certificate.Bound
		for c, ch := range alone.Found.Channels {
			assert.InDelta(t, ch.Peak, both.Found.Channels[2*n+c].Peak, 1e-9, ch.Name)
		}
		got := alone.On(date).DLI()
		for _, want := range got.Corals {
			it := on.Corals[corals]
			corals++
			assert.Equal(t, want.Name, it.Name)
			assert.InEpsilon(t, want.DLI, it.DLI, 1e-9, want.Name)
			assert.InEpsilon(t, want.SD, it.SD, 1e-9, want.Name)
			assert.InEpsilon(t, want.Peak, it.Peak, 1e-9, want.Name)
			assert.Equal(t, want.Source, it.Source, "and nothing of the other's channels")
		}
		for _, want := range got.Areas {
			assert.InEpsilon(t, want.DLI, on.Areas[areas].DLI, 1e-9)
			assert.InEpsilon(t, *want.P10, *on.Areas[areas].P10, 1e-9)
			areas++
		}
	}
	assert.InDelta(t, sum, both.Found.Certificate.Sum, 1e-9)
	assert.InDelta(t, bound, both.Found.Certificate.Bound, 1e-9)
}

// A limit that the tanks share is kept by both together, whichever of them could have more alone.
func TestTanksSharePower(t *testing.T) {
	lamp := "  lamp-%[1]d: {tank: tank-%[1]d, flux: 200 umol/s, power: 100 W, spectrum: blue, emitters: [{point: {at: [50 cm, 20 cm], height: 20 cm}, beam: 90 deg}]}\n"
	one := trough{"{length: 100 cm, width: 40 cm, depth: 30 cm}", lamp, "  shelf-%[1]d: {tank: tank-%[1]d, dli: 9, corals: {a-%[1]d: {x: 50 cm, y: 20 cm, depth: 15 cm}}}\n", "tank-%[1]d,a-%[1]d,,,,lamp-%[1]d,400\n"}
	free := opened(t, farm([]int{0, 1}, []trough{one, one}, ""))
	require.True(t, free.Found.Met)
	require.Greater(t, free.Found.Power, 80.0)
	held := opened(t, farm([]int{0, 1}, []trough{one, one}, "balance: {power_max: 80 W}\n"))
	assert.LessOrEqual(t, held.Found.Power, 80*(1+1e-9))
	assert.Greater(t, held.Found.Power, 79.9)
	assert.Less(t, held.Found.Channels[0].Peak+held.Found.Channels[1].Peak, free.Found.Channels[0].Peak+free.Found.Channels[1].Peak)
	circuit := opened(t, farm([]int{0, 1}, []trough{one, one}, "circuits: {left: {channels: [lamp-0, lamp-1], rating: 0.5 A, supply: 230 V}}\n"))
	assert.LessOrEqual(t, circuit.Found.Power, 0.5*0.8*230*(1+1e-9))
}

// greenhouse is a farm of so many tanks with so many channels and corals each.
func greenhouse(tanks, lamps, corals int) map[string][]byte {
	var list []trough
	var numbers []int
	for n := range tanks {
		channels, zones, readings := "", "  shelf-%[1]d: {tank: tank-%[1]d, dli: 6, within: 40 %%, corals: {", ""
		for i := range lamps {
			k := i % 5
			spectrum := []string{"blue", "violet", "cyan", "cool white", "red"}[k]
			c := fmt.Sprintf("%s-%d", strings.Fields(spectrum)[0], i)
			channels += fmt.Sprintf("  %s-%%[1]d: {tank: tank-%%[1]d, flux: %d umol/s, power: 40 W, spectrum: %s, emitters: [{line: {from: [%d cm, %d cm], to: [%d cm, %d cm], height: 25 cm}, beam: 100 deg}]}\n",
				c, 60+10*k+n%7, spectrum, 10+7*i%40, 20+5*k, 190-3*i%50, 20+5*k)
			if i < 5 {
				readings += fmt.Sprintf("tank-%%[1]d,c-%%[1]d-%d,,,,%s-%%[1]d,%d\n", 2*k, c, 40+5*k)
			}
		}
		for i := range corals {
			zones += fmt.Sprintf("c-%%[1]d-%d: {x: %.1f cm, y: %.1f cm, depth: %d cm}, ", i, 12+176*float64(i%25)/24, 15+30*math.Mod(float64(i/25), 5)/4, 14+i%4)
		}
		list = append(list, trough{"{length: 200 cm, width: 60 cm, depth: 40 cm, walls: {left: glass, right: glass, front: glass}}", channels, strings.TrimSuffix(zones, ", ") + "}}\n", readings})
		numbers = append(numbers, n)
	}
	return farm(numbers, list, "balance: {power_max: 100 kW}\n")
}

// A farm of 40 tanks, 200 channels and 5,000 corals as one plan: what each stage of it takes. DAYLOOM_FARM names a
// folder into which the plan is written, for the commands themselves.
func BenchmarkFarmOf40Tanks200Channels5000Corals(b *testing.B) {
	files := greenhouse(40, 5, 125)
	if dir := os.Getenv("DAYLOOM_FARM"); dir != "" {
		for name, text := range files {
			require.NoError(b, os.WriteFile(dir+"/"+name, text, 0o644))
		}
	}
	date := plan.Date{Year: 2027, Month: 2, Day: 3}
	b.Run("open", func(b *testing.B) {
		b.ReportAllocs()
		for range b.N {
			opened(b, files)
		}
	})
	j := opened(b, files)
	b.Run("dli", func(b *testing.B) {
		b.ReportAllocs()
		for range b.N {
			j.On(date).DLI()
		}
	})
	b.Run("compile", func(b *testing.B) {
		b.ReportAllocs()
		for range b.N {
			compile.Build(j.Plan, []compile.Span{{From: date, To: date}}, j.Curves)
		}
	})
}

// The same farm, small: every coral has the light of its own five channels and no word of the others.
func TestFarm(t *testing.T) {
	j := opened(t, greenhouse(4, 5, 10))
	r := j.On(plan.Date{Year: 2027, Month: 2, Day: 3}).DLI()
	require.Len(t, r.Corals, 40)
	for i, c := range r.Corals {
		assert.Equal(t, fmt.Sprintf("tank-%d", i/10), c.Tank)
		assert.Len(t, c.Full, 5)
		for name, v := range c.Full {
			assert.Positive(t, v, name)
		}
	}
}
