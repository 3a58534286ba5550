package balance

import (
	"fmt"
	"math"

	"dayloom/schedule/day"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// answer puts the best box into the words of a plan.
func (k *search) answer() Answer {
	s, res := k.best.sys, k.best.res
	x := res.x
	a := Answer{Date: s.o.Date.String(), Met: true, Prefer: wishes[s.wished()], Spend: s.p.Balance.Spend, Shares: s.shares(x)}
	a.Peaks, a.Switch = s.peaksAndHours(x)
	doses := s.doses(x)
	now := s.exact(x).moments.scene(x)
	for c := range s.p.Channels {
		a.Channels = append(a.Channels, s.channel(c, a.Switch[c], a.Peaks[c], doses[c]))
		a.Energy += s.p.Channels[c].PowerW * doses[c] / kWh
	}
	watts := s.electric()
	a.Power, _ = now.worst(&watts, 0)
	for _, pl := range s.places {
		out := s.place(pl, doses, now)
		a.Met = a.Met && out.Met
		a.Greatest = max(a.Greatest, math.Abs(out.Departure))
		a.Places = append(a.Places, out)
	}
	for _, q := range a.Shares {
		a.Met = a.Met && q.Met
	}
	a.Colours, a.Spectrum = s.seen(x), s.likened(res, now, a)
	for _, q := range a.Colours {
		a.Met = a.Met && q.Met
	}
	a.Certificate = k.certificate(a.Places)
	a.Binding = s.binding(res, now, a)
	a.Notes = append(append(s.notes(), offColour(a.Shares)...), s.offWish(a.Colours)...)
	return a
}

// wishes are the plan's words.
var wishes = map[plan.Prefer]string{plan.Even: "even", plan.LeastPower: "least power", plan.LeastChange: "least change", plan.Closest: "closest"}

// exact is the system with switched channels lit for the hours found and no longer.
func (s *system) exact(x []float64) *system {
	b := s.box.clone()
	for c, a := range s.autos {
		if j := s.varOf[c]; a.hours && j >= 0 {
			h := s.vars[j].hours
			found := h[0] + x[j]*(h[1]-h[0])
			b.early[c] = min(b.early[c], slackOf(a.switched, b.hi[c])) + (b.hi[c]-found)/2
			b.lo[c], b.hi[c] = found, found
		}
	}
	return s.system(b, 1)
}

func (s *system) channel(c int, h day.Hours, peak, dose float64) Channel {
	auto := s.autos[s.leads[c]]
	out := Channel{Name: s.p.Channels[c].Name, Auto: auto.peak || auto.hours, Peak: peak, Dose: dose}
	if auto.hours {
		hours := forward(h.On, h.Off) / 3600
		out.On, out.Off, out.Hours = &h.On, &h.Off, &hours
		out.Peak = 0
		if hours > 0 {
			out.Peak = 1
		}
	}
	if s.leads[c] != c && auto.peak {
		out.Peak, _ = s.bends[c].curve.Max() // of what it gives beside the first of its port
	}
	if !out.Auto {
		out.Peak = s.base.Channels[c].Peak
	}
	return out
}

// peaksAndHours are the answer's Peaks and Switch; a channel that goes with another has its level.
func (s *system) peaksAndHours(x []float64) ([]float64, []day.Hours) {
	peaks, hours := make([]float64, len(s.p.Channels)), make([]day.Hours, len(s.p.Channels))
	for j, v := range s.vars {
		if v.switched {
			hours[v.channel] = s.hoursOf(v.channel, s.box, v.hours[0]+x[j]*(v.hours[1]-v.hours[0]))
		} else {
			peaks[v.channel] = x[j]
		}
	}
	for c, lead := range s.leads {
		peaks[c] = peaks[lead]
	}
	return peaks, hours
}

func (s *system) place(pl place, doses []float64, now *scene) Place {
	z, t := s.p.Zones[pl.zone], pl.target
	out := Place{Name: pl.name, Zone: z.Name, Area: pl.coral < 0, Coral: pl.coral, Within: t.Within}
	out.DLI = s.dli(pl, doses)
	if t.asked() {
		out.Target, out.Departure = t.DLI, out.DLI/t.DLI-1
		out.Excess = t.wish(1).off(out.DLI / t.DLI)
	}
	if out.Met = t.met(out.DLI); out.Met {
		out.Excess = 0
	}
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
	for _, pl := range s.places {
		for _, b := range s.p.Balance.Shares {
			in, all := s.part(pl, b)
			light := all.at(x)
			if light <= 0 {
				continue
			}
			v := in.at(x) / light
			out = append(out, Share{pl.name, fmt.Sprintf("%g-%g", b.Band.Lo, b.Band.Hi), v, b.AtLeast, b.AtMost,
				v >= b.AtLeast-1e-9 && v <= b.AtMost+1e-9})
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

func (k *search) certificate(places []Place) Certificate {
	res := k.best.res
	c := Certificate{Bound: max(min(res.bound, k.bound), 0), Stages: res.stages, Cuts: res.cuts, Pivots: res.pivots, Boxes: k.looked, Open: k.left}
	for _, pl := range places {
		c.Sum += pl.Excess
	}
	c.Bound = min(c.Bound, c.Sum)
	c.Gap = c.Sum - c.Bound
	c.Proven = c.Gap <= 1e-6*(1+c.Sum)+2*k.spare()*float64(len(k.best.sys.vars)) && !k.unsure // what is kept inside the edges
	return c
}

func (s *system) notes() (out []string) {
	if s.p.Balance.Prefer != s.wished() {
		out = append(out, "prefer: least change has no peaks to start from, since they are auto; even levels were taken instead")
	}
	if s.bent() {
		out = append(out, "channels that share a port, or that cannot be dark, are taken along straight lines about the levels found; what is proved holds for those lines")
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
