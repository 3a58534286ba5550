package balance

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"dayloom/schedule/leximin"
)

type result = leximin.Result

const (
	atLimit  = 1e-5 // of a limit: nearer than this it binds
	cheap    = 1e-4 // of the dearest price: what costs less is not named as standing in the way
	mostWays = 6    // things named in one sentence
)

// binding lists what has a price in rank 2, dearest first, then what is at its limit without one.
func (s *system) binding(res result, now *scene) (out []Constraint) {
	for i, l := range res.Levels {
		for _, h := range l.Holds {
			c := s.constraint(h, res)
			if i == 0 {
				c.Price = h.Price * s.scale(h, res)
			}
			out = add(out, c)
		}
	}
	doses := s.doses(res.X)
	for i := range s.limits {
		if v, _ := s.worst(&s.limits[i], now, doses, 1-atLimit); v > 1-atLimit {
			out = add(out, s.constraint(leximin.Hold{Kind: leximin.AtCut, Index: i}, res))
		}
	}
	for j := range s.vars {
		if res.X[j] >= s.upper[j]-atLimit {
			out = add(out, s.constraint(leximin.Hold{Kind: leximin.AtUpper, Index: j}, res))
		}
	}
	slices.SortStableFunc(out, func(a, b Constraint) int { return cmp.Compare(b.Price, a.Price) })
	if out == nil {
		out = []Constraint{}
	}
	return out
}

// add keeps one constraint of each text-bearing thing; points of an area count as one.
func add(list []Constraint, c Constraint) []Constraint {
	for i, o := range list {
		if o.Kind == c.Kind && o.Channel == c.Channel && o.Place == c.Place && o.Circuit == c.Circuit {
			list[i].Price += c.Price
			return list
		}
	}
	return append(list, c)
}

// scale turns a price per unit into one per part of what is loosened.
func (s *system) scale(h leximin.Hold, res result) float64 {
	switch h.Kind {
	case leximin.AtUpper:
		return s.upper[h.Index]
	case leximin.TooLow, leximin.TooHigh:
		return res.Levels[res.LevelOf[h.Index]].Value
	}
	return 1
}

// constraint says in the plan's words what holds.
func (s *system) constraint(h leximin.Hold, res result) Constraint {
	switch h.Kind {
	case leximin.AtLower, leximin.AtUpper:
		return s.atBound(h)
	case leximin.AtCut:
		l := &s.limits[h.Index]
		c := Constraint{Kind: string(l.kind), Text: s.full(l, res), Limit: l.bound}
		switch l.kind {
		case ppfdMax, dliMax:
			pl := s.places[l.place]
			c.Place, c.Zone = pl.name, s.p.Zones[pl.zone].Name
			if l.kind == dliMax {
				c.Limit /= 1e6
			}
		case rating:
			c.Circuit = s.p.Circuits[l.circuit].Name
		case fraction:
			c.Channel = s.p.Channels[l.channel].Name
		}
		return c
	}
	pl := s.places[h.Index]
	q := s.problem().Aims[h.Index]
	dli := q.Value(res.X)
	side := "above"
	if h.Kind == leximin.TooLow {
		side = "below"
	}
	return Constraint{
		Kind: "target", Place: pl.name, Zone: s.p.Zones[pl.zone].Name, Limit: pl.target.DLI,
		Text: fmt.Sprintf("%s is already at %.3g, %s %s its target of %.4g", pl.name, dli, percent(math.Abs(dli/pl.target.DLI-1)), side, pl.target.DLI),
	}
}

