package balance

import (
	"context"
	"fmt"
	"math"

	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/quantity"
)

// Solve finds the peaks and hours that are auto. When ctx ends before the search does, the best answer so far is given, and
// its certificate says so. The list holds errors when there is no answer: what is fixed already breaks a limit, or the
// day leaves it open what a number would mean.
func Solve(ctx context.Context, p *plan.Plan, f light.Field, o Options) (Answer, diag.List) {
	if problems := check(p, o); problems.HasErrors() {
		return Answer{}, problems
	}
	if a, problems, done := inBlocks(ctx, p, f, o); done {
		return a, problems
	}
	t := newTask(ctx, p, f, o)
	if t.fault != "" {
		return Answer{}, diag.List{t.problem(p.Balance.Pos, "balance", t.fault, "change the wish, or leave it out")}
	}
	k, err := t.settle(whole)
	switch {
	case err != nil:
		return Answer{}, diag.List{t.problem(p.Balance.Pos, "balance", "no balance was found: "+err.Error(),
			"look for fluxes, targets or limits that are off by orders of magnitude")}
	case k.best == nil:
		return Answer{}, t.noRoom()
	}
	a := k.answer()
	if o.Sure > 0 {
		a.Sure = t.sureness(o)
	}
	if o.Cost && t.looks != nil {
		a.Cost = t.cost(k)
	}
	return a, nil
}

// Meets tells whether some levels and hours meet every target, least DLI and share within all limits; false too when
// ctx ends before that is known. It stops as soon as it knows.
func Meets(ctx context.Context, p *plan.Plan, f light.Field, o Options) bool {
	if check(p, o).HasErrors() {
		return false
	}
	if known, meets := blocksMeet(ctx, p, f, o); known {
		return meets
	}
	t := newTask(ctx, p, f, o)
	if t.fault != "" {
		return false
	}
	k, err := t.settle(quick)
	return err == nil && k.best != nil && k.best.res.met
}

// check refuses days for which one number a channel does not do, and options out of range.
func check(p *plan.Plan, o Options) (problems diag.List) {
	t := &task{p: p}
	for c, ch := range p.Channels {
		a := autoOf(o.Change.Parts(p), c)
		switch {
		case (a.peak || a.hours) && a.fixedPeak:
			problems = append(problems, t.problem(a.pos, "day", ch.Name+" has an entry with auto and another without",
				"make them all auto or none"))
		case a.peak && a.from > a.to:
			problems = append(problems, t.problem(a.pos, "day", fmt.Sprintf("no peak of %s is within the bounds of all its entries", ch.Name),
				"let the bounds of its entries overlap"))
		case a.hours && a.entries > 1:
			problems = append(problems, t.problem(a.pos, "day", ch.Name+" has several entries with auto hours",
				"leave one of them auto"))
		}
	}
	if o.Sure != 0 && !(o.Sure >= 0.5 && o.Sure < 1) {
		problems = append(problems, t.problem(plan.Pos{}, "", fmt.Sprintf("limits cannot be met with a probability of %.4g %%", 100*o.Sure),
			"give one from 50 % to less than 100 %"))
	}
	return problems
}

func (t *task) problem(pos plan.Pos, path, what, hint string) diag.Problem {
	return diag.Problem{Place: diag.Place{File: t.p.File, Line: max(pos.Line, 1), Col: max(pos.Col, 1)}, Path: path, What: what, Hint: hint}
}

// brokenByConstants lists limits that are broken with all variables at their lower bounds.
func (s *system) brokenByConstants() []int { return s.brokenAt(s.lower) }

func (s *system) brokenAt(x []float64) (out []int) {
	now, doses := s.moments.scene(x), s.doses(x)
	for i := range s.limits {
		if v, _ := s.worst(&s.limits[i], now, doses, 1); v > 1+broke {
			out = append(out, i)
		}
	}
	return out
}

// noRoom says which limits are broken by what is fixed alone, with switched channels at their least hours.
func (t *task) noRoom() (problems diag.List) {
	b := t.boxes()[0]
	for _, other := range t.boxes() {
		if !t.hasHours(other) {
			b = other
		}
	}
	copy(b.hi, b.lo)
	copy(b.late, b.early)
	s := t.system(b, 0)
	broken := s.brokenByConstants()
	if len(broken) == 0 { // what at_least asks fits nowhere
		broken = t.system(t.boxes()[0], 1).brokenByConstants()
	}
	seen := map[string]bool{}
	for _, i := range broken {
		l := &s.limits[i]
		x := s.lower
		v, at := s.worst(l, s.moments.scene(x), s.doses(x), 0)
		pos, path := t.where(l)
		if seen[path] {
			continue
		}
		seen[path] = true
		what := fmt.Sprintf("what is not auto already gives %s where %s is allowed%s", amount(l.kind, v*l.bound), amount(l.kind, l.bound), s.when(l, at))
		if t.z > 0 && l.z > 0 {
			what += fmt.Sprintf(", with the margin that makes it %.4g %% sure", 100*t.o.Sure)
		}
		problems = append(problems, t.problem(pos, path, s.subject(l)+": "+what, "lower fixed peaks or hours, make them auto, or raise the limit"))
	}
	return problems
}

// where is the limit's place in the plan.
func (t *task) where(l *limit) (plan.Pos, string) {
	switch l.kind {
	case powerMax:
		return t.p.Balance.Pos, "balance.power_max"
	case rating:
		return t.p.Circuits[l.circuit].Pos, "circuits." + t.p.Circuits[l.circuit].Name
	case fraction:
		return t.p.Channels[l.channel].Pos, "channels." + t.p.Channels[l.channel].Name
	}
	z := t.p.Zones[t.places[l.place].zone]
	return z.Pos, "zones." + z.Name + "." + string(l.kind)
}

// sureness solves again without the margin.
func (t *task) sureness(o Options) *Sureness {
	out := &Sureness{Probability: o.Sure, Margin: t.z}
	o.Sure = 0
	plain, problems := Solve(t.ctx, t.p, t.f, o)
	if problems.HasErrors() {
		return out
	}
	out.GreatestWithout, out.MetWithout = plain.Greatest, plain.Met
	for _, pl := range plain.Places {
		out.Without = append(out.Without, Without{pl.Name, pl.DLI, pl.Departure})
	}
	return out
}

func clock(t float64) string { return quantity.FormatTime(math.Mod(math.Round(t/60)*60, 86400)) }
