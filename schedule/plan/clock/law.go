package clock

import (
	"fmt"
	"strings"
	"time"
	_ "time/tzdata" // the zones are known on any machine

	"dayloom/schedule/plan"
)

// Zone is the time zone of an IANA name. Names that mean another zone on another
// machine, or clocks that count leap seconds, are refused.
func Zone(name string) (*time.Location, error) {
	lower := strings.ToLower(name)
	for _, local := range []string{"", "local", "localtime", "posixrules", "factory", "posix/", "right/"} {
		if lower == local || local != "" && strings.HasSuffix(local, "/") && strings.HasPrefix(lower, local) {
			return nil, fmt.Errorf("the time zone %q depends on the machine", name)
		}
	}
	zone, err := time.LoadLocation(name)
	if err != nil {
		return nil, fmt.Errorf("no time zone is called %q", name)
	}
	return zone, nil
}

// Skipped reports whether the law of a zone left out a date, as Samoa went from 29 to
// 31 December 2011 when it crossed the date line.
func Skipped(zone *time.Location, d plan.Date) bool {
	c := Clock{zone: zone}
	return zone != nil && !c.Start(d).Before(c.Start(d.AddDays(1)))
}
