package readings

import (
	"fmt"
	"math"

	"dayloom/photon/fit"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// Doubtful is how many standard deviations from what is expected make a reading so.
const Doubtful = 3

// Judged is one line of the readings beside what the others expect of it.
type Judged struct {
	plan.Reading
	Unused   string // why it teaches nothing, "" when it does
	Expected fit.Expected
	Aside    bool   // too far from all others to be used
	Outlier  bool   // set aside, or doubtful
	Slip     string // the likeliest, "" when none of those tried explains it
}

// Judge holds every reading against all others.
func Judge(p *plan.Plan, f light.Field) []Judged {
	if p.Readings == nil {
		return nil
	}
	out := make([]Judged, len(p.Readings.Rows))
	for tank := range p.Tanks {
		if !p.Several() {
			break
		}
		q := p.Part(tank)
		for k, j := range Judge(q.Plan, f.Tank(tank)) {
			i := q.Kept.Readings[k]
			out[i], out[i].Reading = j, p.Readings.Rows[i]
		}
	}
	if p.Several() {
		return out
	}
	for i, r := range p.Readings.Rows {
		out[i].Reading = r
		e, err := f.Expect(r, i)
		if err != nil {
			out[i].Unused = err.Error()
			continue
		}
		out[i].Expected, out[i].Aside = e, f.Aside(i)
		out[i].Outlier = out[i].Aside || math.Abs(e.Z) > Doubtful
	}
	for i := range out {
		if out[i].Outlier {
			out[i].Slip = slip(p, f, out, i)
		}
	}
	return out
}

// Doubts are warnings of doubtful readings that are used all the same (of those set
// aside light.Survey warns), each with the likeliest slip, and of meters whose factor in
// water is not told.
func Doubts(p *plan.Plan, judged []Judged) (out diag.List) {
	told := map[int]bool{}
	for _, j := range judged {
		m := p.Meters[j.Meter]
		if j.Unused == "" && !m.FactorGiven && j.Depth > 0 && !told[j.Meter] {
			told[j.Meter] = true
			out = append(out, warning(p, j, "taken under water by a meter of which the plan does not tell in_water_factor; one made for air reads low there, by a factor near 1.3 (common practice)",
				"write meter: {in_water_factor: 1.32} with the maker's figure, or 1 if the meter has it built in"))
		}
		if !j.Outlier || j.Aside {
			continue
		}
		hint := "read again; a shadow or a lamp fault is possible"
		if j.Slip != "" {
			hint = "likeliest slip: " + j.Slip
		}
		out = append(out, warning(p, j, fmt.Sprintf("read %.4g where all else says %.3g ± %.2g", j.PPFD, j.Expected.Value, j.Expected.SD), hint))
	}
	return out
}

func warning(p *plan.Plan, j Judged, what, hint string) diag.Problem {
	return diag.Problem{Severity: diag.Warning, Place: diag.Place{File: p.Readings.File, Line: j.Line, Col: 1}, What: what, Hint: hint}
}
