package table_test

import (
	"os"

	"dayloom/exporters/table"
)

// On a page that is too narrow the column that may give way first is left out, and named.
func ExampleTable_Text() {
	t := table.Table{Columns: []table.Column{{Head: "coral", Left: true}, {Head: "zone", Left: true, Last: 1}, {Head: "DLI", Unit: "mol/m²/d"}}}
	t.Add("staghorn-a", "a long shelf", "11.4")
	page := table.NewPage(os.Stdout, 26, false)
	_ = t.Text(page)
	_ = page.Close()
	// Output:
	// coral            DLI
	//             mol/m²/d
	// staghorn-a      11.4
	// not shown for want of
	//   room: zone (--wide shows
	//   all)
}
