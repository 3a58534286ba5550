package report

import (
	"fmt"
	"io"
	"strings"

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

// text is Lines, one below the other.
func (l Load) text(w io.Writer) { fmt.Fprintf(w, "\n%s\n", strings.Join(l.Lines(), "\n")) }

// Lines are one for all lamps, then one for each circuit and what there is to know.
func (l Load) Lines() []string {
	power := fmt.Sprintf("power: highest %.0f W, at %s", l.Power, l.PowerAt)
	if l.Max != nil {
		power += fmt.Sprintf("; limit %.0f W", *l.Max)
	}
	out := []string{power + fmt.Sprintf("; %.2f kWh a day", l.Energy)}
	for _, c := range l.Circuits {
		over := ""
		if c.Over {
			over = ": OVER"
		}
		out = append(out, fmt.Sprintf("circuit %s: highest %.2f A, at %s; limit %s A (%g %% of %s A)%s", c.Name, c.Current, c.At, trim(c.Allowed), 100*c.share, trim(c.Allowed/c.share), over))
	}
	if len(l.Unknown) > 0 {
		out = append(out, fmt.Sprintf("no power is given for %s: not counted", diag.Words(l.Unknown)))
	}
	if len(l.Circuits) > 0 {
		out = append(out, "Load checks are a guide only. Your local electrical code decides.")
	}
	return out
}
