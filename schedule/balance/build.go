package balance

import (
	"fmt"
	"math"

	"dayloom/schedule/day"
	"dayloom/schedule/diag"
	"dayloom/schedule/light"
)

// answer puts the result of the best box into the words of a plan.
func (s *system) answer(res result, bound float64) Answer {
	x := res.X
	a := Answer{Date: s.o.Date.String(), Met: true, Shares: s.shares(x)}
	a.Peaks, a.Switch = s.peaks(x)
	doses := s.doses(x)
	now := s.exact(x).moments.scene(x)
	for c := range s.p.Channels {
		a.Channels = append(a.Channels, s.channel(c, a.Switch[c], a.Peaks[c], doses[c]))
		a.Energy += s.p.Channels[c].PowerW * doses[c] / kWh
	}
	watts := s.electric()
	a.Power, _ = now.worst(&watts, 0)
	for i, pl := range s.places {
		level := res.Levels[res.LevelOf[i]]
		out := s.place(pl, doses, now)
		out.Bound, out.Level = max(level.Bound, 0)*s.unitOf(pl), res.LevelOf[i]+1
		a.Met = a.Met && out.Met
		a.Places = append(a.Places, out)
	}
	a.Certificate = s.certificate(res, a.Places, bound)
	a.Binding = s.binding(res, now)
	a.Why = s.why(res, a.Places)
	a.Notes = append(s.notes(), offColour(a.Shares)...)
	if !a.Certificate.Proven {
		a.Notes = append(a.Notes, fmt.Sprintf("it is proved only that no answer is better by more than %.2g: many lengths of the switched hours are nearly as good", a.Certificate.Gap))
	}
	return a
}

// exact is the system with switched channels lit for the hours found and no longer.
func (s *system) exact(x []float64) *system {
	n := len(s.p.Channels)
	b := box{off: make([]bool, n), lo: make([]float64, n), hi: make([]float64, n)}
	for c, a := range s.autos {
		j := s.varOf[c]
		if b.off[c] = a.hours && j < 0; a.hours && j >= 0 {
			h := s.vars[j].hours
			b.lo[c] = h[0] + x[j]*(h[1]-h[0])
			b.hi[c] = b.lo[c]
		}
	}
	return s.system(b, 1)
}

func (s *system) channel(c int, h day.Hours, peak, dose float64) Channel {
	auto := s.autos[c]
	out := Channel{Name: s.p.Channels[c].Name, Auto: auto.peak || auto.hours, Peak: peak, Dose: dose}
	if auto.hours {
		hours := forward(h.On, h.Off) / 3600
		out.On, out.Off, out.Hours = &h.On, &h.Off, &hours
		out.Peak = 0
		if hours > 0 {
			out.Peak = 1
		}
	}
	if !out.Auto {
		out.Peak = s.base.Channels[c].Peak
	}
	return out
}

// peaks are the answer's Peaks and Switch.
func (s *system) peaks(x []float64) ([]float64, []day.Hours) {
	peaks, hours := make([]float64, len(s.p.Channels)), make([]day.Hours, len(s.p.Channels))
	for j, v := range s.vars {
		if v.switched {
			hours[v.channel] = hoursOf(s.autos[v.channel].switched, v.hours[0]+x[j]*(v.hours[1]-v.hours[0]))
		} else {
			peaks[v.channel] = x[j]
		}
	}
	return peaks, hours
}

func (s *system) place(pl place, doses []float64, now *scene) Place {
	z, t := s.p.Zones[pl.zone], pl.target
	out := Place{Name: pl.name, Zone: z.Name, Area: pl.coral < 0, Coral: pl.coral, Within: t.Within}
	out.DLI = light.DLI(light.Full(pl.cells, s.age), doses)
	if t.asked() {
		out.Target, out.Departure = t.DLI, out.DLI/t.DLI-1
	}
	out.Met = math.Abs(out.Departure) <= t.Within*(1+broke)+broke && out.DLI >= t.DLIMin*(1-broke)
	at := func(cells []light.Cell) {
		l := limit{w: make([]float64, len(cells))}
		for c, cell := range cells {
			l.w[c] = cell.PPFD * s.age[c]
		}
		v, _ := now.worst(&l, out.Peak)
		out.Peak = max(out.Peak, v)
	}
	if pl.coral >= 0 {
		at(pl.cells)
		return out
	}
	for _, area := range s.f.Areas {
		if area.Zone == pl.zone {
			for _, cells := range area.Cells {
				at(cells)
			}
		}
	}
	return out
}

