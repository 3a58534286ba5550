package acclimate_test

import (
	"fmt"
	"os"

	"dayloom/schedule/calendar/acclimate"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
)

// A newcomer that moves up to its place under lamps that stay as they are: the dates of
// its steps and the light of each.
func ExampleNew() {
	p, _ := planfile.Load(os.ReadFile, "../../../cmd/dayloom/starters/nursery/plan.yaml")
	for i := range p.Day {
		if p.Day[i].Daylight != nil && p.Day[i].Daylight.Peak.Auto {
			p.Day[i].Daylight.Peak = plan.Level{Fraction: 0.5}
		}
	}
	f, _ := light.Dated(p, nil)
	programme := acclimate.New(p, f, acclimate.Options{})
	for _, s := range programme.Steps {
		fmt.Println(s.Date, s.What)
	}
	// Output:
	// 2027-02-03 [Place staghorn-b at x 35 cm, y 55 cm, depth 38 cm (first day)]
	// 2027-02-10 [Move staghorn-b to x 42 cm, y 55 cm, depth 31 cm (step 1 of 6)]
	// 2027-02-17 [Move staghorn-b to x 46 cm, y 51 cm, depth 27 cm (step 2 of 6)]
	// 2027-02-24 [Move staghorn-b to x 50 cm, y 48 cm, depth 23 cm (step 3 of 6)]
	// 2027-03-03 [Move staghorn-b to x 53 cm, y 44 cm, depth 19 cm (step 4 of 6)]
	// 2027-03-10 [Move staghorn-b to x 61 cm, y 41 cm, depth 16 cm (step 5 of 6)]
	// 2027-03-17 [Move staghorn-b to x 70 cm, y 24 cm, depth 12 cm (last step, the usual day)]
}
