package live_test

import (
	"context"
	"fmt"
	"os"
	"time"

	"dayloom/exporters/live"
)

// A level is changed as the page would; the document tells what that gives, and which lines
// of the plan would change.
func ExampleDocument() {
	d, err := live.Open(context.Background(), live.Config{File: "../../cmd/dayloom/starters/single/plan.yaml", Read: os.ReadFile,
		Now: func() time.Time { return time.Date(2027, 2, 3, 12, 0, 0, 0, time.UTC) }})
	if err != nil {
		fmt.Println(err)
		return
	}
	v, err := d.Apply(context.Background(), live.Edit{Kind: "level", Entry: 0, Percent: 50})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range v.Corals {
		fmt.Println(c.Words)
	}
	changes, err := d.Changes()
	for _, l := range changes.Lines {
		if l.Sign == "+" || l.Sign == "-" {
			fmt.Println(l.Sign, l.Text)
		}
	}
	fmt.Println(v.Undo, "step to undo", err)
	// Output:
	// staghorn: low. DLI 7.63 of 9 mol/m²/d, peak PPFD 229 µmol/m²/s at 11:00
	// plate: low. DLI 6.94 of 9 mol/m²/d, peak PPFD 208 µmol/m²/s at 11:00
	// mushroom: met. DLI 5.27 of 6 mol/m²/d, peak PPFD 158 µmol/m²/s at 11:00
	// -     peak: auto                         # found by dayloom; or a level such as 60 %
	// +     peak: 50 %                         # found by dayloom; or a level such as 60 %
	// 1 step to undo <nil>
}
