package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Rack is a frame of lamps that hangs, is raised and slides as one.
type Rack struct {
	Name     string
	Channels []int
	At       [2]float64  // m: x and y that its emitters' own are counted from
	Height   float64     // m, likewise
	Along    int         // it slides along x (0) or y (1)
	Slide    *[2]float64 // m: from and to, of At along that axis; nil: it does not
	Pos      Pos
}

// RackMove is a rack that hangs elsewhere for a while on one date.
type RackMove struct {
	Name     string
	Rack     int
	On       Date
	From, To float64    // s of the day
	By       [3]float64 // m along x and y, and up, from where the plan has it
	Pos      Pos
}

// Parked is a move to where the rack hangs meanwhile: x, y and height, NaN for as before. What keeps it from being
// so is why, and of which of the three; -1: of the move as a whole.
func (p *Plan) Parked(m RackMove, to [3]float64) (out RackMove, why string, axis int) {
	k, moves := p.Racks[m.Rack], false
	for i, now := range []float64{k.At[0], k.At[1], k.Height} {
		if math.IsNaN(to[i]) {
			continue
		}
		m.By[i], moves = to[i]-now, true
	}
	if !moves {
		return m, "the rack is not moved: give x or y along its slide, or height", -1
	}
	for _, o := range p.RackMoves {
		if o.Rack == m.Rack && o.On == m.On && o.From < m.To && m.From < o.To {
			return m, fmt.Sprintf("%s is moved twice at the same time", k.Name), -1
		}
	}
	why, axis = p.Stuck(m.Rack, m.By)
	return m, why, axis
}

// Stuck says why a rack cannot be pushed along x and y and up by so much, and along which; "" where it can.
func (p *Plan) Stuck(rack int, by [3]float64) (why string, axis int) {
	k := p.Racks[rack]
	for i, by := range by[:2] {
		switch at := k.At[i] + by; {
		case by == 0:
		case k.Slide == nil || k.Along != i:
			return fmt.Sprintf("%s does not slide along %s", k.Name, "xy"[i:i+1]), i
		case at < k.Slide[0]-1e-9 || at > k.Slide[1]+1e-9:
			return fmt.Sprintf("%s does not slide that far; from %.4g m to %.4g m", k.Name, k.Slide[0], k.Slide[1]), i
		}
	}
	for _, c := range k.Channels {
		for _, e := range p.Moved(rack, by).Channels[c].Emitters {
			if min(e.Height, e.Height+e.Rise) <= 0 {
				return fmt.Sprintf("at this height a lamp of %q hangs in the water", p.Channels[c].Name), 2
			}
		}
	}
	return "", 0
}

// SplitPush takes apart how a rack is pushed, such as main=x+60cm: which rack, along which axis (0 x, 1 y, 2 height, -1
// none of them), and by how much with its sign; false where no sign parts the axis from that.
func SplitPush(text string) (rack string, axis int, by string, ok bool) {
	rack, move, _ := strings.Cut(text, "=")
	at := strings.IndexAny(move, "+-")
	if at < 0 {
		return rack, -1, "", false
	}
	return strings.TrimSpace(rack), slices.Index([]string{"x", "y", "height"}, strings.TrimSpace(move[:at])), move[at:], true
}

// Moved is the plan with a rack moved by so much along x and y and raised, m. The plan itself stays.
func (p *Plan) Moved(rack int, by [3]float64) *Plan {
	q := *p
	if q.AsRead == nil {
		q.AsRead = p
	}
	q.Channels, q.Racks = slices.Clone(p.Channels), slices.Clone(p.Racks)
	r := &q.Racks[rack]
	r.At[0], r.At[1], r.Height = r.At[0]+by[0], r.At[1]+by[1], r.Height+by[2]
	for _, c := range r.Channels {
		ch := &q.Channels[c]
		ch.Emitters = slices.Clone(ch.Emitters)
		for i := range ch.Emitters {
			e := &ch.Emitters[i]
			for k := range 2 {
				e.At[k], e.From[k], e.To[k] = e.At[k]+by[k], e.From[k]+by[k], e.To[k]+by[k]
			}
			e.Height += by[2]
		}
	}
	return &q
}

// Hung is the plan with the racks where they hung when a reading was taken.
func (p *Plan) Hung(r Reading) *Plan {
	for _, m := range r.Racks {
		p = p.Moved(m.Rack, m.By)
	}
	return p
}

// Hung tells readings apart by where racks hung; empty where all did as in the plan.
func (r Reading) Hung() (name string) {
	for _, m := range r.Racks {
		name += fmt.Sprint(m.Rack, m.By)
	}
	return name
}
