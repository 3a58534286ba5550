package lowering

import (
	"math"

	"dayloom/photon/dimmer"
	"dayloom/schedule/shape/port"
)

// ladder is the commands that a port can send, numbered from 0 at the foot of
// its range, and the light that each gives.
type ladder struct {
	response  dimmer.Response
	lamp      port.Lamp
	foot      float64
	step      float64
	top       int     // the highest rung
	dark      bool    // rung 0 gives no light
	lit       int     // first rung above the dark ones; rungs between 0 and lit are not used
	edge      float64 // command at which the lamp comes on with a jump; with none, the foot
	edgeLight float64 // light there
	full      float64 // what the response gives at the highest
	cliff     bool    // dark and lit are a jump apart: commands between them are only passed through

	lights []float64 // of the first rungs, worked out beforehand
}

func newLadder(l Limits) *ladder {
	r := &ladder{response: l.Response, lamp: l.lamp(), foot: l.Range[0], step: l.Step, edge: l.Range[0]}
	r.top = max(0, int(math.Floor((l.Range[1]-l.Range[0])/l.Step+1e-6)))
	r.full = r.response.Fraction(r.command(r.top))
	for rung := range min(r.top+1, 1024) {
		r.lights = append(r.lights, r.lamp.Light(r.command(rung)))
	}
	if r.dark = r.light(0) == 0; !r.dark {
		r.edgeLight = r.light(0)
		return r
	}
	at, light := l.Response.Darkest()
	if on := r.lamp.On(); on > at {
		at, light = on, l.Response.Fraction(on)
	}
	r.edge, r.edgeLight = max(at, r.foot), light
	up := (r.edge - r.foot) / r.step
	if r.cliff = light > finest; r.cliff {
		r.lit = max(1, int(math.Ceil(up-1e-6)))
	} else {
		r.lit = max(1, int(math.Floor(up+1e-6))) // the last dark rung, from which light begins without a jump
	}
	r.lit = min(r.lit, r.top)
	return r
}

// command is the command of a rung, without the dust of binary fractions.
func (r *ladder) command(rung int) float64 {
	return math.Round((r.foot+float64(rung)*r.step)*1e9) / 1e9
}

func (r *ladder) light(rung int) float64 {
	if rung < len(r.lights) {
		return r.lights[rung]
	}
	return r.lamp.Light(r.command(rung))
}

// most is the brightest light that the port can give.
func (r *ladder) most() float64 { return r.light(r.top) }

// below is how far under the edge a command has to be to be dark for certain: well
// beyond what rounding moves a line by.
func (r *ladder) below() float64 { return 1e-3 * r.step }

// span is the commands that give light from lo to hi: low ≤ c ≤ high. It is
// empty, low > high, when no command does. Commands just below a jump do not
// count as those at it.
func (r *ladder) span(lo, hi float64) (low, high float64) {
	hair := 1e-7 * r.step // against rounding
	ceiling := r.command(r.top)
	low = r.foot
	if lo > 0 {
		var there bool
		if low, there = r.response.Command(lo); !there && r.response.Fraction(low) < lo-1e-12 {
			low = ceiling + r.step // nothing is that bright
		}
	}
	switch {
	case hi < 0 || !r.dark && hi < r.edgeLight-1e-12:
		return low, r.foot - r.step
	case hi >= r.full:
		high = ceiling
	case r.dark && hi < r.edgeLight:
		return low - hair, r.edge - r.below()
	default:
		high, _ = r.response.Command(hi)
	}
	return low - hair, high + hair
}

// inside is the lit rungs, or those in use, with commands from low to high, and whether
// the dark rung has one.
func (r *ladder) inside(low, high float64) (first, last int, dark bool) {
	first = max(r.lit, int(math.Ceil((low-r.foot)/r.step-1e-6)))
	last = min(r.top, int(math.Floor((high-r.foot)/r.step+1e-6)))
	return first, last, r.dark && low <= r.foot && high >= r.foot
}
