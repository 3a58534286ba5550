package lp_test

import (
	"bufio"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/balance/lp"
)

// readMPS reads what afiro.mps uses of the format: N, E, L and G rows, columns and right-hand sides.
func readMPS(t *testing.T, name string) lp.Problem {
	t.Helper()
	f, err := os.Open(name)
	require.NoError(t, err)
	defer f.Close()
	p, section, costRow := lp.Problem{}, "", ""
	rows, columns := map[string]int{}, map[string]int{}
	for lines := bufio.NewScanner(f); lines.Scan(); {
		line := lines.Text()
		w := strings.Fields(line)
		if len(w) == 0 || line[0] == '*' {
			continue
		}
		if line[0] != ' ' {
			section = w[0]
			continue
		}
		switch section {
		case "ROWS":
			if w[0] == "N" {
				costRow = w[1]
				continue
			}
			rows[w[1]] = len(p.Rows)
			p.Rows = append(p.Rows, map[string]lp.Row{"E": equal(0), "L": atMost(0), "G": atLeast(0)}[w[0]])
		case "COLUMNS":
			if _, ok := columns[w[0]]; !ok {
				columns[w[0]] = len(p.Cost)
				p.Cost = append(p.Cost, 0)
				for i := range p.Rows {
					p.Rows[i].Coef = append(p.Rows[i].Coef, 0)
				}
			}
			for k := 1; k+1 < len(w); k += 2 {
				if w[k] == costRow {
					p.Cost[columns[w[0]]] = number(t, w[k+1])
					continue
				}
				p.Rows[rows[w[k]]].Coef[columns[w[0]]] = number(t, w[k+1])
			}
		case "RHS":
			for k := 1; k+1 < len(w); k += 2 {
				r := &p.Rows[rows[w[k]]]
				if r.Lo == r.Hi {
					r.Lo = number(t, w[k+1])
				}
				r.Hi = number(t, w[k+1])
			}
		}
	}
	return p
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

// Netlib LP collection, index: AFIRO has 28 rows with the cost, 32 columns, 88 nonzeros and the optimum
// -4.6475314286E+02.
func TestAfiro(t *testing.T) {
	p := readMPS(t, "../../../testdata/published/afiro.mps")
	nonzero := 0
	for _, row := range append(p.Rows, lp.Row{Coef: p.Cost}) {
		for _, v := range row.Coef {
			if v != 0 {
				nonzero++
			}
		}
	}
	require.Equal(t, []int{27, 32, 88}, []int{len(p.Rows), len(p.Cost), nonzero})
	r, err := lp.Solve(p)
	require.NoError(t, err)
	requireProven(t, p, r)
	assert.InDelta(t, -464.75314286, r.Value, 0.5e-8)
}
