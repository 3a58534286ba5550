package calendar

import (
	"fmt"
	"slices"

	"dayloom/schedule/day"
	"dayloom/schedule/diag"
	"dayloom/schedule/plan"
)

// rank orders the kinds of rule, the most particular highest.
type rank int

const (
	byPattern rank = iota
	byRange
	byDate
)

// kinds says the same to people, by rank.
var kinds = [...]string{"a day pattern", "a date range", "a one-off date"}

func rankOf(r plan.CalendarRule) rank {
	switch {
	case r.Pattern != "":
		return byPattern
	case r.From == r.To && !r.From.IsZero():
		return byDate
	}
	return byRange
}

// fits tells whether a rule has the date. An open end of a range is the zero Date.
func (b *Book) fits(i int, date plan.Date) bool {
	r := b.p.Calendar[i]
	if !r.From.IsZero() && date.Before(r.From) || !r.To.IsZero() && r.To.Before(date) {
		return false
	}
	return r.Pattern == "" || b.patterns[i].Matches(date.UTC())
}

// applyRule finds the rules of a date, lets the most particular one change it and
// says why.
func (b *Book) applyRule(d *Dated) {
	var fit []int
	for i := range b.p.Calendar {
		if b.fits(i, d.Date) {
			fit = append(fit, i)
		}
	}
	if len(fit) == 0 {
		return
	}
	slices.SortFunc(fit, func(i, j int) int { // the winner first
		if ri, rj := rankOf(b.p.Calendar[i]), rankOf(b.p.Calendar[j]); ri != rj {
			return int(rj - ri)
		}
		return j - i
	})
	d.Rule = fit[0]
	won := b.p.Calendar[d.Rule]
	for k, i := range fit {
		r := b.p.Calendar[i]
		text := fmt.Sprintf("%s: %s", name(r), kinds[rankOf(r)])
		switch {
		case k == 0:
			text += ", applies: " + b.effect(r)
		case rankOf(r) == rankOf(won):
			text += fmt.Sprintf(", gives way to %s, which is further down in the plan", name(won))
		default:
			text += fmt.Sprintf(", gives way to %s: %s is more particular", name(won), kinds[rankOf(won)])
		}
		d.Rules = append(d.Rules, text)
	}
	d.Change.Scale *= won.Scale
	if won.Day != day.Usual {
		d.Change.Day = won.Day
		d.Change.Peaks, d.Change.Switch = b.named(won.Day)
	}
}

// named is the peaks and hours of another day: its own where it gives them, and
// those found for the usual day where it says auto.
func (b *Book) named(index int) ([]float64, []day.Hours) {
	pk, hours := b.opts.Peaks, b.opts.Switch
	if pk != nil {
		pk = peaks(b.p, index, pk)
	}
	if hours != nil {
		hours = slices.Clone(hours)
		for _, part := range day.Parts(b.p, index) {
			for _, c := range part.Channels {
				if s := part.Switched; s != nil && !s.AutoOn && !s.AutoOff {
					hours[c] = day.Hours{On: s.On, Off: s.Off}
				}
			}
		}
	}
	return pk, hours
}

// peaks is the daylight peak of each channel on a day, with found in place of auto.
func peaks(p *plan.Plan, index int, found []float64) []float64 {
	out := make([]float64, len(p.Channels))
	if found != nil {
		copy(out, found)
	}
	if index == day.Usual && found != nil {
		return out
	}
	for _, part := range day.Parts(p, index) {
		for _, c := range part.Channels {
			if part.Daylight != nil && !part.Daylight.Peak.Auto {
				out[c] = part.Daylight.Peak.Fraction
			}
		}
	}
	return out
}

func name(r plan.CalendarRule) string {
	if r.Name != "" {
		return r.Name
	}
	return fmt.Sprintf("the rule of line %d", r.Pos.Line)
}

func (b *Book) effect(r plan.CalendarRule) string {
	text := fmt.Sprintf("light at %.4g %%", 100*r.Scale)
	if r.Day != day.Usual {
		text = fmt.Sprintf("the day %q, ", b.p.Days[r.Day].Name) + text
	}
	return text
}

// longDim is from how many days on a coral is taken to have grown used to less light;
// a half-time of 7 days is a working figure (common practice, no source).
const longDim = 7

// ends warns of ranges of dimmer light so long that their end is a step up.
func ends(p *plan.Plan) diag.List {
	var out diag.List
	for _, r := range p.Calendar {
		if r.From.IsZero() || r.To.IsZero() || r.Pattern != "" || r.Scale <= 0 {
			continue
		}
		if n, up := r.From.DaysUntil(r.To)+1, 1/r.Scale-1; n >= longDim && up > relampStep {
			out = append(out, problem(p, r.Pos, diag.Warning,
				fmt.Sprintf("calendar: %s is %d days at %.4g %%, so on %s the light rises by %.0f %% in a day", name(r), n, 100*r.Scale, r.To.AddDays(1), 100*up),
				fmt.Sprintf("bring it back by several ranges, each at most %.0f %% brighter than the one before", 100*relampStep)))
		}
	}
	return out
}
