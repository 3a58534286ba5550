package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"dayloom/exporters/table"
	"dayloom/photon/fit"
	"dayloom/schedule/light"
	"dayloom/schedule/light/readings"
	"dayloom/schedule/plan"
)

// Fit is what the readings say of the model, and the model of the readings.
type Fit struct {
	Plan     string       `json:"plan"`
	Tank     string       `json:"tank,omitempty"` // where the plan has several
	Channels []FitChannel `json:"channels"`
	Common   FitGain      `json:"common_gain"`
	Meters   []FitMeter   `json:"meter_bias"`
	Fields   FitFields    `json:"fields"`
	Rooms    []FitRoom    `json:"room_light,omitempty"`
	Readings []FitReading `json:"readings"`
}

// FitGain is a factor on the light and its standard uncertainty before and after.
type FitGain struct {
	Gain   float64 `json:"gain"`
	SD     float64 `json:"gain_sd"`
	Before float64 `json:"gain_sd_before"`
}

// FitChannel is what the readings make of a channel's model; of one without a model,
// its mean PPFD.
type FitChannel struct {
	Name string `json:"name"`
	FitGain
	Readings int    `json:"readings"`
	Modelled bool   `json:"modelled"` // false: gain is a mean PPFD, µmol m⁻² s⁻¹
	Says     string `json:"says"`
}

// FitMeter is the bias of a meter: what it shows over what is there.
type FitMeter struct {
	Name string `json:"name"`
	FitGain
	Separable bool `json:"separable"` // from a gain that all channels share
}

// FitFields are the smooth corrections.
type FitFields struct {
	Shared float64 `json:"shared_sd"`
	Own    float64 `json:"own_sd"`
	Length float64 `json:"length_m"`
	Error  float64 `json:"reading_sd"` // own error of a reading, in proportion
}

// FitRoom is the light of the room on a date.
type FitRoom struct {
	Date string  `json:"date"`
	PPFD float64 `json:"ppfd_umol_m2_s"`
	SD   float64 `json:"sd_umol_m2_s"`
}

// FitReading is one line of the readings, as the meter shows it.
type FitReading struct {
	Line     int     `json:"line"`
	Coral    string  `json:"coral,omitempty"`
	X        float64 `json:"x_m"`
	Y        float64 `json:"y_m"`
	Depth    float64 `json:"depth_m"`
	Lit      string  `json:"lit"`
	Expected float64 `json:"expected_umol_m2_s"`
	SD       float64 `json:"expected_sd"`
	Read     float64 `json:"read_umol_m2_s"`
	Z        float64 `json:"loo_z"`
	Outlier  bool    `json:"outlier"`
	Aside    bool    `json:"set_aside"`
	Slip     string  `json:"slip,omitempty"`
	Unused   string  `json:"unused,omitempty"`
}

func gainOf(e fit.Estimate) FitGain {
	g := math.Exp(e.Mean)
	return FitGain{g, g * e.SD, e.Before}
}

// separable tells whether readings told more than a little of a thing by itself.
func separable(e fit.Estimate) bool { return e.SD < 0.7*e.Before }

// NewFit makes the report of a field's fit.
func NewFit(p *plan.Plan, f light.Field, judged []readings.Judged) Fit {
	known := f.Fit()
	out := Fit{Plan: p.Name, Common: gainOf(known.Common()), Readings: []FitReading{},
		Fields: FitFields{known.Fields.Shared, known.Fields.Own, known.Fields.Length, known.Fields.Proportional}}
	count := make([]int, len(p.Channels))
	for _, j := range judged {
		r := FitReading{Line: j.Line, X: j.X, Y: j.Y, Depth: j.Depth, Lit: litWords(p, j.Lit), Read: j.PPFD, Unused: j.Unused,
			Expected: j.Expected.Value, SD: j.Expected.SD, Z: j.Expected.Z, Outlier: j.Outlier, Aside: j.Aside, Slip: j.Slip}
		if j.Coral >= 0 {
			r.Coral = p.Corals[j.Coral].Name
		}
		out.Readings = append(out.Readings, r)
		for _, l := range j.Lit {
			if j.Unused == "" && !j.Aside {
				count[l.Channel]++
			}
		}
	}
	for i, c := range p.Channels {
		e := known.Gain(i)
		ch := FitChannel{Name: c.Name, FitGain: gainOf(e), Readings: count[i], Modelled: light.Modelled(c)}
		ch.Says = says(ch, e)
		out.Channels = append(out.Channels, ch)
	}
	for i, m := range p.Meters {
		e := known.Meter(i)
		out.Meters = append(out.Meters, FitMeter{m.Name, gainOf(e), separable(e)})
	}
	for _, d := range f.Rooms() {
		out.Rooms = append(out.Rooms, FitRoom{d.Date.String(), d.PPFD, d.SD})
	}
	return out
}

// says puts a gain in words.
func says(c FitChannel, e fit.Estimate) string {
	switch {
	case c.Readings == 0:
		return "not measured"
	case !c.Modelled:
		return "known by readings alone: its mean PPFD"
	case math.Abs(e.Mean) < 2*e.SD:
		return "agrees with the plan"
	case e.Mean < 0:
		return "less than the plan: faded, flux overstated, or the lamp hangs higher"
	}
	return "more than the plan: flux understated, or the lamp hangs lower"
}

