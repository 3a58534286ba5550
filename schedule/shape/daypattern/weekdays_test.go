package daypattern

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWeekdays(t *testing.T) {
	for _, c := range []struct{ text, want, words string }{
		{"", "", "every day"},
		{"sun", "sun", "Sunday"},
		{" sun  sat ", "sat sun", "Saturday and Sunday"},
		{"tue mon wed thu fri sat", "mon tue wed thu fri sat", "Monday to Saturday"},
		{"mon tue wed thu fri sat sun", "", "every day"},
	} {
		w, err := ParseWeekdays(c.text)
		require.NoError(t, err, c.text)
		assert.Equal(t, c.want, w.String())
		assert.Equal(t, c.words, w.Words())
	}
	for _, bad := range []string{"Sun", "sunday", "mon,tue", "mon mon", "0"} {
		_, err := ParseWeekdays(bad)
		assert.Error(t, err, bad)
	}
	w := WeekdaysOf(time.Sunday, time.Wednesday)
	for d := range time.Weekday(7) {
		assert.Equal(t, d == time.Sunday || d == time.Wednesday, w.Has(d), d)
		assert.True(t, Weekdays(0).Has(d))
	}
}

func TestPatternsThatFollowWeekdays(t *testing.T) {
	for text, want := range map[string]bool{"0 0 * * 0": true, "0 0 * 6-8 1-5": true, "0 0 1 * *": false, "0 0 * * *": false, "0 0 1 * 1": true} {
		p, err := Parse(text)
		require.NoError(t, err)
		assert.Equal(t, want, p.FollowsWeekdays(), text)
	}
}
