package plan

import (
	"slices"

	"dayloom/schedule/text/diag"
)

// TankAt is a tank of the plan by its index; Tank itself where there is one without a name.
func (p *Plan) TankAt(i int) Tank {
	switch {
	case p.Tanks == nil:
		return p.Tank
	case i < 0: // only while a plan with that fault is read
		return Tank{}
	}
	return p.Tanks[i]
}

// TankOf is the index of the tank that a coral stands in.
func (p *Plan) TankOf(coral int) int { return p.Zones[p.Corals[coral].Zone].Tank }

// TankUnder is the index of the tank that a rack hangs over.
func (p *Plan) TankUnder(rack int) int { return p.Channels[p.Racks[rack].Channels[0]].Tank }

// Several reports whether the plan has more than one tank.
func (p *Plan) Several() bool { return len(p.Tanks) > 1 }

// TankNamed is the index of a tank by its name; what says what is wrong where there is none of that name, or none was
// given and there are several.
func (p *Plan) TankNamed(name string) (i int, what string) {
	var names []string
	for _, t := range p.Tanks {
		names = append(names, t.Name)
	}
	i = slices.Index(names, name)
	switch {
	case i >= 0 || name == "" && !p.Several():
		return max(i, 0), ""
	case names == nil:
		return 0, "the plan has one tank, without a name"
	case name == "":
		return 0, "this is of one tank, and the plan has several: " + diag.Words(names)
	}
	what = "no tank is called " + name + "; the plan has: " + diag.Words(names)
	if near := diag.DidYouMean(name, names); near != "" {
		what += "; " + near
	}
	return 0, what
}

// Part is some tanks of a plan as a plan of their own, and where its things stand in the whole.
type Part struct {
	*Plan
	Kept Kept

	channels, corals numbers
}

// Entries are those entries of a day of the whole that light something of the part, for it.
func (q Part) Entries(parts []DayPart) []DayPart { return q.channels.parts(parts) }

// Coral is the index of a coral of the whole; false: it is of another part.
func (q Part) Coral(whole int) (i int, ok bool) {
	i, ok = q.corals[whole]
	return i, ok
}

// Kept lists what a part has of a whole plan, by the index there.
type Kept struct{ Tanks, Channels, Zones, Corals, Readings []int }

// Part is the plan of some tanks alone. Controllers keep the outputs that drive anything of them; power_max
// and circuits are as in the whole: what all keep together, each keeps alone.
func (p *Plan) Part(tanks ...int) Part {
	q := *p
	out := Part{Plan: &q, Kept: Kept{Tanks: tanks}}
	in := func(tank int) bool { return slices.Contains(tanks, tank) }
	q.Tanks = nil
	for _, t := range tanks {
		q.Tanks = append(q.Tanks, p.TankAt(t))
	}
	q.Tank = q.Tanks[0]
	q.Channels, out.Kept.Channels = sift(p.Channels, func(c Channel) bool { return in(c.Tank) })
	q.Zones, out.Kept.Zones = sift(p.Zones, func(z Zone) bool { return in(z.Tank) })
	q.Corals, out.Kept.Corals = sift(p.Corals, func(c Coral) bool { return in(p.Zones[c.Zone].Tank) })
	channels, zones, corals := renumbered(out.Kept.Channels), renumbered(out.Kept.Zones), renumbered(out.Kept.Corals)
	out.channels, out.corals = channels, corals
	for i := range q.Channels {
		q.Channels[i].Tank = slices.Index(tanks, q.Channels[i].Tank)
	}
	for i := range q.Zones {
		z := &q.Zones[i]
		z.Tank, z.Corals = slices.Index(tanks, z.Tank), corals.of(z.Corals)
	}
	for i := range q.Corals {
		q.Corals[i].Zone = zones[q.Corals[i].Zone]
	}
	q.Racks = nil
	racks := numbers{}
	for i, k := range p.Racks {
		if k.Channels = channels.of(k.Channels); len(k.Channels) > 0 {
			racks[i] = len(q.Racks)
			q.Racks = append(q.Racks, k)
		}
	}
	if p.Readings != nil {
		r := *p.Readings
		r.Rows, out.Kept.Readings = sift(r.Rows, func(r Reading) bool { return in(r.Tank) })
		for i := range r.Rows {
			row := &r.Rows[i]
			row.Racks = renumber(row.Racks, racks, func(m *RackMove) *int { return &m.Rack })
			row.Tank, row.Lit = slices.Index(tanks, row.Tank), slices.Clone(row.Lit)
			if row.Coral >= 0 {
				row.Coral = corals[row.Coral]
			}
			for k := range row.Lit {
				row.Lit[k].Channel = channels[row.Lit[k].Channel]
			}
		}
		if q.Readings = &r; len(r.Rows) == 0 {
			q.Readings = nil
		}
	}
	q.Day, q.Days = channels.parts(p.Day), slices.Clone(p.Days)
	for i := range q.Days {
		q.Days[i].Parts = channels.parts(q.Days[i].Parts)
	}
	q.shared(p, channels, zones, corals, racks)
	if p.AsRead != nil {
		q.AsRead = p.AsRead.Part(tanks...).Plan
	}
	return out
}