// electric is the power of everything, W, as a limit's weights.
func (s *system) electric() limit {
	l := limit{w: make([]float64, len(s.p.Channels))}
	for c := range l.w {
		l.w[c] = s.p.Channels[c].PowerW
	}
	return l
}

func (s *system) shares(x []float64) (out []Share) {
	k := 0
	rs := s.ratios()
	for _, pl := range s.places {
		for _, b := range s.p.Balance.Shares {
			r := rs[k]
			k++
			num, den := r.Num0, r.Den0
			for j := range x {
				num += r.Num[j] * x[j]
				den += r.Den[j] * x[j]
			}
			if den <= 0 {
				continue
			}
			v := num / den
			out = append(out, Share{pl.name, fmt.Sprintf("%g-%g", b.Band.Lo, b.Band.Hi), v, b.AtLeast, b.AtMost,
				v >= b.AtLeast-1e-6 && v <= b.AtMost+1e-6})
		}
	}
	return out
}

// offColour says, band by band, where the share is farthest from its range.
func offColour(shares []Share) (out []string) {
	worst := map[string]Share{}
	var bands []string
	off := func(q Share) float64 { return max(q.AtLeast-q.Share, q.Share-q.AtMost) }
	for _, q := range shares {
		if q.Met {
			continue
		}
		if w, ok := worst[q.Band]; !ok {
			bands = append(bands, q.Band)
		} else if off(q) <= off(w) {
			continue
		}
		worst[q.Band] = q
	}
	for _, b := range bands {
		q := worst[b]
		out = append(out, fmt.Sprintf("%s nm is %s of the PPFD at %s, outside %s to %s: the targets come first and leave no more freedom",
			b, percent(q.Share), q.Place, percent(q.AtLeast), percent(q.AtMost)))
	}
	return out
}

func (s *system) certificate(res result, places []Place, bound float64) Certificate {
	c := Certificate{Bound: max(bound, 0), Gap: max(res.Gap, 0), Cuts: res.Cuts, Pivots: res.Pivots}
	for i, pl := range places {
		c.Greatest = max(c.Greatest, math.Abs(pl.Departure)/s.unitOf(s.places[i]))
	}
	if c.Unit = "target"; s.o.Tolerances {
		c.Unit = "tolerance"
	}
	c.Gap = max(c.Gap, c.Greatest-c.Bound)
	c.Proven = c.Gap <= 1e-6
	for i, l := range res.Levels {
		st := Stage{Rank: 2, What: fmt.Sprintf("departure, level %d", i+1), Primal: l.Value, Dual: l.Bound}
		for _, k := range l.Aims {
			st.Places = append(st.Places, s.places[k].name)
		}
		c.Stages = append(c.Stages, st)
	}
	if len(s.p.Balance.Shares) > 0 {
		c.Stages = append(c.Stages, Stage{Rank: 3, What: "greatest departure of a band's share from its range", Primal: res.Ratio.Value, Dual: res.Ratio.Bound})
	}
	what := "energy of the found channels beyond their least, kWh/d"
	if s.leastChange() {
		what = "sum of the changes of peaks"
	}
	c.Stages = append(c.Stages, Stage{Rank: 4, What: what, Primal: res.Last.Value, Dual: res.Last.Bound})
	return c
}

func (s *system) leastChange() bool { return s.p.Balance.LeastChange && s.o.From != nil }

func (s *system) notes() (out []string) {
	if s.p.Balance.LeastChange && s.o.From == nil {
		out = append(out, "prefer: least change has no peaks to start from, since they are auto; least power was taken instead")
	}
	if !math.IsInf(s.p.Balance.PowerMaxW, 1) || len(s.p.Circuits) > 0 {
		out = append(out, "power is taken as proportional to light")
	}
	var unknown []string
	for _, c := range s.p.Channels {
		if c.PowerW == 0 {
			unknown = append(unknown, c.Name)
		}
	}
	if unknown != nil {
		out = append(out, "no power is given for "+diag.Words(unknown)+"; limits on power do not see it")
	}
	return out
}
