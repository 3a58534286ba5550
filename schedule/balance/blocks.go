package balance

import (
	"context"
	"runtime"
	"slices"
	"strings"
	"sync"

	"dayloom/schedule/day"
	"dayloom/schedule/day/load"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// block is some tanks that share no port with any other, with what is asked of them.
type block struct {
	plan.Part
	f light.Field
	o Options
}

// blocks parts a plan by its tanks; nil where there is one block alone.
func blocks(p *plan.Plan, f light.Field, o Options) (out []block) {
	if !p.Several() {
		return nil
	}
	of := make([]int, len(p.Tanks)) // the first tank of each tank's block
	for i := range of {
		of[i] = i
	}
	for _, q := range p.Ports() {
		for _, c := range q.Channels {
			a, b := of[p.Channels[q.Channels[0]].Tank], of[p.Channels[c].Tank]
			for i := range of {
				if of[i] == max(a, b) {
					of[i] = min(a, b)
				}
			}
		}
	}
	for first := range of {
		var tanks []int
		for i := range of {
			if of[i] == first {
				tanks = append(tanks, i)
			}
		}
		if tanks == nil {
			continue // of another's block
		}
		q := p.Part(tanks...)
		out = append(out, block{q, f.Of(q), o.of(q)})
	}
	if len(out) < 2 {
		return nil
	}
	return out
}

// of is what is asked of a part.
func (o Options) of(q plan.Part) Options {
	pick := func(list []float64) []float64 {
		if list == nil {
			return nil
		}
		out := make([]float64, len(q.Kept.Channels))
		for i, c := range q.Kept.Channels {
			out[i] = list[c]
		}
		return out
	}
	o.Age, o.From, o.Least = pick(o.Age), pick(o.From), pick(o.Least)
	o.Change.Scale, o.Change.Shorter = pick(o.Change.Scale), pick(o.Change.Shorter)
	if d := o.Change.Named; d != nil {
		o.Change.Named = &plan.NamedDay{Name: d.Name, Parts: q.Entries(d.Parts), Pos: d.Pos}
	}
	var targets []Target
	for _, t := range o.Targets {
		if i, ok := q.Coral(t.Coral); ok {
			t.Coral = i
			targets = append(targets, t)
		}
	}
	o.Targets = targets
	return o
}

// inBlocks solves every block by itself, which keeps alone what limits blocks share. Where what was found keeps them
// together, nothing better does, and it is the answer; where not, done is false. A block without an answer
// leaves the plan without one.
func inBlocks(ctx context.Context, p *plan.Plan, f light.Field, o Options) (a Answer, problems diag.List, done bool) {
	list := blocks(p, f, o)
	if list == nil {
		return Answer{}, nil, false
	}
	answers, wrong := make([]Answer, len(list)), make([]diag.List, len(list))
	each(len(list), func(i int) { answers[i], wrong[i] = Solve(ctx, list[i].Plan, list[i].f, list[i].o) })
	for _, w := range wrong {
		problems = append(problems, w...)
	}
	if problems.HasErrors() {
		return Answer{}, problems, true
	}
	a = merged(p, list, answers)
	t := &task{p: p, o: o}
	l := load.Of(p, t.dayAt(a.Peaks, a.Switch))
	a.Power = l.Power.Value
	return a, problems, !l.Over()
}

// blocksMeet tells whether levels meet every target, where the blocks alone tell.
func blocksMeet(ctx context.Context, p *plan.Plan, f light.Field, o Options) (known, meets bool) {
	list := blocks(p, f, o)
	if list == nil {
		return false, false
	}
	for _, b := range list {
		if !Meets(ctx, b.Plan, b.f, b.o) {
			return true, false // a limit more takes nothing away from that
		}
	}
	a, problems, done := inBlocks(ctx, p, f, o)
	return done, done && a.Met && !problems.HasErrors()
}

// each does pieces of work that do not depend on each other, as many at a time as there are processors.
func each(n int, work func(i int)) {
	turn := make(chan struct{}, runtime.GOMAXPROCS(0))
	var all sync.WaitGroup
	for i := range n {
		all.Go(func() {
			turn <- struct{}{}
			work(i)
			<-turn
		})
	}
	all.Wait()
}

// merged is the answer of all blocks, in the order of the plan.
func merged(p *plan.Plan, list []block, answers []Answer) Answer {
	n := len(p.Channels)
	out := Answer{Met: true, Prefer: answers[0].Prefer, Date: answers[0].Date, Spend: answers[0].Spend,
		Channels: make([]Channel, n), Peaks: make([]float64, n), Switch: make([]day.Hours, n)}
	out.Certificate.Proven = true
	var corals []Place
	areas := map[int]Place{}
	for i, a := range answers {
		kept := list[i].Kept
		for k, c := range kept.Channels {
			out.Channels[c], out.Peaks[c], out.Switch[c] = a.Channels[k], a.Peaks[k], a.Switch[k]
		}
		for _, pl := range a.Places {
			if pl.Coral >= 0 {
				pl.Coral = kept.Corals[pl.Coral]
				corals = append(corals, pl)
			} else {
				areas[slices.IndexFunc(p.Zones, func(z plan.Zone) bool { return z.Name == pl.Zone })] = pl
			}
		}
		out.Met, out.Greatest, out.Energy = out.Met && a.Met, max(out.Greatest, a.Greatest), out.Energy+a.Energy
		out.Certificate.join(a.Certificate)
		out.Binding = append(out.Binding, a.Binding...)
		out.Shares, out.Colours = append(out.Shares, a.Shares...), append(out.Colours, a.Colours...)
		if s := a.Spectrum; s != nil && (out.Spectrum == nil || s.Greatest > out.Spectrum.Greatest) {
			out.Spectrum = s
		}
		out.Sure = out.Sure.join(a.Sure)
		for _, note := range a.Notes {
			if !slices.Contains(out.Notes, note) {
				out.Notes = append(out.Notes, note)
			}
		}
	}
	out.Cost = costs(answers)
	slices.SortFunc(corals, func(a, b Place) int { return a.Coral - b.Coral })
	out.Places = corals
	for z := range p.Zones {
		if pl, ok := areas[z]; ok {
			out.Places = append(out.Places, pl)
		}
	}
	slices.SortStableFunc(out.Binding, func(a, b Constraint) int {
		switch { // causes first
		case (a.Price > 0) == (b.Price > 0):
			return 0
		case a.Price > 0:
			return -1
		}
		return 1
	})
	return out
}

// join adds what is proved of another block: sums add, and of what is greatest the greatest counts.
func (c *Certificate) join(d Certificate) {
	c.Sum, c.Bound, c.Gap = c.Sum+d.Sum, c.Bound+d.Bound, c.Gap+d.Gap
	c.Proven, c.Open = c.Proven && d.Proven, c.Open || d.Open
	c.Cuts, c.Pivots, c.Boxes = c.Cuts+d.Cuts, c.Pivots+d.Pivots, c.Boxes+d.Boxes
	for _, s := range d.Stages {
		i := slices.IndexFunc(c.Stages, func(o Stage) bool { return o.Rank == s.Rank && o.What == s.What })
		switch {
		case i < 0:
			c.Stages = append(c.Stages, s)
		case strings.HasPrefix(s.What, "greatest"):
			c.Stages[i].Primal, c.Stages[i].Dual = max(c.Stages[i].Primal, s.Primal), max(c.Stages[i].Dual, s.Dual)
		default:
			c.Stages[i].Primal, c.Stages[i].Dual = c.Stages[i].Primal+s.Primal, c.Stages[i].Dual+s.Dual
		}
	}
	slices.SortStableFunc(c.Stages, func(a, b Stage) int { return a.Rank - b.Rank })
}

// costs adds up what the wishes of all blocks cost; a block without a wish stays as it is.
func costs(answers []Answer) *Cost {
	if !slices.ContainsFunc(answers, func(a Answer) bool { return a.Cost != nil }) {
		return nil
	}
	out := Cost{Met: true}
	for _, a := range answers {
		c := a.Cost
		if c == nil {
			c = &Cost{Energy: a.Energy, Greatest: a.Greatest, Met: a.Met}
		}
		out = Cost{out.Energy + c.Energy, max(out.Greatest, c.Greatest), out.Met && c.Met, max(out.Distance, c.Distance), max(out.Spectrum, c.Spectrum)}
	}
	return &out
}

func (s *Sureness) join(d *Sureness) *Sureness {
	if s == nil || d == nil {
		return d
	}
	return &Sureness{s.Probability, s.Margin, max(s.GreatestWithout, d.GreatestWithout), append(slices.Clone(s.Without), d.Without...), s.MetWithout && d.MetWithout}
}
