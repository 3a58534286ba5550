// Package load adds up the electrical power of a day: over the whole rack, and on
// each mains circuit.
//
//	P(t) = Σ_c W_c · y_c(t)          W
//	I(t) = Σ_c W_c · y_c(t) / (V · cos φ)    A, over a circuit's channels
//
// with W the power of a channel at full output and y its light fraction. Power is
// taken as proportional to light: a dimmed driver takes a little more or less, and
// its standby and inrush currents are left out. The greatest value is the true
// maximum over the day of the summed curves.
//
// A circuit may carry its rating times the share allowed for continuous load; 80 %
// is common practice (the local code decides). This is an aid and no approval.
package load

import (
	"time"

	"dayloom/schedule/day"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
)

// Peak is a greatest value over the day and when it is reached first.
type Peak struct {
	Value float64
	AtS   float64 // s after midnight
}

// Circuit is the current of one circuit.
type Circuit struct {
	Name    string
	Current Peak    // A
	Allowed float64 // A
	Share   float64 // of the rating that is allowed
}

// Over reports whether the circuit carries more than it may.
func (c Circuit) Over() bool { return c.Current.Value > c.Allowed*(1+1e-9) }

// Load is the electrical side of a day.
type Load struct {
	Power    Peak    // W
	Max      float64 // W, power_max of the plan, +Inf when there is none
	EnergyWh float64 // over the day
	Circuits []Circuit
	Unknown  []string // channels that light but have no power given
}

// Over reports whether any limit is broken.
func (l Load) Over() bool {
	if l.Power.Value > l.Max*(1+1e-9) {
		return true
	}
	for _, c := range l.Circuits {
		if c.Over() {
			return true
		}
	}
	return false
}

// Of adds up a day of a plan.
func Of(p *plan.Plan, d day.Day) Load {
	l := Load{Max: p.Balance.PowerMaxW}
	curves := d.Curves()
	watts := make([]float64, len(p.Channels))
	for i, c := range p.Channels {
		watts[i] = c.PowerW
		l.EnergyWh += c.PowerW * d.Channels[i].DoseS / 3600
		if c.PowerW == 0 && d.Channels[i].DoseS > 0 {
			l.Unknown = append(l.Unknown, c.Name)
		}
	}
	l.Power.Value, l.Power.AtS = curve.Peak(curves, watts)
	for _, c := range p.Circuits {
		amps := make([]float64, len(p.Channels))
		for _, i := range c.Channels {
			amps[i] = watts[i] / (c.SupplyV * c.PowerFactor)
		}
		out := Circuit{Name: c.Name, Allowed: c.RatingA * c.Continuous, Share: c.Continuous}
		out.Current.Value, out.Current.AtS = curve.Peak(curves, amps)
		l.Circuits = append(l.Circuits, out)
	}
	return l
}

// Month is the energy of the days of a calendar month that were asked for, and what it costs.
type Month struct {
	Year  int
	Month time.Month
	Days  int
	KWh   float64
	Cost  float64 // in the tariff's currency; 0 without a tariff
}

// Months adds up the energy of the days from one date to another, both included, month by month.
func Months(p *plan.Plan, from, to plan.Date, on func(plan.Date) day.Day) (out []Month) {
	for d := from; !to.Before(d); d = d.AddDays(1) {
		if n := len(out); n == 0 || out[n-1].Month != d.Month {
			out = append(out, Month{Year: d.Year, Month: d.Month})
		}
		m := &out[len(out)-1]
		built := on(d)
		for i, c := range p.Channels {
			m.KWh += c.PowerW * built.Channels[i].DoseS / 3.6e6
		}
		m.Days++
		m.Cost = m.KWh * p.Tariff.PerKWh
	}
	return out
}
