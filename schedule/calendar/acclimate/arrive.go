package acclimate

import (
	"fmt"
	"math"

	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// arrive starts the track of one newcomer.
func (g *Programme) arrive(acc *plan.Acclimation, coral int) {
	at := place(g.p, acc.Pos)
	name := g.p.Corals[coral].Name
	home, _ := g.last(coral, acc.Arrives)
	u := g.usual(acc.Arrives)
	b := u.dli(home.cells)
	before, known, ok := g.origin(acc, coral, u, at)
	if !ok {
		return
	}
	a := before.DLI
	t := Track{Coral: coral, By: acc.By, Arrives: acc.Arrives, From: a, To: b, StepMax: acc.StepMax, acc: acc, span: -1}
	if target := g.p.Zones[g.p.Corals[coral].Zone].DLI; target > 0 && math.Abs(b/target-1) > g.p.Zones[g.p.Corals[coral].Zone].Within {
		t.Notes = append(t.Notes, fmt.Sprintf("the usual day gives %.3g where the target is %.3g; the steps lead to %.3g", b, target, b))
	}
	if !(b > 0) {
		g.refuse(at, fmt.Sprintf("%s gets no light on the usual day of %s, so there is nothing to step up to", name, acc.Arrives), "", "give its channels a peak, or balance the plan first", way(acc, 0))
		return
	}
	drift := g.drift(coral, home.cells, acc.Arrives, acc.EveryDays, Needed(a, b, t.StepMax)+2)
	fitted := fit(*acc, a, b, t.StepMax, (1+t.StepMax)/drift-1)
	t.every, t.Ratio, t.Notes = fitted.every, fitted.ratio, append(t.Notes, fitted.notes...)
	for _, f := range fitted.errs {
		g.refuse(place(g.p, written(acc.StepPos, acc.Pos)), name+": "+f.what, "", f.hint, way(acc, fitted.n))
	}
	g.judgeRatio(acc, name, t.Ratio-1)
	if fitted.n == 0 {
		t.Notes = append(t.Notes, fmt.Sprintf("it comes from %.3g, no less than the %.3g it gets here: no steps are needed", a, b))
		a = b
	}
	g.rungs(&t, acc.Arrives, acc.Arrives.AddDays(t.every), a, b, fitted.n, cause{at: at})
	g.Tracks = append(g.Tracks, t)
	added := &g.Tracks[len(g.Tracks)-1]
	if len(fitted.errs) > 0 {
		added.lost = acc.By == plan.ByPlace // no use to look for a path
	} else if far, ok := g.tooFar(added, home, before, known, fitted.n); !ok {
		added.lost = true
		g.refuse(place(g.p, written(acc.StepPos, acc.Pos)), name+": "+far.what, "", far.hint, way(acc, fitted.n))
	} else if acc.By == plan.ByPlace && fitted.n > 0 {
		g.walk(added, 0, nil, home.gain, before, known, at)
	}
	if known && !added.lost {
		added.Notes = append(added.Notes, g.firstDay(added, home, before, at)...)
	} else if !known {
		added.Notes = append(added.Notes, "its peak PPFD and violet dose before are not known, so only its DLI is compared on the first day")
	}
	g.occupy(added, acc.Arrives)
	if n := len(g.outages); n > 0 {
		o := g.outages[n-1]
		if end := o.date.AddDays(o.n * plan.StepDays); !end.Before(acc.Arrives) {
			g.wait(added, acc.Arrives, end, cause{"outage", o.at})
		}
	}
}

// origin is what the newcomer had before; known tells whether that includes peak
// and violet.
func (g *Programme) origin(acc *plan.Acclimation, coral int, u *lit, at diag.Place) (m Measure, known, ok bool) {
	name := g.p.Corals[coral].Name
	switch {
	case acc.FromDLI > 0:
		return Measure{DLI: acc.FromDLI}, false, true
	case acc.FromShare > 0:
		return Measure{DLI: acc.FromShare * g.p.Zones[g.p.Corals[coral].Zone].DLI}, false, true
	case acc.FromPlace != nil:
		cells, err := g.cells(g.p.TankOf(coral), []light.Place{{X: acc.FromPlace[0], Y: acc.FromPlace[1], Depth: acc.FromPlace[2]}})
		if err != nil {
			g.refuse(at, fmt.Sprintf("the light where %s stood before is not known: %v", name, err), "", "give from_dli instead", way(acc, 0))
			return m, false, false
		}
		if m = u.measure(cells[0], g.violet); !(m.DLI > 0) {
			g.refuse(at, fmt.Sprintf("%s stood in the dark before: no number of even steps leads up from nothing", name), "", "give from_dli instead", way(acc, 0))
			return m, false, false
		}
		return m, true, true
	}
	g.refuse(at, fmt.Sprintf("where %s comes from is not said", name), "give one of from_dli, from_share and from_place", "", way(acc, 0))
	return m, false, false
}

// tooFar tells whether peak PPFD or violet dose need more steps by place than DLI does.
func (g *Programme) tooFar(t *Track, home stand, before Measure, known bool, n int) (fault, bool) {
	if t.By != plan.ByPlace || !known {
		return fault{}, true
	}
	final := g.usual(t.Arrives).measure(home.cells, g.violet)
	for _, x := range []struct {
		name      string
		was, will float64
	}{{"peak PPFD", before.Peak, final.Peak}, {"violet dose (380-430 nm)", before.Violet, final.Violet}} {
		if need := Needed(x.was, x.will, t.StepMax); x.was > 0 && need > n {
			return fault{
				fmt.Sprintf("its %s goes from %.3g to %.3g, %.1f times, which takes %s of step_max and not %d", x.name, x.was, x.will, x.will/x.was, count(need), n),
				fmt.Sprintf("over %s, or lower the violet for the time", days(need*t.every))}, false
		}
	}
	return fault{}, true
}

// firstDay compares the first day's peak and violet with where the coral stood.
func (g *Programme) firstDay(t *Track, home stand, before Measure, at diag.Place) []string {
	e := t.Events[0]
	first := g.usual(t.Arrives).measure(home.cells, g.violet)
	switch {
	case e.cells != nil:
		first = g.usual(t.Arrives).measure(e.cells, g.violet)
	case t.By == plan.ByHeight:
		g.set(t, &e)
		if cells, err := g.hung(home, t.racks, e.Value); err == nil {
			first = g.usual(t.Arrives).measure(cells, g.violet)
		}
	case t.By == plan.ByHours:
		first.DLI *= e.Share
		first.Violet *= e.Share
	default:
		first = Measure{first.DLI * e.Share, first.Peak * e.Share, first.Violet * e.Share}
	}
	up := Rise(first, []Measure{before}, Measure{})
	most, which := up.Most()
	name := g.p.Corals[t.Coral].Name
	switch {
	case most > refuseRise && !t.acc.Force:
		g.refuse(at, fmt.Sprintf("%s: its %s is %.0f %% above where it stood before, on the first day", name, which, 100*most), "", "start lower, or write allow: big steps", week(t.Arrives))
	case most > t.StepMax+tolerance:
		g.warn(at, fmt.Sprintf("%s: its %s is %.0f %% above where it stood before, on the first day", name, which, 100*most), "", "start lower, or choose another way than this")
	}
	return []string{fmt.Sprintf("on the first day against before: DLI %+.0f %%, peak PPFD %+.0f %%, violet dose %+.0f %%", 100*up.DLI, 100*up.Peak, 100*up.Violet)}
}

// judgeRatio warns of, or refuses, steps that are big whatever the plan calls its limit.
func (g *Programme) judgeRatio(acc *plan.Acclimation, name string, up float64) {
	at := place(g.p, written(acc.StepPos, acc.Pos))
	switch {
	case up > refuseRise && !acc.Force:
		g.refuse(at, fmt.Sprintf("%s: steps of %.0f %% in a day are in the range where corals were seen to bleach", name, 100*up), fmt.Sprintf("at most %.0f %%", 100*refuseRise), "take more steps, or write allow: big steps", way(acc, 0))
	case up > warnRise:
		g.warn(at, fmt.Sprintf("%s: steps of %.0f %% in a day are big", name, 100*up), "", fmt.Sprintf("%.0f %% a week is common practice", 100*plan.StepMax))
	}
}

// drift is the greatest ratio by which the season alone raises a coral's usual light
// from one step to the next; at least 1. Ages stay as they are on the first date.
func (g *Programme) drift(coral int, cells []light.Cell, first plan.Date, every, n int) float64 {
	if g.p.Season == nil {
		return 1
	}
	most, old := 1.0, g.usual(first)
	was := old.dli(cells)
	for k := 1; k <= n; k++ {
		d := g.book.Usual(first)
		d.Day.Stretch = g.book.Stretch(first.AddDays(k * every))
		l := g.lit(d)
		is := l.dli(cells)
		if was > 0 {
			most = max(most, is/was)
		}
		was = is
	}
	return most
}

func place(p *plan.Plan, at plan.Pos) diag.Place {
	return diag.Place{File: p.File, Line: at.Line, Col: at.Col}
}

// written is the first of two positions that stands in the file.
func written(a, b plan.Pos) plan.Pos {
	if a.Written() {
		return a
	}
	return b
}
