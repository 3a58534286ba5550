package maps

import (
	"fmt"
	"slices"

	"dayloom/photon/spectrum"
	"dayloom/schedule/day"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// Ask is the light that is wanted.
type Ask struct {
	Channels []int     // into Plan.Channels
	Levels   []float64 // light fraction of each of Channels
	Band     spectrum.Band
}

// Full asks for channels at full output, by name; no name means all of them.
func Full(p *plan.Plan, names []string, band spectrum.Band) (Ask, error) {
	a := Ask{Band: band}
	var known []string
	index := map[string]int{}
	for i, c := range p.Channels {
		known = append(known, c.Name)
		index[c.Name] = i
	}
	if len(names) == 0 {
		names = known
	}
	chosen := map[int]bool{}
	for _, n := range names {
		i, ok := index[n]
		if !ok {
			return a, &askError{fmt.Sprintf("unknown channel %q", n), "the plan has " + diag.Words(known), diag.DidYouMean(n, known)}
		}
		if !chosen[i] {
			chosen[i] = true
			a.Channels, a.Levels = append(a.Channels, i), append(a.Levels, 1)
		}
	}
	return a, nil
}

// AtPeaks sets each channel to its greatest light fraction of the usual day by day; a
// channel whose day is left to be found is an error. A channel that only gives moonlight
// stands at that.
func (a Ask) AtPeaks(p *plan.Plan) (Ask, error) {
	out := a
	out.Levels = make([]float64, len(a.Channels))
	var open []string
	usual := day.Build(p, plan.Date{Year: 2000, Month: 1, Day: 1}, day.Change{}) // daylight is the same on every date
	for k, ch := range a.Channels {
		night, auto := entries(p.Day, ch)
		if auto {
			open = append(open, p.Channels[ch].Name)
		}
		if out.Levels[k] = usual.Channels[ch].Daylight; out.Levels[k] == 0 {
			out.Levels[k] = night
		}
	}
	if open != nil {
		return a, &askError{"no peak is set for " + diag.Words(open), "a map at the plan's peaks needs a level for each",
			"write the peaks into the plan, or map at full output"}
	}
	return out, nil
}

// entries is a channel's moonlight, and whether any of its day is left to be found.
func entries(parts []plan.DayPart, channel int) (night float64, auto bool) {
	for _, part := range parts {
		if !slices.Contains(part.Channels, channel) {
			continue
		}
		switch {
		case part.Switched != nil:
			auto = auto || part.Switched.AutoOn || part.Switched.AutoOff
		case part.Daylight != nil:
			auto = auto || part.Daylight.Peak.Auto
		case part.Moonlight != nil:
			night = max(night, part.Moonlight.Peak)
		}
	}
	return night, auto
}

// askError says what is wrong, what is allowed, and what to do.
type askError struct{ what, allowed, hint string }

func (e *askError) Error() string {
	text := e.what
	for _, more := range []string{e.allowed, e.hint} {
		if more != "" {
			text += "; " + more
		}
	}
	return text
}
