package tank

import (
	"context"
	"errors"
	"math"
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

// At is the light of a source at the places, with lines and panels sampled
// ever more finely until halving the spacing moves no place by more than
// [Settled] of its light (or of a thousandth of the mean that the flux spread
// over the surface would give, where there is all but none). Places outside the
// tank are taken as they come. An error says what is wrong with tank or source, or
// that they need more samples or images than are taken (see the package's limits).
func (b Box) At(s Source, places []Place) (Light, error) {
	images, err := b.ready(s, places)
	if err != nil {
		return Light{}, err
	}
	return b.settle(s, images, func(spacing float64) []float64 { return b.sum(s, places, spacing) }), nil
}

// Rays is how many rays a first look at the places takes at most: samples times images
// times places. Each halving of the spacing, where lines and panels need it, doubles them.
func (b Box) Rays(s Source, places []Place) (float64, error) {
	images, err := b.ready(s, places)
	return float64(max(count(s.Emitters, first(s)), len(s.Emitters))) * float64(images) * float64(len(places)), err
}

// AtSpacing is the light of a source at the places for lines and panels
// sampled at the spacing given [m].
func (b Box) AtSpacing(s Source, places []Place, spacing float64) ([]float64, error) {
	if _, err := b.ready(s, places); err != nil {
		return nil, err
	}
	if n := count(s.Emitters, spacing); n > mostSamples {
		return nil, tooMany(n)
	}
	return b.sum(s, places, spacing), nil
}

// ready is how many images of a lamp the places see at most; the error says why their light cannot be worked out.
func (b Box) ready(s Source, places []Place) (images int, err error) {
	if err := b.check(s, places); err != nil {
		return 0, err
	}
	return b.fits(s, depths(places))
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

// sum adds up samples and images, each place on its own core.
func (b Box) sum(s Source, places []Place, spacing float64) []float64 {
	lamps := s.lamps(spacing, false)
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
