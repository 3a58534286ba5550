package balance

import (
	"math"
	"slices"

	"dayloom/schedule/day"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
)

const (
	leastOn   = 60.0  // s: shorter is off
	fineHours = 0.004 // s: ranges of hours are not split further
	fineStart = 60.0  // s: nor those of when hours begin
	mostBoxes = 400   // looked at; what is left open then shows in the gap
	equal     = 2e-7  // keys nearer than this are equal
	worth     = 1e-4  // of a target: hours are not looked for to gain less
)

// showing is what a box has decided of a level: a port can show none below its least light but zero.
type showing int

const (
	either showing = iota
	dark
	lit
)

// box is a range of hours and of their beginning for every switched channel that has auto hours, and what is decided
// of every level; as Plan.Channels.
type box struct {
	off         []bool
	lo, hi      []float64 // s, of hours
	early, late []float64 // s after the window begins: when the longest hours begin
	shown       []showing
	bound       []float64 // key that nothing in it can better, of the box it was split from
}

// slackOf is the time that hours may be moved by in their window, s.
func slackOf(s plan.Switched, h float64) float64 {
	if !s.AutoOn || !s.AutoOff {
		return 0
	}
	return max(forward(s.Window.From, s.Window.To)-h, 0)
}

// hoursOf places h seconds of a box: after on or before off where the plan gives one, else in the middle of
// the longest that the box allows.
func (t *task) hoursOf(c int, b box, h float64) day.Hours {
	s, on := t.autos[c].switched, 0.0
	switch {
	case h <= 0:
		return day.Hours{}
	case s.AutoOn && s.AutoOff:
		on = s.Window.From + min(b.early[c], slackOf(s, b.hi[c])) + (b.hi[c]-h)/2
	case s.AutoOn:
		on = s.Off - h
	default:
		on = s.On
	}
	return day.Hours{On: forward(0, on), Off: forward(0, on+h)}
}

// core is when the lamp burns whatever hours of the box are chosen.
func (b box) core(s plan.Switched, c int, centred bool) (on, h float64) {
	h = b.lo[c]
	switch {
	case s.AutoOn && s.AutoOff && centred:
		return s.Window.From + (forward(s.Window.From, s.Window.To)-h)/2, h
	case s.AutoOn && s.AutoOff:
		late := min(b.late[c], slackOf(s, h))
		return s.Window.From + late, b.early[c] + h - late
	case s.AutoOn:
		return s.Off - h, h
	}
	return s.On, h
}

// longest is the most hours that fit, s.
func longest(s plan.Switched) float64 {
	h := forward(s.Window.From, s.Window.To)
	switch {
	case s.AutoOn && s.AutoOff:
	case s.AutoOn:
		h = forward(s.Window.From, s.Off)
	default:
		h = forward(s.On, s.Window.To)
	}
	return min(h, curve.Day-1)
}

// forward is the time from a to b, s.
func forward(a, b float64) float64 { return math.Mod(math.Mod(b-a, curve.Day)+curve.Day, curve.Day) }

// boxes is where the search starts: every switched channel off, if it may be, or on.
func (t *task) boxes() []box {
	n := len(t.p.Channels)
	out := []box{{
		off: make([]bool, n), lo: make([]float64, n), hi: make([]float64, n),
		early: make([]float64, n), late: make([]float64, n), shown: make([]showing, n),
	}}
	for c, a := range t.autos {
		if !a.hours {
			continue
		}
		var next []box
		for _, b := range out {
			on := b.clone()
			// Within these ends light goes with the hours: a season's stretch neither uses them up nor fills the day.
			stretch := t.o.Change.Stretch
			on.hi[c] = min(longest(a.switched), curve.Day-stretch)
			on.lo[c] = min(max(a.switched.Window.AtLeast, leastOn, -stretch), on.hi[c])
			if on.late[c] = slackOf(a.switched, on.lo[c]); t.o.Centred {
				on.early[c], on.late[c] = on.late[c]/2, on.late[c]/2
			}
			next = append(next, on)
			if a.switched.Window.AtLeast == 0 {
				b.off[c] = true
				next = append(next, b)
			}
		}
		out = next
	}
	return out
}

func (b box) clone() box {
	b.off, b.shown = slices.Clone(b.off), slices.Clone(b.shown)
	b.lo, b.hi = slices.Clone(b.lo), slices.Clone(b.hi)
	b.early, b.late = slices.Clone(b.early), slices.Clone(b.late)
	return b
}

// split halves what is widest of hours and beginnings; ok is false when all are narrow.
func (b box) split(centred bool) (out [2]box, ok bool) {
	out = [2]box{b.clone(), b.clone()}
	channel, width, start := -1, 0.0, false
	for c := range b.lo {
		if b.off[c] {
			continue
		}
		if w := b.hi[c] - b.lo[c]; w > max(fineHours, width) {
			channel, width, start = c, w, false
		}
		if w := b.late[c] - b.early[c]; !centred && w > max(fineStart, width) {
			channel, width, start = c, w, true
		}
	}
	switch {
	case channel < 0:
		return out, false
	case start:
		mid := (b.early[channel] + b.late[channel]) / 2
		out[0].late[channel], out[1].early[channel] = mid, mid
	default:
		mid := (b.lo[channel] + b.hi[channel]) / 2
		out[0].lo[channel], out[1].hi[channel] = mid, mid
	}
	return out, true
}

// better compares keys rank by rank; nil is worst.
func better(a, b []float64) bool { return differs(a, b, len(b), equal) < 0 }

// differs is the first difference of two keys in their first ranks that is worth anything, 0 for none; nil is worst.
func differs(a, b []float64, ranks int, near float64) float64 {
	if a == nil || b == nil {
		return map[bool]float64{true: -1}[a != nil]
	}
	for i := range min(ranks, len(a), len(b)) {
		if d := a[i] - b[i]; math.Abs(d) > near*(1+math.Abs(b[i])) {
			return d
		}
	}
	return 0
}
