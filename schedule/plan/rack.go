package plan

import "slices"

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
