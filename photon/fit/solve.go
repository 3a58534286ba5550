package fit

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"

	"dayloom/photon/gauss"
)

// Most is the greatest number of readings of one fit.
const Most = 3000

// Fit is what is known after the readings.
type Fit struct {
	Fields  Fields
	Aside   []bool // by reading: set aside as too far from all others
	problem *Problem
	rows    []row
	given   *gauss.Given
	meters  []float64 // ln bias that Gauss-Newton has come to
	rooms   []float64 // µmol m⁻² s⁻¹
}

// row is a reading made linear about where the solution stands.
type row struct {
	reading int
	item    item
	start   []float64 // ln E/F of each term that Gauss-Newton has come to
	z       float64   // t(y) less what the starting point leaves of it
	t, m    float64   // t of the reading and of the model at the starting point
	slope   float64   // t' at the model
	level   float64   // the model's reading, µmol m⁻² s⁻¹
}

// Solve fits the problem. The error is for people.
func Solve(p Problem) (*Fit, error) {
	f := &Fit{Fields: Usual, problem: &p, Aside: make([]bool, len(p.Readings)), meters: make([]float64, len(p.Meters)), rooms: make([]float64, p.Rooms)}
	if len(p.Readings) > Most {
		return nil, errors.New("there are too many readings for one fit")
	}
	if p.Sizes != nil {
		f.Fields = *p.Sizes
	}
	if err := f.screen(); err != nil || p.Sizes != nil {
		return f, err
	}
	for range 2 {
		f.size()
		if err := f.settle(f.rows); err != nil {
			return nil, err
		}
	}
	return f, nil
}

const (
	rounds   = 40
	closeTo  = 1e-7 // of ln E: where Gauss-Newton stops
	farthest = 1.5  // ln that one step may go
)

// settle repeats linear steps until they no longer move.
func (f *Fit) settle(rows []row) error {
	for range rounds {
		for i := range rows {
			n := rows[i].reading
			rows[i] = f.linear(&f.problem.Readings[n], rows[i].start)
			rows[i].reading = n
		}
		if err := f.condition(rows); err != nil {
			return err
		}
		if f.step() <= closeTo {
			return nil
		}
	}
	return nil // the last step is kept: what is left of it is far under the readings' own error
}

// condition solves the linear problem of the rows.
func (f *Fit) condition(rows []row) error {
	f.rows = rows
	n := len(rows)
	if n == 0 {
		f.given, _ = gauss.Condition(&mat.SymDense{}, nil)
		return nil
	}
	s := mat.NewSymDense(n, nil)
	z := make([]float64, n)
	for i := range rows {
		z[i] = rows[i].z
		for j := i; j < n; j++ {
			s.SetSym(i, j, f.Fields.cov(f.problem.pair(&rows[i].item, &rows[j].item)))
		}
		s.SetSym(i, i, s.At(i, i)+f.noise(&rows[i]))
	}
	var err error
	f.given, err = gauss.Condition(s, z)
	return err
}

// noise is the variance of a row's own error, in t.
func (f *Fit) noise(r *row) float64 {
	k := f.problem.Readings[r.reading].Constant
	p := f.Fields.Proportional * r.level
	return r.slope * r.slope * (k*k + p*p)
}

// linear makes a reading linear about ln E/F of its terms.
func (f *Fit) linear(q *Reading, start []float64) row {
	r := row{start: start}
	bias, room := f.meters[q.Meter], 0.0
	lit := 0.0
	ws := make([]weight, len(q.Terms))
	for k, t := range q.Terms {
		ws[k] = weight{t.Channel, t.PPFD * math.Exp(start[k]+bias)}
		lit += ws[k].w
	}
	if q.Room >= 0 {
		room = f.rooms[q.Room]
	}
	r.level = lit + room
	r.t, _ = stable(q.Value, q.Constant)
	r.m, r.slope = stable(r.level, q.Constant)
	r.z = r.t - r.m + r.slope*(lit*bias+room)
	for k := range ws {
		ws[k].w *= r.slope
		r.z += ws[k].w * start[k]
	}
	r.item = newItem(f.problem.Channels, q.At, ws)
	r.item.meter, r.item.meterW = q.Meter, r.slope*lit
	r.item.room, r.item.roomW = q.Room, r.slope
	return r
}

// step moves the starting points to what the last solution says and reports how far.
func (f *Fit) step() (moved float64) {
	for i := range f.rows {
		r := &f.rows[i]
		for k, t := range f.problem.Readings[r.reading].Terms {
			it := newItem(f.problem.Channels, r.item.at, []weight{{t.Channel, 1}})
			to := f.given.Mean(f.with(&it))
			d := min(max(to-r.start[k], -farthest), farthest)
			r.start[k] += d
			if w := r.item.w[k].w; math.Abs(d*w) > moved { // what hardly counts may wander
				moved = math.Abs(d * w)
			}
		}
	}
	for m := range f.meters {
		f.meters[m], _ = f.known(&item{meter: m, room: -1, meterW: 1})
	}
	for m := range f.rooms {
		f.rooms[m], _ = f.known(&item{meter: -1, room: m, roomW: 1})
	}
	return moved
}

// with is the covariance of an item with the readings.
func (f *Fit) with(it *item) []float64 {
	k := make([]float64, len(f.rows))
	for i := range f.rows {
		k[i] = f.Fields.cov(f.problem.pair(it, &f.rows[i].item))
	}
	return k
}

// known is the mean and variance of an item after the readings.
func (f *Fit) known(it *item) (mean, variance float64) {
	k := f.with(it)
	return f.given.Mean(k), f.given.Variance(f.Fields.cov(f.problem.pair(it, it)), k)
}
