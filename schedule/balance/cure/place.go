package cure

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"dayloom/schedule/balance"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

const (
	alongX, alongY = 10, 3 // places of the grid
	column         = 0.03  // m between depths straight above and below the coral
	apart          = 0.05  // m from other corals
	mostCorals     = 6     // that are tried
	batch          = 8     // places predicted at a time
	heavy          = 40000 // sampled places in all balances for one coral
	mostTries      = 200   // balances for one coral
)

// depths of the grid as shares of the water's.
var depths = []float64{0.25, 0.5, 0.75, 0.95}

// places looks for another place for the corals that are not met or stand in others' way.
func places(s state, a balance.Answer) (out []balance.Remedy) {
	for _, c := range s.p.Channels {
		if !light.Modelled(c) { // between its readings its light is too unsure to send a coral by it
			return nil
		}
	}
	known, tried := atlas{s: s, cells: map[spot][]light.Cell{}}, 0
	for _, pl := range a.Places {
		inTheWay := slices.ContainsFunc(a.Binding, func(b balance.Constraint) bool { return b.Place == pl.Name && b.Price > 0 })
		if pl.Coral < 0 || (pl.Met && !inTheWay) || tried == mostCorals {
			continue
		}
		tried++
		if r, ok := move(s, known, pl.Coral); ok {
			out = append(out, r)
		}
	}
	return out
}

// move is the nearest place of the grid that lets every target be met.
func move(s state, known atlas, coral int) (balance.Remedy, bool) {
	c := s.p.Corals[coral]
	grid := around(s.p, coral)
	grid = grid[:min(len(grid), mostTries, max(batch, heavy/weight(s)))]
	ok := true
	for i, at := range grid {
		if i%batch == 0 {
			ok = ok && known.learn(s.p.TankOf(coral), grid[i:min(i+batch, len(grid))])
		}
		if !ok {
			return balance.Remedy{}, false
		}
		if s.over() {
			break
		}
		if !moved(s, coral, at, known.cells[spot{s.p.TankOf(coral), at}]).met() {
			continue
		}
		text := fmt.Sprintf("%s moved to x %.0f cm, y %.0f cm, depth %.0f cm", c.Name, 100*at.X, 100*at.Y, 100*at.Depth)
		if slices.ContainsFunc(s.f.Corals[coral], func(q light.Cell) bool { return q.Source == light.Reading }) {
			text += " (give the readings under its name the coordinates they were taken at first)"
		}
		key := "zones." + s.p.Zones[c.Zone].Name + ".corals." + c.Name
		edit := balance.Edit{Key: key, From: words(placeOf(c)), To: words(at)}
		return balance.Remedy{Kind: "place", Text: text, Edits: []balance.Edit{edit}, Size: far(c, at) / s.p.TankAt(s.p.TankOf(coral)).Box.Length}, true
	}
	return balance.Remedy{}, false
}

func placeOf(c plan.Coral) light.Place { return light.Place{X: c.X, Y: c.Y, Depth: c.Depth} }

func words(at light.Place) string {
	return fmt.Sprintf("{x: %.4g cm, y: %.4g cm, depth: %.4g cm}", 100*at.X, 100*at.Y, 100*at.Depth)
}

// weight is the number of sampled places that a balance must look at.
func weight(s state) int {
	n := len(s.p.Corals)
	for _, a := range s.f.Areas {
		n += len(a.Places)
	}
	return n
}

func far(c plan.Coral, at light.Place) float64 {
	return math.Hypot(math.Hypot(c.X-at.X, c.Y-at.Y), c.Depth-at.Depth)
}

// around is the grid on whole centimetres and the coral's own column, nearest first, clear of other corals.
func around(p *plan.Plan, coral int) (out []light.Place) {
	c, box := p.Corals[coral], p.TankAt(p.TankOf(coral)).Box
	add := func(at light.Place) {
		if at.Depth > 0 && at.Depth <= box.Depth && far(c, at) > 1e-6 && clear(p, coral, at) && !slices.Contains(out, at) {
			out = append(out, at)
		}
	}
	for d := column; d < box.Depth; d += column {
		add(light.Place{X: c.X, Y: c.Y, Depth: cm(d)})
	}
	for _, d := range depths {
		for i := range alongX {
			for j := range alongY {
				add(light.Place{X: cm((float64(i) + 0.5) / alongX * box.Length), Y: cm((float64(j) + 0.5) / alongY * box.Width), Depth: cm(d * box.Depth)})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b light.Place) int { return cmp.Compare(far(c, a), far(c, b)) })
	return out
}

func cm(v float64) float64 { return math.Round(v*100) / 100 }

func clear(p *plan.Plan, coral int, at light.Place) bool {
	for i, o := range p.Corals {
		if i != coral && p.TankOf(i) == p.TankOf(coral) && far(o, at) < apart {
			return false
		}
	}
	return true
}

// spot is a place in a tank.
type spot struct {
	tank int
	at   light.Place
}

// atlas is the light of places, kept because corals share the grid.
type atlas struct {
	s     state
	cells map[spot][]light.Cell
}

// learn works out the places not known yet; false when that cannot be done.
func (k atlas) learn(tank int, at []light.Place) bool {
	at = slices.DeleteFunc(slices.Clone(at), func(q light.Place) bool { return k.cells[spot{tank, q}] != nil })
	cells, err := k.s.f.In(tank).At(at)
	for i := range cells {
		k.cells[spot{tank, at[i]}] = cells[i]
	}
	return err == nil
}

// moved is the plan with the coral at another place.
func moved(s state, coral int, at light.Place, cells []light.Cell) state {
	p := *s.p
	p.Corals = slices.Clone(p.Corals)
	c := &p.Corals[coral]
	c.X, c.Y, c.Depth = at.X, at.Y, at.Depth
	f := s.f
	f.Corals = slices.Clone(f.Corals)
	f.Corals[coral] = cells
	return state{&p, f, s.o, s.k}
}
