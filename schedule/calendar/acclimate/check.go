package acclimate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"dayloom/schedule/calendar"
	"dayloom/schedule/day"
	"dayloom/schedule/day/dose"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// dates lists every date on which the programme changes the light of anything.
func (g *Programme) dates() []plan.Date {
	var out []plan.Date
	for i := range g.Tracks {
		for _, e := range g.Tracks[i].Events {
			out = append(out, e.Date)
		}
	}
	for _, o := range g.outages {
		for k := range o.n + 1 {
			out = append(out, o.date.AddDays(k*plan.StepDays))
		}
	}
	for _, list := range g.stands {
		for _, s := range list {
			out = append(out, s.from)
		}
	}
	return sorted(out)
}

// check works out the light at every step and the day before it, and holds it against
// limits and targets.
func (g *Programme) check() {
	book := g.Book()
	for _, date := range g.dates() {
		d := book.Steady(date)
		now := g.doses(d)
		step := Step{Date: date, What: g.what(date), Change: d.Day}
		is, before, usual := g.Measures(d), g.before(date), g.Measures(g.book.Usual(date))
		for c := range now.Corals {
			step.Corals = append(step.Corals, g.row(date, c, now.Corals[c], is[c], before[c], usual[c]))
		}
		for i, a := range now.Areas {
			k := len(now.Corals) + i
			step.Areas = append(step.Areas, g.areaRow(a, is[k], before[k], usual[k]))
		}
		g.Steps = append(g.Steps, step)
	}
	var excess []exceeded
	low := map[string]bool{}
	for k := range g.Steps {
		excess = append(excess, g.judge(k, low)...)
	}
	g.refuseRises(excess)
	g.longest()
	g.sayNotes()
}

// sayNotes gathers what is worth knowing and no problem.
func (g *Programme) sayNotes() {
	for i := range g.Tracks {
		t := &g.Tracks[i]
		for _, n := range t.Notes {
			g.Notes = append(g.Notes, g.p.Corals[t.Coral].Name+": "+n)
		}
		if t.By == plan.ByHours {
			g.Notes = append(g.Notes, g.p.Corals[t.Coral].Name+": shorter hours lower its DLI and violet dose; its peak PPFD is full from the first day")
		}
	}
	if g.violet < 0 && len(g.Tracks) > 0 {
		g.Notes = append(g.Notes, "the light in 380-430 nm was not worked out, so its limit is not checked")
	}
	for _, s := range g.solved {
		if s.levels.Note != "" {
			g.Notes = append(g.Notes, fmt.Sprintf("%s, by balance: %s", s.date, s.levels.Note))
		}
	}
}

func (g *Programme) doses(d calendar.Dated) dose.Result {
	p, f := d.Moved(g.p, g.f)
	return dose.Of(p, f, day.Build(g.p, d.Date, d.Day), d.Age)
}

// before is the light of each coral, then area, on the days before a date to which it is taken to be used. Between
// two steps light only drifts, so the two ends of each such stretch have the most of it.
func (g *Programme) before(date plan.Date) [][]Measure {
	first := date.AddDays(-Accustomed)
	look := []plan.Date{first, date.AddDays(-1)}
	for _, e := range g.dates() {
		if first.Before(e) && e.Before(date) {
			look = append(look, e, e.AddDays(-1))
		}
	}
	out := make([][]Measure, len(g.f.Corals)+len(g.f.Areas))
	for _, d := range sorted(look) {
		for i, m := range g.Measures(g.Book().Steady(d)) {
			out[i] = append(out[i], m)
		}
	}
	return out
}

func sorted(dates []plan.Date) []plan.Date {
	slices.SortFunc(dates, func(a, b plan.Date) int { return -a.DaysUntil(b) })
	return slices.Compact(dates)
}

// Measures is the light of every coral, then of every area's mean, on a day; of a coral that is not there yet the
// DLI that it comes from.
func (g *Programme) Measures(d calendar.Dated) (out []Measure) {
	_, f := d.Moved(g.p, g.f)
	spans := f.Spans()
	f, age := f.Spread(d.Age)
	l := litBy(day.Build(g.p, d.Date, d.Day).Split(spans), age)
	for c, cells := range f.Corals {
		if from := g.CameFrom(c, d.Date); from > 0 {
			out = append(out, OnlyDLI(from))
		} else {
			out = append(out, l.measure(cells, g.violet))
		}
	}
	for _, a := range f.Areas {
		out = append(out, l.measure(a.Mean, g.violet))
	}
	return out
}

// areaRow shows the brightest place of an area and judges the rise of its mean.
func (g *Programme) areaRow(now dose.Place, is Measure, before []Measure, usual Measure) Light {
	m := Measure{DLI: now.DLI, Peak: now.Peak}
	if g.violet >= 0 && g.violet < len(now.BandDLI) {
		m.Violet = now.BandDLI[g.violet]
	}
	return Light{Name: now.Name, Zone: now.Zone, Present: true, Target: g.p.Zones[now.Zone].DLI, Measure: m, Rise: Rise(is, before, usual), Place: now.At, Verdict: now.Verdict}
}

func (g *Programme) row(date plan.Date, c int, now dose.Place, is Measure, before []Measure, usual Measure) Light {
	l := g.areaRow(now, is, before, usual)
	l.Present = g.present(c, date)
	s, _ := g.standing(c, date)
	was, _ := g.standing(c, date.AddDays(-1))
	l.Place, l.Moved = s.place, s.place != was.place && g.present(c, date.AddDays(-1))
	if t := g.track(c, date); t != nil {
		if e := t.at(date); e != nil {
			l.Target = e.Target
			if e.Step < e.Of {
				l.Note = "newcomer"
			}
		}
	}
	return l
}

