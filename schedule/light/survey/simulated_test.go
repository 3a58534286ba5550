package survey_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/emitter"
	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	"dayloom/schedule/light"
	"dayloom/schedule/light/survey"
	"dayloom/schedule/plan"
)

// A simulated tank is made by code that knows nothing of the fit: lamps hang elsewhere
// than the plan says, beams and fluxes are others, a disc with a sharp edge lies in shade,
// ripples disturb each reading, the meter is off.
type simulated struct {
	plan  *plan.Plan
	truth [][]float64 // PPFD at full output of each coral and channel
	dose  []float64   // s
	read  func(at light.Place, lit []int) float64
	all   []light.Place // 40 places of an all-on map: the candidates, and 24 more
}

const (
	channels, candidates, further = 8, 16, 16
	shift                         = 0.02 // m, how far a lamp is from its place, in any direction
	spot                          = 0.15 // m, radius of the shade
	beamOff                       = 0.05 // relative sd
	fluxOff                       = 0.22 // sd of ln
	shade                         = 0.30
	ripple                        = 0.05
	meterOff                      = 0.03
)

func between(r *rand.Rand, a, b float64) float64 { return a + (b-a)*r.Float64() }

// lamp is one channel as planned and as it is.
func lamp(t testing.TB, r *rand.Rand, name string) (planned, real plan.Channel) {
	nm := between(r, 410, 660)
	s, err := spectrum.Peak(nm, between(r, 15, 40))
	require.NoError(t, err)
	flux := between(r, 60, 400)
	angle := between(r, 60, 120) * math.Pi / 180
	e := emitter.Emitter{Height: between(r, 0.2, 0.4), Share: 1}
	x, y := between(r, 0.2, 2.2), between(r, 0.15, 0.45)
	if r.IntN(2) == 0 {
		half := between(r, 0.2, 0.6)
		e.Kind, e.From, e.To = emitter.Line, [2]float64{x - half, y}, [2]float64{x + half, y}
	} else {
		e.Kind, e.At = emitter.Point, [2]float64{x, y}
	}
	make := func(e emitter.Emitter, angle, flux float64) plan.Channel {
		beam, err := emitter.Beam(angle)
		require.NoError(t, err)
		e.Light = beam
		return plan.Channel{Name: name, Dimmable: true, Spectrum: s, HasSpectrum: true, Uncertainty: plan.Uncertainty{Common: 0.20, Own: 0.15},
			Flux: plan.Flux{UmolS: flux, TotalUmolS: flux}, Emitters: []emitter.Emitter{e}}
	}
	planned = make(e, angle, flux)
	d := [3]float64{r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}
	k := shift / math.Sqrt(d[0]*d[0]+d[1]*d[1]+d[2]*d[2])
	for _, p := range []*[2]float64{&e.At, &e.From, &e.To} {
		p[0], p[1] = p[0]+k*d[0], p[1]+k*d[1]
	}
	e.Height += k * d[2]
	return planned, make(e, angle*(1+beamOff*r.NormFloat64()), flux*math.Exp(fluxOff*r.NormFloat64()))
}

