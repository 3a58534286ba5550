package cure

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dayloom/schedule/balance"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/text/quantity"
)

const (
	mostMinutes = 240.0
	fiveMinutes = 5.0
)

// minutes lets the sun set later: for each entry with an auto peak, and for all of them together.
func minutes(s state) (out []change) {
	if s.o.Change.Named != nil {
		return nil
	}
	parts := s.p.Day
	var all []int
	room := mostMinutes
	for i, part := range parts {
		if part.Daylight == nil || !part.Daylight.Peak.Auto || part.Daylight.Points != nil {
			continue
		}
		most := min(mostMinutes, free(parts, i)/60)
		all, room = append(all, i), min(room, most)
		out = append(out, later(s, []int{i}, most))
	}
	if len(all) > 1 {
		out = append(out, later(s, all, room))
	}
	return out
}

// free is how much later an entry may end before its own sunrise, or other light of its channels, begins; s.
func free(parts []plan.DayPart, i int) float64 {
	end := parts[i].Daylight.Sunset.To
	room := after(end, parts[i].Daylight.Sunrise.From)
	for j, o := range parts {
		if j == i || !slices.ContainsFunc(o.Channels, func(c int) bool { return slices.Contains(parts[i].Channels, c) }) {
			continue
		}
		from := 0.0
		switch {
		case o.Daylight != nil:
			from = o.Daylight.Sunrise.From
		case o.Moonlight != nil:
			from = o.Moonlight.From
		case o.Switched.Window != nil:
			from = o.Switched.Window.From
		default:
			from = o.Switched.On
		}
		room = min(room, after(end, from))
	}
	return room
}

func after(a, b float64) float64 { return math.Mod(b-a+curve.Day, curve.Day) }

func later(s state, entries []int, most float64) change {
	return change{
		kind: "minutes", most: math.Floor(most/fiveMinutes) * fiveMinutes,
		steps: func(a float64) float64 { return math.Ceil(a/fiveMinutes-1e-9) * fiveMinutes },
		size:  func(a float64) float64 { return a / (12 * 60) },
		apply: func(s state, a float64) state {
			p := *s.p
			parts := slices.Clone(s.p.Day)
			for _, i := range entries {
				d := *parts[i].Daylight
				d.Sunset.From, d.Sunset.To = math.Mod(d.Sunset.From+60*a, curve.Day), math.Mod(d.Sunset.To+60*a, curve.Day)
				parts[i].Daylight = &d
			}
			p.Day = parts
			return state{&p, s.f, s.o, s.k}
		},
		say: func(a float64) (string, []balance.Edit) { return sayLater(s, entries, a) },
	}
}

func sayLater(s state, entries []int, a float64) (string, []balance.Edit) {
	var names []string
	var edits []balance.Edit
	for _, i := range entries {
		part := s.p.Day[i]
		for _, c := range part.Channels {
			names = append(names, s.p.Channels[c].Name)
		}
		key := fmt.Sprintf("day.%d.sunset", i)
		edits = append(edits, balance.Edit{Key: key, From: ramp(part.Daylight.Sunset, 0), To: ramp(part.Daylight.Sunset, a*60)})
	}
	return fmt.Sprintf("%.0f min more of peak for %s", a, strings.Join(names, ", ")), edits
}

func ramp(r plan.Ramp, later float64) string {
	at := func(t float64) string { return quantity.FormatTime(math.Mod(t+later, curve.Day)) }
	return fmt.Sprintf(`from "%s" to "%s"`, at(r.From), at(r.To))
}
