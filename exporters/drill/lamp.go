package drill

import (
	"math"
	"slices"
	"sort"

	"dayloom/exporters/track"
)

// stretch is a part of the 24 h in which a port plays its track, or is steady.
type stretch struct {
	from, to float64      // s since the fault began
	tr       *track.Track // nil: steady at level
	at       float64      // second of the track's day at from; the stretch ends within that day
	level    float64      // light fraction
}

// lamp is a port's light over the 24 h, without gaps.
type lamp []stretch

// play is a track from one time to another, its clock showing `at` at the start.
func play(tr *track.Track, from, to, at float64) lamp {
	var out lamp
	at = math.Mod(at+track.Day, track.Day)
	for from < to {
		end := min(to, from+track.Day-at)
		out = append(out, stretch{from: from, to: end, tr: tr, at: at})
		from, at = end, 0
	}
	return out
}

func steady(level float64) lamp { return lamp{{to: track.Day, level: level}} }

func (s stretch) light(t float64) float64 {
	if s.tr == nil {
		return s.level
	}
	return s.tr.Light(s.at + t - s.from)
}

func (s stretch) before(t float64) float64 {
	if s.tr == nil {
		return s.level
	}
	return s.tr.LightBefore(s.at + t - s.from)
}

func (s stretch) integral(a, b float64) float64 {
	a, b = max(a, s.from), min(b, s.to)
	switch {
	case b <= a:
		return 0
	case s.tr == nil:
		return s.level * (b - a)
	}
	return s.tr.Integral(s.at+a-s.from, min(s.at+b-s.from, track.Day))
}

// after and before are the light at a time, as seen from later and earlier times.
func (l lamp) after(t float64) float64 {
	i := sort.Search(len(l), func(i int) bool { return l[i].to > t })
	return l[min(i, len(l)-1)].light(t)
}

func (l lamp) before(t float64) float64 {
	i := sort.Search(len(l), func(i int) bool { return l[i].to >= t })
	return l[min(i, len(l)-1)].before(t)
}

// integral is ∫ light dt, s of full light.
func (l lamp) integral(a, b float64) float64 {
	sum := 0.0
	for _, s := range l {
		sum += s.integral(a, b)
	}
	return sum
}

// breaks lists the times between which the light is smooth.
func (l lamp) breaks() []float64 {
	var out []float64
	for _, s := range l {
		out = append(out, s.from, s.to)
		if s.tr == nil {
			continue
		}
		for _, b := range s.tr.Breaks() {
			if t := s.from + b - s.at; t > s.from && t < s.to {
				out = append(out, t)
			}
		}
	}
	return out
}

// through is the lamp while its supply is on, and dark while it is not.
func (l lamp) through(supply lamp) lamp {
	cuts := supply.breaks()
	slices.Sort(cuts)
	cuts = slices.Compact(cuts)
	var out lamp
	for _, s := range l {
		for i := 0; i+1 < len(cuts); i++ {
			a, b := max(s.from, cuts[i]), min(s.to, cuts[i+1])
			if b <= a {
				continue
			}
			part := s
			part.from, part.to, part.at = a, b, s.at+a-s.from
			if supply.after((a+b)/2) <= 0 {
				part = stretch{from: a, to: b}
			}
			out = append(out, part)
		}
	}
	return out
}
