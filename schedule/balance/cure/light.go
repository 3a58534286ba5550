package cure

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dayloom/schedule/balance"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

const mostTimes = 3.0 // a flux or limit is raised to at most 1 + this times

// up rounds up to three figures.
func up(v float64) float64 {
	if v <= 0 {
		return 0
	}
	unit := math.Pow(10, math.Floor(math.Log10(v))-2)
	return math.Ceil(v/unit-1e-9) * unit
}

// times rounds 1 + amount so that value·(1 + amount) has three figures.
func times(value float64) func(float64) float64 {
	return func(amount float64) float64 { return up(value*(1+amount))/value - 1 }
}

func number(v float64) string { return fmt.Sprintf("%.4g", v) }

func same(amount float64) float64 { return amount }

// flux makes channels stronger, with their power.
func flux(s state, channels []int) change {
	return change{
		kind: "flux", most: mostTimes, size: same,
		steps: func(a float64) float64 { return math.Ceil(a*100-1e-9) / 100 },
		apply: func(s state, a float64) state {
			p := *s.p
			p.Channels = slices.Clone(p.Channels)
			for _, c := range channels {
				ch := &p.Channels[c]
				ch.Flux.UmolS *= 1 + a
				ch.Flux.TotalUmolS *= 1 + a
				ch.PowerW *= 1 + a
			}
			return state{&p, scale(s.f, channels, 1+a), s.o, s.k}
		},
		say: func(a float64) (string, []balance.Edit) {
			var names []string
			var edits []balance.Edit
			read := false
			for _, i := range channels {
				c := s.p.Channels[i]
				names = append(names, c.Name)
				read = read || isRead(s.f, i)
				if c.Flux.UmolS > 0 {
					edits = append(edits, balance.Edit{Key: "channels." + c.Name + ".flux", From: given(c), To: number(c.Flux.UmolS*(1+a)) + " umol/s"})
				}
				if c.PowerW > 0 {
					edits = append(edits, balance.Edit{Key: "channels." + c.Name + ".power", From: number(c.PowerW) + " W", To: number(c.PowerW*(1+a)) + " W"})
				}
			}
			text := fmt.Sprintf("%.2f times the light from %s", 1+a, strings.Join(names, ", "))
			if read {
				text += " (with new readings)"
			}
			return text, edits
		},
	}
}

func given(c plan.Channel) string {
	if c.Flux.Given != "" {
		return c.Flux.Given
	}
	return number(c.Flux.UmolS) + " umol/s"
}

func isRead(f light.Field, c int) bool {
	for _, cells := range f.Corals {
		if cells[c].Source == light.Reading {
			return true
		}
	}
	return false
}

// scale is the field with some channels' light multiplied.
func scale(f light.Field, channels []int, k float64) light.Field {
	one := func(cells []light.Cell) []light.Cell {
		cells = slices.Clone(cells)
		for _, c := range channels {
			cells[c].PPFD *= k
			cells[c].Bands = slices.Clone(cells[c].Bands)
			for b := range cells[c].Bands {
				cells[c].Bands[b] *= k
			}
		}
		return cells
	}
	all := func(list [][]light.Cell) [][]light.Cell {
		out := make([][]light.Cell, len(list))
		for i := range list {
			out[i] = one(list[i])
		}
		return out
	}
	f.Corals, f.Areas = all(f.Corals), slices.Clone(f.Areas)
	for i := range f.Areas {
		f.Areas[i].Cells, f.Areas[i].Mean = all(f.Areas[i].Cells), one(f.Areas[i].Mean)
	}
	return f
}

// zoneLimit raises a zone's ppfd_max or dli_max.
func zoneLimit(s state, b balance.Constraint) change {
	z := slices.IndexFunc(s.p.Zones, func(z plan.Zone) bool { return z.Name == b.Zone })
	field := func(z *plan.Zone) *float64 {
		if b.Kind == "dli_max" {
			return &z.DLIMax
		}
		return &z.PPFDMax
	}
	now := *field(&s.p.Zones[z])
	return limit(s, "zones."+b.Zone+"."+b.Kind, fmt.Sprintf("%s of %s", b.Kind, b.Zone), "", now, func(p *plan.Plan, v float64) {
		p.Zones = slices.Clone(p.Zones)
		*field(&p.Zones[z]) = v
	})
}

func powerMax(s state) change {
	return limit(s, "balance.power_max", "power_max", " W", s.p.Balance.PowerMaxW, func(p *plan.Plan, v float64) { p.Balance.PowerMaxW = v })
}

func rating(s state, name string) change {
	i := slices.IndexFunc(s.p.Circuits, func(c plan.Circuit) bool { return c.Name == name })
	return limit(s, "circuits."+name+".rating", "the rating of circuit "+name, " A", s.p.Circuits[i].RatingA, func(p *plan.Plan, v float64) {
		p.Circuits = slices.Clone(p.Circuits)
		p.Circuits[i].RatingA = v
	})
}

func limit(_ state, key, what, unit string, now float64, set func(*plan.Plan, float64)) change {
	return change{
		kind: "limit", most: mostTimes, size: same, steps: times(now),
		apply: func(s state, a float64) state {
			p := *s.p
			set(&p, now*(1+a))
			return state{&p, s.f, s.o, s.k}
		},
		say: func(a float64) (string, []balance.Edit) {
			from, to := number(now)+unit, number(now*(1+a))+unit
			return fmt.Sprintf("%s at %s in place of %s", what, to, from), []balance.Edit{{Key: key, From: from, To: to}}
		},
	}
}

// tolerance widens `within` of every zone that is not met to what it gets.
func tolerance(s state, a balance.Answer) (balance.Remedy, bool) {
	p := *s.p
	p.Zones = slices.Clone(p.Zones)
	var r balance.Remedy
	var words []string
	for i := range p.Zones {
		z := &p.Zones[i]
		need := z.Within
		for _, pl := range a.Places {
			if pl.Zone == z.Name && !pl.Met {
				need = max(need, math.Ceil(math.Abs(pl.Departure)*100+1e-6)/100)
			}
		}
		if need > 1 {
			return r, false // a plan may not say so
		}
		if need == z.Within {
			continue
		}
		from, to := number(100*z.Within)+" %", number(100*need)+" %"
		words = append(words, to+" for "+z.Name)
		r.Edits = append(r.Edits, balance.Edit{Key: "zones." + z.Name + ".within", From: from, To: to})
		r.Size = max(r.Size, need)
		z.Within = need
	}
	r.Kind, r.Text = "tolerance", "accepting a difference of "+strings.Join(words, ", ")
	return r, len(words) > 0 && state{&p, s.f, s.o, s.k}.met()
}
