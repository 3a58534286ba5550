package playback_test

import (
	"fmt"
	"os"

	"dayloom/exporters/compile"
	"dayloom/exporters/playback"
	"dayloom/schedule/day"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
	"dayloom/schedule/shape/curve"
)

// A timetable played against the day it was made from.
func ExamplePlay() {
	p, _ := planfile.Load(os.ReadFile, "../../cmd/dayloom/starters/single/plan.yaml")
	for i := range p.Day {
		p.Day[i].Daylight.Peak = plan.Level{Fraction: 0.61}
	}
	date := plan.Date{Year: 2027, Month: 1, Day: 1}
	asked := day.Build(p, date, day.Change{})
	file := compile.Build(p, []compile.Span{{From: date, To: date}}, func(plan.Date) []curve.Curve { return asked.Curves() }).File
	f, _ := light.Dated(p, nil)
	r, err := playback.Play(file, p, playback.Asked{Day: asked, Field: f})
	fmt.Println(r.Faithful(), err)
	// Output:
	// true <nil>
}
