package leximin

// Aim is one goal of rank 2: Coef·x + Const should be Target. Departures count in units of Unit, which is
// above zero; with 0 it is Target.
type Aim struct {
	Coef                []float64
	Const, Target, Unit float64
}

// Departure is |value − Target| / Unit.
func (a Aim) Departure(x []float64) float64 {
	d := (a.Value(x) - a.Target) / a.unit()
	return max(d, -d)
}

func (a Aim) unit() float64 {
	if a.Unit == 0 {
		return a.Target
	}
	return a.Unit
}

// Value is Coef·x + Const.
func (a Aim) Value(x []float64) float64 { return dot(a.Coef, x) + a.Const }

// Ratio is one goal of rank 3: (Num·x + Num0)/(Den·x + Den0) should lie within Lo..Hi.
// Numerator and denominator are not negative for any x allowed.
type Ratio struct {
	Num, Den   []float64
	Num0, Den0 float64
	Lo, Hi     float64
}

// outside is by how much the ratio leaves its range; where the denominator is zero it does not.
func (r Ratio) outside(x []float64) float64 {
	den := dot(r.Den, x) + r.Den0
	if den <= 0 {
		return 0
	}
	v := (dot(r.Num, x) + r.Num0) / den
	return max(r.Lo-v, v-r.Hi, 0)
}

// Cut is a limit Coef·x ≤ Hi of rank 1. Rows are scaled so that the whole limit, of which
// Hi is what constants leave, is about 1.
type Cut struct {
	Coef []float64
	Hi   float64
	Room float64 // by which x stays below Hi, so that limits found too late by a hair still hold
	Key  int     // the caller's name for the limit
}

// Problem is what to solve. Slices are as long as Lower, except Aims and Ratios.
type Problem struct {
	Lower, Upper []float64 // finite
	Aims         []Aim
	Ratios       []Ratio
	Cost         []float64               // of rank 4
	From         []float64               // nil: least Cost·x; else least Σ|x − From|
	Limits       func(x []float64) []Cut // limits that x breaks, worst first; nil: none are left
}

// Kind is what sort of thing holds a level where it is.
type Kind int

// The kinds of holds.
const (
	AtLower Kind = iota // variable Index is at its lower bound
	AtUpper             // variable Index is at its upper bound
	AtCut               // the limits with key Index
	TooLow              // aim Index is below its target by its level
	TooHigh             // aim Index is above it by its level
)

// Hold is one thing that keeps a level from being better. Price is the gain in the level
// for a relative loosening of a cut, of a departure, or of the bound by 1.
type Hold struct {
	Kind  Kind
	Index int
	Price float64
}

// Stage is the result of one programme: what was reached, and what nothing can be better than.
type Stage struct {
	Value, Bound float64
}

// Level is one step of rank 2.
type Level struct {
	Stage
	Aims  []int // settled here
	Holds []Hold
}

// Result is the answer with its proof.
type Result struct {
	X       []float64
	Levels  []Level
	LevelOf []int // of each aim, into Levels
	Ratio   Stage // greatest amount by which a ratio leaves its range
	Last    Stage // Cost·x or Σ|x − From|
	Gap     float64
	Cuts    int // taken in
	Pivots  int
}

// Departures are the departures at X, in order of the aims.
func (p Problem) Departures(x []float64) []float64 {
	out := make([]float64, len(p.Aims))
	for i, a := range p.Aims {
		out[i] = a.Departure(x)
	}
	return out
}

// support is the least value of y·v over lo ≤ v ≤ hi.
func support(y, lo, hi float64) float64 {
	switch {
	case y > 0:
		return y * lo
	case y < 0:
		return y * hi
	}
	return 0
}

func dot(a, b []float64) (s float64) {
	for i, v := range a {
		s += v * b[i]
	}
	return s
}
