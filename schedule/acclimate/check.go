package acclimate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"dayloom/schedule/calendar"
	"dayloom/schedule/day"
	"dayloom/schedule/diag"
	"dayloom/schedule/dose"
	"dayloom/schedule/plan"
)

func move(coral int, s stand) calendar.Move {
	return calendar.Move{Coral: coral, Place: s.place, Cells: s.cells}
}

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
			out = append(out, o.date.AddDays(k*everyDays))
		}
	}
	for _, list := range g.stands {
		for _, s := range list {
			out = append(out, s.from)
		}
	}
	slices.SortFunc(out, func(a, b plan.Date) int { return -a.DaysUntil(b) })
	return slices.Compact(out)
}

// check works out the light at every step and the day before it, and holds it against
// limits and targets.
func (g *Programme) check() {
	book := g.Book()
	low := map[string]bool{}
	var excess []exceeded
	for _, date := range g.dates() {
		d := book.Steady(date)
		now, before := g.doses(d), g.doses(book.Steady(date.AddDays(-1)))
		step := Step{Date: date, What: g.what(date), Change: d.Change}
		for c := range now.Corals {
			step.Corals = append(step.Corals, g.row(date, c, now.Corals[c], before.Corals[c]))
		}
		for i, a := range now.Areas {
			step.Areas = append(step.Areas, g.areaRow(a, before.Areas[i]))
		}
		excess = append(excess, g.judge(&step, low)...)
		g.Steps = append(g.Steps, step)
	}
	g.refuse(excess)
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
	return dose.Of(p, f, day.Build(g.p, d.Date, d.Change), d.Age)
}

func (g *Programme) measured(pl dose.Place) Measure {
	m := Measure{DLI: pl.DLI, Peak: pl.Peak}
	if g.violet >= 0 && g.violet < len(pl.BandDLI) {
		m.Violet = pl.BandDLI[g.violet]
	}
	return m
}

func (g *Programme) areaRow(now, before dose.Place) Light {
	l := Light{Name: now.Name, Present: true, Target: g.p.Zones[now.Zone].DLI, Measure: g.measured(now), Place: now.At, Verdict: now.Verdict}
	l.Rise = l.over(g.measured(before))
	return l
}

func (g *Programme) row(date plan.Date, c int, now, before dose.Place) Light {
	l := g.areaRow(now, before)
	l.Present = g.present(c, date)
	s, moved := g.standing(c, date)
	if !moved {
		s = g.home(c)
	}
	was, movedBefore := g.standing(c, date.AddDays(-1))
	if !movedBefore {
		was = g.home(c)
	}
	l.Place, l.Moved = s.place, s.place != was.place && g.present(c, date.AddDays(-1))
	if !g.present(c, date.AddDays(-1)) {
		l.Rise = Measure{}
		if t := g.track(c, date); t != nil {
			l.Rise.DLI = rise(l.DLI, t.From)
		}
	}
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

// limitOf is the rise that a coral or area may have on a date: its own while it is a
// newcomer, else the largest of those that step on that date.
func (g *Programme) limitOf(coral int, date plan.Date) (limit float64, force bool, at diag.Place) {
	at = diag.Place{File: g.p.File, Line: 1, Col: 1}
	for i := range g.Tracks {
		t := &g.Tracks[i]
		e := t.at(date)
		if e == nil || e.Date != date && t.Coral != coral {
			continue
		}
		if t.Coral == coral && !t.Ends.Before(date) {
			return t.StepMax, t.acc.Force, place(g.p, t.acc.Pos)
		}
		limit, force, at = max(limit, t.StepMax), force || t.acc.Force, place(g.p, t.acc.Pos)
	}
	if limit == 0 {
		limit = usualStep
	}
	return limit, force, at
}

// exceeded is a rise beyond the limit.
type exceeded struct {
	name, which string
	up, limit   float64
	date        plan.Date
	at          diag.Place
}

// refuse reports the greatest rise of each quantity beyond its limit.
func (g *Programme) refuse(all []exceeded) {
	slices.SortStableFunc(all, func(a, b exceeded) int { return cmp.Compare(b.up/b.limit, a.up/a.limit) })
	told := map[string]bool{}
	for _, x := range all {
		if told[x.which] {
			continue
		}
		told[x.which] = true
		n := 0
		for _, y := range all {
			if y.which == x.which {
				n++
			}
		}
		what := fmt.Sprintf("%s: its %s rises by %.1f %% on %s (%s)", x.name, x.which, 100*x.up, x.date, strings.Join(g.what(x.date), "; "))
		if n > 1 {
			what += fmt.Sprintf("; so do others, on %d occasions in all", n)
		}
		g.complain(x.at, diag.Error, what, fmt.Sprintf("at most %.4g %%", 100*x.limit), g.remedy(x))
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
func (g *Programme) judge(step *Step, low map[string]bool) (excess []exceeded) {
	rows := append(slices.Clone(step.Corals), step.Areas...)
	for i, l := range rows {
		if !l.Present {
			continue
		}
		coral, zone := -1, 0
		if i < len(step.Corals) {
			coral, zone = i, g.p.Corals[i].Zone
		} else {
			zone = g.f.Areas[i-len(step.Corals)].Zone
		}
		limit, force, at := g.limitOf(coral, step.Date)
		lost := coral >= 0 && g.track(coral, step.Date) != nil && g.track(coral, step.Date).lost // said already
		if up, which := l.Rise.most(); !lost && up > limit+tolerance && (!force || up <= refuseRise) {
			excess = append(excess, exceeded{l.Name, which, up, limit, step.Date, at})
		}
		z := g.p.Zones[zone]
		switch {
		case l.Note == "newcomer" || low[l.Name]:
		case l.DLI < z.DLIMin*(1-tolerance):
			low[l.Name] = true
			g.complain(at, diag.Error, fmt.Sprintf("%s falls to a DLI of %.3g on %s, below the dli_min %.3g of zone %s (%s)", l.Name, l.DLI, step.Date, z.DLIMin, z.Name, strings.Join(step.What, "; ")),
				"", "take by: place, which leaves the others as they are, start from more, or move it meanwhile")
		case z.DLI > 0 && l.DLI < z.DLI/2:
			low[l.Name] = true
			g.complain(at, diag.Warning, fmt.Sprintf("%s falls to a DLI of %.3g on %s, less than half its target %.3g", l.Name, l.DLI, step.Date, z.DLI), "", "too little light for weeks bleaches too; by: place leaves the others as they are")
		}
	}
	return excess
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
			l, zone := g.rowOf(s, i)
			u.Name = l.Name
			z := g.p.Zones[zone]
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

func (g *Programme) rowOf(s Step, i int) (Light, int) {
	if i < len(s.Corals) {
		return s.Corals[i], g.p.Corals[i].Zone
	}
	return s.Areas[i-len(s.Corals)], g.f.Areas[i-len(s.Corals)].Zone
}
