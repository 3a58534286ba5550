package balanced

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"dayloom/schedule/acclimate"
	"dayloom/schedule/balance"
	"dayloom/schedule/day"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

// Solver is a solver for one programme: it remembers each step, because the next may
// only rise so far above it. It is not for use by several goroutines.
func Solver() func(acclimate.Task) (acclimate.Levels, error) {
	var m memory
	return m.solve
}

// memory is the shares of the usual day that were found, by date.
type memory []found

type found struct {
	date   plan.Date
	shares []float64 // by channel
}

// bounds are the least and most share of its usual light that each channel may have.
type bounds struct{ least, most []float64 }

func (m *memory) solve(t acclimate.Task) (acclimate.Levels, error) {
	*m = slices.DeleteFunc(*m, func(f found) bool { return !f.date.Before(t.Date) })
	b := m.bounds(t)
	usual := usualOf(t.Plan)
	problem, opts := pose(t, usual, b)
	a, problems := balance.Solve(problem.plan, problem.field, opts)
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
			shares[c] = b.least[c]
			if b.most[c] > b.least[c] {
				shares[c] += a.Peaks[c] * (b.most[c] - b.least[c])
			}
		case u.hours > 0:
			shares[c] = (a.Switch[c].Off - a.Switch[c].On) / u.hours
		}
	}
	out := acclimate.Levels{Scale: shares, Note: note(a)}
	*m = append(*m, found{t.Date, shares})
	return out, nil
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
	if len(m) == 0 {
		return b
	}
	for c, before := range m[len(m)-1].shares {
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

// posed is the plan and light that balance is asked about. Behind the plan's channels
// stand as many again, which give the least that each may: balance only knows peaks
// from 0 up, so what is free lies on top.
type posed struct {
	plan  *plan.Plan
	field light.Field
}

func pose(t acclimate.Task, u []usual, b bounds) (posed, balance.Options) {
	p, corals := here(t)
	n := len(p.Channels)
	opts := balance.Options{Date: t.Date, Age: slices.Repeat(t.Age, 2), Change: t.Change, From: slices.Repeat([]float64{1}, 2*n)}
	opts.Change.Scale = slices.Repeat([]float64{1}, 2*n)
	for c := range n {
		if t.Change.Scale != nil {
			opts.Change.Scale[c], opts.Change.Scale[n+c] = t.Change.Scale[c], t.Change.Scale[c]
		}
		if u[c].peak > 0 {
			opts.Change.Scale[c] *= (b.most[c] - b.least[c]) * u[c].peak // a peak of 1 is then the most
		}
	}
	for i, c := range corals {
		own := balance.TargetOf(p, i)
		if !math.IsInf(t.AtMost[c], 1) {
			own.DLI, own.DLIMin, own.DLIMax = t.Targets[c], 0, min(own.DLIMax, t.AtMost[c], t.Targets[c])
		}
		opts.Targets = append(opts.Targets, own)
	}
	withParts(p, u, b)
	p.Channels = append(slices.Clone(p.Channels), p.Channels...)
	p.Circuits = slices.Clone(p.Circuits)
	for i, k := range p.Circuits {
		for _, c := range k.Channels {
			p.Circuits[i].Channels = append(p.Circuits[i].Channels[:len(p.Circuits[i].Channels):len(p.Circuits[i].Channels)], n+c)
		}
	}
	return posed{p, twice(t.Field, corals)}, opts
}

// here is the plan with the corals that are in the tank; corals are their indexes before.
func here(t acclimate.Task) (p *plan.Plan, corals []int) {
	q := *t.Plan
	q.Corals, q.Zones = nil, slices.Clone(q.Zones)
	q.Balance.LeastChange = true
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

// twice is the light of some corals and all areas with every channel's again behind.
func twice(f light.Field, corals []int) light.Field {
	double := func(cells []light.Cell) []light.Cell { return slices.Concat(cells, cells) }
	out := light.Field{Bands: f.Bands}
	for _, c := range corals {
		out.Corals = append(out.Corals, double(f.Corals[c]))
	}
	for _, a := range f.Areas {
		cells := make([][]light.Cell, len(a.Cells))
		for i := range cells {
			cells[i] = double(a.Cells[i])
		}
		a.Cells, a.Mean = cells, double(a.Mean)
		out.Areas = append(out.Areas, a)
	}
	return out
}

// withParts gives the day of a plan an entry for what is free of each channel and one
// for the least it has.
func withParts(p *plan.Plan, u []usual, b bounds) {
	var parts []plan.DayPart
	for _, part := range p.Day {
		for _, c := range part.Channels {
			one := part
			one.Channels = []int{c}
			switch {
			case part.Daylight != nil && u[c].peak > 0:
				base, free := *part.Daylight, *part.Daylight
				base.Peak = plan.Level{Fraction: b.least[c] * u[c].peak}
				free.Peak = plan.Level{Auto: b.most[c] > b.least[c], Pos: free.Peak.Pos}
				least := part
				least.Channels, least.Daylight = []int{len(p.Channels) + c}, &base
				one.Daylight = &free
				parts = append(parts, least)
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
	p.Day = parts
}
