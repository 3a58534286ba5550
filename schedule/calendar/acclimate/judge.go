package acclimate

import (
	"math"

	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// Accustomed is how many days back a coral is taken to be used to the most light that it had.
const Accustomed = 7

// leastBase is the share of its usual light below which a coral's light counts as that share, so
// that what comes back from nearly nothing is no endless rise.
const leastBase = 0.05

// Measure is the three quantities that each keep to the step limit on their own.
type Measure struct {
	DLI    float64 // mol m⁻² d⁻¹
	Peak   float64 // µmol m⁻² s⁻¹
	Violet float64 // 380-430 nm, mol m⁻² d⁻¹
}

// OnlyDLI is a measure of which nothing but its DLI is known.
func OnlyDLI(dli float64) Measure { return Measure{dli, math.NaN(), math.NaN()} }

// Rise is how far each quantity is, relative to it, above what a coral is used to: the most that is
// known of the days before, and no less than a twentieth of its usual. 0.2 is a fifth more, -0.2 a fall by a
// fifth; 0 where nothing is known.
func Rise(now Measure, before []Measure, usual Measure) Measure {
	used := OnlyDLI(math.NaN())
	for _, m := range before {
		used = Measure{most(used.DLI, m.DLI), most(used.Peak, m.Peak), most(used.Violet, m.Violet)}
	}
	return Measure{rise(now.DLI, used.DLI, usual.DLI), rise(now.Peak, used.Peak, usual.Peak), rise(now.Violet, used.Violet, usual.Violet)}
}

// most is the greater of two numbers of which either may be unknown.
func most(a, b float64) float64 {
	if math.IsNaN(a) || b > a {
		return b
	}
	return a
}

func rise(now, used, usual float64) float64 {
	base := max(used, leastBase*usual)
	if !(base > 0) {
		return 0
	}
	return now/base - 1
}

// Less is each of the three less that of another.
func (m Measure) Less(o Measure) Measure {
	return Measure{m.DLI - o.DLI, m.Peak - o.Peak, m.Violet - o.Violet}
}

// Most is the greatest of the three and its name.
func (m Measure) Most() (float64, string) {
	best, name := m.DLI, "DLI"
	if m.Peak > best {
		best, name = m.Peak, "peak PPFD"
	}
	if m.Violet > best {
		best, name = m.Violet, "violet dose (380-430 nm)"
	}
	return math.Max(best, -1), name
}

// Limit is by how much light may rise on a date, and the line that says so.
type Limit struct {
	Max   float64
	Force bool // a rise up to refuseRise passes
	At    diag.Place
}

// Limit is that of a coral (-1: an area): the step_max of its own acclimation while that runs, else
// the largest of those that step on the date, else that of the latest relamping, else the usual step.
func (g *Programme) Limit(coral int, date plan.Date) Limit {
	var all Limit
	for i := range g.Tracks {
		t := &g.Tracks[i]
		e := t.at(date)
		if e == nil || e.Date != date && t.Coral != coral {
			continue
		}
		if t.Coral == coral && !t.Ends.Before(date) {
			return Limit{t.StepMax, t.acc.Force, e.at}
		}
		if e.Date == date {
			all = Limit{max(all.Max, t.StepMax), all.Force || t.acc.Force, e.at}
		}
	}
	if all.Max > 0 {
		return all
	}
	all, last := Limit{Max: plan.StepMax, At: diag.Place{File: g.p.File, Line: 1, Col: 1}}, plan.Date{}
	for _, r := range g.p.Relamps {
		if !date.Before(r.On) && (last.IsZero() || last.Before(r.On)) {
			all, last = Limit{Max: r.StepMax, At: place(g.p, r.Pos)}, r.On
		}
	}
	for _, list := range g.stands {
		for _, s := range list {
			if s.from == date {
				all.At = s.at
			}
		}
	}
	for _, o := range g.outages {
		if !date.Before(o.date) && !date.After(o.date.AddDays(o.n*plan.StepDays)) {
			all.At = o.at
		}
	}
	return all
}

// CameFrom is the DLI that a coral had where it stood before, until it arrives; 0 for those that are
// in the tank.
func (g *Programme) CameFrom(coral int, date plan.Date) float64 {
	if g.present(coral, date) {
		return 0
	}
	for _, t := range g.Tracks { // by date of arrival
		if t.Coral == coral {
			return t.From
		}
	}
	return 0
}

// Usual is what a coral gets on the usual day of a date where it stands.
func (g *Programme) Usual(coral int, date plan.Date) Measure {
	if len(g.days) > 400 {
		clear(g.days)
	}
	s, _ := g.standing(coral, date)
	return g.usual(date).measure(s.cells, g.violet)
}
