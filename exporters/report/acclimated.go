package report

import (
	"fmt"
	"strings"

	"dayloom/exporters/table"
	"dayloom/schedule/calendar/acclimate"
	"dayloom/schedule/day"
	"dayloom/schedule/day/dose"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// Acclimated is an acclimation programme step by step.
type Acclimated struct {
	Plan     string           `json:"plan"`
	Ways     []AcclimatedWay  `json:"newcomers"`
	Steps    []AcclimatedStep `json:"steps"`
	Under    []UnderTarget    `json:"under_target,omitempty"`
	Accepted bool             `json:"accepted"`
	AllMet   bool             `json:"all_met"`
	Problems diag.List        `json:"problems,omitempty"`
	Colour   *ColourDrift     `json:"colour_drift,omitempty"` // over the dates of the steps
	Notes    []string         `json:"notes,omitempty"`
	Cautions []string         `json:"cautions"`
	tanks    tanks
}

// AcclimatedWay is how one newcomer is brought up.
type AcclimatedWay struct {
	Coral   string  `json:"coral"`
	By      string  `json:"by"`
	Arrives string  `json:"arrives"`
	Ends    string  `json:"last_step"`
	From    float64 `json:"from_dli_mol_m2_d"`
	To      float64 `json:"to_dli_mol_m2_d"`
	Steps   int     `json:"steps"`
	Rise    float64 `json:"rise_of_each_step"`
	StepMax float64 `json:"step_max"`
}

// AcclimatedStep is one date on which the light of somebody changes.
type AcclimatedStep struct {
	Date   string            `json:"date"`
	What   []string          `json:"what"`
	Levels []AcclimatedLevel `json:"levels"`
	Corals []AcclimatedCoral `json:"corals"`
	Areas  []AcclimatedCoral `json:"areas,omitempty"`
}

// AcclimatedLevel is what a channel does from a step on.
type AcclimatedLevel struct {
	Channel  string  `json:"channel"`
	Peak     float64 `json:"peak"`   // of its daylight
	DoseS    float64 `json:"dose_s"` // of full light, moonlight included
	Dimmable bool    `json:"dimmable"`
}

// AcclimatedCoral is the light of a coral, or an area's mean, from a step on. Rises
// are relative to the day before, on arrival to where the coral comes from.
type AcclimatedCoral struct {
	Name       string   `json:"name"`
	Zone       string   `json:"zone"`
	Tank       string   `json:"tank,omitempty"` // where the plan has several
	Present    bool     `json:"present"`
	Newcomer   bool     `json:"newcomer"`
	X          float64  `json:"x_m"`
	Y          float64  `json:"y_m"`
	Depth      float64  `json:"depth_m"`
	Moved      bool     `json:"moved"`
	DLI        float64  `json:"dli_mol_m2_d"`
	Target     float64  `json:"target_dli_mol_m2_d"`
	Peak       float64  `json:"ppfd_peak_umol_m2_s"`
	Violet     float64  `json:"violet_380_430_mol_m2_d"`
	RiseDLI    *float64 `json:"dli_rise,omitempty"`
	RisePeak   *float64 `json:"ppfd_peak_rise,omitempty"`
	RiseViolet *float64 `json:"violet_rise,omitempty"`
	Met        bool     `json:"met"`
	Verdict    string   `json:"verdict"`
}

// UnderTarget is the longest time that somebody other than a newcomer stays under target.
type UnderTarget struct {
	Name  string  `json:"name"`
	Days  int     `json:"days"`
	Least float64 `json:"least_dli_mol_m2_d"`
}

// NewAcclimated makes the report of a programme between two dates; zero dates are open.
func NewAcclimated(p *plan.Plan, g *acclimate.Programme, from, to plan.Date) Acclimated {
	out := Acclimated{Plan: p.Name, tanks: tanksOf(p), Accepted: !g.Problems.HasErrors(), AllMet: true, Problems: g.Problems, Notes: g.Notes,
		Ways: []AcclimatedWay{}, Steps: []AcclimatedStep{},
		Cautions: []string{"Light steps are common practice, no guarantee and no veterinary advice: watch the animals, and hold or go back when one pales."}}
	for _, t := range g.Tracks {
		steps := 0
		for _, e := range t.Events {
			steps = max(steps, e.Of)
		}
		out.Ways = append(out.Ways, AcclimatedWay{p.Corals[t.Coral].Name, acclimate.Ways[t.By], t.Arrives.String(), t.Ends.String(),
			t.From, t.To, steps, max(t.Ratio-1, 0), t.StepMax})
	}
	for _, u := range g.Under {
		out.Under = append(out.Under, UnderTarget{u.Name, u.Days, u.Least})
	}
	for _, s := range g.Steps {
		if !from.IsZero() && s.Date.Before(from) || !to.IsZero() && to.Before(s.Date) {
			continue
		}
		step := acclimatedStep(p, g, s)
		out.Steps = append(out.Steps, step)
		for _, c := range append(step.Corals[:len(step.Corals):len(step.Corals)], step.Areas...) {
			out.AllMet = out.AllMet && (c.Met || !c.Present)
		}
	}
	return out
}

func acclimatedStep(p *plan.Plan, g *acclimate.Programme, s acclimate.Step) AcclimatedStep {
	out := AcclimatedStep{Date: s.Date.String(), What: s.What}
	built := day.Build(p, s.Date, s.Change)
	for i, c := range built.Channels {
		out.Levels = append(out.Levels, AcclimatedLevel{p.Channels[i].Name, c.Daylight, c.DoseS, p.Channels[i].Dimmable})
	}
	var r dose.Result // for the verdict by the target of the day
	for _, l := range s.Corals {
		r.Corals = append(r.Corals, dose.Place{Zone: l.Zone, DLI: l.DLI, Peak: l.Peak, Verdict: l.Verdict})
	}
	targets := make([]float64, len(s.Corals))
	for i, l := range s.Corals {
		if l.Note == "newcomer" {
			targets[i] = l.Target
		}
	}
	r = r.Toward(p, targets)
	for i, l := range s.Corals {
		c := acclimatedCoral(l, p.Zones[l.Zone].Name, tanksOf(p), r.Corals[i].Verdict)
		for _, t := range g.Tracks {
			if t.Coral == i && t.Arrives == s.Date {
				c.RisePeak, c.RiseViolet = nil, nil // what it had before is a DLI
			}
		}
		out.Corals = append(out.Corals, c)
	}
	for _, l := range s.Areas {
		out.Areas = append(out.Areas, acclimatedCoral(l, strings.TrimSuffix(l.Name, " (area)"), tanksOf(p), l.Verdict))
	}
	return out
}

func acclimatedCoral(l acclimate.Light, zone string, in tanks, v dose.Verdict) AcclimatedCoral {
	return AcclimatedCoral{Name: l.Name, Zone: zone, Tank: in[zone], Present: l.Present, Newcomer: l.Note == "newcomer",
		X: l.Place.X, Y: l.Place.Y, Depth: l.Place.Depth, Moved: l.Moved,
		DLI: l.DLI, Target: l.Target, Peak: l.Peak, Violet: l.Violet,
		RiseDLI: &l.Rise.DLI, RisePeak: &l.Rise.Peak, RiseViolet: &l.Rise.Violet,
		Met: v == dose.Met, Verdict: string(v)}
}

// Table has one row for each step and coral or area that is in the tank.
func (r Acclimated) Table() table.Table { return r.table(false) }

// table in brief is for people: it names a date once.
func (r Acclimated) table(brief bool) table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "date", Key: "date", Left: true}, {Key: "what", Only: table.CSVOnly}, {Key: "levels", Only: table.CSVOnly},
		{Head: "coral", Key: "coral", Left: true}, {Head: "zone", Key: "zone", Left: true},
		{Key: "x_m", Only: table.CSVOnly}, {Key: "y_m", Only: table.CSVOnly}, {Key: "depth_m", Only: table.CSVOnly},
		{Head: "DLI", Unit: "mol/m²/d", Key: "dli_mol_m2_d"}, {Head: "target", Unit: "mol/m²/d", Key: "target_dli_mol_m2_d"},
		{Head: "change", Unit: "%", Key: "dli_rise_percent"},
		{Head: "peak PPFD", Unit: "µmol/m²/s", Key: "ppfd_peak_umol_m2_s"}, {Head: "change", Unit: "%", Key: "ppfd_peak_rise_percent"},
		{Head: "violet 380-430 nm", Unit: "mmol/m²/d", Key: "violet_380_430_mmol_m2_d"}, {Head: "change", Unit: "%", Key: "violet_rise_percent"},
		{Head: "verdict", Key: "verdict", Left: true}, {Head: "", Key: "newcomer", Left: true}}}
	for _, s := range r.Steps {
		date := s.Date
		for _, c := range append(s.Corals[:len(s.Corals):len(s.Corals)], s.Areas...) {
			if !c.Present {
				continue
			}
			newcomer := ""
			if c.Newcomer {
				newcomer = "newcomer"
				if brief {
					newcomer = "new coral"
				}
			}
			t.Add(date, strings.Join(s.What, "; "), s.levels(), c.Name, c.Zone,
				fmt.Sprintf("%.4f", c.X), fmt.Sprintf("%.4f", c.Y), fmt.Sprintf("%.4f", c.Depth),
				fmt.Sprintf("%.2f", c.DLI), fmt.Sprintf("%.2f", c.Target), change(c.RiseDLI), sig(c.Peak), change(c.RisePeak),
				sig(1000*c.Violet), change(c.RiseViolet), c.Verdict, newcomer)
			if brief {
				date = ""
			}
		}
	}
	return r.tanks.beside(t)
}

// change is a relative change in percent; nothing where there is nothing to compare with.
func change(v *float64) string {
	switch {
	case v == nil:
		return ""
	case *v > -0.0005 && *v < 0.0005:
		return "0.0"
	}
	return fmt.Sprintf("%+.1f", 100**v)
}

// levels is all channels in one cell.
func (s AcclimatedStep) levels() string {
	var out []string
	for _, l := range s.Levels {
		switch {
		case !l.Dimmable:
			out = append(out, fmt.Sprintf("%s %.2f h", l.Channel, l.DoseS/3600))
		case l.Peak > 0:
			out = append(out, fmt.Sprintf("%s %.1f %% for %.2f h", l.Channel, 100*l.Peak, l.DoseS/3600/l.Peak))
		}
	}
	return strings.Join(out, "; ")
}
