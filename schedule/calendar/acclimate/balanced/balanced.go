package balanced

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"dayloom/schedule/balance"
	"dayloom/schedule/calendar/acclimate"
	"dayloom/schedule/day"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

// Solver is a solver for one programme: it remembers each step, because the next may
// only rise so far above it. It is not for use by several goroutines. When ctx ends, steps
// take the best levels found by then.
func Solver(ctx context.Context) func(acclimate.Task) (acclimate.Levels, error) {
	m := memory{ctx: ctx}
	return m.solve
}

// memory is the shares of the usual day that were found, by date.
type memory struct {
	ctx   context.Context
	steps []found
}

type found struct {
	date   plan.Date
	shares []float64 // by channel
}

// bounds are the least and most share of its usual light that each channel may have.
type bounds struct{ least, most []float64 }

func (m *memory) solve(t acclimate.Task) (acclimate.Levels, error) {
	m.steps = slices.DeleteFunc(m.steps, func(f found) bool { return !f.date.Before(t.Date) })
	usual := usualOf(t.Plan)
	p, field, opts := pose(t, usual, m.bounds(t))
	a, problems := balance.Solve(m.ctx, p, field, opts)
	for _, p := range problems {
		if problems.HasErrors() {
			return acclimate.Levels{}, errors.New(p.What)
		}
	}
	shares := make([]float64, len(usual))
	for c, u := range usual {
		shares[c] = 1
		switch {
		case u.peak > 0:
			shares[c] = a.Peaks[c] / u.peak
		case u.hours > 0:
			shares[c] = (a.Switch[c].Off - a.Switch[c].On) / u.hours
		}
	}
	m.steps = append(m.steps, found{t.Date, shares})
	return acclimate.Levels{Scale: shares, Note: note(a)}, nil
}

// bounds are those of every channel on the day of a task.
func (m memory) bounds(t acclimate.Task) bounds {
	least, rise := 1.0, math.Inf(1)
	for c := range t.Plan.Corals {
		if acc := newcomer(t, c); acc != nil {
			rise = min(rise, acc.StepMax)
			least = min(least, floor(t, c, acc))
		}
	}
	if math.IsInf(rise, 1) {
		rise = 0
	}
	n := len(t.Plan.Channels)
	b := bounds{slices.Repeat([]float64{least}, n), slices.Repeat([]float64{1}, n)}
	if len(m.steps) == 0 {
		return b
	}
	for c, before := range m.steps[len(m.steps)-1].shares {
		b.most[c] = max(min(1, before*(1+rise)), least)
	}
	return b
}

// newcomer is the acclimation by balance that a coral is in, nil when in none.
func newcomer(t acclimate.Task, coral int) *plan.Acclimation {
	if math.IsInf(t.AtMost[coral], 1) || math.IsNaN(t.Targets[coral]) {
		return nil
	}
	var out *plan.Acclimation
	for i := range t.Plan.Acclimation {
		acc := &t.Plan.Acclimation[i]
		if acc.By == plan.ByBalance && slices.Contains(acc.Corals, coral) && !t.Date.Before(acc.Arrives) && (out == nil || out.Arrives.Before(acc.Arrives)) {
			out = acc
		}
	}
	return out
}

// floor is the share from which the usual day can be reached in the steps to come.
func floor(t acclimate.Task, coral int, acc *plan.Acclimation) float64 {
	built := day.Build(t.Plan, t.Date, t.Change)
	usual := light.DLI(light.Full(t.Field.Corals[coral], t.Age), built.Doses())
	share := t.Targets[coral] / usual
	if !(share > 0 && share < 1) {
		return 1
	}
	from := acc.FromDLI
	if acc.FromShare > 0 {
		from = acc.FromShare * t.Plan.Zones[t.Plan.Corals[coral].Zone].DLI
	}
	ratio := 1 + acc.StepMax // of its steps; the steepest leaves least room
	if n := acc.OverDays / max(acc.EveryDays, 1); n > 0 && from > 0 && from < usual {
		ratio = min(ratio, math.Pow(usual/from, 1/float64(n)))
	}
	return math.Pow(1+acc.StepMax, -math.Log(1/share)/math.Log(ratio))
}

