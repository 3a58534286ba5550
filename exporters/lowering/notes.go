package lowering

import "fmt"

// Kind tells notes apart.
type Kind int

// The kinds of notes.
const (
	NeverDark  Kind = iota // the port cannot go dark where the curve is
	AboveFull              // the curve asks for more than the port's most
	BelowFirst             // part of the curve is below the darkest light
	DoseOff                // the dose is off by more than the tolerance
	FewPoints              // the points allowed are too few to follow the curve well
	Unplayable             // the points could not be played: a fault of this program
)

// Note is something that the reader of a timetable should know.
type Note struct {
	Kind Kind
	Text string
}

// plain is a departure that a note says more points would lessen.
const plain = 0.05

func notes(r Result, a target, rungs *ladder, l Limits) []Note {
	var out []Note
	say := func(k Kind, format string, args ...any) { out = append(out, Note{k, fmt.Sprintf(format, args...)}) }
	b := r.BelowCutIn
	switch {
	case !rungs.dark && !a.cut && b.Seconds > 1:
		say(NeverDark, "the port gives %.3g %% at its lowest command, so for %.0f min a day it is brighter than asked; only a switched outlet that cuts its supply can make it dark",
			100*b.Darkest, b.Seconds/60)
	case b.Seconds > 1:
		say(BelowFirst, "for %.0f min a day the curve is below %.3g %%, the darkest the port can give: it is switched there, for %.1f s of full light against %.1f s asked",
			b.Seconds/60, 100*b.Darkest, b.LightGiven, b.LightAsked)
	}
	if most, at := a.want.Max(); most > a.roof+1e-9 {
		say(AboveFull, "the curve asks for %.4g %% at %s, more than the %.4g %% that the port can give", 100*most, clock(at), 100*a.roof)
	}
	if off := r.DoseDelivered - r.DoseAsked; abs(off) > l.DoseTolerance*r.DoseAsked+1e-9 {
		say(DoseOff, "the day's dose is %.0f s of full light against %.0f s asked (%+.1f %%): as near as these limits allow",
			r.DoseDelivered, r.DoseAsked, 100*off/max(r.DoseAsked, 1))
	}
	if r.Greatest > plain && len(r.Points) == l.MaxPoints {
		say(FewPoints, "with %d points the light is off by up to %.2g %% of full, at %s; more points would follow the curve more closely",
			l.MaxPoints, 100*r.Greatest, clock(r.GreatestAt))
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
