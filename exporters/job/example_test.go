package job_test

import (
	"context"
	"fmt"
	"os"

	"dayloom/exporters/job"
	"dayloom/schedule/plan"
)

// Opening a plan finds what is auto; a date then has its light and verdicts.
func ExampleOpen() {
	j, err := job.Open(context.Background(), job.Question{File: "../../cmd/dayloom/starters/single/plan.yaml", Read: os.ReadFile})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range j.Found.Channels {
		fmt.Printf("%s: peak level %.0f %%\n", c.Name, 100*c.Peak)
	}
	d := j.On(plan.Date{Year: 2027, Month: 2, Day: 3})
	for _, c := range d.Result.Corals {
		fmt.Printf("%s: DLI %.2f, %s\n", c.Name, c.DLI, c.Verdict)
	}
	fmt.Println("all met:", j.Met(d))
	// Output:
	// blue: peak level 62 %
	// white: peak level 62 %
	// staghorn: DLI 9.39, met
	// plate: DLI 8.55, met
	// mushroom: DLI 6.49, met
	// all met: true
}
