package calendar

import (
	"fmt"
	"slices"

	"dayloom/schedule/day"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/daypattern"
	"dayloom/schedule/text/diag"
)

// rank orders the kinds of rule, the most particular highest.
type rank int

const (
	byPattern rank = iota
	byRange
	byBoth
	byDate
)

// kinds says the same to people, by rank.
var kinds = [...]string{"a day pattern", "a date range", "a day pattern within a date range", "a one-off date"}

func rankOf(r plan.CalendarRule) rank {
	switch {
	case r.Pattern != "" && r.From.IsZero() && r.To.IsZero():
		return byPattern
	case r.Pattern != "":
		return byBoth
	case r.From == r.To && !r.From.IsZero():
		return byDate
	}
	return byRange
}

// fits tells whether a rule has the date. An open end of a range is the zero Date.
func (b *Book) fits(i int, date plan.Date) bool {
	r := b.p.Calendar[i]
	return Span{r.From, r.To}.Has(date) && (r.Pattern == "" || b.patterns[i].Matches(date.UTC()))
}

// fitting lists the rules of a date, the one that applies first.
func (b *Book) fitting(date plan.Date) (fit []int) {
	for i := range b.p.Calendar {
		if b.fits(i, date) {
			fit = append(fit, i)
		}
	}
	slices.SortFunc(fit, func(i, j int) int {
		if ri, rj := rankOf(b.p.Calendar[i]), rankOf(b.p.Calendar[j]); ri != rj {
			return int(rj - ri)
		}
		return j - i
	})
	return fit
}

// rule is the layer of the calendar's rules: the most particular one of those that fit changes the day.
func (b *Book) rule(date plan.Date) (c Change) {
	fit := b.fitting(date)
	if len(fit) == 0 {
		return c
	}
	won := &b.p.Calendar[fit[0]]
	for k, i := range fit {
		r := b.p.Calendar[i]
		text := fmt.Sprintf("%s: %s", name(r), kinds[rankOf(r)])
		switch {
		case k == 0:
			text += ", applies: " + b.effect(r)
		case rankOf(r) == rankOf(*won):
			text += fmt.Sprintf(", gives way to %s, which is further down in the plan", name(*won))
		default:
			text += fmt.Sprintf(", gives way to %s: %s is more particular", name(*won), kinds[rankOf(*won)])
		}
		c.Rules = append(c.Rules, text)
	}
	c.Rule = won
	if won.Scale != 1 {
		c.Day.Scale = slices.Repeat([]float64{won.Scale}, len(b.p.Channels))
	}
	if won.Day != day.Usual {
		c.Day.Named = &b.p.Days[won.Day]
	}
	return c
}

// readPatterns parses the day patterns of the rules, then of the chores.
func (b *Book) readPatterns() (problems diag.List) {
	read := func(text string, at plan.Pos) {
		var pattern daypattern.Pattern
		if text != "" {
			var err error
			if pattern, err = daypattern.Parse(text); err != nil {
				problems = append(problems, problem(b.p, at, diag.Error, "calendar: "+err.Error(), ""))
			}
		}
		b.patterns = append(b.patterns, pattern)
	}
	for _, r := range b.p.Calendar {
		read(r.Pattern, r.Pos)
	}
	for _, c := range b.p.Chores {
		read(c.Pattern, plan.Pos{})
	}
	return problems
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
		if n, up := r.From.DaysUntil(r.To)+1, 1/r.Scale-1; n >= longDim && up > plan.StepMax {
			out = append(out, problem(p, r.Pos, diag.Warning,
				fmt.Sprintf("calendar: %s is %d days at %.4g %%, so on %s the light rises by %.0f %% in a day", name(r), n, 100*r.Scale, r.To.AddDays(1), 100*up),
				fmt.Sprintf("bring it back by several ranges, each at most %.0f %% brighter than the one before", 100*plan.StepMax)))
		}
	}
	return out
}
