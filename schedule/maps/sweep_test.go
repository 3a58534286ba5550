package maps_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/photon/spectrum"
	"dayloom/schedule/maps"
	"dayloom/schedule/plan"
)

func TestParseSweep(t *testing.T) {
	for text, want := range map[string][]string{
		"a.b=15cm..45cm:10cm":      {"15 cm", "25 cm", "35 cm", "45 cm"},
		"a.b = 15 cm .. 44cm:10cm": {"15 cm", "25 cm", "35 cm"},
		"a.b=0.1..0.3:0.1":         {"0.1", "0.2", "0.3"},
		"a.b=90deg..60deg:15deg":   {"90 deg", "75 deg", "60 deg"},
		"a.b=15cm,20 cm, 1 m":      {"15 cm", "20 cm", "1 m"},
		"a.b=glass,dark,60%":       {"glass", "dark", "60 %"},
		"a.b=5cm..5cm:1cm":         {"5 cm"},
		"a.b=90deg..60deg:-15deg":  {"90 deg", "75 deg", "60 deg"},
	} {
		s, err := maps.ParseSweep(text)
		require.NoError(t, err, text)
		assert.Equal(t, "a.b", s.Path)
		assert.Equal(t, want, s.Values, text)
		assert.Equal(t, text == "a.b=90deg..60deg:15deg", s.Turned, text)
	}
	for text, say := range map[string]string{
		"a.b":                 "is not a sweep",
		"=1..2:1":             "is not a sweep",
		"a=1..2":              "has no step",
		"a=1cm..2m:1cm":       "in one unit",
		"a=1cm..2cm:0cm":      "the step",
		"a=15cm..45cm:-5cm":   "leads away from its end; a step must lead from the start to the end; write 15cm..45cm:5cm",
		"a=x..2cm:1cm":        "not a number",
		"a=1cm..9cm:0.0001cm": "at most 200",
		"a=1,,2":              "empty value",
	} {
		_, err := maps.ParseSweep(text)
		assert.ErrorContains(t, err, say, text)
	}
}

// However a range is written, its values start at the start, keep the step and stay
// within the end.
func TestSweepStepsEvenly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from, step, n := rapid.IntRange(0, 500).Draw(t, "from"), rapid.IntRange(1, 50).Draw(t, "step"), rapid.IntRange(0, 50).Draw(t, "n")
		over := rapid.IntRange(0, step-1).Draw(t, "over")
		s, err := maps.ParseSweep(fmt.Sprintf("p=%g cm..%g cm:%g cm", float64(from)/10, float64(from+n*step+over)/10, float64(step)/10))
		require.NoError(t, err)
		require.Len(t, s.Values, n+1)
		require.Equal(t, fmt.Sprintf("%g cm", float64(from)/10), s.Values[0])
		require.Equal(t, fmt.Sprintf("%g cm", float64(from+n*step)/10), s.Values[n])
	})
}

func sweep(t *testing.T, text string) ([]maps.Step, error) {
	t.Helper()
	s, err := maps.ParseSweep(text)
	require.NoError(t, err)
	var heard []int
	steps, err := s.Run(context.Background(), survey(t, load(t, onePoint)), s.Edited(reader(onePoint), "plan.yaml"),
		func(p *plan.Plan) (maps.Ask, error) { return maps.Full(p, []string{"lamp"}, spectrum.PAR) },
		func(done, _ int) { heard = append(heard, done) })
	if err == nil {
		assert.Len(t, heard, len(s.Values)+1)
	}
	return steps, err
}

// Light is linear in flux: twice the flux is twice the light everywhere, though the
// plan has readings; what they said of the lamp goes on to hold.
func TestSweepOfFluxIsLinear(t *testing.T) {
	steps, err := sweep(t, "channels.lamp.flux=50umol/s,100umol/s")
	require.NoError(t, err)
	require.Len(t, steps, 2)
	require.Len(t, steps[0].Zones, 2)
	for z := range steps[0].Zones {
		assert.InEpsilon(t, 2*steps[0].Zones[z].Min, steps[1].Zones[z].Min, 1e-9)
		assert.InEpsilon(t, 2*steps[0].Zones[z].Max, steps[1].Zones[z].Max, 1e-9)
	}
}

// Heights may be named without the shape of the emitter; higher is dimmer under the lamp.
func TestSweepOfHeight(t *testing.T) {
	steps, err := sweep(t, "channels.lamp.emitters.height=20cm..40cm:10cm")
	require.NoError(t, err)
	require.Len(t, steps, 3)
	assert.Greater(t, steps[0].Zones[0].Max, steps[1].Zones[0].Max)
	assert.Greater(t, steps[1].Zones[0].Max, steps[2].Zones[0].Max)
	again, err := sweep(t, "channels.lamp.emitters.0.point.height=20cm..40cm:10cm")
	require.NoError(t, err)
	assert.Equal(t, steps, again)
}

// What goes wrong names the value at fault.
func TestSweepErrors(t *testing.T) {
	for text, say := range map[string][]string{
		"channels.lamp.flux=50umol/s,50cm":    {"channels.lamp.flux = 50 cm", "not a flux"},
		"channels.lmap.flux=50umol/s":         {`did you mean "lamp"?`},
		"channels.lamp.emitters.height=-1cm":  {"= -1 cm", "from 1 mm"},
		"channels.lamp.emitters.hieght=10 cm": {"hieght"},
	} {
		_, err := sweep(t, text)
		require.Error(t, err, text)
		for _, s := range say {
			assert.ErrorContains(t, err, s, text)
		}
		assert.False(t, strings.Contains(err.Error(), "*"), "no type names: %s", err)
	}
}

// Whatever is asked, a sweep has from 1 to 200 values or the error says what is allowed.
func FuzzParseSweep(f *testing.F) {
	for _, s := range []string{"a.b=15cm..45cm:10cm", "a=90deg..60deg:-15deg", "a=1,2,3 m", "=", "a=1e308..-1e308:1", "a=0..1:1e-320", "a=NaN..1:1", "a=+..-:."} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := maps.ParseSweep(text)
		switch {
		case err != nil && err.Error() == "":
			t.Fatal("an error without words")
		case err == nil && (s.Path == "" || len(s.Values) == 0 || len(s.Values) > 200):
			t.Fatalf("%+v", s)
		}
		for _, v := range s.Values {
			if err == nil && (v == "" || strings.Contains(v, "NaN") && !strings.Contains(text, "NaN")) {
				t.Fatalf("%q", v)
			}
		}
	})
}
