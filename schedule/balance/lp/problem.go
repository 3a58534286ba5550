package lp

import (
	"fmt"
	"math"
)

// largest is the greatest magnitude a finite number in a problem may have; products of two
// and sums over any realistic problem then stay far from overflow.
const largest = 1e20

// Problem is a linear programme: the least (or greatest) Cost·x over all x with
// Lower ≤ x ≤ Upper and Lo ≤ Coef·x ≤ Hi for every row. Its units are the caller's.
type Problem struct {
	Cost     []float64 // one for each variable; its length is the number of variables
	Maximize bool      // the greatest Cost·x instead of the least
	Rows     []Row
	Lower    []float64 // nil: all zero; −Inf where there is no lower bound
	Upper    []float64 // nil: none; +Inf where there is no upper bound
}

// Row is one constraint Lo ≤ Coef·x ≤ Hi; Lo = Hi makes it an equation, −Inf or +Inf leaves a side open.
// With Soft above zero it may be broken: each unit of excess makes the value worse by Soft.
type Row struct {
	Coef   []float64
	Lo, Hi float64
	Soft   float64
}

// Status says how a solve ended.
type Status int

// The ways to end. All but Stalled carry a proof that was checked on the problem's own numbers.
const (
	Stalled    Status = iota // no proof within the iteration limit or the accuracy of float64; X is the best point known
	Optimal                  // X is optimal and RowDual, BoundDual prove it
	Infeasible               // no x meets all rows and bounds; Farkas proves it
	Unbounded                // X meets all rows and bounds, and Ray improves it without end
)

// String gives the status as a word for messages.
func (s Status) String() string {
	switch s {
	case Optimal:
		return "optimal"
	case Infeasible:
		return "infeasible"
	case Unbounded:
		return "unbounded"
	}
	return "stalled"
}

// Result is what Solve found. Slices that its status gives no meaning are nil.
type Result struct {
	Status Status
	X      []float64 // for Optimal, Unbounded and Stalled; always within Lower and Upper
	Value  float64   // Cost·X and what the soft rows add

	// RowDual and BoundDual are the change of Value for a unit change of the row's limit or
	// the variable's bound that holds X (zero where none does): Cost = Σ RowDual·Coef + BoundDual.
	RowDual, BoundDual []float64

	// Farkas, for Infeasible, has a multiplier for each row: positive means its Lo takes part in
	// the conflict, negative its Hi, zero that the row is innocent. With multipliers w the row limits
	// demand Σ w·(Coef·x) ≥ Σ w·limit, which is more than any x within its bounds can reach.
	// The largest multiplier has magnitude 1.
	Farkas []float64

	Ray []float64 // for Unbounded: X + t·Ray is feasible for all t ≥ 0 and improves with t

	Certificate Certificate
	Basis       Basis // for SolveFrom
	Iterations  int   // pivots
}

// Certificate is computed from the problem as the caller gave it and from the answer alone.
type Certificate struct {
	// PrimalResidual is the greatest violation of a row by X, relative to 1 + the size of its terms.
	PrimalResidual float64
	// DualResidual is the greatest part of a multiplier that leans on a limit that does not exist,
	// relative to 1 + the size of the terms that make it.
	DualResidual float64
	// Bound is the value of the dual: by weak duality no feasible x can have a better value
	// (exact if DualResidual is 0).
	Bound float64
	// Gap, for Optimal, is |Value − Bound| / (1 + |Value|). For Infeasible it is the margin, relative to
	// the size of its terms, by which what Farkas demands exceeds what the bounds allow: positive is proof.
	Gap float64
}

// check refuses what is no problem at all and fills in the default bounds.
func (p Problem) check() (Problem, error) {
	n := len(p.Cost)
	if n == 0 {
		return p, fmt.Errorf("the linear programme has no variables; give Cost one number for each")
	}
	if p.Lower == nil {
		p.Lower = make([]float64, n)
	}
	if p.Upper == nil {
		p.Upper = make([]float64, n)
		for j := range p.Upper {
			p.Upper[j] = math.Inf(1)
		}
	}
	if len(p.Lower) != n || len(p.Upper) != n {
		return p, fmt.Errorf("there are %d variables but %d lower and %d upper bounds; give one of each for every variable",
			n, len(p.Lower), len(p.Upper))
	}
	for j, c := range p.Cost {
		if !usable(c) {
			return p, fmt.Errorf("the cost of variable %d is %g; it must be a number within ±%g", j, c, largest)
		}
		if err := checkRange(p.Lower[j], p.Upper[j]); err != nil {
			return p, fmt.Errorf("variable %d: %w", j, err)
		}
	}
	for i, r := range p.Rows {
		if len(r.Coef) != n {
			return p, fmt.Errorf("row %d has %d coefficients; it needs %d, one for each variable", i, len(r.Coef), n)
		}
		for j, a := range r.Coef {
			if !usable(a) {
				return p, fmt.Errorf("row %d: the coefficient of variable %d is %g; it must be a number within ±%g", i, j, a, largest)
			}
		}
		if err := checkRange(r.Lo, r.Hi); err != nil {
			return p, fmt.Errorf("row %d: %w", i, err)
		}
		if !usable(r.Soft) || r.Soft < 0 {
			return p, fmt.Errorf("row %d: the price of its excess is %g; it must be a number from 0 to %g", i, r.Soft, largest)
		}
	}
	return p, nil
}

func checkRange(lo, hi float64) error {
	if (!usable(lo) && !math.IsInf(lo, -1)) || (!usable(hi) && !math.IsInf(hi, 1)) {
		return fmt.Errorf("the limits %g and %g must be numbers within ±%g, or -Inf below and +Inf above for none", lo, hi, largest)
	}
	if lo > hi {
		return fmt.Errorf("the lower limit %g is above the upper limit %g; exchange them or drop one", lo, hi)
	}
	return nil
}

// usable is false for NaN too.
func usable(v float64) bool { return math.Abs(v) <= largest }
