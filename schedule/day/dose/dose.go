package dose

import (
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"dayloom/schedule/day"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
)

// FullMoon is the PPFD of a clear full moon, µmol m⁻² s⁻¹.
const FullMoon = 0.005

// HarmfulNight is the night light, µmol m⁻² s⁻¹, that lowered electron transport,
// chlorophyll and mitosis in symbiont cultures within a month (abstract of PMC8256845).
const HarmfulNight = 0.15

// Darkest share of the day's peak that still counts as lit.
const photoperiodThreshold = 0.01

// Verdict says how a place stands to its zone's target and limits.
type Verdict string

// The verdicts, worst first; a place has the first that fits.
const (
	OverLimit  Verdict = "over limit"
	UnderLimit Verdict = "under limit"
	Low        Verdict = "low"
	High       Verdict = "high"
	Met        Verdict = "met"
)

// Place is the light of one day at a coral or over an area.
type Place struct {
	Name        string
	Zone        int
	At          light.Place
	DLI, SD     float64   // mol m⁻² d⁻¹
	Peak        float64   // µmol m⁻² s⁻¹, the greatest of the day
	PeakAtS     float64   // s after midnight
	LitS        float64   // photoperiod, s
	Night       float64   // greatest PPFD of moonlight alone
	BandDLI     []float64 // mol m⁻² d⁻¹ in each of Field.Bands
	BandPeak    []float64 // µmol m⁻² s⁻¹ in each of Field.Bands, greatest of the day
	Full        []float64 // µmol m⁻² s⁻¹ of each channel at full output, age included
	Sources     []light.Source
	Target      float64 // DLI that it is judged by, mol m⁻² d⁻¹
	Verdict     Verdict
	Area        bool
	Least, Most float64 // of an area's points: DLI at the 10th and 90th percentile
}

// Result is a day's light everywhere.
type Result struct {
	Corals []Place
	Areas  []Place
}

// AllMet reports whether every coral and area met its target and limits.
func (r Result) AllMet() bool {
	for _, list := range [][]Place{r.Corals, r.Areas} {
		for _, p := range list {
			if p.Verdict != Met {
				return false
			}
		}
	}
	return true
}

// Of works out a day's light; age is what is left of each channel's flux (nil: all new).
// Where lamps hang elsewhere for a while both positions count; Full and Sources are those of the plan's own.
func Of(p *plan.Plan, f light.Field, d day.Day, age []float64) Result {
	r := Result{Corals: make([]Place, len(p.Corals))}
	n := len(d.Channels)
	d = d.Split(f.Spans())
	f, age = f.Spread(age)
	s := newSum(d, age)
	s.channels = n
	each(len(p.Corals), func(i int) {
		c := p.Corals[i]
		pl := s.place(f.Corals[i], len(f.Bands))
		pl.Name, pl.Zone, pl.At = c.Name, c.Zone, light.Place{X: c.X, Y: c.Y, Depth: c.Depth}
		pl.Target, pl.Verdict = p.Zones[c.Zone].DLI, judge(p.Zones[c.Zone], pl.DLI, pl.Peak)
		r.Corals[i] = pl
	})
	for _, a := range f.Areas {
		r.Areas = append(r.Areas, s.area(p, a, len(f.Bands)))
	}
	return r
}

// each does n pieces of work that do not depend on each other, as many at a time as there are processors.
func each(n int, work func(i int)) {
	var next atomic.Int64
	var all sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		all.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				work(i)
			}
		})
	}
	all.Wait()
}

// sum holds what is common to all places.
type sum struct {
	curves, moons []curve.Curve
	dose, age     []float64
	channels      int // in one position
}

func newSum(d day.Day, age []float64) sum {
	s := sum{curves: d.Curves(), age: age}
	for _, c := range d.Channels {
		s.moons = append(s.moons, c.Moon)
		s.dose = append(s.dose, c.DoseS)
	}
	return s
}

