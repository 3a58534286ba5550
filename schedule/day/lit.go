package day

import (
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
)

// LitSeconds is how long a channel's daylight burns on a day with this change, at
// whatever level; moonlight does not count. It needs no date and no sky.
func LitSeconds(p *plan.Plan, channel int, ch Change) float64 {
	if ch.scale(channel) <= 0 {
		return 0
	}
	var lit []curve.Curve
	for _, part := range ch.Parts(p) {
		switch s := part.Switched; {
		case !lights(part, channel):
		case part.Daylight != nil:
			lit = append(lit, daylight(*part.Daylight, ch.shorter(channel), ch.Stretch))
		case s != nil && !s.AutoOn && !s.AutoOff:
			lit = append(lit, Switched(Hours{s.On, s.Off}, channel, ch))
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
