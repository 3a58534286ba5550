package picture

// field is light on a rectangular grid: z[j][i] at x[i], y[j], both rising.
type field struct {
	x, y []float64
	z    [][]float64
}

type point struct{ x, y float64 }

// padded is the field with a dark rim of no width around it, so that every
// contour closes along the walls.
func (f field) padded() field {
	ring := func(v []float64) []float64 {
		out := append([]float64{v[0]}, v...)
		return append(out, v[len(v)-1])
	}
	out := field{x: ring(f.x), y: ring(f.y)}
	dark := func() []float64 {
		row := make([]float64, len(out.x))
		for i := range row {
			row[i] = -1
		}
		return row
	}
	out.z = append(out.z, dark())
	for _, row := range f.z {
		next := dark()
		copy(next[1:], row)
		out.z = append(out.z, next)
	}
	out.z = append(out.z, dark())
	return out
}

// The sides of a grid cell.
const (
	bottom = iota
	right
	top
	left
)

// crossings lists, for each pattern of bright corners (bit 0 lower left, 1 lower
// right, 2 upper right, 3 upper left), the ways of the contour through the cell,
// each from one side to another with the bright on its left (marching squares).
// The saddles 5 and 10 are as for a dark middle; a bright one has the others.
var crossings = [16][][2]int{
	1: {{bottom, left}}, 2: {{right, bottom}}, 3: {{right, left}}, 4: {{top, right}},
	5: {{bottom, left}, {top, right}}, 6: {{top, bottom}}, 7: {{top, left}},
	8: {{left, top}}, 9: {{bottom, top}}, 10: {{right, bottom}, {left, top}},
	11: {{right, top}}, 12: {{left, right}}, 13: {{bottom, right}}, 14: {{left, bottom}},
}

var brightSaddle = map[int][][2]int{
	5:  {{bottom, right}, {top, left}},
	10: {{left, bottom}, {right, top}},
}

// contour lists the closed lines around all that is at least level, which must be
// more than the rim's -1. Bright lies on the left of each line, so that holes turn
// the other way and one fill of all lines together is right.
func (f field) contour(level float64) [][]point {
	p := f.padded()
	nx, ny := len(p.x), len(p.y)
	next := make([]int, 2*nx*ny) // by side left behind: the side reached + 1
	for j := range ny - 1 {
		for i := range nx - 1 {
			for _, way := range p.ways(i, j, level) {
				next[side(nx, i, j, way[0])] = side(nx, i, j, way[1]) + 1
			}
		}
	}
	var out [][]point
	for start := range next {
		if next[start] == 0 {
			continue
		}
		var line []point
		for at := start; next[at] != 0; {
			line = append(line, p.on(at, level))
			at, next[at] = next[at]-1, 0
		}
		out = append(out, line)
	}
	return out
}

func (f field) ways(i, j int, level float64) [][2]int {
	corners := [4]float64{f.z[j][i], f.z[j][i+1], f.z[j+1][i+1], f.z[j+1][i]}
	pattern, mean := 0, 0.0
	for k, v := range corners {
		if v >= level {
			pattern |= 1 << k
		}
		mean += v / 4
	}
	if other, saddle := brightSaddle[pattern]; saddle && mean >= level {
		return other
	}
	return crossings[pattern]
}

// side numbers the sides of all cells: even along x, odd along y.
func side(nx, i, j, which int) int {
	switch which {
	case bottom:
		return 2 * (j*nx + i)
	case top:
		return 2 * ((j+1)*nx + i)
	case left:
		return 2*(j*nx+i) + 1
	}
	return 2*(j*nx+i+1) + 1
}

// on is where the level crosses a side.
func (f field) on(s int, level float64) point {
	nx := len(f.x)
	i, j := s/2%nx, s/2/nx
	share := func(a, b float64) float64 { return (level - a) / (b - a) }
	if s%2 == 0 {
		return point{f.x[i] + share(f.z[j][i], f.z[j][i+1])*(f.x[i+1]-f.x[i]), f.y[j]}
	}
	return point{f.x[i], f.y[j] + share(f.z[j][i], f.z[j+1][i])*(f.y[j+1]-f.y[j])}
}

// open cuts closed lines where they run along the rim, which is no contour.
func (f field) open(lines [][]point) [][]point {
	x0, x1, y0, y1 := f.x[0], f.x[len(f.x)-1], f.y[0], f.y[len(f.y)-1]
	along := func(a, b point) bool {
		return a.x == b.x && (a.x == x0 || a.x == x1) || a.y == b.y && (a.y == y0 || a.y == y1)
	}
	var out [][]point
	for _, l := range lines {
		n := len(l)
		first := -1 // a place where the rim ends and a contour begins
		for i := range l {
			if along(l[(i+n-1)%n], l[i]) && !along(l[i], l[(i+1)%n]) {
				first = i
				break
			}
		}
		if first < 0 {
			if n > 1 && !along(l[0], l[1]) {
				out = append(out, append(append([]point{}, l...), l[0]))
			}
			continue
		}
		var piece []point
		for k := range n {
			a, b := l[(first+k)%n], l[(first+k+1)%n]
			if along(a, b) {
				if len(piece) > 1 {
					out = append(out, piece)
				}
				piece = nil
				continue
			}
			if piece == nil {
				piece = []point{a}
			}
			piece = append(piece, b)
		}
		if len(piece) > 1 {
			out = append(out, piece)
		}
	}
	return out
}
