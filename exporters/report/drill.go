package report

import (
	"fmt"
	"math"
	"strings"

	"dayloom/exporters/drill"
	"dayloom/exporters/sheet"
	"dayloom/exporters/table"
	"dayloom/schedule/plan"
)

// Drill is what faults would do to the corals.
type Drill struct {
	Plan     string   `json:"plan"`
	Date     string   `json:"date"`
	Faults   []Fault  `json:"faults"`
	Notes    []string `json:"notes"`
	Cautions []string `json:"cautions"`
	tanks    tanks
}

// Fault is one fault and what it does everywhere.
type Fault struct {
	Fault      string       `json:"fault"`
	Controller string       `json:"controller,omitempty"`
	Port       string       `json:"port,omitempty"`
	Channel    string       `json:"channel,omitempty"`
	Begins     string       `json:"begins"` // on the controller's clock
	Worst      string       `json:"worst"`  // the coral that is hit most
	Helps      string       `json:"helps"`
	Corals     []FaultCoral `json:"corals"`
	worst      int
}

// FaultCoral is one coral in the 24 h from the beginning of a fault.
type FaultCoral struct {
	Name       string   `json:"name"`
	Zone       string   `json:"zone"`
	Tank       string   `json:"tank,omitempty"` // where the plan has several
	DLI        float64  `json:"dli_mol_m2_d"`
	NormalDLI  float64  `json:"dli_normal_mol_m2_d"`
	DLIRatio   *float64 `json:"dli_ratio,omitempty"` // left out where a normal day is dark
	Peak       float64  `json:"ppfd_peak_umol_m2_s"`
	NormalPeak float64  `json:"ppfd_peak_normal_umol_m2_s"`
	PeakRatio  *float64 `json:"ppfd_peak_ratio,omitempty"`
	Hours      *float64 `json:"hours_to_normal_dli,omitempty"` // from the beginning of the fault; only with more light
	Over       bool     `json:"over_limit"`
	Under      bool     `json:"under_limit"`
	Risk       bool     `json:"bleaching_risk"`
	Verdict    string   `json:"verdict"`
}

// NewDrill makes the report of drilled faults.
func NewDrill(p *plan.Plan, date plan.Date, outcomes []drill.Outcome) Drill {
	out := Drill{Plan: p.Name, tanks: tanksOf(p), Date: date.String(), Cautions: sheet.Cautions(), Notes: []string{
		"Each fault is followed for 24 h: from midnight on the controller's clock, or from the moment at which a clock stops. A clock that goes wrong jumps at noon of the day counted; on later days the day is only moved.",
		"Hours count from the beginning of the fault until the coral has had the light of a whole normal day.",
		fmt.Sprintf("Bleaching risk: DLI or peak PPFD above %g times the normal. No safe ratio is published; corals that bleached had been moved into 1.3 to 6 times the light (Hoegh-Guldberg and Smith 1989; Gleason and Wellington 1993, ratios worked out from depths).", drill.RiskRatio),
		"A broken control wire means full output on drivers that source the control current, as 1-10 V ones do (IEC 60929 annex E); others go dark, as with a dead channel.",
	}}
	for _, o := range outcomes {
		f := Fault{Fault: string(o.Kind), Controller: o.Controller, Port: o.Port, Channel: o.Channel, Begins: Clock(o.BeginS), Helps: o.Kind.Help(), worst: o.Worst}
		for _, q := range o.Places {
			f.Corals = append(f.Corals, faultCoral(p, q))
		}
		if len(f.Corals) > 0 {
			f.Worst = f.Corals[o.Worst].Name
		}
		out.Faults = append(out.Faults, f)
	}
	return out
}

func faultCoral(p *plan.Plan, q drill.Place) FaultCoral {
	c := FaultCoral{Name: q.Name, Zone: p.Zones[q.Zone].Name, Tank: tanksOf(p)[p.Zones[q.Zone].Name], DLI: q.DLI, NormalDLI: q.NormalDLI, DLIRatio: finite(q.DLIRatio()),
		Peak: q.Peak, NormalPeak: q.NormalPeak, PeakRatio: finite(q.PeakRatio()), Over: q.Over, Under: q.Under, Risk: q.Bleaches, Verdict: faultVerdict(q)}
	if q.ReachedS > 0 {
		hours := q.ReachedS / 3600
		c.Hours = &hours
	}
	return c
}

func finite(x float64) *float64 {
	if math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// asNormal is how near to a normal day counts as none of the fault's doing.
const asNormal = 0.005

func faultVerdict(q drill.Place) string {
	var words []string
	if q.Bleaches {
		words = append(words, "bleaching risk")
	}
	if q.Over {
		words = append(words, "over limit")
	}
	switch r := q.DLIRatio(); {
	case q.DLI == 0 && q.NormalDLI > 0:
		words = append(words, "dark")
	case q.Under:
		words = append(words, "under limit")
	case len(words) > 0:
	case r > 1+asNormal:
		words = append(words, "more light")
	case r < 1-asNormal:
		words = append(words, "less light")
	case math.Abs(q.PeakRatio()-1) > asNormal:
		words = append(words, "other peak")
	default:
		words = append(words, "as normal")
	}
	return strings.Join(words, ", ")
}

// where says what fails, in a phrase.
func (f Fault) where() string {
	if f.Controller == "" {
		return f.Channel
	}
	s := f.Controller
	if f.Port != "" {
		s += " " + f.Port
	}
	if f.Channel != "" {
		s += " (" + f.Channel + ")"
	}
	return s
}

// Table has one row a fault and coral.
func (r Drill) Table() table.Table {
	t := table.Table{}
	for _, key := range []string{"fault", "controller", "port", "channel", "begins", "coral", "zone", "dli_mol_m2_d", "dli_normal_mol_m2_d", "dli_ratio",
		"ppfd_peak_umol_m2_s", "ppfd_peak_normal_umol_m2_s", "ppfd_peak_ratio", "hours_to_normal_dli", "over_limit", "under_limit", "bleaching_risk", "helps"} {
		t.Columns = append(t.Columns, table.Column{Head: key, Key: key})
	}
	for _, f := range r.Faults {
		for _, c := range f.Corals {
			t.Add(f.Fault, f.Controller, f.Port, f.Channel, f.Begins, c.Name, c.Zone, fmt.Sprintf("%.4f", c.DLI), fmt.Sprintf("%.4f", c.NormalDLI), known(c.DLIRatio, "%.4f", ""),
				fmt.Sprintf("%.3f", c.Peak), fmt.Sprintf("%.3f", c.NormalPeak), known(c.PeakRatio, "%.4f", ""), known(c.Hours, "%.3f", ""), c.Over, c.Under, c.Risk, f.Helps)
		}
	}
	return r.tanks.beside(t)
}

func known(v *float64, format, none string) string {
	if v == nil {
		return none
	}
	return fmt.Sprintf(format, *v)
}
