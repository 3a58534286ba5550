package dose_test

import (
	"fmt"
	"os"

	"dayloom/schedule/day"
	"dayloom/schedule/day/dose"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
)

// The light of one date at every coral, with every level as the plan has it.
func ExampleOf() {
	p, _ := planfile.Load(os.ReadFile, "../../../cmd/dayloom/starters/single/plan.yaml")
	for i := range p.Day {
		p.Day[i].Daylight.Peak = plan.Level{Fraction: 0.61}
	}
	f, _ := light.Dated(p, nil)
	r := dose.Of(p, f, day.Build(p, plan.Date{Year: 2027, Month: 1, Day: 1}, day.Change{}), nil)
	for _, c := range r.Corals {
		fmt.Printf("%s %.1f mol/m²/d, target %g: %s\n", c.Name, c.DLI, c.Target, c.Verdict)
	}
	// Output:
	// staghorn 9.3 mol/m²/d, target 9: met
	// plate 8.5 mol/m²/d, target 9: met
	// mushroom 6.4 mol/m²/d, target 6: met
}
