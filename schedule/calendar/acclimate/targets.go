package acclimate

import "dayloom/schedule/plan"

// Targets lists the DLI that each coral is to have on a date by its own programme,
// mol m⁻² d⁻¹; 0 for those that have none then and go by their zone.
func (g *Programme) Targets(date plan.Date) []float64 {
	out := make([]float64, len(g.p.Corals))
	for c := range out {
		if t := g.track(c, date); t != nil && date.Before(t.Ends) {
			if e := t.at(date); e != nil {
				out[c] = e.Target
			}
		}
	}
	return out
}
