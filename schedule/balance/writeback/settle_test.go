package writeback_test

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/balance"
	"dayloom/schedule/balance/writeback"
	"dayloom/schedule/light"
	"dayloom/schedule/plan/planfile"
)

const starter = "../../../cmd/dayloom/starters/nursery/plan.yaml"

// What is found, written into the plan's text and read again, is the plan with those
// peaks; every comment is still there, and every limit holds after rounding.
func TestWrittenPlanIsTheAnswer(t *testing.T) {
	p, problems := planfile.Load(os.ReadFile, starter)
	require.NotNil(t, p, problems)
	f, problems := light.Survey(p)
	require.Empty(t, problems)
	auto := writeback.AllAuto(p)
	require.True(t, writeback.Open(auto))
	assert.False(t, p.Day[2].Daylight.Peak.Auto, "the plan itself is left alone")
	a, problems := balance.Solve(t.Context(), auto, f, balance.Options{})
	require.Empty(t, problems)

	old, err := os.ReadFile(starter)
	require.NoError(t, err)
	text, err := writeback.Write(old, auto, a)
	require.NoError(t, err)
	assert.Equal(t, strings.Count(string(old), "#"), strings.Count(string(text), "#"), "comments are kept")

	read := func(path string) ([]byte, error) {
		if path == starter {
			return text, nil
		}
		return os.ReadFile(path)
	}
	q, problems := planfile.Load(read, starter)
	require.NotNil(t, q, problems)
	for i, peak := range writeback.Peaks(q) {
		if auto.Channels[i].Dimmable && a.Channels[i].Auto {
			assert.InDelta(t, a.Peaks[i], peak, 1.01e-5, p.Channels[i].Name)
			assert.LessOrEqual(t, peak, a.Peaks[i]+1e-9, "rounded down: no limit is broken by rounding")
		}
	}
	assert.Len(t, q.Day, len(p.Day)+1, "the entry that two strips share is written for each")

	assert.False(t, writeback.Open(q), "nothing is left to be found")
	again, err := writeback.Write(text, q, balance.Answer{})
	require.NoError(t, err)
	assert.Equal(t, string(text), string(again), "and so nothing is changed")
}
