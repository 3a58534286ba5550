package light

import (
	"context"
	"fmt"
	"math"
	"slices"

	"dayloom/photon/flux"
	"dayloom/photon/meter"
	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	"dayloom/schedule/diag"
	"dayloom/schedule/plan"
)

const (
	firstSpacing = 0.08  // m, of the first grid over an area
	areaStable   = 0.005 // of the mean: when halving the grid moves nothing more, it is fine enough
	mostPoints   = 6000  // in an area; a grid finer than that is not worth its time
)

func areas(p *plan.Plan, bands []spectrum.Band) ([]Area, diag.List) {
	var out []Area
	var problems diag.List
	r, _ := single(p)
	for z, zone := range p.Zones {
		if zone.Area == nil {
			continue
		}
		a, more := area(p, z, bands, r)
		problems = append(problems, more...)
		out = append(out, a)
	}
	return out, problems
}

// area samples one rectangle ever finer, then fills in channels that only have readings.
func area(p *plan.Plan, z int, bands []spectrum.Band, r singles) (Area, diag.List) {
	var problems diag.List
	a := Area{Zone: z}
	var old []Cell
	for spacing := firstSpacing; ; spacing /= 2 {
		next := grid(*p.Zones[z].Area, z, spacing)
		if a.Places != nil && len(next.Places) > mostPoints {
			break
		}
		if err := fill(p, &next, bands); err != nil {
			return a, diag.List{areaProblem(p, z, err.Error())}
		}
		if a.Places != nil {
			next.moved = shift(a, next)
		}
		steady := a.Places != nil && next.moved <= areaStable
		a, old = next, next.Mean
		if steady {
			break
		}
	}
	problems = append(problems, a.unsettled(p)...)
	for ch, c := range p.Channels {
		if modelled(c) {
			continue
		}
		v, own := inside(*p.Zones[z].Area, ch, r)
		if v == nil {
			problems = append(problems, unknownAt(p, ch, []string{"the area of zone " + p.Zones[z].Name}))
			continue
		}
		cell := fromReadings(p, ch, v, Cell{}, bands, false)
		cell.Own = own
		for i := range a.Cells {
			a.Cells[i][ch] = cell
		}
		old[ch] = cell
	}
	return a, problems
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
		at := a.grid.Place(i)
		a.Places = append(a.Places, Place{X: at.X, Y: at.Y, Depth: at.Depth})
	}
	return a
}

// fill works out the model over the grid, all channels of a band together, so that
// the tank can share its tables between places.
func fill(p *plan.Plan, a *Area, bands []spectrum.Band) error {
	a.Cells = make([][]Cell, len(a.Places))
	a.spacing, a.sampled = make([]float64, len(p.Channels)), make([]float64, len(p.Channels))
	for i := range a.Cells {
		a.Cells[i] = make([]Cell, len(p.Channels))
		for ch, c := range p.Channels {
			if modelled(c) {
				a.Cells[i][ch] = modelCell(c, len(bands))
			}
		}
	}
	for k, b := range bands {
		if err := fillBand(p, a, k, b); err != nil {
			return err
		}
	}
	a.Mean = make([]Cell, len(p.Channels))
	for ch, c := range p.Channels {
		if modelled(c) {
			a.Mean[ch] = mean(a.Cells, ch)
		}
	}
	return nil
}

func fillBand(p *plan.Plan, a *Area, k int, b spectrum.Band) error {
	var sources []tank.Source
	var of []int
	for ch, c := range p.Channels {
		if s, ok := flux.Source(Lamp(c), p.Tank.Absorption, b); ok && modelled(c) {
			sources, of = append(sources, s), append(of, ch)
		}
	}
	if len(sources) == 0 {
		return nil
	}
	var o tank.Options
	for _, ch := range of { // another band of the same lamps needs no other sampling
		o.Spacings = append(o.Spacings, a.spacing[ch])
	}
	f, err := p.Tank.Box.Grid(context.Background(), sources, a.grid, o)
	if err != nil {
		return err
	}
	for s, ch := range of {
		if a.spacing[ch] == 0 {
			a.spacing[ch], a.sampled[ch] = f.Spacing[s], f.Moved[s]
		}
		for i := range a.Cells {
			cell := &a.Cells[i][ch]
			cell.Bands[k] = float64(f.PPFD[s][i])
			if b == spectrum.PAR {
				cell.PPFD = cell.Bands[k]
			}
		}
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

// unsettled warns of what still moved: the grid over the area, and the samples of lamps.
func (a Area) unsettled(p *plan.Plan) (out diag.List) {
	if a.moved > areaStable {
		pr := areaProblem(p, a.Zone, fmt.Sprintf("the light over the area still moved by %.2g %% of its mean when its grid was last made finer", 100*a.moved))
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

// inside lists the readings of a channel taken in the area, and their scatter as
// the relative uncertainty of the mean.
func inside(r plan.Area, ch int, s singles) (values []float64, own float64) {
	const near = 0.02 // m of depth that still counts as the area's own
	for _, q := range s.row {
		if q.channel == ch && q.at.X >= r.X[0] && q.at.X <= r.X[1] && q.at.Y >= r.Y[0] && q.at.Y <= r.Y[1] &&
			math.Abs(q.at.Depth-r.Depth) <= near {
			values = append(values, q.value)
		}
	}
	_, own = meter.Mean(values)
	return values, own
}
