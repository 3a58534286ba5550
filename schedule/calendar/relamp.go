package calendar

import (
	"math"

	"dayloom/schedule/day"
	"dayloom/schedule/plan"
)

const relampEvery = 7 // days between steps

// rise is a date from which new lamps are held at a share of their light.
type rise struct {
	from  plan.Date
	scale float64
}

// heldAt is that share on a date.
func (b *Book) heldAt(channel int, date plan.Date) float64 {
	scale := 1.0
	for _, r := range b.held[channel] {
		if date.Before(r.from) {
			break
		}
		scale = r.scale
	}
	return scale
}

// rises follows a channel through its relampings: down to what it gave, then up by steps, none of
// them while light rises for another cause.
func (b *Book) rises(channel int, busy []Span) (out []rise) {
	scale := 1.0
	list := b.ages.relamped[channel]
	ageing := b.p.Channels[channel].Ageing
	for k, r := range list {
		scale = min(scale*b.ages.worn(channel, r.On)/Share(ageing, 0), 1)
		out = append(out, rise{r.On, scale})
		for d := r.On; scale < 1 && (k+1 == len(list) || d.Before(list[k+1].On)); {
			if end, ok := inside(busy, d); ok {
				d = end.AddDays(1)
				continue
			}
			if scale = raise(scale, b.limit(channel, d, r.StepMax)); scale > out[len(out)-1].scale {
				out = append(out, rise{d, scale})
			}
			d = d.AddDays(relampEvery)
		}
	}
	return out
}

func inside(spans []Span, date plan.Date) (end plan.Date, ok bool) {
	for _, s := range spans {
		if s.Has(date) {
			return s[1], true
		}
	}
	return end, false
}

// limit is the largest ratio that a step may have on a date: the plan's, less what
// the season adds to the day at the same time.
func (b *Book) limit(channel int, date plan.Date, step float64) float64 {
	limit := 1 + step
	longer := b.suns.stretch(date) - b.suns.stretch(date.AddDays(-1))
	if lit := day.LitSeconds(b.p, channel, b.season(date).Day); longer > 0 && lit > 0 {
		limit /= 1 + 2*longer/lit // a day of ramps alone gains at most twice its own share
	}
	return limit
}

// raise is the scale after the first of n even ratio steps back to 1, n being the
// fewest that keep to the limit.
func raise(scale, limit float64) float64 {
	if limit <= 1 {
		return scale
	}
	n := math.Ceil(math.Log(1/scale)/math.Log(limit) - 1e-9)
	if n <= 1 {
		return 1
	}
	return math.Pow(scale, 1-1/n)
}