func (s sum) place(cells []light.Cell, bands int) Place {
	pl := Place{Full: light.Full(cells, s.age), Sources: make([]light.Source, s.channels)}
	for i, c := range cells[:s.channels] {
		pl.Sources[i] = c.Source
	}
	pl.DLI = light.DLI(pl.Full, s.dose)
	pl.SD = s.deviation(cells, pl.Full)
	pl.Peak, pl.PeakAtS = curve.Peak(s.curves, pl.Full)
	pl.Night, _ = curve.Peak(s.moons, pl.Full)
	if pl.Peak > 0 {
		pl.LitS = curve.TimeAbove(s.curves, pl.Full, photoperiodThreshold*pl.Peak)
	}
	for k := range bands {
		w := light.InBand(cells, k, s.age)
		peak, _ := curve.Peak(s.curves, w)
		pl.BandDLI, pl.BandPeak = append(pl.BandDLI, light.DLI(w, s.dose)), append(pl.BandPeak, peak)
	}
	pl.Full = pl.Full[:s.channels]
	return pl
}

// deviation is the standard uncertainty of the DLI, mol m⁻² d⁻¹. A channel is taken to be off by the same
// wherever its lamps hang.
func (s sum) deviation(cells []light.Cell, full []float64) float64 {
	doses := make([]float64, s.channels)
	for i := range cells {
		doses[i%s.channels] += full[i] * s.dose[i] * 1e-6 // each channel's part of the sum
	}
	return light.Deviation(cells[:s.channels], doses)
}

// area judges a rectangle by its mean DLI and by the greatest PPFD of its points.
func (s sum) area(p *plan.Plan, a light.Area, bands int) Place {
	zone := p.Zones[a.Zone]
	pl := s.place(a.Mean, bands)
	pl.Name, pl.Zone, pl.Area = zone.Name+" (area)", a.Zone, true
	pl.At = light.Place{X: (zone.Area.X[0] + zone.Area.X[1]) / 2, Y: (zone.Area.Y[0] + zone.Area.Y[1]) / 2, Depth: zone.Area.Depth}
	dlis := make([]float64, len(a.Places))
	for i, cells := range a.Cells {
		w := light.Full(cells, s.age)
		dlis[i] = light.DLI(w, s.dose)
		bound := 0.0
		for c := range w {
			top, _ := s.curves[c].Max()
			bound += w[c] * top
		}
		if bound > pl.Peak { // only then can this point be brighter than the brightest so far
			if peak, at := curve.Peak(s.curves, w); peak > pl.Peak {
				pl.Peak, pl.PeakAtS = peak, at
			}
		}
	}
	pl.Least, pl.Most = light.Percentile(dlis, 0.1), light.Percentile(dlis, 0.9)
	pl.Target, pl.Verdict = zone.DLI, judge(zone, pl.DLI, pl.Peak)
	return pl
}

// judge compares with the zone; rounding alone never decides.
func judge(z plan.Zone, dli, peak float64) Verdict {
	const slack = 1e-9
	switch {
	case peak > z.PPFDMax*(1+slack) || dli > z.DLIMax*(1+slack):
		return OverLimit
	case dli < z.DLIMin*(1-slack):
		return UnderLimit
	case dli < z.DLI*(1-z.Within)*(1-slack):
		return Low
	case dli > z.DLI*(1+z.Within)*(1+slack):
		return High
	}
	return Met
}

// Toward judges corals on their way to their target by the target of the day: a
// newcomer's own DLI instead of its zone's, and no least DLI. Zero targets stand.
func (r Result) Toward(p *plan.Plan, targets []float64) Result {
	out := Result{Corals: slices.Clone(r.Corals), Areas: r.Areas}
	for i := range out.Corals {
		if targets[i] <= 0 {
			continue
		}
		z := p.Zones[out.Corals[i].Zone]
		z.DLI, z.DLIMin = targets[i], 0
		out.Corals[i].Target = targets[i]
		out.Corals[i].Verdict = judge(z, out.Corals[i].DLI, out.Corals[i].Peak)
	}
	return out
}
