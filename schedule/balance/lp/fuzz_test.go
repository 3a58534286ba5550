package lp_test

import (
	"encoding/binary"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"dayloom/schedule/balance/lp"
)

// problemFrom reads a problem out of any bytes: sizes, then numbers, as small whole ones or as raw float64
// with all that this includes.
func problemFrom(data []byte) lp.Problem {
	next := func() byte {
		if len(data) == 0 {
			return 0
		}
		b := data[0]
		data = data[1:]
		return b
	}
	n, m, raw := int(next()%6), int(next()%8), next()%4 == 0
	value := func() float64 {
		if raw && len(data) >= 8 {
			v := math.Float64frombits(binary.LittleEndian.Uint64(data))
			data = data[8:]
			return v
		}
		return float64(int8(next())) / 4
	}
	limit := func(side int) float64 {
		if next()%3 == 0 {
			return math.Inf(side)
		}
		return value()
	}
	p := lp.Problem{Maximize: next()%2 == 0}
	for range n {
		p.Cost, p.Lower, p.Upper = append(p.Cost, value()), append(p.Lower, limit(-1)), append(p.Upper, limit(1))
	}
	for range m {
		r := lp.Row{Lo: limit(-1), Hi: limit(1)}
		for range n {
			r.Coef = append(r.Coef, value())
		}
		p.Rows = append(p.Rows, r)
	}
	return p
}

func FuzzSolve(f *testing.F) {
	f.Add([]byte{2, 3, 1, 0, 12, 1, 0, 0, 20, 1, 0, 0, 0, 1, 16, 4, 0, 0, 1, 48, 0, 8})
	f.Add([]byte{3, 2, 2, 1, 1, 0, 0, 255, 1, 9, 0, 7, 0, 0, 1, 4, 0, 4, 4, 4, 1, 8, 1, 8, 8, 8, 8})
	f.Add(append([]byte{1, 1, 0, 0}, make([]byte, 60)...))
	f.Fuzz(func(t *testing.T, data []byte) {
		p := problemFrom(data)
		r, err := lp.Solve(p)
		if err != nil {
			return
		}
		requireFinite(t, r)
		for j, x := range r.X {
			require.LessOrEqual(t, p.Lower[j], x)
			require.LessOrEqual(t, x, p.Upper[j])
		}
		if len(data) > 2 && data[2]%4 != 0 { // numbers of a usual size must come with a proof
			requireProof(t, p, r)
		}
	})
}
