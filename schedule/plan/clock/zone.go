package clock

import "time"

// period is a stretch of time in which a zone's offset is constant; start is
// included, end is not. A zero time means without bound.
type period struct {
	start, end time.Time
	offset     int // seconds east of UTC
	summer     bool
}

// periodAt is the period around an instant. Where zone data end and a rule for
// all later years takes over, time.Time.ZoneBounds cuts at each New Year (UTC),
// and on the last day of a leap year gives an end that has passed (go 1.26):
// the cuts are joined again here.
func periodAt(zone *time.Location, t time.Time) period {
	p := cutAt(zone, t)
	for i := 0; i < 2 && !p.start.IsZero(); i++ {
		q := cutAt(zone, p.start.Add(-1))
		if q.offset != p.offset || q.summer != p.summer {
			break
		}
		p.start = q.start
	}
	for i := 0; i < 2 && !p.end.IsZero(); i++ {
		q := cutAt(zone, p.end)
		if q.offset != p.offset || q.summer != p.summer {
			break
		}
		p.end = q.end
	}
	return p
}

func cutAt(zone *time.Location, t time.Time) period {
	t = t.In(zone)
	start, end := t.ZoneBounds()
	if !end.IsZero() && !end.After(t) {
		end = time.Date(t.UTC().Year()+1, time.January, 1, 0, 0, 0, 0, time.UTC)
	}
	_, offset := t.Zone()
	return period{start, end, offset, t.IsDST()}
}

func (p period) before(zone *time.Location) (period, bool) {
	if p.start.IsZero() {
		return period{}, false
	}
	return periodAt(zone, p.start.Add(-1)), true
}

func (p period) after(zone *time.Location) (period, bool) {
	if p.end.IsZero() {
		return period{}, false
	}
	return periodAt(zone, p.end), true
}

// How short a winter can be, and how long a summer; what is longer is a change
// of the law.
const (
	shortestWinter = 90 * 24 * time.Hour
	longestSummer  = 300 * 24 * time.Hour
)

// standard is the offset of standard time in a period, seconds.
func (p period) standard(zone *time.Location) int {
	if !p.summer && (p.start.IsZero() || p.end.IsZero() || p.end.Sub(p.start) > longestSummer) {
		return p.offset
	}
	if !p.summer {
		for _, step := range []func(period, *time.Location) (period, bool){period.before, period.after} {
			if q, ok := step(p, zone); ok && q.isWinterException(zone) {
				return q.offset
			}
		}
		return p.offset
	}
	if p.isWinterException(zone) {
		return p.offset
	}
	before, hasBefore := nearestStandard(p, zone, period.before)
	after, hasAfter := nearestStandard(p, zone, period.after)
	switch {
	case hasBefore && isSaving(p.offset-before):
		return before
	case hasAfter && isSaving(p.offset-after):
		return after
	case hasBefore && p.offset < before: // Ramadan: the clock goes back for a month
		return before
	case hasAfter && p.offset < after:
		return after
	}
	return p.offset
}

func isSaving(seconds int) bool { return seconds > 0 && seconds <= 2*3600 }

// isWinterException reports whether the zone marks this winter as its exception.
func (p period) isWinterException(zone *time.Location) bool {
	if !p.summer || p.start.IsZero() || p.end.IsZero() || p.end.Sub(p.start) < shortestWinter {
		return false
	}
	before, _ := p.before(zone)
	after, _ := p.after(zone)
	return !before.summer && !after.summer && before.offset == after.offset && isSaving(before.offset-p.offset)
}

// nearestStandard goes from period to period until one is standard time; zones
// with double summer time have several others in a row.
func nearestStandard(p period, zone *time.Location, step func(period, *time.Location) (period, bool)) (int, bool) {
	for range 20 {
		var ok bool
		if p, ok = step(p, zone); !ok {
			return 0, false
		}
		if !p.summer {
			return p.offset, true
		}
	}
	return 0, false
}
