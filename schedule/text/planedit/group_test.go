package planedit_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/text/planedit"
)

const groups = `day:
  - channels: [a, b]
    peak: {from: 20 %, to: "8}0 %"}   # between
    on: auto
    window: {from: "10:00",
             to: "18:00"}   # hours
    off: auto
  - peak:   # bounds
      from: 20 %
      # most
      to: 80 %

    channels: [c]
  - {channels: [d], peak: {from: 1 %}, window: {from: "10:00"}}
  - peak:
      from: 20 %
`

func TestReplaceTakesAGroup(t *testing.T) {
	for _, c := range []struct{ path, want, not string }{
		{"day.0.peak", "    peak: 50 %   # between\n    on: auto\n", "8}0"},
		{"day.1.peak", "  - peak:   # bounds\n      50 %\n\n    channels: [c]\n", "most"},
		{"day.2.peak", "  - {channels: [d], peak: 50 %, window: {from: \"10:00\"}}\n", "1 %"},
		{"day.3.peak", "  - peak: 50 %\n", "zzz"},
		{"day.0.on", "    on: 50 %\n    window:", "zzz"},
	} {
		got, err := planedit.Replace([]byte(groups), c.path, "50 %")
		require.NoError(t, err, c.path)
		assert.Contains(t, string(got), c.want)
		assert.NotContains(t, string(got), c.not)
	}
	_, err := planedit.Replace([]byte(groups), "day.7.peak", "1")
	assert.EqualError(t, err, "the plan has no day.7.peak")
}

func TestRemove(t *testing.T) {
	for _, c := range []struct{ path, want, not string }{
		{"day.0.window", "    on: auto\n    off: auto\n", "hours"},
		{"day.2.window", "  - {channels: [d], peak: {from: 1 %}}\n", "zzz"},
		{"day.2.peak", "  - {channels: [d], window: {from: \"10:00\"}}\n", "zzz"},
		{"day.0", "day:\n  - peak:   # bounds\n", "[a, b]"},
		{"day.2", "    channels: [c]\n  - peak:\n", "[d]"},
	} {
		got, err := planedit.Remove([]byte(groups), c.path)
		require.NoError(t, err, c.path)
		assert.Contains(t, string(got), c.want, c.path)
		assert.NotContains(t, string(got), c.not, c.path)
	}
	_, err := planedit.Remove([]byte(groups), "day.1.peak")
	assert.EqualError(t, err, "day.1.peak stands first on its line; write it after another key first")
}

func FuzzRemove(f *testing.F) {
	f.Add([]byte(groups), "day.0.window")
	f.Add([]byte(groups), "day.1.peak.to")
	f.Fuzz(func(t *testing.T, src []byte, path string) {
		if got, err := planedit.Remove(src, path); err == nil {
			_, _ = planedit.Replace(got, path, "1 %")
		}
	})
}