// exceeded is a rise beyond the limit.
type exceeded struct {
	name, which string
	up, limit   float64
	date        plan.Date
	at          diag.Place
}

// refuseRises reports the greatest rise of each quantity beyond its limit, and refuses the week of each.
func (g *Programme) refuseRises(all []exceeded) {
	slices.SortStableFunc(all, func(a, b exceeded) int { return cmp.Compare(b.up/b.limit, a.up/a.limit) })
	for _, which := range []string{"DLI", "peak PPFD", "violet dose (380-430 nm)"} {
		of := slices.DeleteFunc(slices.Clone(all), func(x exceeded) bool { return x.which != which })
		if len(of) == 0 {
			continue
		}
		x := of[0]
		what := fmt.Sprintf("%s: its %s rises by %.1f %% on %s (%s)", x.name, x.which, 100*x.up, x.date, strings.Join(g.what(x.date), "; "))
		if len(of) > 1 {
			what += fmt.Sprintf("; so do others, on %d occasions in all", len(of))
		}
		var dates []calendar.Span
		for _, x := range of {
			dates = append(dates, week(x.date))
		}
		g.refuse(x.at, what, fmt.Sprintf("at most %.4g %%", 100*x.limit), g.remedy(x), dates...)
	}
}

// remedy is what would keep a rise to its limit.
func (g *Programme) remedy(x exceeded) string {
	var stepping []*Track
	for i := range g.Tracks {
		if e := g.Tracks[i].at(x.date); e != nil && e.Date == x.date && e.Step > 0 {
			stepping = append(stepping, &g.Tracks[i])
		}
	}
	switch {
	case len(stepping) > 1:
		return "let the newcomers step on different days: shift one arrival, or give them one interval and step_max"
	case len(stepping) == 1 && x.up <= refuseRise:
		t := stepping[0]
		n := int(math.Ceil(float64(t.at(x.date).Of) * math.Log1p(x.up) / math.Log1p(x.limit)))
		return fmt.Sprintf("any one of these fits: over %s; step_max %.1f %%; another way", days(n*t.every), math.Ceil(1000*x.up)/10)
	}
	return "take smaller steps, or another way"
}

// judge turns what is wrong with a step into problems, each only once for a coral.
// What rises beyond its limit is collected.
func (g *Programme) judge(k int, low map[string]bool) (excess []exceeded) {
	step := g.Steps[k]
	rows := append(slices.Clone(step.Corals), step.Areas...)
	for i, l := range rows {
		if !l.Present {
			continue
		}
		coral := -1
		if i < len(step.Corals) {
			coral = i
		}
		limit := g.Limit(coral, step.Date)
		lost := coral >= 0 && g.track(coral, step.Date) != nil && g.track(coral, step.Date).lost // said already
		if up, which := l.Rise.Most(); !lost && up > limit.Max+tolerance && (!limit.Force || up <= refuseRise) {
			excess = append(excess, exceeded{l.Name, which, up, limit.Max, step.Date, limit.At})
		}
		z := g.p.Zones[l.Zone]
		switch {
		case l.Note == "newcomer" || low[l.Name]:
		case l.DLI < z.DLIMin*(1-tolerance):
			low[l.Name] = true
			g.refuse(limit.At, fmt.Sprintf("%s falls to a DLI of %.3g on %s, below the dli_min %.3g of zone %s (%s)", l.Name, l.DLI, step.Date, z.DLIMin, z.Name, strings.Join(step.What, "; ")),
				"", "take by: place, which leaves the others as they are, start from more, or move it meanwhile", g.while(k, i, z.DLIMin)...)
		case z.DLI > 0 && l.DLI < z.DLI/2:
			low[l.Name] = true
			g.warn(limit.At, fmt.Sprintf("%s falls to a DLI of %.3g on %s, less than half its target %.3g", l.Name, l.DLI, step.Date, z.DLI), "", "too little light for weeks bleaches too; by: place leaves the others as they are")
		}
	}
	return excess
}

// while is the dates from a step on for which a row stays below a DLI, the k-th step the first.
func (g *Programme) while(k, i int, least float64) (out []calendar.Span) {
	for ; k < len(g.Steps); k++ {
		until := g.Steps[k].Date
		if k+1 < len(g.Steps) {
			until = g.Steps[k+1].Date.AddDays(-1)
		}
		if l := g.Steps[k].row(i); l.Note != "newcomer" && l.DLI < least*(1-tolerance) {
			out = append(out, calendar.Span{g.Steps[k].Date, until})
		}
	}
	return out
}

// longest finds how long each coral or area that is no newcomer stays under its
// target from the first step to the last.
func (g *Programme) longest() {
	if len(g.Steps) == 0 {
		return
	}
	n := len(g.Steps[0].Corals) + len(g.Steps[0].Areas)
	for i := range n {
		u := Under{Least: math.Inf(1)}
		run := 0
		for k, s := range g.Steps[:len(g.Steps)-1] {
			l := s.row(i)
			u.Name = l.Name
			z := g.p.Zones[l.Zone]
			if l.Note == "newcomer" || !l.Present || l.DLI >= z.DLI*(1-z.Within) {
				run = 0
				continue
			}
			run += s.Date.DaysUntil(g.Steps[k+1].Date)
			u.Days, u.Least = max(u.Days, run), min(u.Least, l.DLI)
		}
		if u.Days > 0 {
			g.Under = append(g.Under, u)
		}
	}
}

// row is the light of one coral, or area behind them.
func (s Step) row(i int) Light {
	if i < len(s.Corals) {
		return s.Corals[i]
	}
	return s.Areas[i-len(s.Corals)]
}
