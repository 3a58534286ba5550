package ies

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// FileError says what is wrong with a photometric file, and where.
type FileError struct {
	Line    int    // counted from 1
	Problem string // what is wrong, what is allowed
}

func (e *FileError) Error() string { return fmt.Sprintf("line %d: %s", e.Line, e.Problem) }

const (
	maxAngles  = 2000 // of either kind: a file every 0.1° has 1801
	maxCandela = 1e9
	minLumens  = 1e-9
	footM      = 0.3048
)

// Read reads a photometric file. A fault in the file, or a kind that is not
// read, is a *FileError with its line.
func Read(r io.Reader) (*Photometry, error) {
	in := &numbers{lines: bufio.NewScanner(r)}
	in.lines.Buffer(nil, 1<<20)
	if err := in.skipHeading(); err != nil {
		return nil, err
	}
	l := in.lamp()
	v := in.vertical(l.vertical)
	h, symmetry := in.horizontal(l.horizontal)
	candela := in.candela(l, len(v)*len(h))
	in.end()
	if in.err != nil {
		return nil, in.err
	}
	return build(v, h, candela, symmetry, l, in.line)
}

func build(v, h, candela []float64, symmetry fold, l lamp, line int) (*Photometry, error) {
	mean := meanPlane(h, candela, len(v))
	flux := linearFlux(v, mean)
	if flux < minLumens {
		return nil, &FileError{line, "the lamp gives no light: every candela value is 0"}
	}
	p := &Photometry{
		gamma: newAxis(v), phi: newAxis(h), fold: symmetry,
		perSr: candela, axial: true, lumens: zonalFlux(v, mean), opening: l.opening,
	}
	lit := 0 // the last vertical angle with light
	for i, c := range candela {
		if c > 0 {
			lit = max(lit, i%len(v))
		}
		p.axial = p.axial && c == candela[i%len(v)]
	}
	for i := range p.perSr {
		p.perSr[i] /= flux
	}
	p.maxGamma = v[min(lit+1, len(v)-1)]
	return p, nil
}

// lamp is the thirteen numbers before the angles.
type lamp struct {
	factor               float64 // candela in truth for each in the file
	vertical, horizontal int
	opening              Opening
}

func (in *numbers) lamp() lamp {
	var l lamp
	in.count("number of lamps", 1, 1_000_000)
	if lm := in.next("lumens of a lamp"); lm < 0 && lm != -1 {
		in.fail("lumens of a lamp %g: it must be 0 or more, or -1 for absolute photometry", lm)
	}
	l.factor = in.within("candela multiplier", 1e-9, 1e9)
	l.vertical = in.count("number of vertical angles", 2, maxAngles)
	l.horizontal = in.count("number of horizontal angles", 1, maxAngles)
	switch in.count("photometric type", 1, 3) {
	case 2:
		in.fail("type B photometry: only type C (1) is read; ask the maker for a type C file")
	case 3:
		in.fail("type A photometry: only type C (1) is read; ask the maker for a type C file")
	}
	unit := 1.0
	if in.count("unit of size (1 feet, 2 metres)", 1, 2) == 1 {
		unit = footM
	}
	w := unit * in.within("width", -1000, 1000)
	length := unit * in.within("length", -1000, 1000)
	height := unit * in.within("height", -1000, 1000)
	l.opening = Opening{math.Abs(w), math.Abs(length), math.Abs(height), w < 0 || length < 0}
	l.factor *= in.within("ballast factor", 1e-9, 1e9)
	in.next("number for later use")
	in.within("input watts", 0, 1e9)
	return l
}

// vertical reads the vertical angles, degrees in the file, rad out.
func (in *numbers) vertical(n int) []float64 {
	v := in.angles("vertical angle", n)
	if in.err != nil {
		return nil
	}
	first, last := v[0], v[n-1]
	if !(first == 0 || first == 90) || !(last == 90 || last == 180) {
		in.fail("vertical angles from %g to %g: those of type C begin at 0 or 90 and end at 90 or 180", first, last)
	}
	return radians(v)
}

// horizontal reads the horizontal angles, degrees in the file, rad out.
func (in *numbers) horizontal(n int) ([]float64, fold) {
	h := in.angles("horizontal angle", n)
	if in.err != nil {
		return nil, allRound
	}
	known := map[[2]float64]fold{{0, 0}: allRound, {0, 90}: quarters, {0, 180}: mirrored0, {90, 270}: mirrored90, {0, 360}: full}
	symmetry, ok := known[[2]float64{h[0], h[n-1]}]
	if !ok {
		in.fail("horizontal angles from %g to %g: they must be 0 alone, or run 0-90, 0-180, 90-270 or 0-360", h[0], h[n-1])
	}
	return radians(h), symmetry
}

