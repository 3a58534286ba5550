package acclimate

import (
	"fmt"
	"math"
	"slices"

	"dayloom/schedule/calendar"
	"dayloom/schedule/calendar/journal"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// queue works through arrivals and journal entries by date. Each looks at light and
// tracks as they are known on its date; that is what keeps the past as it was.
func (g *Programme) queue() {
	type arrival struct {
		acc   *plan.Acclimation
		coral int
	}
	var arrivals []arrival
	for i := range g.p.Acclimation {
		acc := &g.p.Acclimation[i]
		for _, c := range acc.Corals {
			arrivals = append(arrivals, arrival{acc, c})
		}
	}
	slices.SortStableFunc(arrivals, func(a, b arrival) int { return -a.acc.Arrives.DaysUntil(b.acc.Arrives) })
	entries := journal.ByDate(journal.Effective(g.opts.Journal))
	for len(arrivals) > 0 || len(entries) > 0 {
		if len(entries) == 0 || len(arrivals) > 0 && !entries[0].Date.Before(arrivals[0].acc.Arrives) {
			g.arrive(arrivals[0].acc, arrivals[0].coral)
			arrivals = arrivals[1:]
			continue
		}
		g.enter(entries[0])
		entries = entries[1:]
	}
}

// enter lets a journal entry act.
func (g *Programme) enter(e journal.Entry) {
	if e.Do == journal.Note || e.Do == journal.Aside {
		return
	}
	if e.Do == journal.Outage {
		g.restart(e)
		return
	}
	coral := slices.IndexFunc(g.p.Corals, func(c plan.Coral) bool { return c.Name == e.Coral })
	if coral < 0 {
		names := names(g.p.Corals, func(c plan.Coral) string { return c.Name })
		g.refuse(e.At, fmt.Sprintf("the plan has no coral %q", e.Coral), "corals of the plan: "+diag.Words(names), diag.DidYouMean(e.Coral, names), calendar.Span{e.Date, {}})
		return
	}
	t := g.track(coral, e.Date)
	switch {
	case e.Do == journal.Moved || e.Do == journal.Reading:
		g.relocate(e, coral, t)
	case t == nil:
		g.warn(e.At, fmt.Sprintf("%q changes nothing: %s is not being acclimated on %s", e.Words(), e.Coral, e.Date), "", "")
	case e.Do == journal.Hold:
		if !t.shift(e.Date, e.Days, cause{e.Words(), e.At}) {
			g.warn(e.At, fmt.Sprintf("%q changes nothing: %s has no more steps to come", e.Words(), e.Coral), "", "")
		}
		g.occupy(t, e.Date)
	case e.Do == journal.Back:
		t.back(e.Date, cause{e.Words(), e.At})
		g.occupy(t, e.Date)
	}
}

func names[T any](list []T, name func(T) string) (out []string) {
	for _, x := range list {
		out = append(out, name(x))
	}
	return out
}

// shift makes all steps from a date on later by so many days. The arrival itself
// does not move.
func (t *Track) shift(date plan.Date, by int, why cause) bool {
	any := false
	for i := range t.Events {
		if e := &t.Events[i]; i > 0 && !e.Date.Before(date) {
			e.Date, e.Why, e.at, e.set, any = e.Date.AddDays(by), why.why, why.at, false, true
		}
	}
	return any
}

// back goes one step down on a date, then up again.
func (t *Track) back(date plan.Date, why cause) {
	now := 0
	for i, e := range t.Events {
		if i == 0 || e.Date.Before(date) {
			now = i
		}
	}
	here := t.Events[now]
	k := max(here.Step-1, 0)
	rungs := map[int]Event{}
	for _, e := range t.Events {
		if e.Of == here.Of {
			rungs[e.Step] = e
		}
	}
	if here.Date.Before(date) {
		t.Events = t.Events[:now+1]
	} else {
		t.Events = t.Events[:now] // the day of arrival itself
	}
	for d := date; k <= here.Of; k++ {
		e, known := rungs[k]
		if !known {
			continue
		}
		e.Date, e.Why, e.at, e.set = d, why.why, why.at, false
		t.Events = append(t.Events, e)
		d = d.AddDays(t.every)
	}
}

// occupy notes from a date on while the light of a track is on its way, and when it ends.
func (g *Programme) occupy(t *Track, date plan.Date) {
	if len(t.Events) == 0 {
		return
	}
	g.forget(date)
	t.Ends = t.Events[len(t.Events)-1].Date
	if t.span >= 0 && !g.busy[t.span][1].Before(date) {
		g.busy[t.span][1] = date
	}
	t.span = len(g.busy)
	g.occupied(calendar.Span{date.AddDays(1), t.Ends.AddDays(t.every - 1)})
}

// relocate puts a coral elsewhere, or corrects the light it has where it is, and
// works out the rest of its way anew.
func (g *Programme) relocate(e journal.Entry, coral int, t *Track) {
	was, _ := g.standing(coral, e.Date)
	now := stand{from: e.Date, place: was.place, zone: was.zone, gain: was.gain, at: e.At}
	if e.Do == journal.Reading {
		g.settle(e.Date)
		today := g.lit(g.Book().Steady(e.Date))
		had := today.measure(was.cells, -1).Peak
		if had <= 0 {
			g.warn(e.At, fmt.Sprintf("the reading at %s is not used: by plan it is dark there on %s", e.Coral, e.Date), "", "")
			return
		}
		k := e.PPFD * g.p.Meter.InWaterFactor / had
		now.gain *= k
		now.cells = light.Times(was.cells, k)
		g.Notes = append(g.Notes, fmt.Sprintf("%s: read %.0f on %s where %.0f was worked out; all its light counts %.2f times from then on", e.Coral, e.PPFD*g.p.Meter.InWaterFactor, e.Date, had, now.gain))
	} else {
		now.place = light.Place{X: e.To[0], Y: e.To[1], Depth: e.To[2]}
		if e.Zone != "" {
			now.zone = slices.IndexFunc(g.p.Zones, func(z plan.Zone) bool { return z.Name == e.Zone })
			if now.zone < 0 {
				g.refuse(e.At, fmt.Sprintf("the plan has no zone %q", e.Zone), "zones of the plan: "+diag.Words(names(g.p.Zones, func(z plan.Zone) string { return z.Name })), "", calendar.Span{e.Date, {}})
				return
			}
		}
		in := g.p.Zones[now.zone].Tank
		if b := g.p.TankAt(in).Box; now.place.X > b.Length || now.place.Y > b.Width || now.place.Depth > b.Depth {
			g.refuse(e.At, fmt.Sprintf("%s cannot be placed there: the tank is %.2f m long, %.2f m wide and %.2f m deep", e.Coral, b.Length, b.Width, b.Depth), "give a place in the water", "", calendar.Span{e.Date, {}})
			return
		}
		cells, err := g.cells(in, []light.Place{now.place})
		if err != nil {
			g.refuse(e.At, fmt.Sprintf("the light at the new place of %s is not known: %v", e.Coral, err), "", "give each channel emitters, or read every channel there", calendar.Span{e.Date, {}})
			return
		}
		now.gain = 1 // a reading told of the old place
		now.cells = cells[0]
	}
	g.stands[coral] = append(g.stands[coral], now)
	if t != nil && t.acc != nil {
		g.again(t, e, was, now)
	}
}

// again replaces what is left of a track after its light has changed on a date.
func (g *Programme) again(t *Track, e journal.Entry, was, now stand) {
	here := t.at(e.Date)
	if here == nil {
		return
	}
	left := here.Of - here.Step
	if left == 0 && e.Do == journal.Moved && t.By == plan.ByPlace {
		return // it had arrived and was put elsewhere for good
	}
	u := g.usual(e.Date)
	share, b := here.Share, u.dli(now.cells)
	if t.By == plan.ByPlace {
		share, b = 1, u.dli(g.destination(t.Coral, now.gain).cells)
	}
	had, has := share*u.dli(was.cells), share*u.dli(now.cells)
	a, stay := min(had, has), true
	if has > had*(1+t.StepMax) {
		stay = e.Do == journal.Moved
		if stay {
			g.warn(e.At, fmt.Sprintf("%s is moved into %.0f %% more light than it had", e.Coral, 100*(has/had-1)), "",
				"where its way of acclimation dims the lamps, they are dimmed for it; otherwise choose a darker place")
		}
	}
	if t.By == plan.ByPlace && stay {
		a = has
	}
	if left == 0 && a >= b*(1-tolerance) || !(a > 0) || !(b > 0) {
		return
	}
	limit := (1+t.StepMax)/g.drift(t.Coral, now.cells, e.Date, t.every, left+1) - 1
	n := max(left, Needed(a, b, limit))
	keep, next := t.until(e.Date)
	t.Events = keep
	if b <= a {
		n, a = 0, b
	}
	g.rungs(t, e.Date, next, a, b, n, cause{e.Words(), e.At})
	if t.By == plan.ByPlace {
		var fixed *stand
		if stay {
			fixed = &now
		}
		g.walk(t, len(keep), fixed, now.gain, OnlyDLI(a), false, e.At)
	}
	if n > 0 {
		t.Ratio = math.Max(t.Ratio, math.Pow(b/a, 1/float64(n)))
	}
	g.occupy(t, e.Date)
}

// until is the events before a date, and the date of the first step after it: where
// there is none, one interval later.
func (t *Track) until(date plan.Date) (keep []Event, next plan.Date) {
	next = date.AddDays(t.every)
	for i, x := range t.Events {
		switch {
		case x.Date.Before(date):
			keep = append(keep, x)
		case i > 0 && date.Before(x.Date):
			return keep, x.Date
		}
	}
	return keep, next
}

// rungs adds the even steps from a to b to a track, the first on one date, the
// others from a second date on.
func (g *Programme) rungs(t *Track, first, next plan.Date, a, b float64, n int, why cause) {
	for k := 0; k <= n; k++ {
		date := first
		if k > 0 {
			date = next.AddDays((k - 1) * t.every)
		}
		share := 1.0
		if k < n {
			share = rung(a, b, k, n) / b
		}
		t.Events = append(t.Events, Event{Date: date, Step: k, Of: n, Target: rung(a, b, k, n), Share: share, Value: 1, Why: why.why, at: why.at})
	}
}
