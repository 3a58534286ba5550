package cure

import (
	"cmp"
	"context"
	"slices"

	"dayloom/schedule/balance"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

// state is everything a remedy may change.
type state struct {
	p *plan.Plan
	f light.Field
	o balance.Options
	k *search
}

// search is what all trials share.
type search struct {
	ctx   context.Context
	tell  func(tried int)
	tried int
}

func (s state) met() bool {
	s.k.tried++
	s.k.tell(s.k.tried)
	return s.k.ctx.Err() == nil && balance.Meets(s.k.ctx, s.p, s.f, s.o)
}

// over tells whether the time for trials is.
func (s state) over() bool { return s.k.ctx.Err() != nil }

// change is one kind of cure with a free amount: 0 is none of it.
type change struct {
	kind  string
	most  float64
	steps func(amount float64) float64 // rounded up to what can be written
	apply func(s state, amount float64) state
	say   func(amount float64) (text string, edits []balance.Edit)
	size  func(amount float64) float64
}

// Find lists changes that were tried and meet every target and share, smallest first, tolerances last. What promises most is
// tried first; when ctx ends before all is tried, whole is false and the list holds what was found by then. It is empty when
// the answer meets all, and may be when nothing that it knows helps. tell hears of each trial.
func Find(ctx context.Context, p *plan.Plan, f light.Field, o balance.Options, a balance.Answer, tell func(tried int)) (list []balance.Remedy, whole bool) {
	if a.Met {
		return nil, true
	}
	s := state{p, f, o, &search{ctx: ctx, tell: tell}}
	t, tolerant := tolerance(s, a)
	all := changes(s, a)
	for _, c := range all {
		if amount, ok := least(s, c); ok {
			list = append(list, remedy(c, amount))
		}
	}
	if list == nil {
		list = pairs(s, all)
	}
	list = append(list, places(s, a)...)
	slices.SortStableFunc(list, func(x, y balance.Remedy) int { return cmp.Compare(x.Size, y.Size) })
	if tolerant {
		list = append(list, t)
	}
	return list, !s.over()
}

// changes lists what has a price in the balance.
func changes(s state, a balance.Answer) (out []change) {
	var full []int
	zones := map[[2]string]bool{}
	for _, b := range a.Binding {
		switch b.Kind {
		case "peak":
			full = append(full, channel(s.p, b.Channel))
		case "ppfd_max", "dli_max":
			if key := [2]string{b.Zone, b.Kind}; !zones[key] {
				zones[key] = true
				out = append(out, zoneLimit(s, b))
			}
		case "power_max":
			out = append(out, powerMax(s))
		case "circuit":
			out = append(out, rating(s, b.Circuit))
		}
	}
	for _, c := range full {
		out = append(out, flux(s, []int{c}))
	}
	if len(full) > 1 {
		slices.Sort(full)
		out = append(out, flux(s, full))
	}
	return append(out, minutes(s)...)
}

func channel(p *plan.Plan, name string) int {
	return slices.IndexFunc(p.Channels, func(c plan.Channel) bool { return c.Name == name })
}

const (
	fineness = 0.005 // of the most: where bisection stops
	steps    = 3     // more that a rounded amount may be raised by
)

// least is the smallest amount, rounded up, that meets every target.
func least(s state, c change) (float64, bool) {
	if c.most <= 0 || !c.apply(s, c.most).met() {
		return 0, false
	}
	lo, hi := 0.0, c.most
	for hi-lo > fineness*c.most && !s.over() {
		mid := (lo + hi) / 2
		if c.apply(s, mid).met() {
			hi = mid
		} else {
			lo = mid
		}
	}
	// The bisection's last failure may round up to a success, its last success may not need rounding.
	for _, from := range []float64{lo, hi} {
		if amount := c.steps(from); amount > 0 && amount <= c.most && c.apply(s, amount).met() {
			return amount, true
		}
	}
	return hi, false
}

// pairs tries two changes together, the first as small as can be, then the second.
func pairs(s state, list []change) (out []balance.Remedy) {
	const most = 3
	for i, first := range list {
		for _, second := range list[i+1:] {
			if s.over() || len(out) == most || first.most <= 0 || second.most <= 0 {
				continue
			}
			a, ok := least(second.apply(s, second.most), first)
			if !ok {
				continue
			}
			b, ok := least(first.apply(s, a), second)
			if !ok {
				continue
			}
			one, two := remedy(first, a), remedy(second, b)
			out = append(out, balance.Remedy{
				Kind: one.Kind + " and " + two.Kind, Text: one.Text + ", and " + two.Text,
				Edits: append(one.Edits, two.Edits...), Size: one.Size + two.Size,
			})
		}
	}
	return out
}

func remedy(c change, amount float64) balance.Remedy {
	text, edits := c.say(amount)
	return balance.Remedy{Kind: c.kind, Text: text, Edits: edits, Size: c.size(amount)}
}