func (in *numbers) angles(what string, n int) []float64 {
	var out []float64
	for i := 0; i < n && in.err == nil; i++ {
		a := in.within(what, 0, 360)
		if i > 0 && a-out[i-1] < 1e-6 {
			in.fail("%s %g after %g: they must rise", what, a, out[i-1])
		}
		out = append(out, a)
	}
	return out
}

func radians(deg []float64) []float64 {
	for i := range deg {
		deg[i] *= math.Pi / 180
	}
	return deg
}

func (in *numbers) candela(l lamp, n int) []float64 {
	var out []float64
	for i := 0; i < n && in.err == nil; i++ {
		c := in.next("candela value") * l.factor
		if !(c >= 0 && c <= maxCandela) {
			in.fail("candela value of %g with its factors: it must lie between 0 and 1e9", c)
		}
		out = append(out, c)
	}
	return out
}

// numbers reads the numbers that follow TILT=, one by one, and knows the line
// of the last one. After a fault it gives zeros; err holds the first.
type numbers struct {
	lines *bufio.Scanner
	rest  []string // of the line
	line  int
	err   error
}

func (in *numbers) fail(format string, args ...any) {
	if in.err == nil {
		in.err = &FileError{max(in.line, 1), fmt.Sprintf(format, args...)}
	}
}

// scan goes to the next line.
func (in *numbers) scan() bool {
	if in.lines.Scan() {
		in.line++
		return true
	}
	switch err := in.lines.Err(); {
	case errors.Is(err, bufio.ErrTooLong):
		in.line++
		in.fail("the line is too long for a photometric file")
	case err != nil && in.err == nil:
		in.err = fmt.Errorf("reading stopped after line %d: %w", in.line, err)
	}
	return false
}

// skipHeading passes everything up to and with the line TILT=NONE.
func (in *numbers) skipHeading() error {
	for in.scan() {
		text := strings.ToUpper(strings.Join(strings.Fields(in.lines.Text()), ""))
		tilt, ok := strings.CutPrefix(text, "TILT=")
		switch {
		case ok && tilt == "NONE":
			return nil
		case ok:
			in.fail("TILT=%s: only TILT=NONE is read; the lamp must not change its light with its position", shorten(tilt))
			return in.err
		}
	}
	in.fail("no line TILT=NONE: this is not a photometric file of the form LM-63")
	return in.err
}

// next is the next number.
func (in *numbers) next(what string) float64 {
	for in.err == nil && len(in.rest) == 0 {
		if !in.scan() {
			in.fail("the file ends where the %s should be", what)
			break
		}
		in.rest = strings.FieldsFunc(in.lines.Text(), func(r rune) bool {
			return r == ',' || r == ' ' || r == '\t' || r == '\r' || r == '\x1a' // the last ends old files
		})
	}
	if in.err != nil {
		return 0
	}
	word := in.rest[0]
	in.rest = in.rest[1:]
	v, err := strconv.ParseFloat(word, 64)
	if err != nil || strings.Trim(word, "0123456789+-.eE") != "" {
		in.fail("%s %q is not a number", what, shorten(word))
		return 0
	}
	return v
}

func (in *numbers) within(what string, lo, hi float64) float64 {
	v := in.next(what)
	if in.err == nil && !(v >= lo && v <= hi) {
		in.fail("%s %g: it must lie between %g and %g", what, v, lo, hi)
	}
	return v
}

func (in *numbers) count(what string, lo, hi int) int {
	v := in.within(what, float64(lo), float64(hi))
	if in.err == nil && v != math.Trunc(v) {
		in.fail("%s %g: it must be a whole number", what, v)
	}
	return int(v)
}

// end makes sure that nothing follows.
func (in *numbers) end() {
	if in.err != nil {
		return
	}
	for len(in.rest) == 0 {
		if !in.scan() {
			return
		}
		in.rest = strings.Fields(strings.Trim(in.lines.Text(), "\x1a"))
	}
	in.fail("%q after the last candela value: the counts of angles do not fit the numbers", shorten(in.rest[0]))
}

func shorten(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}
