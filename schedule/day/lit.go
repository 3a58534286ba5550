package day

import (
	"dayloom/schedule/curve"
	"dayloom/schedule/plan"
)

// LitSeconds is how long a channel's daylight burns on a day with this change, at
// whatever level; moonlight does not count. It needs no date and no sky.
func LitSeconds(p *plan.Plan, channel int, ch Change) float64 {
	scale := ch.Scale
	if ch.Channel != nil {
		scale *= ch.Channel[channel]
	}
	if scale <= 0 {
		return 0
	}
	var lit []curve.Curve
	for _, part := range Parts(p, ch.Day) {
		if !lights(part, channel) {
			continue
		}
		switch {
		case part.Daylight != nil:
			lit = append(lit, daylight(*part.Daylight, ch.Hours, ch.Stretch))
		case part.Switched != nil:
			h := hours(*part.Switched, channel, ch)
			lit = append(lit, switched(h, min(scale, 1)*ch.Hours, ch.Stretch))
		}
	}
	if len(lit) == 0 {
		return 0
	}
	total, until := 0.0, 0.0 // pieces come by rising start; overlaps count once
	for _, piece := range curve.Sum(lit...).Pieces() {
		if piece.To > until {
			total += piece.To - max(piece.From, until)
			until = piece.To
		}
	}
	return total
}