// note says who is furthest from the target.
func note(a balance.Answer) string {
	if len(a.Places) == 0 {
		return ""
	}
	worst := a.Places[0]
	for _, p := range a.Places[1:] {
		if math.Abs(p.Departure) > math.Abs(worst.Departure) {
			worst = p
		}
	}
	return fmt.Sprintf("%s is furthest from its target, %.2f of %.2f (%+.0f %%)", worst.Name, worst.DLI, worst.Target, 100*worst.Departure)
}

// usual is what a channel does on the usual day.
type usual struct {
	peak  float64 // of its daylight, 0 where there is none or no single one
	hours float64 // s between on and off, 0 likewise
	on    float64 // s after midnight
}

func usualOf(p *plan.Plan) []usual {
	out := make([]usual, len(p.Channels))
	mixed := make([]bool, len(p.Channels))
	for _, part := range p.Day {
		for _, c := range part.Channels {
			u := usual{}
			switch {
			case part.Daylight != nil:
				u.peak = part.Daylight.Peak.Fraction
			case part.Switched != nil:
				u.on, u.hours = part.Switched.On, part.Switched.Off-part.Switched.On
				if u.hours < 0 {
					u.hours += 86400
				}
			default:
				continue
			}
			mixed[c] = mixed[c] || out[c] != usual{} && (u.hours > 0 || out[c] != u)
			out[c] = u
		}
	}
	for c := range out {
		if mixed[c] {
			out[c] = usual{}
		}
	}
	return out
}

// pose is the question to balance: the plan with the corals that are in the tank, and its levels free within bounds.
func pose(t acclimate.Task, u []usual, b bounds) (*plan.Plan, light.Field, balance.Options) {
	p, corals := here(t)
	opts := balance.Options{Date: t.Date, Age: t.Age, Change: t.Change, Centred: true}
	for _, q := range u {
		opts.From = append(opts.From, q.peak)
	}
	f := t.Field
	f.Corals = nil
	for i, c := range corals {
		f.Corals = append(f.Corals, t.Field.Corals[c])
		own := balance.TargetOf(p, i)
		if !math.IsInf(t.AtMost[c], 1) {
			own.DLI, own.DLIMin, own.Never = t.Targets[c], 0, min(t.AtMost[c], t.Targets[c])
		}
		opts.Targets = append(opts.Targets, own)
	}
	p.Day = free(p, u, b)
	return p, f, opts
}

// here is the plan with the corals that are in the tank; corals are their indexes before.
func here(t acclimate.Task) (p *plan.Plan, corals []int) {
	q := *t.Plan
	q.Corals, q.Zones = nil, slices.Clone(q.Zones)
	q.Balance.Prefer = plan.LeastChange
	for z := range q.Zones {
		q.Zones[z].Corals = nil
	}
	for i, c := range t.Plan.Corals {
		if math.IsNaN(t.Targets[i]) {
			continue
		}
		q.Zones[c.Zone].Corals = append(q.Zones[c.Zone].Corals, len(q.Corals))
		q.Corals, corals = append(q.Corals, c), append(corals, i)
	}
	return &q, corals
}

// free is the day of a plan with every level and all hours to be found, within bounds. A level whose bounds begin below
// what its port can show may be dark.
func free(p *plan.Plan, u []usual, b bounds) (parts []plan.DayPart) {
	least := balance.LeastLight(p)
	for _, part := range p.Day {
		for _, c := range part.Channels {
			one := part
			one.Channels = []int{c}
			switch {
			case part.Daylight != nil && u[c].peak > 0:
				d := *part.Daylight
				d.Peak = plan.Level{Auto: true, From: b.least[c] * u[c].peak, To: b.most[c] * u[c].peak, Pos: d.Peak.Pos}
				if d.Peak.From < least[c] {
					d.Peak.From = 0
				}
				one.Daylight = &d
			case part.Switched != nil && u[c].hours > 0:
				s := *part.Switched
				h := u[c].hours * b.most[c]
				on := u[c].on + (u[c].hours-h)/2
				s.AutoOn, s.AutoOff, s.Window = true, true, &plan.Window{From: on, To: on + h, AtLeast: u[c].hours * b.least[c]}
				one.Switched = &s
			}
			parts = append(parts, one)
		}
	}
	return parts
}
