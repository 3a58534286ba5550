package port

import "slices"

// Play is the light of each lamp of the port, in their order, while it plays points and
// its outlet plays others (nil: its supply is never cut). An outlet that only feeds other
// ports gives one light, that of a lamp switched by it.
func (p Port) Play(points, outlet []Point) ([]Played, error) {
	c, err := p.Course(points)
	if err != nil {
		return nil, err
	}
	supply := Steady(1)
	if outlet != nil {
		if supply, err = (Port{Kind: Switched()}).Course(outlet); err != nil {
			return nil, err
		}
	}
	return p.Light(c, supply), nil
}

// Light is the light of each lamp over a course of commands, while the supply follows
// another: with a command above 0 it is on.
func (p Port) Light(c, supply Course) []Played {
	lamps := p.Lamps
	if len(lamps) == 0 {
		lamps = []Lamp{SwitchLamp("")}
	}
	out := make([]Played, len(lamps))
	for i, l := range lamps {
		out[i] = l.play(c, supply)
	}
	return out
}

// driver is a lamp's state as the day goes on.
type driver struct {
	lamp    Lamp
	off, on float64
	lit     bool
	moves   []litMove
}

func (l Lamp) play(c, supply Course) Played {
	d := driver{lamp: l, off: l.OffBelow(), on: l.On()}
	d.day(c, supply)
	if d.on > d.off && d.lit { // it has a memory, and begins the day as it ended it
		d.moves = nil
		d.day(c, supply)
	}
	return Played{l.Response, d.moves}
}

// day plays every move, cut where the supply changes.
func (d *driver) day(c, supply Course) {
	k := 0
	for _, m := range c.moves {
		at := m.from
		for ; at < m.to; k++ {
			s := supply.moves[k]
			end := min(m.to, s.to)
			d.add(m.part(at, end), s.c0 > 0)
			at = end
			if s.to > end || k == len(supply.moves)-1 {
				break
			}
		}
		if at < m.to { // the supply ends a hair before the day does
			d.add(m.part(at, m.to), supply.moves[k].c0 > 0)
		}
	}
}

// add plays one straight move, cut where its command passes a break of the response or
// the command that lights the lamp.
func (d *driver) add(m move, supplied bool) {
	if !supplied {
		d.lit = false
		d.moves = append(d.moves, litMove{m, false})
		return
	}
	breaks := d.lamp.Response.Breaks(m.c0, m.c1)
	if d.on > min(m.c0, m.c1) && d.on < max(m.c0, m.c1) && !slices.Contains(breaks, d.on) {
		breaks = append(breaks, d.on)
		slices.Sort(breaks)
	}
	if m.c1 < m.c0 {
		slices.Reverse(breaks)
	}
	rest := m
	for _, c := range breaks {
		t := m.from + (m.to-m.from)*(c-m.c0)/(m.c1-m.c0)
		if t <= rest.from || t >= m.to {
			continue // the break is within rounding of an end
		}
		d.piece(move{rest.from, t, rest.c0, c})
		rest.from, rest.c0 = t, c
	}
	d.piece(rest)
}

// piece plays a move on one side of every threshold.
func (d *driver) piece(m move) {
	switch mid := (m.c0 + m.c1) / 2; {
	case mid >= d.on:
		d.lit = true
	case mid < d.off:
		d.lit = false
	}
	d.moves = append(d.moves, litMove{m, d.lit})
	if m.c1 >= d.on { // it was touched
		d.lit = true
	}
}
