package report

import "fmt"

// Tally sums up how many places have their light, and which is furthest from its target.
type Tally struct {
	all, under, over, limit int
	worst                   string
	off                     float64
}

// Count adds a place with its DLI, target, and whether target and limits are met.
func (t *Tally) Count(name string, dli, target float64, met bool) {
	t.all++
	off := 0.0
	if target > 0 {
		off = dli/target - 1
	}
	switch {
	case met:
	case off < 0:
		t.under++
	case off > 0:
		t.over++
	default:
		t.limit++
	}
	if t.worst == "" || off*off > t.off*t.off {
		t.worst, t.off = name, off
	}
}

// String is such as "8 places, 3 under target; furthest off: mushroom -6 %".
func (t Tally) String() string {
	text := fmt.Sprintf("%d %s", t.all, plural(t.all, "place"))
	if t.under+t.over+t.limit == 0 {
		text += ", every target met"
	}
	for _, part := range []struct {
		n    int
		what string
	}{{t.under, "under target or limit"}, {t.over, "over target or limit"}, {t.limit, "outside a limit"}} {
		if part.n > 0 {
			text += fmt.Sprintf(", %d %s", part.n, part.what)
		}
	}
	return text + fmt.Sprintf("; furthest from target: %s %+.1f %%", t.worst, 100*t.off)
}
