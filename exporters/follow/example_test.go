package follow_test

import (
	"fmt"
	"os"
	"time"

	"dayloom/exporters/compile"
	"dayloom/exporters/follow"
	"dayloom/schedule/day"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
	"dayloom/schedule/plan/planfile"
	"dayloom/schedule/shape/curve"
)

// The commands that stand at half past ten, and when the next one is due.
func ExampleFollower() {
	p, _ := planfile.Load(os.ReadFile, "../../cmd/dayloom/starters/single/plan.yaml")
	for i := range p.Day {
		p.Day[i].Daylight.Peak = plan.Level{Fraction: 0.61}
	}
	date := plan.Date{Year: 2027, Month: 1, Day: 1}
	file := compile.Build(p, []compile.Span{{From: date, To: date}}, func(d plan.Date) []curve.Curve {
		return day.Build(p, d, day.Change{}).Curves()
	}).File
	f, _ := follow.New(file, clock.Of(p.Clock))
	now := time.Date(2027, 1, 1, 10, 30, 0, 0, time.UTC)
	for _, c := range f.At(now) {
		fmt.Println(c.Channel, c.Shown, c.Unit)
	}
	next, changes := f.Next(now)
	fmt.Println(next.Format(time.TimeOnly), changes[0].Channel, changes[0].Shown, changes[0].Unit)
	// Output:
	// blue 46 %
	// white 46 %
	// 10:31:29 blue 47 %
}