// shared takes over what belongs to the whole plan.
func (q *Plan) shared(p *Plan, channels, zones, corals, racks numbers) {
	q.RackMoves = renumber(p.RackMoves, racks, func(m *RackMove) *int { return &m.Rack })
	q.Relamps = renumber(p.Relamps, channels, func(l *Relamp) *int { return &l.Channel })
	q.Circuits, q.Acclimation = nil, nil
	for _, c := range p.Circuits {
		if c.Channels = channels.of(c.Channels); len(c.Channels) > 0 {
			q.Circuits = append(q.Circuits, c)
		}
	}
	for _, a := range p.Acclimation {
		if a.Corals = corals.of(a.Corals); len(a.Corals) > 0 {
			q.Acclimation = append(q.Acclimation, a)
		}
	}
	if w := p.Balance.Colour; w != nil {
		own := *w
		own.Zones, q.Balance.Colour = zones.of(w.Zones), nil
		if len(own.Zones) > 0 {
			q.Balance.Colour = &own
		}
	}
	if w := p.Balance.Spectrum; w != nil {
		own := *w
		own.Zones, q.Balance.Spectrum = zones.of(w.Zones), nil
		if len(own.Zones) > 0 {
			q.Balance.Spectrum = &own
		}
	}
	q.Controllers = slices.Clone(p.Controllers)
	for i := range q.Controllers {
		q.Controllers[i].Ports = channels.ports(q.Controllers[i].Ports)
	}
}

// numbers are the new indexes of what was kept, by the old ones.
type numbers map[int]int

func renumbered(kept []int) numbers {
	out := numbers{}
	for i, old := range kept {
		out[old] = i
	}
	return out
}

// renumber keeps what is about something that was kept, by its new index.
func renumber[T any](list []T, n numbers, index func(*T) *int) (out []T) {
	for _, v := range list {
		if i, ok := n[*index(&v)]; ok {
			*index(&v) = i
			out = append(out, v)
		}
	}
	return out
}

// of is a list in new indexes, without what was not kept.
func (n numbers) of(list []int) (out []int) {
	for _, old := range list {
		if i, ok := n[old]; ok {
			out = append(out, i)
		}
	}
	return out
}

func (n numbers) parts(list []DayPart) (out []DayPart) {
	for _, part := range list {
		if part.Channels = n.of(part.Channels); len(part.Channels) > 0 {
			out = append(out, part)
		}
	}
	return out
}

// ports are the outputs that drive something that was kept, and those that drive nothing of themselves.
func (n numbers) ports(list []Port) (out []Port) {
	for _, q := range list {
		had := q.Channels
		if q.Channels = n.of(had); len(q.Channels) == 0 && len(had) > 0 {
			continue
		}
		lamps := q.Lamps
		q.Lamps = nil
		for k, c := range had {
			if _, kept := n[c]; kept && k < len(lamps) {
				q.Lamps = append(q.Lamps, lamps[k])
			}
		}
		out = append(out, q)
	}
	return out
}

// sift keeps what is wanted, and tells where it stood.
func sift[T any](list []T, wanted func(T) bool) (kept []T, at []int) {
	for i, v := range list {
		if wanted(v) {
			kept, at = append(kept, v), append(at, i)
		}
	}
	return kept, at
}
