package balance

import (
	"math"

	"dayloom/schedule/day"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/port"
)

// Options is what the plan alone does not say. The zero Options is the usual day with new lamps.
type Options struct {
	Date    plan.Date  // for moonlight
	Change  day.Change // of that date
	Age     []float64  // share of new flux left in each channel; nil: all new
	Sure    float64    // probability with which limits on light hold; 0: no margin
	Targets []Target   // in place of the zones' for some corals
	From    []float64  // peaks of each channel now, for `prefer: least change`
	Least   []float64  // least light fraction that each channel's ports can show beside none; nil: LeastLight of the plan
	Boxes   int        // most ranges of hours, and sets of lit channels, to look at; 0: 400
	Cost    bool       // tell what wishes of colour cost, by an answer without them
	Centred bool       // hours that are auto stay in the middle of their window
}

// Target is what one coral should receive; see TargetOf. Without a DLI above zero only its limits count.
type Target struct {
	Coral                   int // index into Plan.Corals
	DLI, Within             float64
	DLIMin, DLIMax, PPFDMax float64 // 0, +Inf, +Inf: none
	Never                   float64 // a DLI that no target may lift it above; 0: none
}

// TargetOf is what the plan asks for a coral.
func TargetOf(p *plan.Plan, coral int) Target {
	t := target(p.Zones[p.Corals[coral].Zone])
	t.Coral = coral
	return t
}

func (t Target) asked() bool { return t.DLI > 0 && !math.IsInf(t.DLI, 1) }

// never is the DLI that is a limit: with a margin dli_max is one, and where nothing is asked; else it is part of the target.
func (t Target) never(margin float64) float64 {
	most := math.Inf(1)
	if t.Never > 0 {
		most = t.Never
	}
	if margin > 0 || !t.asked() {
		most = min(most, t.DLIMax)
	}
	return most
}

// met tells whether a DLI is within the tolerance and the limits; rounding alone never decides.
func (t Target) met(dli float64) bool {
	if t.asked() && math.Abs(dli/t.DLI-1) > t.Within*(1+broke)+broke {
		return false
	}
	return dli >= t.DLIMin*(1-broke) && dli <= t.DLIMax*(1+broke)
}

func target(z plan.Zone) Target {
	return Target{Coral: -1, DLI: z.DLI, Within: z.Within, DLIMin: z.DLIMin, DLIMax: z.DLIMax, PPFDMax: z.PPFDMax}
}

// auto says what is to be found of one channel.
type auto struct {
	peak, hours bool
	from, to    float64 // of the peak
	fixedPeak   bool    // an entry has a peak of its own
	switched    plan.Switched
	pos         plan.Pos
	entries     int // that are auto
}

func autoOf(parts []plan.DayPart, channel int) (a auto) {
	for _, part := range parts {
		for _, c := range part.Channels {
			if c != channel {
				continue
			}
			switch {
			case part.Daylight != nil && part.Daylight.Peak.Auto:
				l := part.Daylight.Peak
				if l.To == 0 {
					l.To = 1
				}
				if !a.peak {
					a.to = 1
				}
				a.peak, a.pos, a.entries = true, l.Pos, a.entries+1
				a.from, a.to = max(a.from, l.From), min(a.to, l.To)
			case part.Daylight != nil:
				a.fixedPeak = true
			case part.Switched != nil && (part.Switched.AutoOn || part.Switched.AutoOff):
				a.hours, a.switched, a.pos, a.entries = true, *part.Switched, part.Pos, a.entries+1
			case part.Switched != nil:
				a.fixedPeak = true
			}
		}
	}
	return a
}

// Needed reports whether a plan's usual day has anything to be found.
func Needed(p *plan.Plan) bool {
	for c := range p.Channels {
		if a := autoOf(p.Day, c); a.peak || a.hours {
			return true
		}
	}
	return false
}

// LeastLight is the least light fraction that the ports of each channel can show beside none; 0 where any can be
// had, and for channels without a port.
func LeastLight(p *plan.Plan) []float64 {
	out := make([]float64, len(p.Channels))
	for _, q := range p.Ports() {
		for i, c := range q.Channels {
			if q.Signal != port.Switch && q.Known() {
				out[c] = max(out[c], q.Least(i))
			}
		}
	}
	return out
}
