package picture

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"
	"pgregory.net/rapid"

	"dayloom/schedule/plan"
)

func TestSpread(t *testing.T) {
	// by hand: two labels at one height go half the distance either way
	assert.Equal(t, []vg.Length{45, 55}, spread([]vg.Length{50, 50}, 0, 100, 10))
	assert.Equal(t, []vg.Length{0, 10}, spread([]vg.Length{0, 0}, 0, 100, 10))
	assert.Equal(t, []vg.Length{90, 100}, spread([]vg.Length{100, 100}, 0, 100, 10))
	assert.Equal(t, []vg.Length{10, 50, 60}, spread([]vg.Length{10, 55, 55}, 0, 100, 10)[:3])
}

func TestSpreadKeepsApartAndInside(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, 9).Draw(rt, "n")
		at := make([]vg.Length, n)
		for i := range at {
			at[i] = vg.Length(rapid.Float64Range(0, 100).Draw(rt, "at"))
		}
		slices.Sort(at)
		out := spread(at, 0, 100, 10)
		for i := range out {
			if out[i] < -1e-9 || out[i] > 100+1e-9 {
				rt.Fatalf("%v lies outside", out)
			}
			if i > 0 && out[i]-out[i-1] < 10-1e-9 {
				rt.Fatalf("%v: too near", out)
			}
		}
	})
}

// sample is a course with a newcomer, a coral, a limit and steps close together.
func sample() Course {
	c := Course{Title: "Test & tank", Subtitle: "daily light", From: plan.Date{Year: 2027, Month: time.February, Day: 1}, To: plan.Date{Year: 2027, Month: time.March, Day: 2}}
	steady, rising := Line{Name: "brain"}, Line{Name: "staghorn", Newcomer: true, Asked: map[int]float64{5: 5, 12: 6}}
	for k := range 30 {
		steady.DLI = append(steady.DLI, 7)
		switch {
		case k < 5:
			rising.DLI = append(rising.DLI, math.NaN())
		case k < 12:
			rising.DLI = append(rising.DLI, 5)
		default:
			rising.DLI = append(rising.DLI, 6)
		}
	}
	c.Panels = []Panel{{Zone: "slope", Target: 7, Within: 0.1, Min: 4, Max: math.Inf(1), Lines: []Line{steady, rising}}}
	c.Ways = []Way{{Name: "staghorn", Marks: []Mark{{5, "begins", "all at 71 %"}, {6, "1 of 3", "all at 80 %"}, {7, "2 of 3", "all at 90 %"}, {12, "3 of 3", "the usual day"}}}}
	return c
}

// texts are the words of an SVG.
func texts(t *testing.T, svg []byte) []string {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(svg))
	var out []string
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return out
		}
		require.NoError(t, err)
		if s, ok := tok.(xml.CharData); ok && strings.TrimSpace(string(s)) != "" {
			out = append(out, strings.TrimSpace(string(s)))
		}
	}
}

func TestCourseNamesEverything(t *testing.T) {
	var b, again bytes.Buffer
	require.NoError(t, WriteCourse(&b, "svg", sample()))
	words := texts(t, b.Bytes())
	for _, want := range []string{"Test & tank", "brain 7.0", "staghorn 6.0", "dli_min 4", "slope, target 7 ± 10 %", "begins", "all at 71 %", "3 of 3", "6 Feb"} {
		assert.Contains(t, words, want)
	}
	require.NoError(t, WriteCourse(&again, "svg", sample()))
	assert.Equal(t, b.Bytes(), again.Bytes(), "the same course gives the same bytes")
	assert.NotContains(t, b.String(), "NaN")
}

// Three steps a day apart: two find room on the two lines of the strip, the third does not.
func TestMarksDoNotRunIntoEachOther(t *testing.T) {
	c := sample()
	c.To = c.From.AddDays(60)
	at, n := courseDrawing{Course: c, x0: 0, x1: courseWidth}.levels(c.Ways[0])
	assert.Equal(t, []int{0, 1, -1, 0}, at)
	assert.Equal(t, 2, n)
}

func TestDateTicks(t *testing.T) {
	c := sample()
	ticks := courseDrawing{Course: c}.dateTicks()
	assert.Equal(t, "2027-02-06", ticks[0].String(), "weeks are counted from the first step")
	for _, days := range []int{0, 1, 13, 60, 150, 365, 1500, 3600} {
		c.To = c.From.AddDays(days)
		n := len(courseDrawing{Course: c}.dateTicks())
		assert.True(t, n >= 1 && n <= 15, "%d ticks over %d days", n, days)
	}
}

func TestCoursePNG(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, WriteCourse(&b, "png", sample()))
	assert.True(t, bytes.HasPrefix(b.Bytes(), []byte("\x89PNG")))
	require.ErrorContains(t, WriteCourse(&b, "gif", sample()), "png or svg")
}
