package planfile_test

import (
	"fmt"
	"os"

	"dayloom/schedule/plan/planfile"
)

// A plan is read whole, with all that is wrong with it.
func ExampleLoad() {
	p, problems := planfile.Load(os.ReadFile, "../../../cmd/dayloom/starters/single/plan.yaml")
	fmt.Println(p.Name, len(p.Channels), len(p.Corals), problems.HasErrors())
	_, problems = planfile.Load(func(string) ([]byte, error) { return []byte("plan: 1\ntonk: {}\n"), nil }, "p.yaml")
	fmt.Println(problems[0].What)
	// Output:
	// One lamp over a small tank 2 3 false
	// the key "name" is missing
}
