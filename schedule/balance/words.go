package balance

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"dayloom/schedule/text/diag"
)

const (
	atEdge = 1e-5 // of a limit: nearer than this it binds
	cheap  = 1e-4 // of the dearest price: what costs less is not named
	much   = 0.2  // of a limit or target: what fixed light takes that is worth naming as a cause
)

// order of the kinds of constraints: causes before what merely ends there.
var order = []string{"fixed", "power_max", "circuit", "ppfd_max", "dli_max", "light_fraction", "peak", "hours", "dark", "dli_min", "target"}

// binding lists what has a price, causes first and then the dearest; when all is met, what is at its limit.
func (s *system) binding(res result, now *scene, a Answer) []Constraint {
	w := words{s, res, now, a, s.doses(res.x)}
	all := joined{[]Constraint{}, map[Constraint]int{}}
	for _, h := range res.holds {
		if h.price > cheap*res.holds[0].price {
			for _, c := range w.constraints(h) {
				all.add(c)
			}
		}
	}
	if res.holds == nil {
		w.atLimits(&all)
	}
	out := all.list
	slices.SortStableFunc(out, func(a, b Constraint) int {
		return cmp.Or(cmp.Compare(slices.Index(order, a.Kind), slices.Index(order, b.Kind)), cmp.Compare(b.Price, a.Price))
	})
	return out
}

// words is an answer while it is put into words.
type words struct {
	*system
	res   result
	now   *scene
	a     Answer
	doses []float64
}

// joined keeps one constraint of each thing; points of an area count as one.
type joined struct {
	list []Constraint
	at   map[Constraint]int // of what each is about
}

func (l *joined) add(c Constraint) {
	about := Constraint{Kind: c.Kind, Channel: c.Channel, Place: c.Place, Circuit: c.Circuit}
	if i, there := l.at[about]; there {
		l.list[i].Price += c.Price
		return
	}
	l.at[about] = len(l.list)
	l.list = append(l.list, c)
}

// atLimits lists what is reached without standing in any target's way.
func (w words) atLimits(all *joined) {
	for i := range w.limits {
		if v, _ := w.worst(&w.limits[i], w.now, w.doses, 1-atEdge); v > 1-atEdge {
			all.add(w.limit(i, 0)[0])
		}
	}
	for j := range w.vars {
		if w.res.x[j] >= w.upper[j]-atEdge {
			all.add(w.atBound(hold{kind: atUpper, index: j}))
		}
	}
	for i, pl := range w.places {
		if least := pl.target.DLIMin; least > 0 && w.a.Places[i].DLI < least*(1+atEdge) {
			all.add(w.leastDLI(i, 0))
		}
	}
}

// constraints says in the plan's words what holds, with its causes.
func (w words) constraints(h hold) []Constraint {
	switch h.kind {
	case atLower, atUpper:
		if w.beside(h) {
			return nil
		}
		return []Constraint{w.atBound(h)}
	case atLimit:
		return w.limit(h.index, h.price)
	}
	if h.index >= len(w.places) {
		return nil // a share: the notes tell of it
	}
	return w.target(h)
}

// beside tells whether a bound only shows that the rest of the mixture is used up: more light is not kept away by a dark
// channel, nor less by a full one.
func (w words) beside(h hold) bool {
	low, high := false, false
	for _, p := range w.a.Places {
		low, high = low || !p.Met && p.Departure < 0, high || !p.Met && p.Departure > 0
	}
	return low != high && low == (h.kind == atLower)
}

func (w words) atBound(h hold) Constraint {
	v := w.vars[h.index]
	name := w.p.Channels[v.channel].Name
	c := Constraint{Channel: name, Price: h.price}
	least, most := w.lower[h.index], w.upper[h.index]
	switch low := h.kind == atLower; {
	case v.switched && low:
		c.Kind, c.Limit = "hours", v.hours[0]/3600
		c.Text = fmt.Sprintf("%s is on for its shortest, %.3g h", name, c.Limit)
	case v.switched:
		c.Kind, c.Limit = "hours", v.hours[1]/3600
		c.Text = fmt.Sprintf("%s is on for its longest, %.3g h", name, c.Limit)
	case low && least == 0:
		c.Kind, c.Text = "dark", name+" is off and cannot go lower"
	case low:
		c.Kind, c.Limit = "dark", least
		c.Text = fmt.Sprintf("%s is at %s and cannot go lower", name, percent(least))
	case most == 0:
		c.Kind, c.Text = "dark", name+" is off; its port shows nothing between off and its least level"
	default:
		c.Kind, c.Limit, c.Price = "peak", most, h.price*most
		c.Text = fmt.Sprintf("%s is at %s and cannot go higher", name, percent(most))
	}
	return c
}

