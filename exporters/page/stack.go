package page

import (
	"cmp"
	"io"
	"math"
	"slices"
	"strconv"

	"dayloom/photon/colour"
	"dayloom/schedule/shape/curve"
)

// Stack is the PPFD of a day at one place, channel upon channel.
type Stack struct {
	ID, Title, Told, Caption string
	Layers                   []stratum // from the base up
	Total                    string    // path of the sum
	Rules                    []tick    // PPFD, percentages down
	Hours                    []tick
	Limit, LimitText         string // where ppfd_max lies; empty: beyond the drawing or none
}

type stratum struct {
	Fill, Shade, Tone string
	No, X, Y          string // its number where there is room for that
}

// Channel is what one channel adds to a day: its light at the place at full output
// [µmol m⁻² s⁻¹], its curve, and the colour that its light has there. Where lamps hang
// elsewhere for a while a channel has more than one curve, see day.Split.
type Channel struct {
	Full   []float64
	Curves []curve.Curve
	DoseS  []float64 // s at full output, which a day of 23 or 25 hours has of its own
	Swatch colour.Swatch
	Lit    bool
}

func (c Channel) at(t float64, look func(curve.Curve, float64) float64) (sum float64) {
	for k, f := range c.Full {
		sum += f * look(c.Curves[k], t)
	}
	return sum
}

// The box of a day, minutes by thousandths.
const (
	dayBox  = 1440
	highBox = 1000
	every   = 600.0 // s between the points of a curve
)

// NewStack lays out a day; limit is a PPFD that is drawn where it fits, 0 or +Inf: none.
func NewStack(id string, channels []Channel, limit float64) Stack {
	out := Stack{ID: id, Hours: hours()}
	times := moments(channels)
	sum := make([]float64, len(times))
	sums := [][]float64{slices.Clone(sum)}
	for _, c := range channels {
		for i, t := range times {
			sum[i] += c.at(t.s, t.look)
		}
		sums = append(sums, slices.Clone(sum))
	}
	top := roof(slices.Max(append(sum, 0)))
	if limit > 0 && limit <= 1.4*top {
		top = max(top, roof(limit))
		out.Limit, out.LimitText = percent(1-limit/top), "limit "+short(limit)
	}
	for _, v := range ruler(top, 4) {
		out.Rules = append(out.Rules, tick{percent(1 - v/top), short(v)})
	}
	for k, c := range channels {
		out.Layers = append(out.Layers, layered(k, c, times, sums[k], sums[k+1], top))
	}
	out.Total = path(false, line(times, sum, top))
	return out
}

// layered is one channel between two sums.
func layered(k int, c Channel, times []moment, under, over []float64, top float64) stratum {
	if !c.Lit {
		return stratum{}
	}
	lower := line(times, under, top)
	slices.Reverse(lower)
	out := stratum{Fill: path(true, slices.Concat(line(times, over, top), lower)), Shade: c.Swatch.String(), Tone: legible(c.Swatch)}
	at := thickest(times, under, over)
	if (over[at]-under[at])/top > 0.075 {
		out.No, out.X, out.Y = strconv.Itoa(k+1), percent(times[at].s/curve.Day), percent(1-(over[at]+under[at])/2/top)
	}
	return out
}

// thickest is the middle of the stretch in which a layer is nearly as thick as it gets.
func thickest(times []moment, under, over []float64) (at int) {
	most := 0.0
	for i := range times {
		most = max(most, over[i]-under[i])
	}
	from, longest := -1, 0.0
	for i := range times {
		switch thick := over[i]-under[i] >= 0.92*most; {
		case thick && from < 0:
			from = i
		case !thick:
			from = -1
		}
		if from >= 0 && times[i].s-times[from].s >= longest {
			longest = times[i].s - times[from].s
			at, _ = slices.BinarySearchFunc(times, (times[i].s+times[from].s)/2, func(m moment, s float64) int { return cmp.Compare(m.s, s) })
		}
	}
	return min(at, len(times)-1)
}

// moment is a time of the day looked at from one of its sides.
type moment struct {
	s    float64
	look func(curve.Curve, float64) float64
}

// moments are all ends of pieces, from both sides, and enough times between.
func moments(channels []Channel) (out []moment) {
	at := []float64{0, curve.Day}
	for t := every; t < curve.Day; t += every {
		at = append(at, t)
	}
	for _, c := range channels {
		for _, k := range c.Curves {
			at = append(at, k.Breaks()...)
		}
	}
	slices.Sort(at)
	for _, t := range slices.Compact(at) {
		if t > 0 {
			out = append(out, moment{t, curve.Curve.Before})
		}
		if t < curve.Day {
			out = append(out, moment{t, curve.Curve.At})
		}
	}
	return out
}

func line(times []moment, values []float64, top float64) [][2]float64 {
	out := make([][2]float64, len(times))
	for i, t := range times {
		out[i] = [2]float64{dayBox * t.s / curve.Day, highBox * (1 - values[i]/top)}
	}
	return straight(out)
}

// slack is how far a point that is left out may lie from the line that is drawn instead, of a box.
const slack = 0.3

// straight leaves out points that lie on the line through those about them.
func straight(points [][2]float64) [][2]float64 {
	if len(points) < 3 {
		return points
	}
	out, from := points[:1:1], 0
	for i := 1; i < len(points)-1; i++ {
		a, b := points[from], points[i+1]
		dx, dy := b[0]-a[0], b[1]-a[1]
		if slices.ContainsFunc(points[from+1:i+1], func(p [2]float64) bool {
			return math.Abs(dx*(p[1]-a[1])-dy*(p[0]-a[0])) > slack*math.Hypot(dx, dy) || (p[0]-a[0])*dx+(p[1]-a[1])*dy < 0
		}) {
			out, from = append(out, points[i]), i
		}
	}
	return append(out, points[len(points)-1])
}

// roof is the round number above a height; 1 for nothing.
func roof(v float64) float64 {
	if !(v > 0) {
		return 1
	}
	ten := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8} {
		if m*ten >= v {
			return m * ten
		}
	}
	return 10 * ten
}

// Write writes the drawing as HTML that [Styles] sets.
func (s Stack) Write(w io.Writer) error { return pages.ExecuteTemplate(w, "stack", s) }
