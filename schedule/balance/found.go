package balance

import (
	"slices"

	"dayloom/schedule/day"
	"dayloom/schedule/plan"
)

// Found is the plan with found values in place of auto ones, in its usual day and in the
// others; the plan itself where nothing was found.
func Found(p *plan.Plan, a Answer) *plan.Plan {
	if a.Peaks == nil {
		return p
	}
	q := *p
	q.Day, q.Days = put(p.Day, a.Peaks, a.Switch), slices.Clone(p.Days)
	for i := range q.Days {
		q.Days[i].Parts = put(q.Days[i].Parts, a.Peaks, a.Switch)
	}
	return &q
}

// put gives values to entries, and repeats an entry that has something to be found for each of its channels.
func put(parts []plan.DayPart, peaks []float64, hours []day.Hours) (out []plan.DayPart) {
	for _, part := range parts {
		daylight, switched := part.Daylight, part.Switched
		if !(daylight != nil && daylight.Peak.Auto || switched != nil && (switched.AutoOn || switched.AutoOff)) {
			out = append(out, part)
			continue
		}
		for _, c := range part.Channels {
			one := part
			one.Channels = []int{c}
			if daylight != nil {
				d := *daylight
				d.Peak = plan.Level{Fraction: peaks[c], Pos: d.Peak.Pos}
				one.Daylight = &d
			} else {
				one.Switched = &plan.Switched{On: hours[c].On, Off: hours[c].Off, Pos: switched.Pos}
			}
			out = append(out, one)
		}
	}
	return out
}

// Of is what was found of some channels alone; nil: of all.
func (a Answer) Of(channels []int) Answer {
	if channels == nil || a.Peaks == nil {
		return a
	}
	peaks, hours := a.Peaks, a.Switch
	a.Peaks, a.Switch = nil, nil
	for _, c := range channels {
		a.Peaks, a.Switch = append(a.Peaks, peaks[c]), append(a.Switch, hours[c])
	}
	return a
}