func litWords(p *plan.Plan, lit []plan.Lit) string {
	switch {
	case len(lit) == 0:
		return "none"
	case len(lit) > 1 && len(lit) == len(p.Channels):
		return "all"
	}
	var words []string
	for _, l := range lit {
		w := p.Channels[l.Channel].Name
		if l.Command != "" {
			w += "@" + l.Command
		}
		words = append(words, w)
	}
	return strings.Join(words, "+")
}

// Table has one row a reading.
func (r Fit) Table() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "line", Key: "line"}, {Head: "where", Key: "where", Left: true}, {Head: "lit", Key: "lit", Left: true},
		{Head: "read", Unit: unit, Key: "read_umol_m2_s"}, {Head: "expected", Unit: unit, Key: "expected_umol_m2_s"},
		{Head: "± 1 sd", Unit: unit, Key: "expected_sd"}, {Head: "difference", Unit: "sd", Key: "loo_z"}, {Head: "", Key: "remark", Left: true, Fold: 28},
	}}
	for _, x := range r.Readings {
		where := x.Coral
		if where == "" {
			where = cm(x.X) + ", " + cm(x.Y) + ", " + cm(x.Depth) + " cm"
		}
		if x.Unused != "" {
			t.Add(x.Line, where, x.Lit, sig(x.Read), "", "", "", "not used: "+x.Unused)
			continue
		}
		t.Add(x.Line, where, x.Lit, sig(x.Read), sig(x.Expected), sig(x.SD), fmt.Sprintf("%+.1f", x.Z), x.remark())
	}
	return t
}

func (x FitReading) remark() string {
	if !x.Outlier {
		return ""
	}
	words := "doubtful"
	if x.Aside {
		words = "set aside"
	}
	if x.Slip != "" {
		return words + "; likeliest slip: " + x.Slip
	}
	return words + "; no slip that was tried explains it"
}

// Text is the gains, the meter, the fields, then every reading against all others.
func (r Fit) Text(w io.Writer) error {
	fmt.Fprintf(w, "%s: what %d readings say%s\n\n", r.Plan, len(r.Readings), of(r.Tank))
	t := table.Table{Columns: []table.Column{{Head: "channel", Left: true}, {Head: "gain"}, {Head: "± 1 sd"}, {Head: "readings"}, {Head: "what that says", Left: true, Fold: 40}}}
	for _, c := range r.Channels {
		if c.Readings == 0 {
			t.Add(c.Name, "", "", 0, c.Says)
			continue
		}
		t.Add(c.Name, sig(c.Gain), sig(c.SD), c.Readings, c.Says)
	}
	if err := t.Text(w); err != nil {
		return err
	}
	fmt.Fprintln(w)
	for _, m := range r.Meters {
		name := strings.TrimSpace("meter " + m.Name)
		fmt.Fprintf(w, "%s: shows %.3f times what is there, ± %.1f %% (%.1f %% before)\n", name, m.Gain, 100*m.SD/m.Gain, 100*m.Before)
		if !m.Separable {
			fmt.Fprintf(w, "  not separable from a gain that all channels share (%.3f, ± %.1f %%): a second meter would tell\n", r.Common.Gain, 100*r.Common.SD/r.Common.Gain)
		}
	}
	fmt.Fprintf(w, "smooth differences from the model: %.1f %% common to all channels, %.1f %% each channel's own, over %s cm\n", 100*r.Fields.Shared, 100*r.Fields.Own, trim(100*r.Fields.Length))
	fmt.Fprintf(w, "a reading repeats to %.1f %%\n", 100*r.Fields.Error)
	for _, d := range r.Rooms {
		fmt.Fprintf(w, "light of the room %s: %s ± %s %s\n", d.Date, sig(d.PPFD), sig(d.SD), unit)
	}
	fmt.Fprintln(w, "\neach reading, and what all others and the model expect the meter to show")
	return r.Table().Text(w)
}

func of(tank string) string {
	if tank == "" {
		return ""
	}
	return " of the tank " + tank
}

// FitTanks is the fit of each of several tanks.
type FitTanks struct {
	Plan  string `json:"plan"`
	Tanks []Fit  `json:"tanks"`
}

// Table has one row a reading, tank by tank.
func (r FitTanks) Table() (out table.Table) {
	for i, f := range r.Tanks {
		t := f.Table()
		if i == 0 {
			out.Columns = append([]table.Column{{Head: "tank", Key: "tank", Left: true}}, t.Columns...)
		}
		for _, row := range t.Rows {
			out.Rows = append(out.Rows, append([]string{f.Tank}, row...))
		}
	}
	return out
}

// Text is the fit of each tank.
func (r FitTanks) Text(w io.Writer) error {
	for i, f := range r.Tanks {
		if i > 0 {
			fmt.Fprintln(w)
		}
		if err := f.Text(w); err != nil {
			return err
		}
	}
	return nil
}
