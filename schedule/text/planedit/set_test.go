package planedit

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/schedule/text/yamltree"
)

const plan = "# the plan\r\n" +
	"zones:\n" +
	"  shelf: {dli: 14, within: 10 %} # µmol, a comment with dli: 14\n" +
	"channels:\n" +
	"  bar-blue:\n" +
	"    emitters:   # two lines and a spot\n" +
	"      - line: {from: [10 cm, 20 cm], height: 24 cm}\n" +
	"      - line: {height: 24 cm, to: [1 cm, 2 cm]}\n" +
	"      - point: {at: [1 cm, 2 cm], height: 30 cm}\n" +
	"day:\n" +
	"  - sunrise: {from: \"08:30\", to: '11:00'}   # \"08:30\"\n" +
	"    peak: auto\n"

func TestSetKeepsEveryOtherByte(t *testing.T) {
	for _, c := range []struct {
		path, value, old, new string
		times                 int
	}{
		{"zones.shelf.dli", "15.5", "{dli: 14,", "{dli: 15.5,", 1},
		{"zones.shelf.within", "7 %", "within: 10 %}", "within: 7 %}", 1},
		{"day.0.peak", "62.5 %", "peak: auto", "peak: 62.5 %", 1},
		{"day.peak", "62.5 %", "peak: auto", "peak: 62.5 %", 1},
		{"day.0.sunrise.from", "09:00", `from: "08:30"`, `from: "09:00"`, 1},
		{"day.0.sunrise.to", "12:00", "to: '11:00'", `to: "12:00"`, 1},
		{"channels.bar-blue.emitters.0.line.height", "26 cm", "20 cm], height: 24 cm", "20 cm], height: 26 cm", 1},
		{"channels.bar-blue.emitters.line.height", "26 cm", "height: 24 cm", "height: 26 cm", 2},
		{"channels.bar-blue.emitters.2.point.at.1", "3 cm", "at: [1 cm, 2 cm]", "at: [1 cm, 3 cm]", 1},
	} {
		got, err := Set([]byte(plan), c.path, c.value)
		require.NoError(t, err, c.path)
		assert.Equal(t, strings.Replace(plan, c.old, c.new, c.times), string(got), c.path)
	}
}

func TestSetSaysWhereAPathMayGo(t *testing.T) {
	for path, want := range map[string]string{
		"zone.shelf.dli":                `the plan has no "zone"; it has: zones, channels, day`,
		"zones.shelf.dly":               `zones.shelf has no "dly"; it has: dli, within; did you mean "dli"?`,
		"zones.shelf":                   `zones.shelf is not a single value; it has: dli, within`,
		"zones.shelf.dli.x":             `zones.shelf.dli has no "x"; it is a single value`,
		"day.1.peak":                    `day has no item 1; it is a list with items 0 to 0`,
		"channels.bar-blue.emitters.5":  `channels.bar-blue.emitters has no item 5; it is a list with items 0 to 2`,
		"channels.bar-blue.emitters.hi": `channels.bar-blue.emitters.0 has no "hi"; it has: line`,
	} {
		_, err := Set([]byte(plan), path, "1")
		assert.ErrorContains(t, err, want, path)
	}
	_, err := Set([]byte("a: [1"), "a", "2")
	assert.ErrorContains(t, err, "cannot be edited until it can be read")
	_, err = Set([]byte("a: b\n  c\n"), "a", "2")
	assert.ErrorContains(t, err, "several lines")
	_, err = Set([]byte("a: 1\n"), "a", "2\nb: 3")
	assert.ErrorContains(t, err, "one line")
}

// The starter of every property: whatever is set is read back, and setting the old
// value again gives the old text.
func TestSetIsReadBackAndUndone(t *testing.T) {
	src, err := os.ReadFile("../../../testdata/plans/quay/plan.yaml")
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.StringMatching(`[ -~µ]{1,12}`).Draw(t, "value")
		if strings.TrimSpace(value) != value {
			return
		}
		path := rapid.SampledFrom([]string{"name", "zones.shelf.dli", "channels.tubes.power", "day.0.peak", "controllers.rack.ports.1.response.1.0"}).Draw(t, "path")
		changed, err := Set(src, path, value)
		if err != nil {
			t.Fatal(err)
		}
		old := map[string]string{"name": "Quay Street coral nursery", "zones.shelf.dli": "14", "channels.tubes.power": "160 W", "day.0.peak": "auto", "controllers.rack.ports.1.response.1.0": "5 V"}[path]
		back, err := Set(changed, path, old)
		if err != nil {
			t.Fatal(err)
		}
		if got := bytes.ReplaceAll(back, []byte(`"`+old+`"`), []byte(old)); !bytes.Equal(got, src) {
			t.Fatalf("setting %q and back changed other bytes", value)
		}
	})
}

func FuzzSet(f *testing.F) {
	f.Add([]byte(plan), "day.0.peak", "55 %")
	f.Add([]byte("\ufeffa: 'it''s'\n"), "a", "x: y")
	f.Add([]byte("a: \"\\\"\" # é\n"), "a", "[")
	f.Fuzz(func(t *testing.T, src []byte, path, value string) {
		if len(src) > yamltree.MaxBytes {
			return
		}
		if got, err := Set(src, path, value); err == nil {
			_, err := Set(got, path, value)
			require.NoError(t, err, "a changed plan can be changed again")
		}
	})
}
