package balance

import (
	"math"

	"dayloom/schedule/day"
	"dayloom/schedule/plan"
)

// Options is what the plan alone does not say. The zero Options is the usual day with new lamps.
type Options struct {
	Date    plan.Date  // for moonlight
	Change  day.Change // of that date
	Age     []float64  // share of new flux left in each channel; nil: all new
	Sure    float64    // probability with which limits on light hold; 0: no margin
	Targets []Target   // in place of the zones' for some corals
	// Tolerances counts departures in tolerances, |DLI − T| / (T·within), in place of parts of the target.
	// Their greatest is at most 1 exactly when all targets can be met together.
	Tolerances bool
	From       []float64 // peaks of each channel now, for `prefer: least change`
}

// Target is what one coral should receive; see TargetOf. Without a DLI above zero only its limits count.
type Target struct {
	Coral                   int // index into Plan.Corals
	DLI, Within             float64
	DLIMin, DLIMax, PPFDMax float64 // 0, +Inf, +Inf: none
}

// TargetOf is what the plan asks for a coral.
func TargetOf(p *plan.Plan, coral int) Target {
	t := target(p.Zones[p.Corals[coral].Zone])
	t.Coral = coral
	return t
}

func (t Target) asked() bool { return t.DLI > 0 && !math.IsInf(t.DLI, 1) }

func target(z plan.Zone) Target {
	return Target{Coral: -1, DLI: z.DLI, Within: z.Within, DLIMin: z.DLIMin, DLIMax: z.DLIMax, PPFDMax: z.PPFDMax}
}

// auto says what is to be found of one channel.
type auto struct {
	peak, hours bool
	fixedPeak   bool // an entry has a peak of its own
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
				a.peak, a.pos, a.entries = true, part.Daylight.Peak.Pos, a.entries+1
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
