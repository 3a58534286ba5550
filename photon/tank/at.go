package tank

import (
	"context"
	"errors"
	"math"

	"dayloom/photon/emitter"
)

// Light is the flux density at a list of places.
type Light struct {
	PPFD    []float64 // on the horizontal, facing up [µmol m⁻² s⁻¹], one a place
	Spacing float64   // of the samples of lines and panels [m]; 0 when all are points
	// Moved is the greatest change at any place when the spacing was last
	// halved, as a share of the light there. More than [Settled] means that
	// the finest spacing tried was not fine enough.
	Moved float64
}

// Settled is the change on halving the spacing that is aimed for.
const Settled = 0.002

// The finest sampling tried: none closer, and no more samples than this.
const (
	finest   = 0.0005 // m
	greatest = 20000
)

// At is the light of a source at the places, with lines and panels sampled
// ever more finely until halving the spacing moves no place by more than
// [Settled] of its light (or of a thousandth of the mean that the flux spread
// over the surface would give, where there is all but none). Places outside the
// tank are taken as they come. An error says what is wrong with tank or source.
func (b Box) At(s Source, places []Place) (Light, error) {
	if err := b.check(s, places); err != nil {
		return Light{}, err
	}
	floor := 1e-3 * s.Flux / (b.Length * b.Width)
	spacing := coarsest(s.Emitters)
	out := Light{PPFD: b.sum(s, places, spacing), Spacing: spacing}
	before := math.Inf(1)
	for spacing > 0 {
		spacing /= 2
		next, n := b.sum(s, places, spacing), count(s.Emitters, spacing)
		out.Moved = 0
		for i, e := range next {
			if e > 0 || out.PPFD[i] > 0 {
				out.Moved = math.Max(out.Moved, math.Abs(e-out.PPFD[i])/math.Max(e, floor))
			}
		}
		out.PPFD, out.Spacing = next, spacing
		// A small step right after a large one may be chance.
		if out.Moved <= Settled && before <= 5*Settled || spacing/2 < finest || 2*n > greatest {
			break
		}
		before = out.Moved
	}
	return out, nil
}

// AtSpacing is the light of a source at the places for lines and panels
// sampled at the spacing given [m].
func (b Box) AtSpacing(s Source, places []Place, spacing float64) ([]float64, error) {
	if err := b.check(s, places); err != nil {
		return nil, err
	}
	return b.sum(s, places, spacing), nil
}

func (b Box) check(s Source, places []Place) error {
	errs := []error{b.Validate(), s.Validate()}
	for _, p := range places {
		if math.IsNaN(p.X+p.Y) || math.IsInf(p.X+p.Y, 0) {
			errs = append(errs, errors.New("place: x and y must be finite numbers"))
		}
		errs = append(errs, validDepth(p.Depth))
	}
	return errors.Join(errs...)
}

// coarsest is the spacing to start from, the least that any body asks for; 0
// when all are points. It must be short enough that the first halving can show
// what is missed: half the width of the patch of light on the surface, and no
// longer than the body, unless that is a point to the eye anyway.
func coarsest(emitters []emitter.Emitter) float64 {
	least := math.Inf(1)
	for _, e := range emitters {
		var extent float64
		switch e.Kind {
		case emitter.Point:
			continue
		case emitter.Line:
			extent = math.Hypot(e.To[0]-e.From[0], e.To[1]-e.From[1])
		case emitter.Panel:
			extent = math.Max(e.Size[0], e.Size[1])
		}
		patch := e.Height * math.Min(0.5, 0.75/math.Sqrt(math.Pi*peak(e.Light)))
		least = math.Min(least, math.Min(patch, math.Max(extent, patch/10)))
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return math.Max(least, 2*finest)
}

// peak is about the greatest intensity per unit flux [1/sr]; 1/π for a
// Lambertian lamp.
func peak(light emitter.Distribution) (most float64) {
	for gamma := 0.0; gamma <= light.MaxGamma(); gamma += math.Pi / 36 {
		for phi := 0.0; phi < 2*math.Pi; phi += math.Pi / 4 {
			most = math.Max(most, light.PerSteradian(gamma, phi))
			if light.Axial() {
				break
			}
		}
	}
	return most
}

func count(emitters []emitter.Emitter, spacing float64) (n int) {
	for _, e := range emitters {
		n += len(e.Samples(spacing))
	}
	return n
}

// sum adds up samples and images, each place on its own core.
func (b Box) sum(s Source, places []Place, spacing float64) []float64 {
	lamps := s.lamps(spacing)
	at := map[float64][]view{} // by depth: only looked up, never walked
	for _, p := range places {
		if at[p.Depth] == nil {
			for _, l := range lamps {
				at[p.Depth] = append(at[p.Depth], b.view(l, s, p.Depth))
			}
		}
	}
	out := make([]float64, len(places))
	_ = each(context.Background(), len(places), nil, func(i int) {
		for k := range at[places[i].Depth] {
			out[i] += at[places[i].Depth][k].at(places[i])
		}
	})
	return out
}

func (v *view) at(p Place) float64 {
	var e float64
	for _, my := range v.my {
		y := my.off + my.sign*p.Y
		for _, mx := range v.mx {
			x := mx.off + mx.sign*p.X
			for _, s := range v.samples {
				e += v.through(s, mx, my, x, y)
			}
		}
	}
	return e
}
