// Package writeback turns what balance found into a plan: it opens a plan's peaks to be
// found, puts found values into a plan that is read, and writes them into its text,
// comments and order kept.
//
// Peaks are written to a thousandth of a percent and rounded down, so that no limit
// is broken by rounding, to the fineness that they are found to; hours to the second, at or inside those found. An entry that
// several channels share is written once for each when they differ.
package writeback

import (
	"fmt"
	"math"
	"slices"

	"dayloom/schedule/balance"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/planedit"
	"dayloom/schedule/text/quantity"
)

// Peaks lists the daylight peak that the plan gives each channel now; 0 where it is
// auto or has none.
func Peaks(p *plan.Plan) []float64 {
	out := make([]float64, len(p.Channels))
	for _, part := range p.Day {
		for _, c := range part.Channels {
			if part.Daylight != nil {
				out[c] = max(out[c], part.Daylight.Peak.Fraction)
			}
		}
	}
	return out
}

// AllAuto is the plan with every daylight peak of the usual day to be found.
func AllAuto(p *plan.Plan) *plan.Plan {
	q := *p
	q.Day = slices.Clone(p.Day)
	for i, part := range q.Day {
		if part.Daylight != nil && !part.Daylight.Peak.Auto {
			d := *part.Daylight
			d.Peak = plan.Level{Auto: true, Pos: d.Peak.Pos}
			q.Day[i].Daylight = &d
		}
	}
	return &q
}

// Open reports whether the usual day has anything to be found.
func Open(p *plan.Plan) bool { return balance.Needed(p) }

// Write gives the plan's text with found values in place of auto ones; windows go, and so do entries of channels
// that stay off all day. p is the plan as it was balanced.
func Write(src []byte, p *plan.Plan, a balance.Answer) ([]byte, error) {
	for i := len(p.Day) - 1; i >= 0; i-- { // the last first: indexes before it hold
		var err error
		switch part := p.Day[i]; {
		case part.Daylight != nil && part.Daylight.Peak.Auto:
			src, err = writePeak(src, p, i, a)
		case part.Switched != nil && (part.Switched.AutoOn || part.Switched.AutoOff):
			src, err = writeHours(src, p, i, a)
		}
		if err != nil {
			return nil, err
		}
	}
	return src, nil
}

// share is a found peak as the plan writes it: in full where its port would be dark at less.
func share(peak, least float64) string {
	down := math.Floor(peak*1e5+2e-3) / 1e3
	if peak > 0 && down < 100*least {
		return fmt.Sprintf("%.12g %%", 100*peak)
	}
	return fmt.Sprintf("%g %%", down)
}

func writePeak(src []byte, p *plan.Plan, i int, a balance.Answer) ([]byte, error) {
	var values []string
	least := balance.LeastLight(p)
	for _, c := range p.Day[i].Channels {
		values = append(values, share(a.Peaks[c], least[c]))
	}
	return write(src, p, i, values, func(src []byte, at, k int) ([]byte, error) {
		return planedit.Replace(src, fmt.Sprintf("day.%d.peak", at), values[k])
	})
}

func writeHours(src []byte, p *plan.Plan, i int, a balance.Answer) ([]byte, error) {
	var values []string
	for _, c := range p.Day[i].Channels {
		h := a.Switch[c]
		values = append(values, quantity.FormatTime(math.Ceil(h.On))+" "+quantity.FormatTime(math.Floor(h.Off)))
	}
	return write(src, p, i, values, func(src []byte, at, k int) ([]byte, error) {
		h, entry := a.Switch[p.Day[i].Channels[k]], fmt.Sprintf("day.%d", at)
		if h.On == h.Off {
			return planedit.Remove(src, entry)
		}
		src, err := planedit.Remove(src, entry+".window")
		if err != nil {
			return nil, err
		}
		src, err = planedit.Set(src, entry+".on", quantity.FormatTime(math.Ceil(h.On)))
		if err != nil {
			return nil, err
		}
		return planedit.Set(src, entry+".off", quantity.FormatTime(math.Floor(h.Off)))
	})
}

// write sets one value for the whole entry when all its channels agree, else repeats
// the entry for each channel.
func write(src []byte, p *plan.Plan, i int, values []string, set func(src []byte, at, k int) ([]byte, error)) ([]byte, error) {
	if len(slices.Compact(slices.Clone(values))) == 1 {
		return set(src, i, 0)
	}
	n := len(values)
	src, err := planedit.Repeat(src, "day", i, n)
	for k := n - 1; k >= 0; k-- { // the last first, since an entry that stays dark goes
		if err != nil {
			return nil, err
		}
		name := p.Channels[p.Day[i].Channels[k]].Name
		if src, err = planedit.OnlyItem(src, fmt.Sprintf("day.%d.channels", i+k), name); err == nil {
			src, err = set(src, i+k, k)
		}
	}
	return src, err
}
