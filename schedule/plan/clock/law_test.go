package clock_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
)

func TestZonesThatDependOnTheMachineAreRefused(t *testing.T) {
	for _, name := range []string{"", "Local", "localtime", "LOCALTIME", "posixrules", "Factory", "right/Europe/Lisbon", "posix/Europe/Lisbon"} {
		_, err := clock.Zone(name)
		assert.ErrorContains(t, err, "depends on the machine", name)
	}
	for _, name := range []string{"Europe/Atlantis", "../etc/passwd", "/etc/localtime", "Europe/Lisbon/"} {
		_, err := clock.Zone(name)
		assert.ErrorContains(t, err, "no time zone is called", name)
	}
	for _, name := range []string{"Europe/Lisbon", "UTC", "Etc/GMT+5", "Pacific/Kiritimati"} {
		_, err := clock.Zone(name)
		assert.NoError(t, err, name)
	}
}

// IANA time zone database, file australasia: the dates that countries left out when they
// crossed the date line (quoted from memory; the loop finds no others in these zones).
func TestSkippedDates(t *testing.T) {
	for name, want := range map[string]plan.Date{
		"Pacific/Kiritimati": {Year: 1994, Month: time.December, Day: 31},
		"Pacific/Kanton":     {Year: 1994, Month: time.December, Day: 31},
		"Pacific/Apia":       {Year: 2011, Month: time.December, Day: 30},
		"Pacific/Fakaofo":    {Year: 2011, Month: time.December, Day: 30},
		"Pacific/Kwajalein":  {Year: 1993, Month: time.August, Day: 21},
		"Europe/Lisbon":      {}, "Africa/Casablanca": {}, "UTC": {},
	} {
		zone, err := clock.Zone(name)
		require.NoError(t, err)
		var found plan.Date
		last := plan.Date{Year: 2015, Month: time.January, Day: 1}
		for d := (plan.Date{Year: 1990, Month: time.January, Day: 1}); d.Before(last); d = d.AddDays(1) {
			if clock.Skipped(zone, d) {
				assert.True(t, found.IsZero(), "%s: %v and %v", name, found, d)
				found = d
			}
		}
		assert.Equal(t, want, found, name)
	}
	assert.False(t, clock.Skipped(nil, plan.Date{Year: 1994, Month: time.December, Day: 31}))
}
