package balance_test

import (
	"context"
	"fmt"
	"os"

	"dayloom/schedule/balance"
	"dayloom/schedule/light"
	"dayloom/schedule/plan/planfile"
)

// From a plan to the light at its corals to the levels that are auto.
func ExampleSolve() {
	p, _ := planfile.Load(os.ReadFile, "../../cmd/dayloom/starters/single/plan.yaml")
	f, _ := light.Dated(p, nil)
	a, problems := balance.Solve(context.Background(), p, f, balance.Options{})
	fmt.Println(a.Met, problems.HasErrors())
	for _, c := range a.Channels {
		fmt.Printf("%s %.0f %%\n", c.Name, 100*c.Peak)
	}
	// Output:
	// true false
	// blue 62 %
	// white 62 %
}
