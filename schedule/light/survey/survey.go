package survey

import (
	"errors"
	"math"
	"slices"

	"dayloom/photon/fit"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

// Options limit a survey.
type Options struct {
	Readings int
	Dose     []float64 // s at full output of each channel on the day that counts
	Age      []float64 // what is left of each channel, nil: all
	Date     plan.Date // of the survey, so that lamps count as old as they are; may be zero
	Reach    plan.Volume
	Corals   []int // nil: all that lie in reach, and a grid over the water
	Grid     bool  // also places without a coral
}

// Line is one reading to take.
type Line struct {
	plan.Reading              // with no PPFD
	Expected     fit.Expected // as the meter will show it
}

// Survey is what to measure, in the order of the way.
type Survey struct {
	Tank          string // its name, where the plan has several
	Lines         []Line
	Spots         int
	Before, After float64 // relative uncertainty of the DLI, root of the mean square over corals and areas
}

const (
	wholeNumbers = 1.0  // µmol m⁻² s⁻¹, a step of the meter's display
	nearby       = 0.90 // of the best gain: what a reading where the sensor is already must tell
	mostSpots    = 250  // of the grid
	mostRays     = 1e6  // of a first look at the grid, tens of times what usual lamps take
	mostTargets  = 240
	offGlass     = 0.05 // m that a sensor's middle keeps from the walls
)

// Plan chooses the readings.
func Plan(p *plan.Plan, f light.Field, o Options) (Survey, error) {
	targets := targets(p, f, o)
	if len(targets) == 0 {
		return Survey{}, errors.New("no coral or area gets any light on that day, so there is nothing to survey for")
	}
	candidates := candidates(p, o, used(targets))
	d, rows, err := f.Design(candidates, targets)
	if err != nil {
		return Survey{}, err
	}
	if len(rows) == 0 {
		return Survey{}, errors.New("no place in reach has any light to measure")
	}
	at := func(c int) light.Place {
		r := candidates[rows[c]]
		return light.Place{X: r.X, Y: r.Y, Depth: r.Depth}
	}
	d.Prefer = func(c int, chosen []int) float64 {
		for _, k := range chosen {
			if at(k) == at(c) {
				return nearby
			}
		}
		return 1
	}
	chosen := d.Choose(o.Readings, nil)
	out := Survey{Before: rms(d.Left(nil)), After: rms(d.Left(chosen))}
	for _, c := range chosen {
		r := candidates[rows[c]]
		e, err := f.Expect(r, -1)
		if err != nil {
			return out, err
		}
		out.Lines = append(out.Lines, Line{r, e})
	}
	out.Lines, out.Spots = way(out.Lines)
	return out, nil
}

func rms(variance []float64) float64 {
	sum := 0.0
	for _, v := range variance {
		sum += v / float64(len(variance))
	}
	return math.Sqrt(max(sum, 0))
}

// targets are ln DLI of corals and of places in areas.
func targets(p *plan.Plan, f light.Field, o Options) (out []fit.Point) {
	add := func(at light.Place, cells []light.Cell) {
		full := light.Full(cells, o.Age)
		dli := light.DLI(full, o.Dose)
		if dli <= 0 {
			return
		}
		t := fit.Point{At: at, Weight: make([]float64, len(cells))}
		for c := range full {
			one := make([]float64, len(full))
			one[c] = full[c]
			t.Weight[c] = light.DLI(one, o.Dose) / dli
		}
		out = append(out, t)
	}
	for i, c := range p.Corals {
		add(light.Place{X: c.X, Y: c.Y, Depth: c.Depth}, f.Corals[i])
	}
	for _, a := range f.Areas {
		for _, i := range spread(len(a.Places), 16) {
			add(a.Places[i], a.Cells[i])
		}
	}
	var some []fit.Point
	for _, i := range spread(len(out), mostTargets) {
		some = append(some, out[i])
	}
	return some
}

// spread picks at most so many of n, evenly.
func spread(n, most int) (out []int) {
	k := min(n, most)
	for i := range k {
		out = append(out, (2*i+1)*n/(2*k))
	}
	return out
}

// used lists the channels that any target has light of.
func used(targets []fit.Point) (out []int) {
	for c := range targets[0].Weight {
		if slices.ContainsFunc(targets, func(t fit.Point) bool { return t.Weight[c] > 1e-3 }) {
			out = append(out, c)
		}
	}
	return out
}

// candidates are each channel alone and all together at every spot in reach.
func candidates(p *plan.Plan, o Options, channels []int) (out []plan.Reading) {
	lit := func(c int) plan.Lit {
		if p.Channels[c].Dimmable {
			return plan.Lit{Channel: c, Fraction: 1, Command: "100%"}
		}
		return plan.Lit{Channel: c, Fraction: 1}
	}
	var all []plan.Lit
	for c := range p.Channels {
		all = append(all, lit(c))
	}
	together := len(all) > 1 && allowed(p)
	for _, s := range spots(p, o) {
		s.Digit, s.Date = wholeNumbers, o.Date
		for _, c := range channels {
			s.Lit = []plan.Lit{lit(c)}
			out = append(out, s)
		}
		if together {
			s.Lit = all
			out = append(out, s)
		}
	}
	return out
}

// allowed reports whether power and circuits let all channels be at full output at once.
func allowed(p *plan.Plan) bool {
	watts := 0.0
	for _, c := range p.Channels {
		watts += c.PowerW
	}
	if watts > p.Balance.PowerMaxW {
		return false
	}
	for _, c := range p.Circuits {
		amps := 0.0
		for _, ch := range c.Channels {
			amps += p.Channels[ch].PowerW / (c.SupplyV * c.PowerFactor)
		}
		if amps > c.RatingA*c.Continuous {
			return false
		}
	}
	return true
}

// spots are where a sensor may be held.
func spots(p *plan.Plan, o Options) (out []plan.Reading) {
	in := func(v float64, r [2]float64) bool { return v >= r[0]-1e-9 && v <= r[1]+1e-9 }
	depths := []float64{}
	for i, c := range p.Corals {
		depths = append(depths, c.Depth)
		if (o.Corals == nil || slices.Contains(o.Corals, i)) && in(c.X, o.Reach.X) && in(c.Y, o.Reach.Y) && in(c.Depth, o.Reach.Depth) {
			out = append(out, plan.Reading{Coral: i, X: c.X, Y: c.Y, Depth: c.Depth})
		}
	}
	if !o.Grid {
		return out
	}
	for _, z := range p.Zones {
		if z.Area != nil {
			depths = append(depths, z.Area.Depth)
		}
	}
	slices.Sort(depths)
	depths = slices.Compact([]float64{depths[0], depths[len(depths)/2], depths[len(depths)-1]})
	box := p.Tank.Box
	x := [2]float64{max(o.Reach.X[0], offGlass), min(o.Reach.X[1], box.Length-offGlass)}
	y := [2]float64{max(o.Reach.Y[0], offGlass), min(o.Reach.Y[1], box.Width-offGlass)}
	step := math.Sqrt(max(x[1]-x[0], 0.01) * max(y[1]-y[0], 0.01) * float64(len(depths)) / mostSpots)
	step = max(0.05, math.Ceil(step*20)/20)
	depths = slices.DeleteFunc(depths, func(d float64) bool { return !in(d, o.Reach.Depth) })
	for {
		grid := spaced(x, y, depths, step)
		var at []light.Place
		for _, r := range grid {
			at = append(at, light.Place{X: r.X, Y: r.Y, Depth: r.Depth})
		}
		if len(grid) <= len(depths) || light.Rays(p, at) <= mostRays {
			return append(out, grid...)
		}
		step *= math.Sqrt2
	}
}

// spaced are places at a step from each other at each depth.
func spaced(x, y [2]float64, depths []float64, step float64) (out []plan.Reading) {
	for _, d := range depths {
		for u := x[0]; u <= x[1]+1e-9; u += step {
			for v := y[0]; v <= y[1]+1e-9; v += step {
				out = append(out, plan.Reading{Coral: -1, X: cm(u), Y: cm(v), Depth: d})
			}
		}
	}
	return out
}

func cm(m float64) float64 { return math.Round(m*100) / 100 }

// way puts the lines in the order of a short way from the left end: spot by spot to
// the nearest left, at a spot channel by channel, all together last.
func way(lines []Line) (out []Line, spots int) {
	at := func(l Line) light.Place { return light.Place{X: l.X, Y: l.Y, Depth: l.Depth} }
	here := light.Place{}
	for len(lines) > 0 {
		next := 0
		for i := range lines {
			if far(at(lines[i]), here) < far(at(lines[next]), here)-1e-12 {
				next = i
			}
		}
		here = at(lines[next])
		var at1, rest []Line
		for _, l := range lines {
			if at(l) == here {
				at1 = append(at1, l)
			} else {
				rest = append(rest, l)
			}
		}
		slices.SortStableFunc(at1, func(a, b Line) int {
			if len(a.Lit) != len(b.Lit) {
				return len(a.Lit) - len(b.Lit)
			}
			return a.Lit[0].Channel - b.Lit[0].Channel
		})
		out, lines, spots = append(out, at1...), rest, spots+1
	}
	return out, spots
}

func far(a, b light.Place) float64 { return math.Hypot(math.Hypot(a.X-b.X, a.Y-b.Y), a.Depth-b.Depth) }
