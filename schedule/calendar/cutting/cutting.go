package cutting

import (
	"fmt"
	"math"
	"slices"
	"time"

	"dayloom/schedule/calendar"
	"dayloom/schedule/calendar/acclimate"
	"dayloom/schedule/day"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
	"dayloom/schedule/shape/daypattern"
)

// Range is dates, both inclusive, of some weekdays, that play the day of one of them.
type Range struct {
	From, To, Day plan.Date
	Days          daypattern.Weekdays
}

// Has tells whether a date is in the range.
func (r Range) Has(date plan.Date) bool {
	return r.Days.Has(date.Weekday()) && !date.Before(r.From) && !r.To.Before(date)
}

// Cutting is the tables of a plan whose controllers hold so many a year.
type Cutting struct {
	Ranges   []Range
	Greatest float64   // greatest departure of a coral's DLI, or of an area's mean, from its date's own
	Name     string    // whose
	On       plan.Date // and when
	Unfit    []Unfit   // rises beyond their limit: no cutting keeps to all of them

	p     *plan.Plan
	book  *calendar.Book
	cut   []bool // as Plan.Channels: on a controller that is keyed in
	moons map[*plan.Moonlight]*plan.Moonlight
}

// Unfit is a rise from one table to the next.
type Unfit struct {
	Name, Which string
	On          plan.Date
	Rise, Limit float64
}

// slack is of a rise: moonlight and season move that much by themselves.
const slack = 1e-3

// Needed tells whether a controller of a plan holds a number of tables a year.
func Needed(p *plan.Plan) bool {
	return slices.ContainsFunc(p.Controllers, func(c plan.Controller) bool { return c.TablesPerYear > 0 })
}

// Of cuts the dates from one to another, both included, year by year from the first.
func Of(p *plan.Plan, f light.Field, g *acclimate.Programme, from, to plan.Date) Cutting {
	c := Cutting{p: p, book: g.Book(), cut: make([]bool, len(p.Channels)), moons: means(p, from, to)}
	tables := 0
	for _, k := range p.Controllers {
		if k.TablesPerYear > 0 {
			tables = k.TablesPerYear
			for _, q := range k.Ports {
				for _, ch := range q.Channels {
					c.cut[ch] = true
				}
			}
		}
	}
	groups := c.weekdays()
	follows := false
	for first := from; !to.Before(first); {
		last := plan.DateOf(first.UTC().AddDate(1, 0, -1))
		if to.Before(last) {
			last = to
		}
		n := first.DaysUntil(last) + 1
		y := newYear(&c, p, f, g, first, n, follows)
		c.Ranges = append(c.Ranges, y.best(groups, max(int(math.Ceil(float64(tables)*float64(n)/366)), 1))...)
		first, follows = last.AddDays(1), true
	}
	c.judge(p, f, g)
	return c
}

// weekdays are those that the rules of the calendar tell apart: each group has tables of its own.
func (c Cutting) weekdays() (groups []daypattern.Weekdays) {
	kinds := map[string][]time.Weekday{}
	var order []string
	for w := range time.Weekday(7) {
		kind := ""
		for _, r := range c.p.Calendar {
			if pattern, err := daypattern.Parse(r.Pattern); err == nil && pattern.FollowsWeekdays() {
				kind += fmt.Sprint(pattern.Weekday(w), " ")
			}
		}
		if kinds[kind] == nil {
			order = append(order, kind)
		}
		kinds[kind] = append(kinds[kind], w)
	}
	for _, kind := range order {
		groups = append(groups, daypattern.WeekdaysOf(kinds[kind]...))
	}
	return groups
}

// at is the range of a date; beyond the last one, the last of its weekday.
func (c Cutting) at(date plan.Date) Range {
	at := c.Ranges[0]
	for _, r := range c.Ranges {
		if r.Has(date) {
			return r
		}
		if r.Days.Has(date.Weekday()) {
			at = r
		}
	}
	return at
}

// before is the range before one, of the same weekdays.
func (c Cutting) before(i int) (r Range, ok bool) {
	days := c.Ranges[i].Days
	for i--; i >= 0; i-- {
		if c.Ranges[i].Days == days {
			return c.Ranges[i], true
		}
	}
	return r, false
}

// Day is the day that is played on a date: that of its range where a channel is keyed in, with moonlight at its
// mean over all ranges, and its own elsewhere.
func (c Cutting) Day(date plan.Date) day.Day {
	own := day.Build(c.p, date, c.book.On(date).Day)
	r := c.at(date)
	ch := c.book.On(r.Day).Day
	parts := slices.Clone(ch.Parts(c.p))
	for i, part := range parts {
		if part.Moonlight != nil {
			parts[i].Moonlight = c.moons[part.Moonlight]
		}
	}
	played := day.Build(c.p, date, ch.And(day.Change{Named: &plan.NamedDay{Parts: parts}}))
	for i := range own.Channels {
		if c.cut[i] {
			own.Channels[i] = played.Channels[i]
		}
	}
	return own
}

