package tank

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
)

// Grid is a regular lattice of places: Nx by Ny from (X0, Y0) in steps of Dx
// and Dy [m], at each of the depths [m].
type Grid struct {
	X0, Dx float64
	Nx     int
	Y0, Dy float64
	Ny     int
	Depths []float64
}

// Len is the number of places.
func (g Grid) Len() int { return g.Nx * g.Ny * len(g.Depths) }

// Place is the i-th place: x runs fastest, then y, then depth.
func (g Grid) Place(i int) Place {
	layer := g.Nx * g.Ny
	return Place{
		X:     g.X0 + float64(i%g.Nx)*g.Dx,
		Y:     g.Y0 + float64(i%layer/g.Nx)*g.Dy,
		Depth: g.Depths[i/layer],
	}
}

// Validate reports what is wrong with the grid, or nil.
func (g Grid) Validate() error {
	if g.Nx < 1 || g.Ny < 1 || len(g.Depths) < 1 {
		return errors.New("grid: it needs at least one place along x, y and depth")
	}
	if !(g.Dx > 0 && g.Dy > 0) || math.IsInf(g.X0+g.Dx*float64(g.Nx), 0) || math.IsInf(g.Y0+g.Dy*float64(g.Ny), 0) || math.IsNaN(g.X0) || math.IsNaN(g.Y0) {
		return errors.New("grid: start and step must be finite numbers, and the step more than 0 m")
	}
	for _, d := range g.Depths {
		if err := validDepth(d); err != nil {
			return err
		}
	}
	return nil
}

func validDepth(d float64) error {
	if !(d >= 0 && d <= longest) {
		return fmt.Errorf("depth %g m: it must be from 0 m to %d m below the surface", d, longest)
	}
	return nil
}

// Options are how a grid is computed.
type Options struct {
	// Spacing of the samples of lines and panels [m]; 0 finds it for each
	// source as At would, for places spread closely over the grid.
	Spacing float64
	// Spacings are the same for each source by itself, and go first; 0 finds it.
	Spacings []float64
	// Progress, if set, hears how many of the layers are done, one call at a time.
	Progress func(done, total int)
}

// of is the spacing stated for a source, 0 if there is none.
func (o Options) of(source int) float64 {
	if source < len(o.Spacings) {
		return o.Spacings[source]
	}
	return o.Spacing
}

// Field is the light of several sources on a grid.
type Field struct {
	Grid
	PPFD    [][]float32 // by source, then place [µmol m⁻² s⁻¹]
	Spacing []float64   // by source, of the samples [m]; of a kernel, eight knots
	Moved   []float64   // by source, see Light.Moved; 0 when the spacing was given
	Rays    float64     // how many there were at most: places times images times samples
}

// Grid is the light of each source at each place of the grid. It uses all
// cores; the result does not depend on how many. The rays are read from tables
// (within 0.1 % of At at the same spacing) whose size does not depend on the
// number of samples. When the context ends first the error is the context's.
func (b Box) Grid(ctx context.Context, sources []Source, g Grid, o Options) (Field, error) {
	errs := []error{b.Validate(), g.Validate()}
	for _, s := range sources {
		errs = append(errs, s.Validate())
	}
	if err := errors.Join(errs...); err != nil {
		return Field{}, err
	}
	f := Field{Grid: g, PPFD: make([][]float32, len(sources)), Spacing: make([]float64, len(sources)), Moved: make([]float64, len(sources))}
	lamps := make([][]*lamp, len(sources))
	for i, s := range sources {
		f.PPFD[i] = make([]float32, g.Len())
		images, err := b.fits(s, g.Depths)
		if err != nil {
			return Field{}, err
		}
		f.Spacing[i] = o.of(i)
		if n := count(s.Emitters, f.Spacing[i]); f.Spacing[i] > 0 && n > mostSamples {
			return Field{}, tooMany(n)
		}
		if f.Spacing[i] <= 0 && first(s) > 0 {
			probe := b.settle(s, images, g.probe(b, s))
			f.Spacing[i], f.Moved[i] = probe.Spacing, probe.Moved
			if probe.Moved <= Settled { // the spacing before was fine enough, as this shows
				f.Spacing[i] *= 2
			}
		}
		lamps[i] = s.lamps(f.Spacing[i], g.Nx >= fewest)
		f.Rays += float64(g.Len()) * float64(images) * float64(max(count(s.Emitters, f.Spacing[i]), len(s.Emitters)))
	}
	layer := g.Nx * g.Ny
	err := each(ctx, len(sources)*len(g.Depths), o.Progress, func(task int) {
		i, k := task/len(g.Depths), task%len(g.Depths)
		sum := make([]float64, layer)
		for _, l := range lamps[i] {
			v := b.view(l, sources[i], g.Depths[k])
			v.layer(g, sum)
		}
		for p, e := range sum {
			f.PPFD[i][k*layer+p] = float32(e)
		}
	})
	if err != nil {
		return Field{}, err
	}
	return f, nil
}

// probe is the light of a source at any spacing of its samples, on the first, the
// middle and the last layer of the grid: at every place, or where those are many, at
// some thousands spread evenly, so that neither light nor the edge of a shadow falls
// between them.
func (g Grid) probe(b Box, s Source) func(spacing float64) []float64 {
	const most = 64 // along an axis
	few := g
	if few.Nx > most {
		few.Nx, few.Dx = most, g.Dx*float64(g.Nx-1)/(most-1)
	}
	if few.Ny > most {
		few.Ny, few.Dy = most, g.Dy*float64(g.Ny-1)/(most-1)
	}
	n := len(g.Depths)
	few.Depths = slices.Compact([]float64{g.Depths[0], g.Depths[n/2], g.Depths[n-1]})
	return func(spacing float64) []float64 {
		layer := few.Nx * few.Ny
		out := make([]float64, few.Len())
		lamps := s.lamps(spacing, few.Nx >= fewest)
		_ = each(context.Background(), len(few.Depths), nil, func(k int) {
			for _, l := range lamps {
				v := b.view(l, s, few.Depths[k])
				v.layer(few, out[k*layer:(k+1)*layer])
			}
		})
		return out
	}
}

// each runs the tasks on all cores until done or the context ends.
func each(ctx context.Context, tasks int, progress func(done, total int), run func(task int)) error {
	var next atomic.Int64
	var wait sync.WaitGroup
	var told sync.Mutex
	done := 0
	for range min(tasks, runtime.GOMAXPROCS(0)) {
		wait.Go(func() {
			for ctx.Err() == nil {
				task := int(next.Add(1)) - 1
				if task >= tasks {
					return
				}
				run(task)
				if progress != nil {
					told.Lock()
					done++
					progress(done, tasks)
					told.Unlock()
				}
			}
		})
	}
	wait.Wait()
	return ctx.Err()
}
