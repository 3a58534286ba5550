package fit

import (
	"math"

	"dayloom/photon/gauss"
	"dayloom/photon/tank"
)

// Channel is what is held of a channel before any reading: the standard deviations of
// ln E, of the part common to all channels and of its own.
type Channel struct {
	Common, Own float64
	Modelled    bool // false: no F, known by readings alone
}

// Term is one channel lit in a reading: its PPFD by the model at the command, as the
// meter would show it, F·L/f; L/f where there is no model.
type Term struct {
	Channel int
	PPFD    float64
}

// Reading is what a meter showed.
type Reading struct {
	At       tank.Place
	Terms    []Term  // of channels that the model has light of there; none: nothing was lit
	Value    float64 // as shown, µmol m⁻² s⁻¹
	Constant float64 // sd of its own error that is no share of it, µmol m⁻² s⁻¹, > 0
	Meter    int
	Room     int // the date's room light; -1: taken as dark
}

// Problem is all that a fit starts from.
type Problem struct {
	Channels []Channel
	Meters   []float64 // relative standard deviation of each
	Rooms    int
	Readings []Reading
	Sizes    *Fields // held to these; nil: found
}

// Fields are the sizes that the readings may set.
type Fields struct {
	Shared, Own  float64 // sd of s and s_c where the stated uncertainty is 25 %
	Length       float64 // m
	Proportional float64 // p
}

// Usual are the sizes before any reading (common practice, no source).
var Usual = Fields{Shared: 0.08, Own: 0.06, Length: 0.50, Proportional: 0.04}

const (
	commonSD, ownSD = 0.20, 0.15 // the default parts that Shared and Own are told of
	freeSD          = 1.0        // of ln E of a channel without a model, about its mean
	freeLength      = 0.40       // m
	meanSD          = 10.0       // of ln of that mean: nothing is known
	roomSD          = 20.0       // µmol m⁻² s⁻¹
)

// weight is how much one channel's ln E counts in an item.
type weight struct {
	channel int
	w       float64
}

// item is a linear function of the unknowns: of ln E at one place, of a meter's bias
// and of a room's light.
type item struct {
	at          tank.Place
	w           []weight // by rising channel
	common      float64  // Σ w·Common over modelled channels
	meter, room int      // -1: none
	meterW      float64
	roomW       float64
}

// newItem gathers the common part; weights come by rising channel.
func newItem(ch []Channel, at tank.Place, w []weight) item {
	it := item{at: at, w: w, meter: -1, room: -1}
	for _, x := range w {
		if ch[x.channel].Modelled {
			it.common += x.w * ch[x.channel].Common
		}
	}
	return it
}

// pair is what the covariance of two items is made of, whatever the fields' sizes.
type pair struct {
	r                 float64 // m between them
	common, own, rest float64
}

// pair takes two items apart.
func (p *Problem) pair(a, b *item) pair {
	out := pair{r: distance(a.at, b.at), common: a.common * b.common}
	for i, j := 0, 0; i < len(a.w) && j < len(b.w); {
		x, y := a.w[i], b.w[j]
		switch {
		case x.channel < y.channel:
			i++
		case x.channel > y.channel:
			j++
		default:
			c := p.Channels[x.channel]
			if c.Modelled {
				out.own += x.w * y.w * c.Own * c.Own
			} else {
				k, _ := gauss.Matern32(out.r, freeLength)
				out.rest += x.w * y.w * (meanSD*meanSD + freeSD*freeSD*k)
			}
			i, j = i+1, j+1
		}
	}
	if a.meter >= 0 && a.meter == b.meter {
		out.rest += a.meterW * b.meterW * p.Meters[a.meter] * p.Meters[a.meter]
	}
	if a.room >= 0 && a.room == b.room {
		out.rest += a.roomW * b.roomW * roomSD * roomSD
	}
	return out
}

// share is the part of a stated variance that a field takes.
func (f Fields) share() (shared, own float64) {
	return min(f.Shared*f.Shared/(commonSD*commonSD), mostShare), min(f.Own*f.Own/(ownSD*ownSD), mostShare)
}

const mostShare = 0.95

// cov is the covariance of a pair.
func (f Fields) cov(x pair) float64 {
	if x.common == 0 && x.own == 0 {
		return x.rest
	}
	shared, own := f.share()
	k, _ := gauss.Matern32(x.r, f.Length)
	return x.common*(1-shared+shared*k) + x.own*(1-own+own*k) + x.rest
}

// distance is infinite from a place at infinity, to itself too: no field joins it.
func distance(a, b tank.Place) float64 {
	r := math.Sqrt((a.X-b.X)*(a.X-b.X) + (a.Y-b.Y)*(a.Y-b.Y) + (a.Depth-b.Depth)*(a.Depth-b.Depth))
	if math.IsNaN(r) {
		return math.Inf(1)
	}
	return r
}

// stable is t(y) and its derivative for a reading with constant error k.
func stable(y, k float64) (t, slope float64) {
	return math.Asinh(Usual.Proportional * y / k), Usual.Proportional / math.Hypot(k, Usual.Proportional*y)
}

// unstable is the y of a t.
func unstable(t, k float64) float64 { return math.Sinh(t) * k / Usual.Proportional }
