package tank

import (
	"fmt"
	"math"

	"dayloom/photon/emitter"
)

// The limits, which bound time and memory whatever a tank and its lamps are.
const (
	mostSamples = 20000  // of one source
	mostImages  = 2500   // of one place in the walls
	mostRays    = 2e6    // samples times images; at more a spacing is not halved again
	firstLook   = 1250   // samples to begin with at most
	finest      = 0.0005 // m, between samples
)

// settle samples a source ever more finely, until halving the spacing moves no place
// by more than [Settled], or until a limit is met; the light says how far it moved.
func (b Box) settle(s Source, images int, sum func(spacing float64) []float64) Light {
	floor := 1e-3 * s.Flux / (b.Length * b.Width)
	spacing := first(s)
	out := Light{PPFD: sum(spacing), Spacing: spacing}
	before := math.Inf(1)
	for spacing > 0 {
		n := count(s.Emitters, spacing/2)
		if spacing/2 < finest || n > mostSamples || float64(n)*float64(images) > mostRays {
			return out
		}
		spacing /= 2
		next := sum(spacing)
		out.Moved = moved(out.PPFD, next, floor)
		out.PPFD, out.Spacing = next, spacing
		// A small step right after a large one may be chance.
		if out.Moved <= Settled && before <= 5*Settled {
			return out
		}
		before = out.Moved
	}
	return out
}

// first is the spacing to begin with.
func first(s Source) float64 {
	spacing := coarsest(s.Emitters, 0)
	for count(s.Emitters, spacing) > firstLook {
		spacing *= math.Sqrt2
	}
	return spacing
}

// moved is the greatest change of any light as a share of it, or of the floor.
func moved(before, after []float64, floor float64) (most float64) {
	for i, e := range after {
		if e > 0 || before[i] > 0 {
			most = math.Max(most, math.Abs(e-before[i])/math.Max(e, floor))
		}
	}
	return most
}

// fits is the number of images of a place, or why the model does not take a source
// in this tank: too many images, or too many samples even for the deepest place.
func (b Box) fits(s Source, depths []float64) (images int, err error) {
	deep := 0.0
	for _, d := range depths {
		deep = math.Max(deep, d)
	}
	if n := count(s.Emitters, coarsest(s.Emitters, deep/s.Index)); n > mostSamples {
		return 0, tooMany(n)
	}
	for _, l := range s.lamps(first(s), false) {
		v := b.view(l, s, deep)
		images = max(images, len(v.mx)*len(v.my))
	}
	if images > mostImages {
		return 0, fmt.Errorf("tank: its walls throw each lamp back %d times at %g m of depth, and no more than %d images are taken: make it wider or shallower, or its walls dark", images-1, deep, mostImages)
	}
	return images, nil
}

func tooMany(n int) error {
	return fmt.Errorf("source: its lines and panels are so large and so near that they need %d samples, and no more than %d are taken: make them smaller, or hang them higher", n, mostSamples)
}

func depths(places []Place) (out []float64) {
	for _, p := range places {
		out = append(out, p.Depth)
	}
	return out
}

// coarsest is the spacing to start from, the least that any body asks for when seen
// from an apparent depth below the surface [m]; 0 when all are points. It must be
// short enough that the first halving can show what is missed: half the width of
// the patch of light there, and no longer than the body, unless that is a point to
// the eye anyway.
func coarsest(emitters []emitter.Emitter, below float64) float64 {
	least := math.Inf(1)
	for _, e := range emitters {
		if e.Kind == emitter.Point {
			continue
		}
		patch := (e.Height + below) * math.Min(0.5, 0.75/math.Sqrt(math.Pi*peak(e.Light)))
		least = math.Min(least, math.Min(patch, math.Max(e.Extent(), patch/10)))
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

// count is the number of samples of one height that the emitters come to.
func count(emitters []emitter.Emitter, spacing float64) (n int) {
	for _, e := range emitters {
		parts := e.Parts(spacing)
		if e.Rise != 0 { // each part has its own height, which costs as much as many of one height
			parts *= 16
		}
		n += parts
	}
	return n
}
