package dose

import (
	"dayloom/schedule/day"
	"dayloom/schedule/day/photosynthesis"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
)

// LongerS is by how much a day is made longer to show what the same light is worth then, s.
var LongerS = [...]float64{3600, 7200}

// Worth is what the day's light is worth at a place with a stated Ek.
type Worth struct {
	Ek float64 // µmol m⁻² s⁻¹
	photosynthesis.Day
	// SameDLI is the production, s at the ceiling, of days that are longer by each of
	// LongerS and so much dimmer that the DLI is the same.
	SameDLI [len(LongerS)]float64
}

// Worths works out what a day's light is worth at the corals, then the areas, of its
// result; nil where no Ek is stated. ch is the date's change, by which longer days are
// built. An area counts by the mean light over it.
func Worths(p *plan.Plan, d day.Day, ch day.Change, r Result) []*Worth {
	out := make([]*Worth, len(r.Corals)+len(r.Areas))
	var w *worth
	for i := range out {
		pl, ek := Place{}, 0.0
		if i < len(r.Corals) {
			pl, ek = r.Corals[i], p.Corals[i].Ek
		} else {
			pl = r.Areas[i-len(r.Corals)]
			ek = p.Zones[pl.Zone].Ek
		}
		if ek <= 0 {
			continue
		}
		if w == nil {
			w = newWorth(p, d, ch)
		}
		out[i] = w.of(pl.Full, ek)
	}
	return out
}

// worth holds the day and the longer ones, which all places share.
type worth struct {
	usual  []curve.Curve
	longer [len(LongerS)][]curve.Curve
}

func newWorth(p *plan.Plan, d day.Day, ch day.Change) *worth {
	w := &worth{usual: d.Curves()}
	for k, s := range LongerS {
		w.longer[k] = day.Build(p, d.Date, ch.And(day.Change{Stretch: s})).Curves()
	}
	return w
}

func (w *worth) of(full []float64, ek float64) *Worth {
	d, err := photosynthesis.Of(w.usual, full, ek)
	if err != nil {
		return nil // the reader takes no Ek out of range
	}
	out := &Worth{Ek: ek, Day: d}
	for k, curves := range w.longer {
		long, _ := photosynthesis.Of(curves, full, ek)
		dimmer := make([]float64, len(full))
		for i, v := range full {
			if long.DLI > 0 {
				dimmer[i] = v * d.DLI / long.DLI
			}
		}
		same, _ := photosynthesis.Of(curves, dimmer, ek)
		out.SameDLI[k] = same.ProductionS
	}
	return out
}
