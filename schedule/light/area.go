package light

import (
	"context"
	"fmt"
	"math"
	"slices"

	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

const (
	firstSpacing = 0.08  // m, of the first grid over an area
	areaStable   = 0.005 // of the mean: when halving the grid moves nothing more, it is fine enough
	mostPoints   = 6000  // in an area; a grid finer than that is not worth its time
	mostRays     = 1e7   // of all bands of a channel over an area; nor is one of more rays
)

func (s *lesson) areas(bands []spectrum.Band) ([]Area, diag.List) {
	var out []Area
	var problems diag.List
	for z, zone := range s.p.Zones {
		if zone.Area == nil {
			continue
		}
		a, more, err := s.area(z, bands)
		problems = append(problems, more...)
		if err != nil {
			problems = append(problems, areaProblem(s.p, z, err.Error()))
		}
		out = append(out, a)
	}
	return out, problems
}

// area samples one rectangle ever finer.
func (s *lesson) area(z int, bands []spectrum.Band) (Area, diag.List, error) {
	a := Area{Zone: z}
	for spacing := firstSpacing; ; spacing /= 2 {
		next := grid(*s.p.Zones[z].Area, z, spacing)
		if a.Places != nil && (len(next.Places) > mostPoints || a.rays*float64(len(next.Places)/len(a.Places)) > mostRays*float64(len(s.p.Channels))) {
			break
		}
		if err := s.fill(&next, bands); err != nil {
			return a, nil, err
		}
		if next.moved = math.NaN(); a.Places != nil {
			next.moved = shift(a, next)
		}
		steady := next.moved <= areaStable
		if a = next; steady {
			break
		}
	}
	s.sureOver(&a)
	return a, a.unsettled(s.p), nil
}

func areaProblem(p *plan.Plan, z int, what string) diag.Problem {
	pos := p.Zones[z].Area.Pos
	return diag.Problem{Place: diag.Place{File: p.File, Line: pos.Line, Col: pos.Col}, Path: "zones." + p.Zones[z].Name + ".area", What: what}
}

// grid lays points at the middles of equal cells no wider than spacing.
func grid(r plan.Area, z int, spacing float64) Area {
	a := Area{Zone: z}
	a.Nx = max(int(math.Ceil((r.X[1]-r.X[0])/spacing)), 1)
	a.Ny = max(int(math.Ceil((r.Y[1]-r.Y[0])/spacing)), 1)
	dx, dy := (r.X[1]-r.X[0])/float64(a.Nx), (r.Y[1]-r.Y[0])/float64(a.Ny)
	a.grid = tank.Grid{X0: r.X[0] + dx/2, Dx: dx, Nx: a.Nx, Y0: r.Y[0] + dy/2, Dy: dy, Ny: a.Ny, Depths: []float64{r.Depth}}
	for i := range a.grid.Len() {
		a.Places = append(a.Places, a.grid.Place(i))
	}
	return a
}

// fill works out the light over the grid, all channels of a band together, so that
// the tank can share its tables between places.
func (s *lesson) fill(a *Area, bands []spectrum.Band) error {
	n := len(s.p.Channels)
	all := make([]int, n)
	a.Cells = make([][]Cell, len(a.Places))
	a.spacing, a.sampled = make([]float64, n), make([]float64, n)
	for i := range a.Cells {
		a.Cells[i] = make([]Cell, n)
		for ch := range n {
			a.Cells[i][ch] = Cell{Source: s.source(ch, a.Places[i]), Bands: make([]float64, len(bands))}
			all[ch] = ch
		}
	}
	for k, b := range bands {
		l, err := s.over(context.Background(), all, b, a.grid, tank.Options{Spacings: a.spacing})
		if err != nil {
			return err
		}
		a.rays += l.Rays
		for ch := range all {
			if a.spacing[ch] == 0 { // another band of the same lamps needs no other sampling
				a.spacing[ch], a.sampled[ch] = l.Spacing[ch], l.Moved[ch]
			}
			for i := range a.Cells {
				a.Cells[i][ch].Bands[k] = float64(l.PPFD[ch][i])
				if b == spectrum.PAR {
					a.Cells[i][ch].PPFD = a.Cells[i][ch].Bands[k]
				}
			}
		}
	}
	a.Mean = make([]Cell, n)
	for ch := range n {
		a.Mean[ch] = mean(a.Cells, ch)
	}
	return nil
}

func mean(cells [][]Cell, ch int) Cell {
	out := cells[0][ch]
	out.PPFD, out.Bands = 0, make([]float64, len(out.Bands))
	n := float64(len(cells))
	for i := range cells {
		c := cells[i][ch]
		out.PPFD += c.PPFD / n
		for k, b := range c.Bands {
			out.Bands[k] += b / n
		}
	}
	return out
}

// shift is the most that the mean and the 10th and 90th percentile of any channel
// moved from one grid to the next, as a share of the mean.
func shift(a, b Area) (most float64) {
	for ch := range a.Mean {
		mean := b.Mean[ch].PPFD
		if mean <= 0 {
			continue
		}
		most = math.Max(most, math.Abs(a.Mean[ch].PPFD-mean)/mean)
		va, vb := column(a, ch), column(b, ch)
		for _, q := range []float64{0.1, 0.9} {
			most = math.Max(most, math.Abs(Percentile(va, q)-Percentile(vb, q))/mean)
		}
	}
	return most
}

// coarse says that the grid was not made fine enough, "" where it was.
func (a Area) coarse() string {
	switch {
	case math.IsNaN(a.moved):
		return fmt.Sprintf("the light over the area takes so many reflections that it was worked out at %d places alone, and how far a finer grid would move it is not known", len(a.Places))
	case a.moved > areaStable:
		return fmt.Sprintf("the light over the area still moved by %.2g %% of its mean when its grid was last made finer", 100*a.moved)
	}
	return ""
}

// unsettled warns of what still moved: the grid over the area, and the samples of lamps.
func (a Area) unsettled(p *plan.Plan) (out diag.List) {
	if what := a.coarse(); what != "" {
		pr := areaProblem(p, a.Zone, what)
		pr.Severity, pr.Hint = diag.Warning, "take its values as that much less sure; make the area smaller"
		out = append(out, pr)
	}
	for ch, moved := range a.sampled {
		if moved > tank.Settled {
			out = append(out, Unsettled(p, ch, moved))
		}
	}
	return out
}

func column(a Area, ch int) []float64 {
	out := make([]float64, len(a.Cells))
	for i := range a.Cells {
		out[i] = a.Cells[i][ch].PPFD
	}
	return out
}

// Percentile is the value below which a share q of the values lies, straight
// between order statistics taken at (i + ½)/n (Hazen's rule).
func Percentile(values []float64, q float64) float64 {
	s := slices.Sorted(slices.Values(values))
	at := q*float64(len(s)) - 0.5
	i := min(max(int(math.Floor(at)), 0), len(s)-1)
	j := min(i+1, len(s)-1)
	k := min(max(at-float64(i), 0), 1)
	return s[i] + k*(s[j]-s[i])
}
