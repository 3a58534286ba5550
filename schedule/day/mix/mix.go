package mix

import (
	"iter"
	"math"
	"slices"

	"dayloom/photon/colour"
	"dayloom/photon/pigment"
	"dayloom/photon/spectrum"
	"dayloom/photon/water"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

// Bands are the bands of which the shares are told, nm. Violet and near UV stand apart
// because an acclimation doses them apart.
var Bands = []spectrum.Band{
	{Lo: 380, Hi: 400}, {Lo: 400, Hi: 430}, {Lo: 430, Hi: 490}, {Lo: 490, Hi: 570},
	{Lo: 570, Hi: 620}, {Lo: 620, Hi: 700}, {Lo: 700, Hi: 750},
}

// Bins is the number of steps, each binNM wide, of 400-700 nm in which lights are compared.
const (
	Bins  = 15
	binNM = 20
)

// Bin is the k-th step.
func Bin(k int) spectrum.Band {
	lo := spectrum.PAR.Lo + binNM*float64(k)
	return spectrum.Band{Lo: lo, Hi: lo + binNM}
}

// Shares are a light's photons in each of Bins after so many m of water, as shares of
// those of 400-700 nm. ok is false where nothing is left.
func Shares(s spectrum.Spectrum, w water.Absorption, depthM float64) (out [Bins]float64, ok bool) {
	sum := 0.0
	for k := range out {
		b := Bin(k)
		out[k] = s.PhotonShare(b, spectrum.PAR) * water.Transmission(w, s, b)(depthM)
		sum += out[k]
	}
	for k := range out {
		out[k] /= sum
	}
	return out, sum > 0
}

// Place is a coral, or the middle of an area, with the light of every channel there.
type Place struct {
	Name     string
	Zone     int
	Area     bool
	Channels []Channel // those over its tank
	Over     []int     // where each stands in Plan.Channels; nil: as they do
}

// channel is where the k-th of a place's channels stands in the plan.
func (p Place) channel(k int) int {
	if p.Over == nil {
		return k
	}
	return p.Over[k]
}

// All gives each of the place's channels with where it stands in the plan.
func (p Place) All() iter.Seq2[int, *Channel] {
	return func(yield func(int, *Channel) bool) {
		for k := range p.Channels {
			if !yield(p.channel(k), &p.Channels[k]) {
				return
			}
		}
	}
}

// Channel is one channel's light at a place at full output, µmol m⁻² s⁻¹.
type Channel struct {
	PPFD    float64
	Light   colour.Light
	XYZ     colour.XYZ
	Bins    [Bins]float64 // photons of each of Bins
	bands   []float64     // photons in each of Bands
	excites []float64     // photons of pigment.Band, each times its excitation of each pigment
	whole   float64       // photons of pigment.Band
}

// At works out the places of a plan from its field, lamps new: corals, then areas.
func At(p *plan.Plan, f light.Field) ([]Place, error) {
	if !p.Several() {
		return one(p, f)
	}
	out := make([]Place, len(p.Corals)+len(f.Areas))
	for i := range p.Tanks {
		q := p.Part(i)
		places, err := one(q.Plan, f.Of(q))
		if err != nil {
			return nil, err
		}
		for k, pl := range places {
			pl.Zone, pl.Over = q.Kept.Zones[pl.Zone], q.Kept.Channels
			at := len(p.Corals) + slices.IndexFunc(f.Areas, func(a light.Area) bool { return a.Zone == pl.Zone })
			if !pl.Area {
				at = q.Kept.Corals[k]
			}
			out[at] = pl
		}
	}
	return out, nil
}

// one is At of the only tank.
func one(p *plan.Plan, f light.Field) ([]Place, error) {
	var at []light.Place
	var out []Place
	for _, c := range p.Corals {
		out, at = append(out, Place{Name: c.Name, Zone: c.Zone}), append(at, light.Place{X: c.X, Y: c.Y, Depth: c.Depth})
	}
	for _, a := range f.Areas {
		r := p.Zones[a.Zone].Area
		out = append(out, Place{Name: p.Zones[a.Zone].Name + " (middle of its area)", Zone: a.Zone, Area: true})
		at = append(at, light.Place{X: (r.X[0] + r.X[1]) / 2, Y: (r.Y[0] + r.Y[1]) / 2, Depth: r.Depth})
	}
	cells := f.Corals
	if len(f.Areas) > 0 {
		middles, err := f.At(at[len(cells):])
		if err != nil {
			return nil, err
		}
		cells = append(cells[:len(cells):len(cells)], middles...)
	}
	spectra, err := light.Spectra(p, at)
	if err != nil {
		return nil, err
	}
	for i := range out {
		for ch, s := range spectra[i] {
			out[i].Channels = append(out[i].Channels, channel(s.Toward(cells[i][ch]), cells[i][ch].PPFD))
		}
	}
	return out, nil
}

func channel(s light.Spectral, ppfd float64) Channel {
	c := Channel{PPFD: ppfd, Light: colour.OfPhotons(s.NM, s.Photons), bands: make([]float64, len(Bands))}
	c.XYZ = c.Light.XYZ()
	for i, nm := range s.NM {
		for k, b := range Bands {
			if nm >= b.Lo && nm < b.Hi {
				c.bands[k] += s.Photons[i]
			}
		}
		if k := int(math.Floor((nm - spectrum.PAR.Lo) / binNM)); k >= 0 && k < Bins {
			c.Bins[k] += s.Photons[i]
		}
		if nm >= pigment.Band.Lo && nm <= pigment.Band.Hi {
			c.whole += s.Photons[i]
		}
	}
	for _, p := range pigment.All() {
		c.excites = append(c.excites, p.Share(s.NM, s.Photons)*c.whole)
	}
	return c
}

// Seen is what there is to say of the light at a place.
type Seen struct {
	PPFD          float64 // µmol m⁻² s⁻¹
	Lit           bool    // false: all below has nothing to say
	XY            colour.Chromaticity
	Temperature   *colour.Temperature // nil: none, and NoTemperature says why
	NoTemperature string
	Rendering     *colour.Rendering // nil: the light has no reference; see its Valid too
	Fidelity      *colour.Fidelity
	Swatch        colour.Swatch
	Bands         []float64 // share of the photons of 380-750 nm in each of Bands
	Pigments      []float64 // share of the photons of 350-700 nm that excites each of pigment.All
}

// Under is the light at levels of the channels, age included: 0..1 each.
func (p Place) Under(levels []float64) Seen {
	var s Seen
	var l colour.Light
	var whole, seen float64
	s.Bands, s.Pigments = make([]float64, len(Bands)), make([]float64, len(pigment.All()))
	for i, c := range p.All() {
		s.PPFD += levels[i] * c.PPFD
		whole += levels[i] * c.whole
		l = l.Plus(levels[i], c.Light)
		add(s.Bands, levels[i], c.bands)
		add(s.Pigments, levels[i], c.excites)
	}
	for _, b := range s.Bands {
		seen += b
	}
	divide(s.Bands, seen)
	divide(s.Pigments, whole)
	xyz := l.XYZ()
	if s.XY, s.Lit = xyz.Chromaticity(); !s.Lit {
		return s
	}
	s.Swatch = xyz.Swatch()
	if t, err := s.XY.Temperature(); err == nil {
		s.Temperature = &t
	} else {
		s.NoTemperature = err.Error()
	}
	if r, err := l.Rendering(); err == nil {
		s.Rendering = &r
	}
	if f, err := l.Fidelity(); err == nil {
		s.Fidelity = &f
	}
	return s
}

func add(sum []float64, share float64, more []float64) {
	for k, v := range more {
		sum[k] += share * v
	}
}

func divide(values []float64, by float64) {
	for k := range values {
		if by > 0 {
			values[k] /= by
		}
	}
}
