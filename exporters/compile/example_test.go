package compile_test

import (
	"fmt"
	"os"

	"dayloom/exporters/compile"
	"dayloom/schedule/day"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
	"dayloom/schedule/shape/curve"
)

// From a plan whose levels are known to what its controller holds.
func ExampleBuild() {
	p, _ := planfile.Load(os.ReadFile, "../../cmd/dayloom/starters/single/plan.yaml")
	for i := range p.Day {
		p.Day[i].Daylight.Peak = plan.Level{Fraction: 0.61}
	}
	date := plan.Date{Year: 2027, Month: 1, Day: 1}
	r := compile.Build(p, []compile.Span{{From: date, To: date}}, func(d plan.Date) []curve.Curve {
		return day.Build(p, d, day.Change{}).Curves()
	})
	for _, l := range r.Lowered {
		for _, x := range l.Result.Points {
			fmt.Printf("%s %5.2f h %2.0f %%\n", l.Channel, x.Time/3600, x.Command)
		}
	}
	// Output:
	// blue  9.00 h  0 %
	// blue 11.00 h 61 %
	// blue 18.00 h 61 %
	// blue 20.50 h  0 %
	// white  9.00 h  0 %
	// white 11.00 h 61 %
	// white 18.00 h 61 %
	// white 20.50 h  0 %
}
