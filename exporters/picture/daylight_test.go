package picture

import (
	"bytes"
	"encoding/csv"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/colour"
	"dayloom/schedule/day"
	"dayloom/schedule/day/mix"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
)

// illuminants are lights of the CIE, from its tables at 5 nm.
func illuminants(t *testing.T, names ...string) []colour.Light {
	t.Helper()
	text, err := os.ReadFile("../../testdata/published/illuminants-cie-5nm.csv")
	require.NoError(t, err)
	r := csv.NewReader(bytes.NewReader(text))
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	out := make([]colour.Light, len(names))
	for i, name := range names {
		var power [colour.Rows]float64
		for k, head := range rows[0] {
			for n := range power {
				if head == name {
					power[n], err = strconv.ParseFloat(rows[1+n][k], 64)
					require.NoError(t, err)
				}
			}
		}
		require.Positive(t, power[40], name)
		out[i] = colour.OfPower(power)
	}
	return out
}

// under is a picture of a day under one lamp at each of several places.
func under(lights []colour.Light, names []string) Daylight {
	d := day.Day{Channels: []day.Channel{{Curve: curve.Hold(28800, 64800, 1)}}}
	var places []mix.Place
	for i, l := range lights {
		places = append(places, mix.Place{Name: names[i], Channels: []mix.Channel{{PPFD: 100, Light: l, XYZ: l.XYZ()}}})
	}
	return NewDaylight(&plan.Plan{Name: "known lights"}, d, nil, places)
}

// Three lights of the CIE have the swatches of testdata/published/srgb-swatch-checks.csv,
// and what is drawn is the same each time.
func TestDaylightOfKnownLights(t *testing.T) {
	names := []string{"A", "D65", "FL2"}
	d := under(illuminants(t, names...), names)
	for i, want := range []string{"#ffb264", "#ffffff", "#ffdaad"} {
		assert.Equal(t, want, d.Rows[i].Noon.String(), names[i])
	}
	assert.False(t, d.Pale)
	var svg, again, png bytes.Buffer
	require.NoError(t, WriteDaylight(&svg, "svg", d))
	require.NoError(t, WriteDaylight(&again, "svg", d))
	assert.Equal(t, svg.String(), again.String())
	for _, want := range []string{"fill:#FFB264", "fill:#FFDAAD", ">2856 K, Duv", ">6504 K, Duv", "at 08:00"} {
		assert.True(t, strings.Contains(svg.String(), want), want)
	}
	require.NoError(t, WriteDaylight(&png, "png", d))
	assert.True(t, strings.HasPrefix(png.String(), "\x89PNG"))
	if out := os.Getenv("DAYLIGHT_PNG"); out != "" {
		require.NoError(t, os.WriteFile(out, png.Bytes(), 0o644))
	}
}

// A dark day is drawn too.
func TestDaylightOfADarkDay(t *testing.T) {
	dark := day.Day{Channels: []day.Channel{{}}}
	l := illuminants(t, "A")[0]
	d := NewDaylight(&plan.Plan{Name: "x"}, dark, nil, []mix.Place{{Name: "a", Channels: []mix.Channel{{PPFD: 9, Light: l, XYZ: l.XYZ()}}}})
	var svg bytes.Buffer
	require.NoError(t, WriteDaylight(&svg, "svg", d))
	assert.Contains(t, svg.String(), "dark all day")
	assert.NotContains(t, svg.String(), "NaN")
}
