package report

import (
	"fmt"
	"io"

	"dayloom/exporters/table"
)

// colours is the colour at the places of the wish.
func (r Balanced) colours() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "place", Left: true}, {Head: "x"}, {Head: "y"}, {Head: "from the wish", Unit: "u′v′"}, {Head: "asked", Unit: "u′v′"}, {Head: "verdict", Left: true}}}
	for _, c := range r.Colours {
		verdict := "inside"
		if !c.Met {
			verdict = "outside"
		}
		t.Add(c.Place, fmt.Sprintf("%.4f", c.X), fmt.Sprintf("%.4f", c.Y), fmt.Sprintf("%.4f", c.Distance), fmt.Sprintf("%g", c.Within), verdict)
	}
	return t
}

// wished tells of the wishes of colour: how near they are, what is proven, what holds them, what they cost.
func (r Balanced) wished(w io.Writer) error {
	if len(r.Colours) > 0 {
		fmt.Fprintln(w)
		if err := r.colours().Text(w); err != nil {
			return err
		}
	}
	if s := r.Spectrum; s != nil {
		text := fmt.Sprintf("Spectrum like %s at %g m of water: of the photons of 400-700 nm no step of 20 nm is more than %.2f points off at any place; the most is %s nm at %s. ",
			s.Like, s.DepthM, 100*s.Greatest, s.Band, s.Place)
		if s.Proven {
			text += "Proven: for these lamps, no other levels that keep targets and limits as well make that smaller."
		} else {
			text += fmt.Sprintf("Nearest found; proven is that nothing comes under %.2f points.", 100*s.Bound)
		}
		fmt.Fprintf(w, "\n%s\n", text)
	}
	if c := r.Cost; c != nil {
		fmt.Fprintf(w, "%s\n", r.costText())
	}
	return nil
}

func (r Balanced) costText() string {
	c := r.Cost
	text := "What the wish costs: "
	if r.Energy+c.Energy > 0 {
		text += fmt.Sprintf("%.3f kWh a day in place of %.3f, ", r.Energy, c.Energy)
	}
	text += fmt.Sprintf("largest difference from target %.1f %% in place of %.1f %%.", 100*r.Greatest, 100*c.Greatest)
	if len(r.Colours) > 0 {
		most := 0.0
		for _, q := range r.Colours {
			most = max(most, q.Distance)
		}
		text += fmt.Sprintf(" It brings the colour from %.4f (u′v′) to %.4f.", c.Distance, most)
	}
	if r.Spectrum != nil {
		text += fmt.Sprintf(" It brings the spectrum from %.2f points to %.2f.", 100*c.Spectrum, 100*r.Spectrum.Greatest)
	}
	return text
}
