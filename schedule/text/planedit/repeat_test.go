package planedit_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/text/planedit"
)

const twoEntries = `day:
  # both strips
  - channels: [a, b]   # shared
    peak: auto

  # the tubes
  - channels: [c]
    peak: 40 %
name: x
`

func TestRepeatKeepsCommentsAndTheRest(t *testing.T) {
	got, err := planedit.Repeat([]byte(twoEntries), "day", 0, 2)
	require.NoError(t, err)
	assert.Equal(t, `day:
  # both strips
  - channels: [a, b]   # shared
    peak: auto
  - channels: [a, b]   # shared
    peak: auto

  # the tubes
  - channels: [c]
    peak: 40 %
name: x
`, string(got))
	once, err := planedit.Repeat([]byte(twoEntries), "day", 1, 1)
	require.NoError(t, err)
	assert.Equal(t, twoEntries, string(once), "once is as it was")
}

func TestRepeatRefuses(t *testing.T) {
	_, err := planedit.Repeat([]byte("day: [{channels: [a]}]\n"), "day", 0, 2)
	assert.EqualError(t, err, "day is written on one line; write each of its items on lines of its own, after a dash")
	_, err = planedit.Repeat([]byte(twoEntries), "day", 2, 2)
	assert.EqualError(t, err, "day has no item 2; it is a list with items 0 to 1")
	_, err = planedit.Repeat([]byte(twoEntries), "night", 0, 2)
	assert.EqualError(t, err, "the plan has no night")
}

func TestOnlyItem(t *testing.T) {
	got, err := planedit.OnlyItem([]byte(twoEntries), "day.0.channels", "b")
	require.NoError(t, err)
	assert.Contains(t, string(got), "- channels: [b]   # shared\n    peak: auto\n")
	_, err = planedit.OnlyItem([]byte("day:\n  - channels:\n      - a\n      - b\n"), "day.0.channels", "a")
	assert.EqualError(t, err, "day.0.channels is not a list on one line; write it such as [a, b]")
	_, err = planedit.OnlyItem([]byte(twoEntries), "day.5.channels", "b")
	assert.EqualError(t, err, "the plan has no day.5.channels")
}