func (s *system) atBound(h leximin.Hold) Constraint {
	v := s.vars[h.Index]
	name := s.p.Channels[v.channel].Name
	c := Constraint{Channel: name}
	switch low := h.Kind == leximin.AtLower; {
	case v.switched && low:
		c.Kind, c.Limit = "hours", v.hours[0]/3600
		c.Text = fmt.Sprintf("%s is on for no more than its least, %.3g h", name, c.Limit)
	case v.switched:
		c.Kind, c.Limit = "hours", v.hours[1]/3600
		c.Text = fmt.Sprintf("%s is on for its longest, %.3g h", name, c.Limit)
	case low:
		c.Kind, c.Text = "dark", name+" is dark already"
	default:
		c.Kind, c.Limit = "peak", s.upper[h.Index]
		c.Text = fmt.Sprintf("%s is at %s", name, percent(c.Limit))
	}
	return c
}

// full says that a limit is reached, and when.
func (s *system) full(l *limit, res result) string {
	_, at := s.worst(l, s.exact(res.X).moments.scene(res.X), s.doses(res.X), 0)
	return fmt.Sprintf("%s is at its limit of %s%s%s", s.subject(l), amount(l.kind, l.bound), s.when(l, at), s.margin(l))
}

func (s *system) margin(l *limit) string {
	if l.z == 0 {
		return ""
	}
	return fmt.Sprintf(" with a margin of %.3g standard deviations", l.z)
}

// subject is what a limit is about.
func (s *system) subject(l *limit) string {
	switch l.kind {
	case powerMax:
		return "the power of all channels"
	case rating:
		return "circuit " + s.p.Circuits[l.circuit].Name
	case fraction:
		return s.p.Channels[l.channel].Name + " with what else it is lit for"
	}
	pl := s.places[l.place]
	if l.point >= 0 {
		at := s.f.Areas[l.place-len(s.p.Corals)].Places[l.point]
		return fmt.Sprintf("%s at x %.0f cm, y %.0f cm", pl.name, 100*at.X, 100*at.Y)
	}
	return pl.name
}

func (s *system) when(l *limit, at moment) string {
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
	if v >= 0.1 {
		return fmt.Sprintf("%.3g %%", 100*v)
	}
	return fmt.Sprintf("%.2g %%", 100*v)
}

// why names, level by level, what keeps the places that are not met from being better.
func (s *system) why(res result, places []Place) (out []string) {
	for _, l := range res.Levels {
		var low, high []Place
		for _, i := range l.Aims {
			switch pl := places[i]; {
			case pl.Met:
			case pl.Departure < 0:
				low = append(low, pl)
			default:
				high = append(high, pl)
			}
		}
		if len(low) > 0 {
			out = append(out, s.sentence(low, "cannot rise above", l, res, leximin.TooLow))
		}
		if len(high) > 0 {
			out = append(out, s.sentence(high, "cannot fall below", l, res, leximin.TooHigh))
		}
	}
	return out
}

// sentence leaves out fellow sufferers: places on the same side of their targets.
func (s *system) sentence(who []Place, verb string, l leximin.Level, res result, same leximin.Kind) string {
	var names, values []string
	for _, pl := range who {
		names = append(names, pl.Name)
		values = append(values, fmt.Sprintf("%.3g (asked %.4g)", pl.DLI, pl.Target))
	}
	text := fmt.Sprintf("%s %s %s: ", and(names), verb, and(values))
	var ways []Constraint
	for _, h := range l.Holds {
		// More light is not kept away by a dark channel, nor less by a full one: those only
		// show that the rest of the mixture is used up.
		aside := leximin.AtLower
		if same == leximin.TooHigh {
			aside = leximin.AtUpper
		}
		if h.Kind != same && h.Kind != aside && h.Price > cheap*l.Holds[0].Price {
			c := s.constraint(h, res)
			c.Price = h.Price
			ways = add(ways, c)
		}
	}
	var words []string
	for _, c := range ways[:min(len(ways), mostWays)] {
		words = append(words, c.Text)
	}
	if words == nil {
		words = []string{"what is not auto already gives that much"}
		if same == leximin.TooLow {
			words = []string{"no channel that is auto gives it any light"}
		}
	}
	return text + and(words)
}

func and(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}
