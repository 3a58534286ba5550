package report

import (
	"fmt"
	"io"

	"dayloom/exporters/measure"
	"dayloom/exporters/table"
	"dayloom/schedule/light/survey"
	"dayloom/schedule/plan"
)

// Survey is where to measure next.
type Survey struct {
	Plan     string       `json:"plan"`
	Tank     string       `json:"tank,omitempty"` // where the plan has several
	Date     string       `json:"date"`
	Readings []SurveyLine `json:"readings"`
	Spots    int          `json:"spots"`
	Before   float64      `json:"dli_sd_before"` // relative, root of the mean square over corals and areas
	After    float64      `json:"dli_sd_after"`
}

// SurveyLine is one reading to take; what is expected is as the meter shows it.
type SurveyLine struct {
	No       int     `json:"no"`
	Coral    string  `json:"coral,omitempty"`
	X        float64 `json:"x_m"`
	Y        float64 `json:"y_m"`
	Depth    float64 `json:"depth_m"`
	Lit      string  `json:"lit"`
	Expected float64 `json:"expected_umol_m2_s"`
	Low      float64 `json:"low_umol_m2_s"`
	High     float64 `json:"high_umol_m2_s"`
}

// NewSurvey makes the report of a survey.
func NewSurvey(p *plan.Plan, s survey.Survey, date plan.Date) Survey {
	out := Survey{Plan: p.Name, Tank: s.Tank, Date: date.String(), Readings: []SurveyLine{}, Spots: s.Spots, Before: s.Before, After: s.After}
	for i, r := range measure.Rows(p, s) {
		l := s.Lines[i]
		out.Readings = append(out.Readings, SurveyLine{r.No, r.Coral, l.X, l.Y, l.Depth, r.Lit, r.Expected, r.Low, r.High})
	}
	return out
}

// Table has one row a reading, in the order of the way.
func (r Survey) Table() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "no", Key: "no"}, {Head: "coral", Key: "coral", Left: true},
		{Head: "x", Unit: "cm", Key: "x_cm"}, {Head: "y", Unit: "cm", Key: "y_cm"}, {Head: "depth", Unit: "cm", Key: "depth_cm"},
		{Head: "lit", Key: "lit", Left: true},
		{Head: "expected", Unit: unit, Key: "expected_umol_m2_s"}, {Head: "from", Unit: unit, Key: "low"}, {Head: "to", Unit: unit, Key: "high"},
	}}
	for _, l := range r.Readings {
		t.Add(l.No, l.Coral, cm(l.X), cm(l.Y), cm(l.Depth), l.Lit, measure.Light(l.Expected), measure.Light(l.Low), measure.Light(l.High))
	}
	return t
}

// Text is the table and what the readings would bring.
func (r Survey) Text(w io.Writer) error {
	fmt.Fprintf(w, "%s: where to measure%s\n\n", r.Plan, inTank(r.Tank))
	if err := r.Table().Text(w); err != nil {
		return err
	}
	_, err := fmt.Fprintf(w, "\nDLI is uncertain by %.1f %% now (1 sd, root mean square over corals and areas), by %.1f %% after these.\n"+
		"The best set found, by greed and exchanges; not proven the best there is. Expected and its range (2 sd) are as the meter shows it.\n", 100*r.Before, 100*r.After)
	return err
}
