package lowering

import (
	"math"

	"dayloom/photon/dimmer"
	"dayloom/schedule/curve"
	"dayloom/schedule/port"
)

// Limits are what a controller's port can hold and what its lamp makes of it.
type Limits struct {
	Response  dimmer.Response // command to light fraction, dark commands included
	Range     [2]float64      // lowest and highest command, in the port's unit
	Step      float64         // command step from Range[0] on; 0: continuous, a ten-thousandth of the range
	Hold      bool            // commands are held between points; false: straight lines
	MaxPoints int             // points a day; 0: as many as the times
	TimeStep  float64         // s; points are at its multiples; 0: 60
	Switch    bool            // a switched outlet: commands 0 and 1, held; Range, Step, Response, Hold unused
	// Outlet says that a switched outlet feeds the port's lamp: it is off while the
	// lamp is to be dark, for ports that cannot be dark themselves.
	Outlet bool

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
	// Anywhere is the plain greatest departure, at jumps and below the cut-in too.
	Anywhere, AnywhereAt float64

	DoseAsked, DoseDelivered float64
	BelowCutIn               BelowCutIn
	Notes                    []Note
}

// BelowCutIn tells of the time in which the curve asks for less than the darkest
// light that the port can give.
type BelowCutIn struct {
	Darkest    float64 // that light, as a light fraction; 0: the port can give any
	Seconds    float64 // how long the curve is below it, dark hours not counted unless the port cannot be dark
	LightAsked float64 // over that time
	LightGiven float64 // over that time
}

// Track is the light that the points give within the limits.
func (l Limits) Track(points []port.Point) (port.Played, error) {
	l = l.whole()
	p := port.Port{Kind: port.Kind{Range: l.Range, Step: l.Step, Hold: l.Hold}, Lamps: []port.Lamp{{Response: l.Response}}}
	lamps, err := p.Play(points, nil)
	if err != nil {
		return port.Played{}, err
	}
	return lamps[0], nil
}

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

// Lower finds the points that follow the curve best within the limits. The same
// arguments always give the same points.
func Lower(want curve.Curve, limits Limits) Result {
	limits = limits.whole()
	rungs := newLadder(limits)
	asked := newTarget(want, rungs, limits)
	if points, ok := flat(asked, rungs, limits); ok {
		return report(asked, rungs, limits, points)
	}
	grid := newGrid(asked, rungs, limits)
	best := grid.best(limits.MaxPoints)
	best = grid.keepDose(best, limits)
	return report(asked, rungs, limits, grid.points(best.vertices))
}

// report plays the points and compares.
func report(a target, rungs *ladder, limits Limits, points []port.Point) Result {
	r := Result{Points: points, DoseAsked: a.want.Dose()}
	if a.cut {
		r.Outlet = a.outlet(limits.TimeStep)
	}
	played, err := a.played(points, limits)
	if err != nil { // the points are made on the grid, in order
		r.Notes = append(r.Notes, Note{Unplayable, err.Error()})
		return r
	}
	r.DoseDelivered = played.Integral(0, curve.Day)
	r.Greatest, r.GreatestAt = a.departure(played)
	r.Anywhere, r.AnywhereAt = a.anywhere(played)
	r.BelowCutIn = a.below(played)
	r.Notes = notes(r, a, rungs, limits)
	return r
}
