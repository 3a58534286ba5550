package calendar_test

import (
	"fmt"
	"os"

	"dayloom/schedule/calendar"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
)

// How one date departs from the usual day, and why.
func ExampleBook_On() {
	p, _ := planfile.Load(os.ReadFile, "../../cmd/dayloom/starters/nursery/plan.yaml")
	book, problems := calendar.New(p)
	fmt.Println(problems[0].What)
	d := book.On(plan.Date{Year: 2027, Month: 6, Day: 24})
	fmt.Println(d.Date, d.Day.Scale, d.Rules)
	// Output:
	// relamp: tubes cannot be dimmed, so its hours are shortened instead
	// 2027-06-24 [0.9 0.9 0.9 0.9 0.9 0.9 0.9 0.9] [harbour day: a one-off date, applies: light at 90 %]
}