// means are the moonlights of a plan at their mean over some dates.
func means(p *plan.Plan, from, to plan.Date) map[*plan.Moonlight]*plan.Moonlight {
	out := map[*plan.Moonlight]*plan.Moonlight{}
	days := [][]plan.DayPart{p.Day}
	for _, d := range p.Days {
		days = append(days, d.Parts)
	}
	for _, part := range slices.Concat(days...) {
		if part.Moonlight == nil {
			continue
		}
		m, sum := *part.Moonlight, 0.0
		for d := from; !to.Before(d); d = d.AddDays(1) {
			sum += day.MoonLevel(p, m, d)
		}
		m.Phase, m.Peak = plan.Constant, sum/float64(from.DaysUntil(to)+1)
		out[part.Moonlight] = &m
	}
	return out
}

// judge works out what the cutting costs, moonlight counted, and which rises it has beyond their limits.
func (c *Cutting) judge(p *plan.Plan, f light.Field, g *acclimate.Programme) {
	for i, r := range c.Ranges {
		for d := r.From; !r.To.Before(d); d = d.AddDays(1) {
			if !r.Has(d) {
				continue
			}
			places, spans := placesOn(p, f, g, d)
			own, played := day.Build(p, d, c.book.On(d).Day).Split(spans).Doses(), c.Day(d).Split(spans).Doses()
			for _, pl := range places {
				if off := departure(light.DLI(pl.full, played), light.DLI(pl.full, own)); !pl.absent && math.Abs(off) > math.Abs(c.Greatest) {
					c.Greatest, c.Name, c.On = off, pl.name, d
				}
			}
		}
		if before, ok := c.before(i); ok {
			c.rises(p, f, g, before, r)
		}
	}
}

// rises lists those from one range to the next that are over their limit.
func (c *Cutting) rises(p *plan.Plan, f light.Field, g *acclimate.Programme, before, after Range) {
	places, _ := placesOn(p, f, g, after.From)
	was, is := g.Measures(c.book.On(before.Day)), g.Measures(c.book.On(after.Day))
	usual := g.Measures(c.book.Usual(after.From))
	for k, pl := range places {
		if up, which := acclimate.Rise(is[k], was[k:k+1], usual[k]).Most(); !pl.absent {
			if limit := g.Limit(pl.coral, after.From); up > limit.Max+slack {
				c.Unfit = append(c.Unfit, Unfit{pl.name, which, after.From, up, limit.Max})
			}
		}
	}
}

// place is the light of a coral or area at full output on a date, age included.
type place struct {
	name   string
	coral  int       // -1: an area
	full   []float64 // µmol m⁻² s⁻¹, of every channel, and once more for each span in which a rack is elsewhere (day.Split)
	absent bool
}

// placesOn are the places of a date, and the spans of the day in which racks hang elsewhere.
func placesOn(p *plan.Plan, f light.Field, g *acclimate.Programme, date plan.Date) (out []place, spans [][2]float64) {
	d := g.Book().On(date)
	_, here := d.Moved(p, f)
	spans = here.Spans()
	here, age := here.Spread(d.Age)
	add := func(name string, coral int, cells []light.Cell) {
		pl := place{name: name, coral: coral, full: make([]float64, len(cells)), absent: coral >= 0 && g.CameFrom(coral, date) > 0}
		for i, cell := range cells {
			pl.full[i] = cell.PPFD * age[i]
		}
		out = append(out, pl)
	}
	for i, cells := range here.Corals {
		add(p.Corals[i].Name, i, cells)
	}
	for _, a := range here.Areas {
		add(p.Zones[a.Zone].Name+" (area)", -1, a.Mean)
	}
	return out, spans
}

// departure is relative to the own light; any light where there is to be none counts as all of it.
func departure(got, own float64) float64 {
	switch {
	case own > 0:
		return got/own - 1
	case got > 0:
		return 1
	}
	return 0
}

// shifts tells for some dates whether the controller's clock is shifted against the day by another time than on
// the date before.
func shifts(p *plan.Plan, first plan.Date, n int) []bool {
	out := make([]bool, n)
	for _, d := range clock.Of(p.Clock).Changes(first, first.AddDays(n-1)) {
		out[first.DaysUntil(d)] = true
	}
	out[0] = false
	return out
}
