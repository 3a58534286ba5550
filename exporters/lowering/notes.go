package lowering

import "fmt"

// Kind tells notes apart.
type Kind int

// The kinds of notes.
const (
	AboveFull  Kind = iota // the curve asks for more than the port's most
	DoseOff                // the dose is off by more than the tolerance
	FewPoints              // the points allowed are too few to follow the curve well
	TooMany                // all ways were asked for and are too many
	Unplayable             // the points could not be played: a fault of this program
)

// Note is something that the reader of a timetable should know: what happens, what it
// does to the light, what to do. Brief is its figures, for a list of ports with notes of one kind.
type Note struct {
	Kind        Kind
	Text, Brief string
}

// plain is a departure that a note tells of.
const plain = 0.05

func notes(r Result, a target, l Limits) []Note {
	var out []Note
	say := func(k Kind, brief, format string, args ...any) {
		out = append(out, Note{k, fmt.Sprintf(format, args...), brief})
	}
	if most, at := a.Max(); most > a.roof+1e-9 {
		say(AboveFull, fmt.Sprintf("%.4g %% at %s, of %.4g %%", 100*most, clock(at), 100*a.roof),
			"the plan asks for %.4g %% of full output at %s; this port gives at most %.4g %%", 100*most, clock(at), 100*a.roof)
	}
	if off := r.DoseDelivered - r.DoseAsked; abs(off) > l.DoseTolerance*r.DoseAsked+1e-6 {
		how, share := "the nearest found", 100*off/max(r.DoseAsked, 1)
		if r.Proven {
			how = "as near as these limits allow"
		}
		say(DoseOff, fmt.Sprintf("%+.1f %%, %s", share, how), "the day's light differs by %+.1f %% from the plan: %.0f s of full output for %.0f s, %s",
			share, r.DoseDelivered, r.DoseAsked, how)
	}
	if n := l.choices(newLadder(l)); l.Exact && n > ExactSize {
		say(TooMany, fmt.Sprintf("%.0f of up to %d", n, ExactSize), "not all points were tried, though that was asked for: the times and commands of this port, one times the other, are %.0f, and up to %d are few enough", n, ExactSize)
	}
	if r.Greatest > plain && len(r.Points) >= l.MaxPoints-1 {
		how := fmt.Sprintf("the nearest found; no table can be nearer than %.2g %%", 100*r.Bound)
		if r.Proven {
			how = "as near as these limits allow"
		}
		say(FewPoints, fmt.Sprintf("%.3g %% with %d points, at %s, %s", 100*r.Greatest, l.MaxPoints, clock(r.GreatestAt), how),
			"with %d points the level is off by up to %.3g %% of full output, at %s: %s. More points would follow the plan more closely",
			l.MaxPoints, 100*r.Greatest, clock(r.GreatestAt), how)
	}
	return out
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}

func clock(t float64) string {
	m := int(t/60+0.5) % 1440
	return fmt.Sprintf("%02d:%02d", m/60, m%60)
}
