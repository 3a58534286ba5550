package report

import (
	"fmt"
	"io"

	"dayloom/schedule/day/load"
	"dayloom/schedule/text/diag"
)

// Load is the electrical side of a day.
type Load struct {
	Power    float64       `json:"power_peak_w"`
	PowerAt  string        `json:"power_peak_at"`
	Max      *float64      `json:"power_max_w,omitempty"`
	Energy   float64       `json:"energy_kwh_d"`
	Circuits []CircuitLoad `json:"circuits,omitempty"`
	Unknown  []string      `json:"channels_without_power,omitempty"`
	Over     bool          `json:"over"`
}

// CircuitLoad is one circuit.
type CircuitLoad struct {
	Name    string  `json:"name"`
	Current float64 `json:"current_peak_a"`
	At      string  `json:"current_peak_at"`
	Allowed float64 `json:"current_allowed_a"`
	Over    bool    `json:"over"`
	share   float64 // of the rating
}

func newLoad(l load.Load) Load {
	out := Load{Power: l.Power.Value, PowerAt: Clock(l.Power.AtS), Max: limit(l.Max), Energy: l.EnergyWh / 1000, Unknown: l.Unknown, Over: l.Over()}
	for _, c := range l.Circuits {
		out.Circuits = append(out.Circuits, CircuitLoad{c.Name, c.Current.Value, Clock(c.Current.AtS), c.Allowed, c.Over(), c.Share})
	}
	return out
}

// text is a line for all lamps and one for each circuit.
func (l Load) text(w io.Writer) {
	fmt.Fprintf(w, "\npower: highest %.0f W, at %s", l.Power, l.PowerAt)
	if l.Max != nil {
		fmt.Fprintf(w, "; limit %.0f W", *l.Max)
	}
	fmt.Fprintf(w, "; %.2f kWh a day\n", l.Energy)
	for _, c := range l.Circuits {
		over := ""
		if c.Over {
			over = ": OVER"
		}
		fmt.Fprintf(w, "circuit %s: highest %.2f A, at %s; limit %s A (%g %% of %s A)%s\n", c.Name, c.Current, c.At, trim(c.Allowed), 100*c.share, trim(c.Allowed/c.share), over)
	}
	if len(l.Unknown) > 0 {
		fmt.Fprintf(w, "no power is given for %s: not counted\n", diag.Words(l.Unknown))
	}
	if len(l.Circuits) > 0 {
		fmt.Fprintln(w, "Load checks are a guide only. Your local electrical code decides.")
	}
}