func simulate(t testing.TB, seed uint64) simulated {
	r := rand.New(rand.NewPCG(seed, 2026))
	p := &plan.Plan{Tank: plan.Tank{Box: tank.Box{Length: 2.4, Width: 0.6, Depth: 0.4}}, Meters: []plan.Meter{{InWaterFactor: 1, Uncertainty: 0.05}}}
	p.Balance.PowerMaxW = math.Inf(1)
	q := *p
	s := simulated{plan: p}
	for c := range channels {
		planned, real := lamp(t, r, fmt.Sprint("c", c))
		p.Channels, q.Channels = append(p.Channels, planned), append(q.Channels, real)
		s.dose = append(s.dose, between(r, 0.3, 1)*between(r, 4, 9)*3600)
	}
	anywhere := func() light.Place {
		return light.Place{X: between(r, 0.1, 2.3), Y: between(r, 0.08, 0.52), Depth: between(r, 0.08, 0.35)}
	}
	for i := range candidates + further {
		at := anywhere()
		p.Corals = append(p.Corals, plan.Coral{Name: fmt.Sprint("k", i), X: at.X, Y: at.Y, Depth: at.Depth})
		if i < candidates {
			s.all = append(s.all, at)
		}
	}
	for range 24 {
		s.all = append(s.all, anywhere())
	}
	dark := anywhere()
	bias := math.Exp(meterOff * r.NormFloat64())
	real := func(at light.Place, c int) float64 {
		v, err := light.Predict(&q, c, spectrum.PAR, []light.Place{at})
		require.NoError(t, err)
		if math.Hypot(at.X-dark.X, at.Y-dark.Y) < spot {
			return v[0] * (1 - shade)
		}
		return v[0]
	}
	for _, c := range p.Corals {
		var full []float64
		for ch := range channels {
			full = append(full, real(light.Place{X: c.X, Y: c.Y, Depth: c.Depth}, ch))
		}
		s.truth = append(s.truth, full)
	}
	s.read = func(at light.Place, lit []int) float64 {
		sum := 0.0
		for _, c := range lit {
			sum += real(at, c)
		}
		return math.Round(sum * bias * math.Exp(ripple*r.NormFloat64()))
	}
	return s
}

// surveyed takes the readings that a survey asks for, k a channel, and learns.
func (s simulated) surveyed(t testing.TB, k int) light.Field {
	f, problems := light.Survey(s.plan)
	require.False(t, problems.HasErrors())
	o := survey.Options{Readings: k * channels, Dose: s.dose, Reach: plan.Volume{X: [2]float64{0, 9}, Y: [2]float64{0, 9}, Depth: [2]float64{0, 9}}}
	for i := range candidates {
		o.Corals = append(o.Corals, i)
	}
	got, err := survey.Plan(s.plan, f, o)
	require.NoError(t, err)
	p := *s.plan
	p.Readings = &plan.Readings{}
	for i, l := range got.Lines {
		var lit []int
		for _, x := range l.Lit {
			lit = append(lit, x.Channel)
		}
		l.Line, l.PPFD = i+2, s.read(light.Place{X: l.X, Y: l.Y, Depth: l.Depth}, lit)
		p.Readings.Rows = append(p.Readings.Rows, l.Reading)
	}
	f, problems = light.Survey(&p)
	require.False(t, problems.HasErrors())
	return f
}

// estimate is the DLI of a coral that is no candidate, its standard uncertainty, and what
// it really is.
type estimate struct{ dli, sd, real float64 }

// errorsOf are the estimates by a field.
func (s simulated) errorsOf(f light.Field) (out []estimate) {
	for i := candidates; i < candidates+further; i++ {
		full := light.Full(f.Corals[i], nil)
		amounts := make([]float64, len(full))
		for c := range full {
			amounts[c] = full[c] * s.dose[c] * 1e-6
		}
		out = append(out, estimate{light.DLI(full, s.dose), light.Deviation(f.Corals[i], amounts), light.DLI(s.truth[i], s.dose)})
	}
	return out
}

// A few tanks, so that the simulation itself is run with every test; the figures are those
// of TestTanks (build tag tanks).
func TestAFewTanks(t *testing.T) {
	var bare, learned []estimate
	for seed := range uint64(6) {
		s := simulate(t, seed)
		f, _ := light.Survey(s.plan)
		bare, learned = append(bare, s.errorsOf(f)...), append(learned, s.errorsOf(s.surveyed(t, 2))...)
	}
	assert.Less(t, quantile(learned, 0.5), 0.8*quantile(bare, 0.5))
	assert.Less(t, quantile(learned, 0.9), 0.8*quantile(bare, 0.9))
}

// quantile is that of the relative errors.
func quantile(e []estimate, q float64) float64 {
	var off []float64
	for _, x := range e {
		off = append(off, math.Abs(x.dli/x.real-1))
	}
	return light.Percentile(off, q)
}
