package light

import (
	"context"
	"slices"

	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// part is one tank of several: what was learnt of it alone, and which channels of the plan are over it.
type part struct {
	tank     int
	field    Field
	channels []int // of the plan
	all      int   // channels that the plan has
}

// together is the field of a plan of several tanks, each worked out by itself: light of one does not come to another.
func together(p *plan.Plan, one func(tank int, q plan.Part) (Field, diag.List)) (Field, diag.List) {
	whole := Aside{Corals: make([][]Cell, len(p.Corals))}
	f := Field{}
	var problems diag.List
	for i := range p.Tanks {
		q := p.Part(i)
		own, more := one(i, q)
		problems = append(problems, more...)
		t := part{i, own, q.Kept.Channels, len(p.Channels)}
		f.Bands, f.parts = own.Bands, append(f.parts, t)
		whole.join(&t, q.Kept, own.Corals, own.Areas, len(own.Bands))
	}
	f.Corals, f.Areas = whole.Corals, whole.Areas
	return f, problems
}

// join puts the light at the corals and areas of one tank where they stand in the whole plan.
func (a *Aside) join(t *part, kept plan.Kept, corals [][]Cell, areas []Area, bands int) {
	for k, cells := range t.wide(corals, bands) {
		a.Corals[kept.Corals[k]] = cells
	}
	for _, area := range t.areas(areas, bands) {
		area.Zone = kept.Zones[area.Zone]
		a.Areas = append(a.Areas, area)
	}
	slices.SortStableFunc(a.Areas, func(a, b Area) int { return a.Zone - b.Zone })
}

// In is the field as asked of places in one tank of the plan: At, InBands, Grid, Sure and Beside then tell of that, with
// no light from channels over others.
func (f Field) In(tank int) Field {
	if f.parts == nil {
		return f
	}
	out := f
	out.of, out.lesson, out.parts = &f.parts[tank], f.parts[tank].field.lesson, nil
	return out
}

// Among is InBands for places each in a tank of the plan.
func (f Field) Among(tanks []int, places []Place, bands []spectrum.Band) ([][]Cell, error) {
	if f.parts == nil {
		return f.InBands(places, bands)
	}
	out := make([][]Cell, len(places))
	for t := range f.parts {
		var at []int
		for i, tank := range tanks {
			if tank == t {
				at = append(at, i)
			}
		}
		cells, err := f.In(t).InBands(pick(places, at), bands)
		if err != nil {
			return nil, err
		}
		for k, i := range at {
			out[i] = cells[k]
		}
	}
	return out, nil
}

// Tank is what was learnt of one tank, as the field of its plan.Part; the field itself where there is one.
func (f Field) Tank(tank int) Field {
	if f.parts == nil {
		return f
	}
	return f.parts[tank].field
}

// Of is the field of a part of the plan, for the same day.
func (f Field) Of(q plan.Part) Field {
	if f.parts == nil && f.lesson != nil {
		return f
	}
	out := Field{Bands: f.Bands, Corals: narrowed(f.Corals, q.Kept.Corals, q.Kept.Channels), Areas: areasOf(f.Areas, q.Kept)}
	for _, a := range f.Asides {
		out.Asides = append(out.Asides, Aside{a.From, a.To, narrowed(a.Corals, q.Kept.Corals, q.Kept.Channels), areasOf(a.Areas, q.Kept)})
	}
	for i, tank := range q.Kept.Tanks {
		if f.parts == nil {
			break
		}
		t := f.parts[tank]
		t.tank, t.all = i, len(q.Kept.Channels)
		t.channels = nil
		for _, c := range f.parts[tank].channels {
			t.channels = append(t.channels, slices.Index(q.Kept.Channels, c))
		}
		out.parts = append(out.parts, t)
	}
	if len(out.parts) == 1 {
		out.lesson, out.parts = out.parts[0].field.lesson, nil
	}
	return out
}

func narrowed(cells [][]Cell, rows, channels []int) (out [][]Cell) {
	for _, i := range rows {
		out = append(out, pick(cells[i], channels))
	}
	return out
}

func areasOf(areas []Area, kept plan.Kept) (out []Area) {
	for _, a := range areas {
		z := slices.Index(kept.Zones, a.Zone)
		if z < 0 {
			continue
		}
		cells := make([][]Cell, len(a.Cells))
		for i := range cells {
			cells[i] = pick(a.Cells[i], kept.Channels)
		}
		a.Zone, a.Cells, a.Mean = z, cells, pick(a.Mean, kept.Channels)
		out = append(out, a)
	}
	return out
}

func pick[T any](list []T, at []int) []T {
	out := make([]T, len(at))
	for i, k := range at {
		out[i] = list[k]
	}
	return out
}

// of is the ages of some channels.
func (a Ages) of(channels []int) Ages {
	if a == nil {
		return nil
	}
	known := map[plan.Date][]float64{}
	return func(d plan.Date) []float64 {
		if known[d] == nil {
			known[d] = pick(a(d), channels)
		}
		return known[d]
	}
}

// wide is the light of the tank's channels among those of the plan; from the others none comes.
func (t *part) wide(cells [][]Cell, bands int) [][]Cell {
	if t == nil || cells == nil {
		return cells
	}
	none := Cell{Bands: make([]float64, bands)}
	out := make([][]Cell, len(cells))
	for i := range cells {
		out[i] = slices.Repeat([]Cell{none}, t.all)
		for k, c := range cells[i] {
			out[i][t.channels[k]] = c
		}
	}
	return out
}

func (t *part) areas(list []Area, bands int) []Area {
	out := slices.Clone(list)
	for i := range out {
		a := &out[i]
		a.Cells, a.Mean = t.wide(a.Cells, bands), t.wide([][]Cell{a.Mean}, bands)[0]
		spacing, sampled := make([]float64, t.all), make([]float64, t.all)
		for k, c := range t.channels {
			spacing[c], sampled[c] = a.spacing[k], a.sampled[k]
		}
		a.spacing, a.sampled = spacing, sampled
	}
	return out
}

func (t *part) narrow(values []float64) []float64 {
	if t == nil {
		return values
	}
	return pick(values, t.channels)
}

// over is the light of channels of the plan on a grid in the tank.
func (t *part) over(ctx context.Context, s *lesson, channels []int, band spectrum.Band, g tank.Grid, o tank.Options) (tank.Field, error) {
	if t == nil {
		return s.over(ctx, channels, band, g, o)
	}
	var own, at []int
	for k, c := range channels {
		if i := slices.Index(t.channels, c); i >= 0 {
			own, at = append(own, i), append(at, k)
		}
	}
	if o.Spacings != nil {
		o.Spacings = pick(o.Spacings, at)
	}
	got, err := s.over(ctx, own, band, g, o)
	n := len(channels)
	out := tank.Field{Grid: g, PPFD: slices.Repeat([][]float32{make([]float32, g.Len())}, n), Spacing: make([]float64, n), Moved: make([]float64, n)}
	for i, k := range at {
		if err == nil {
			out.PPFD[k], out.Spacing[k], out.Moved[k] = got.PPFD[i], got.Spacing[i], got.Moved[i]
		}
	}
	return out, err
}

// besides is Beside for the corals and areas of all tanks.
func (f Field) besides(p *plan.Plan, places []Place) (Aside, error) {
	out := Aside{Corals: make([][]Cell, len(places))}
	for i := range f.parts {
		t, q := &f.parts[i], p.Part(i)
		a, err := t.field.Beside(q.Plan, pick(places, q.Kept.Corals))
		if err != nil {
			return out, err
		}
		out.join(t, q.Kept, a.Corals, a.Areas, len(f.Bands))
	}
	return out, nil
}