// limit is a limit that is reached, and the fixed light that fills it.
func (w words) limit(i int, price float64) []Constraint {
	l := &w.limits[i]
	_, at := w.worst(l, w.now, w.doses, 0)
	c := Constraint{Kind: string(l.kind), Limit: l.bound, Price: price,
		Text: fmt.Sprintf("%s is at its limit of %s%s%s", w.subject(l), amount(l.kind, l.bound), w.when(l, at), w.margin(l))}
	switch l.kind {
	case ppfdMax, dliMax:
		pl := w.places[l.place]
		c.Place, c.Zone = pl.name, w.p.Zones[pl.zone].Name
		if l.kind == dliMax {
			c.Limit /= 1e6
		}
	case rating:
		c.Circuit = w.p.Circuits[l.circuit].Name
	case fraction:
		c.Channel = w.p.Channels[l.channel].Name
	}
	y := w.doses
	if l.kind != dliMax {
		zero, one := w.now.at(at)
		y = w.now.mix(zero, one, w.res.x)
	}
	unit := amount(l.kind, l.bound)
	if cause, ok := w.fixed(func(ch int) float64 { return l.w[ch] * y[ch] }, func(part float64) string {
		return fmt.Sprintf("%.3g of the %s allowed for %s%s", part*c.Limit, unit, w.subject(l), w.when(l, at))
	}); ok && price > 0 {
		cause.Place, cause.Zone, cause.Circuit = c.Place, c.Zone, c.Circuit
		return []Constraint{c, cause}
	}
	return []Constraint{c}
}

// target is a place that stands at an end of its tolerance, or beyond it.
func (w words) target(h hold) []Constraint {
	pl, got := w.places[h.index], w.a.Places[h.index]
	t := pl.target
	c := Constraint{Kind: "target", Place: pl.name, Zone: w.p.Zones[pl.zone].Name, Limit: t.DLI, Price: h.price}
	switch {
	case h.kind == tooLow && t.DLIMin > t.DLI*(1-t.Within):
		c = w.leastDLI(h.index, h.price)
	case h.kind == tooLow:
		c.Text = fmt.Sprintf("%s: DLI %.3g, %s below target %.4g", pl.name, got.DLI, percent(-got.Departure), t.DLI)
	case t.DLIMax < t.DLI*(1+t.Within):
		c.Kind, c.Limit = "dli_max", t.DLIMax
		c.Text = fmt.Sprintf("%s: DLI %.3g, its dli_max is %.4g", pl.name, got.DLI, t.DLIMax)
	default:
		c.Text = fmt.Sprintf("%s: DLI %.3g, %s above target %.4g", pl.name, got.DLI, percent(got.Departure), t.DLI)
	}
	if h.kind == tooLow {
		return []Constraint{c}
	}
	cause, ok := w.fixed(func(ch int) float64 { return pl.cells[ch].PPFD * w.age[ch] * w.doses[ch] * 1e-6 / t.DLI }, func(part float64) string {
		return fmt.Sprintf("%.3g of the DLI of %.4g asked at %s", part*t.DLI, t.DLI, pl.name)
	})
	if !ok {
		return []Constraint{c}
	}
	cause.Place, cause.Zone = c.Place, c.Zone
	return []Constraint{c, cause}
}

func (w words) leastDLI(i int, price float64) Constraint {
	pl := w.places[i]
	return Constraint{Kind: "dli_min", Place: pl.name, Zone: w.p.Zones[pl.zone].Name, Limit: pl.target.DLIMin, Price: price,
		Text: fmt.Sprintf("%s: DLI %.3g, its dli_min is %.4g", pl.name, w.a.Places[i].DLI, pl.target.DLIMin)}
}

// fixed is the light that balance cannot change, when it takes much of a limit or target; share is a channel's part of it.
func (w words) fixed(share func(ch int) float64, say func(part float64) string) (Constraint, bool) {
	var names []string
	sum, dimmable := 0.0, false
	for ch, c := range w.p.Channels {
		if part := share(ch); w.varOf[ch] < 0 && part > 0.01 {
			names, sum, dimmable = append(names, c.Name), sum+part, dimmable || c.Dimmable
		}
	}
	if sum < much {
		return Constraint{}, false
	}
	give, why := "gives", "cannot be dimmed"
	if len(names) > 1 {
		give = "give"
	}
	if dimmable {
		why = "is not auto in the plan"
		if len(names) > 1 {
			why = "are not auto in the plan"
		}
	}
	return Constraint{Kind: "fixed", Text: fmt.Sprintf("%s alone %s %s and %s", diag.Words(names), give, say(sum), why)}, true
}

func (t *task) margin(l *limit) string {
	if l.z == 0 {
		return ""
	}
	return fmt.Sprintf(" with a margin of %.3g standard deviations", l.z)
}

// subject is what a limit is about.
func (t *task) subject(l *limit) string {
	switch l.kind {
	case powerMax:
		return "the power of all channels"
	case rating:
		return "circuit " + t.p.Circuits[l.circuit].Name
	case fraction:
		return t.p.Channels[l.channel].Name + " with what else it is lit for"
	}
	pl := t.places[l.place]
	if l.point >= 0 {
		at := t.f.Areas[l.place-len(t.p.Corals)].Places[l.point]
		return fmt.Sprintf("%s at x %.0f cm, y %.0f cm", pl.name, 100*at.X, 100*at.Y)
	}
	return pl.name
}

func (t *task) when(l *limit, at moment) string {
	if l.kind == dliMax {
		return ""
	}
	return " at " + clock(at.t)
}

func amount(k limitKind, v float64) string {
	switch k {
	case ppfdMax:
		return fmt.Sprintf("%.4g µmol/m²/s", v)
	case dliMax:
		return fmt.Sprintf("%.4g mol/m²/d", v/1e6)
	case powerMax, rating:
		return fmt.Sprintf("%.4g W", v)
	}
	return percent(v)
}

func percent(v float64) string {
	switch size := math.Abs(v); {
	case size >= 10:
		return fmt.Sprintf("%.0f %%", 100*v)
	case size >= 0.1:
		return fmt.Sprintf("%.3g %%", 100*v)
	}
	return fmt.Sprintf("%.2g %%", 100*v)
}
