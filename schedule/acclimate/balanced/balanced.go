package balanced

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"dayloom/schedule/acclimate"
	"dayloom/schedule/balance"
	"dayloom/schedule/day"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

// Solve finds the levels of one day. It fails when no levels keep the limits.
func Solve(t acclimate.Task) (acclimate.Levels, error) {
	p, f, corals := here(t)
	p = free(p, t.Change)
	usual := usualPeaks(t.Plan, t.Change)
	opts := balance.Options{Date: t.Date, Age: t.Age, Change: t.Change, From: slices.Repeat([]float64{1}, len(p.Channels))}
	opts.Change.Channel = make([]float64, len(p.Channels))
	for c := range p.Channels {
		opts.Change.Channel[c] = 1
		if t.Change.Channel != nil {
			opts.Change.Channel[c] = t.Change.Channel[c]
		}
		if usual[c] > 0 {
			opts.Change.Channel[c] *= usual[c] // a peak of 1 is then the usual one
		}
	}
	for i, c := range corals {
		own := balance.TargetOf(p, i)
		if t.Targets[c] != own.DLI || !math.IsInf(t.AtMost[c], 1) {
			own.DLI, own.DLIMin, own.DLIMax = t.Targets[c], 0, min(own.DLIMax, t.AtMost[c])
		}
		opts.Targets = append(opts.Targets, own)
	}
	a, problems := balance.Solve(p, f, opts)
	if len(problems) > 0 && problems.HasErrors() {
		return acclimate.Levels{}, errors.New(problems[0].What)
	}
	out := acclimate.Levels{Peaks: slices.Clone(a.Peaks), Switch: a.Switch, Note: note(a)}
	for c := range out.Peaks {
		switch {
		case usual[c] > 0:
			out.Peaks[c] *= usual[c]
		case t.Change.Peaks != nil:
			out.Peaks[c] = t.Change.Peaks[c]
		}
	}
	return out, nil
}

// here is the plan and its light with the corals that are in the tank; corals are
// their indexes before.
func here(t acclimate.Task) (*plan.Plan, light.Field, []int) {
	p, f := *t.Plan, t.Field
	p.Corals, f.Corals = nil, nil
	p.Zones = slices.Clone(p.Zones)
	for z := range p.Zones {
		p.Zones[z].Corals = nil
	}
	var corals []int
	for i, c := range t.Plan.Corals {
		if math.IsNaN(t.Targets[i]) {
			continue
		}
		p.Zones[c.Zone].Corals = append(p.Zones[c.Zone].Corals, len(p.Corals))
		p.Corals, f.Corals = append(p.Corals, c), append(f.Corals, t.Field.Corals[i])
		corals = append(corals, i)
	}
	return &p, f, corals
}

// free is the plan with all found that may be found, and as little changed as can be.
func free(p *plan.Plan, ch day.Change) *plan.Plan {
	q := *p
	q.Balance.LeastChange = true
	usual := usualPeaks(p, ch)
	var parts []plan.DayPart
	for _, part := range day.Parts(p, ch.Day) {
		for _, c := range part.Channels { // one entry a channel: what is free differs between channels
			one := part
			one.Channels = []int{c}
			switch {
			case part.Daylight != nil && usual[c] > 0:
				d := *part.Daylight
				d.Peak = plan.Level{Auto: true, Pos: d.Peak.Pos}
				one.Daylight = &d
			case part.Switched != nil:
				s := *part.Switched
				on, off := s.On, s.Off
				if ch.Switch != nil && ch.Switch[c].On != day.AsPlanned {
					on, off = ch.Switch[c].On, ch.Switch[c].Off
				}
				if on == off || several(p, ch.Day, c) {
					break
				}
				s.AutoOn, s.AutoOff, s.Window = true, true, &plan.Window{From: on, To: off}
				one.Switched = &s
			}
			parts = append(parts, one)
		}
	}
	if ch.Day == day.Usual {
		q.Day = parts
	} else {
		q.Days = slices.Clone(p.Days)
		q.Days[ch.Day].Parts = parts
	}
	return &q
}

// usualPeaks is the daylight peak of each channel, 0 where there is none or no single one.
func usualPeaks(p *plan.Plan, ch day.Change) []float64 {
	out := make([]float64, len(p.Channels))
	for _, part := range day.Parts(p, ch.Day) {
		if part.Daylight == nil {
			continue
		}
		for _, c := range part.Channels {
			peak := part.Daylight.Peak.Fraction
			if ch.Peaks != nil && ch.Peaks[c] != day.AsPlanned {
				peak = ch.Peaks[c]
			}
			switch out[c] {
			case 0:
				out[c] = peak
			case peak:
			default:
				out[c] = math.NaN()
			}
		}
	}
	for c := range out {
		if !(out[c] > 0) {
			out[c] = 0
		}
	}
	return out
}

// several tells whether more than one entry switches a channel.
func several(p *plan.Plan, index, channel int) bool {
	n := 0
	for _, part := range day.Parts(p, index) {
		if part.Switched != nil && slices.Contains(part.Channels, channel) {
			n++
		}
	}
	return n > 1
}

// note says who is furthest from the target.
func note(a balance.Answer) string {
	if len(a.Places) == 0 {
		return ""
	}
	worst := slices.MaxFunc(a.Places, func(a, b balance.Place) int {
		switch d := math.Abs(a.Departure) - math.Abs(b.Departure); {
		case d > 0:
			return 1
		case d < 0:
			return -1
		}
		return 0
	})
	return fmt.Sprintf("%s is furthest from its target, %.2f of %.2f (%+.0f %%)", worst.Name, worst.DLI, worst.Target, 100*worst.Departure)
}
