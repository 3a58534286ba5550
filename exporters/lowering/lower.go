package lowering

import (
	"math"

	"dayloom/photon/dimmer"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

// Limits are what a controller's port can hold and what its lamp makes of it.
type Limits struct {
	Response  dimmer.Response // command to light fraction, dark commands included
	OnFrom    float64         // a dark lamp lights from this command on; 0: as soon as its response gives light
	Range     [2]float64      // lowest and highest command, in the port's unit
	Step      float64         // command step from Range[0] on; 0: continuous, a ten-thousandth of the range
	Hold      bool            // commands are held between points; false: straight lines
	MaxPoints int             // points a day; 0: as many as the times
	TimeStep  float64         // s; points are at its multiples; 0: 60
	Switch    bool            // a switched outlet: commands 0 and 1, held; Range, Step, Response, Hold unused
	// Outlet says that a switched outlet feeds the port's lamp: it is off while the
	// lamp is to be dark, for ports that cannot be dark themselves.
	Outlet bool

	// Exact asks for the best points there are, however long that takes, where times and
	// commands are few enough: at most ExactSize of one times the other.
	Exact bool

	// DoseTolerance is the relative departure of the day's dose that is aimed
	// at; 0: 0.005.
	DoseTolerance float64
}

// Result is a day lowered to points, with what it gives against what was asked.
// Light is in light fractions, doses are in seconds of full light.
type Result struct {
	Points []port.Point
	Outlet []port.Point // what the outlet plays, commands 0 and 1, held; none when the port needs none

	// Greatest is the greatest departure of the light given from the light
	// asked in the norm of the package comment: away from jumps.
	Greatest, GreatestAt float64
	// Bound is a departure that no table can do without; Proven says that none comes nearer
	// than these points, to a ten-thousandth of full light.
	Bound  float64
	Proven bool

	DoseAsked, DoseDelivered float64
	Notes                    []Note
}

// Track is the light that the points give within the limits.
func (l Limits) Track(points []port.Point) (port.Played, error) { return l.whole().played(points, nil) }

// played is the light that the points give, through an outlet if there is one.
func (l Limits) played(points, outlet []port.Point) (port.Played, error) {
	p := port.Port{Kind: port.Kind{Range: l.Range, Step: l.Step, Hold: l.Hold}, Lamps: []port.Lamp{l.lamp()}}
	lamps, err := p.Play(points, outlet)
	if err != nil {
		return port.Played{}, err
	}
	return lamps[0], nil
}

func (l Limits) lamp() port.Lamp { return port.Lamp{Response: l.Response, OnFrom: l.OnFrom} }

// whole is the limits with every default filled in.
func (l Limits) whole() Limits {
	if l.Switch {
		l.Range, l.Step, l.Hold = [2]float64{0, 1}, 1, true
		l.Response, _ = dimmer.Linear(0, 1) // cannot fail
	}
	if !(l.TimeStep > 0) {
		l.TimeStep = 60
	}
	l.TimeStep = min(l.TimeStep, curve.Day)
	if !(l.DoseTolerance > 0) {
		l.DoseTolerance = 0.005
	}
	if span := l.Range[1] - l.Range[0]; !(l.Step > 0) {
		l.Step = span / 10000
	}
	if l.MaxPoints <= 0 {
		l.MaxPoints = math.MaxInt32
	}
	return l
}

// Lower finds points that follow the curve within the limits. The same arguments always
// give the same points.
func Lower(want curve.Curve, limits Limits) Result {
	limits = limits.whole()
	rungs := newLadder(limits)
	asked := newTarget(want, rungs, limits)
	return report(asked, limits, nearest(asked, rungs, limits))
}

// nearest is the best points found: all ways tried where they are few enough, else first
// with times some way apart, then with all times about those.
func nearest(a target, r *ladder, l Limits) answer {
	step := l.TimeStep
	fine := max(1, math.Floor(60/step+1e-9)) * step
	wide := max(1, math.Floor(a.lit()/float64(min(l.MaxPoints, 1000))/fine/24)) * fine
	near := 1
	if wide > fine {
		near = rough
	}
	g := newGrid(a, r, l, wide, near)
	if g.exact() {
		g = newGrid(a, r, l, step, 1)
	}
	low, keep := g.bound(l.MaxPoints), g.kept()
	if g.exact() {
		if best, ok := g.closeIn(keep, low); ok {
			return best
		}
	}
	best, at := g.solve(keep, levelOf(a.likely(r, low)))
	for pass := 0; wide > fine && pass < passes; pass++ {
		next, on := g.closer(best.points, fine).solve(keep, at)
		if next.off > best.off || next.off == best.off && next.got.High >= best.got.High {
			break
		}
		best, at = next, on
	}
	if !best.proven {
		best.lower = low
		best.proven = best.off == 0 && best.got.Low <= max(low*(1+tight), finest)
	}
	return best
}

// solve is the best points found on a grid, and the level without regard to the dose,
// looked for from a guess on.
func (g *grid) solve(keep window, guess int) (answer, int) {
	s, at := g.best(g.limits.MaxPoints, guess)
	return g.judge(g.keepDose(s, keep).vertices, keep), at
}

// report plays the points and compares.
func report(a target, limits Limits, best answer) Result {
	r := Result{Points: best.points, DoseAsked: a.Curve.Dose(), Bound: best.lower, Proven: best.proven}
	if a.cut > 0 {
		r.Outlet = a.outlet(limits.TimeStep)
	}
	played, err := a.played(r.Points, limits)
	if err != nil { // the points are made on the grid, in order
		r.Notes = append(r.Notes, Note{Kind: Unplayable, Text: err.Error(), Brief: err.Error()})
		return r
	}
	r.DoseDelivered = played.Integral(0, curve.Day)
	r.Greatest, r.GreatestAt = best.got.High, best.got.At
	r.Notes = notes(r, a, limits)
	return r
}
