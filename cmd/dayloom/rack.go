package main

import (
	"strings"

	"github.com/spf13/cobra"

	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/quantity"
)

func rackFlag(cmd *cobra.Command) *[]string {
	return cmd.Flags().StringSlice("rack", nil, "with a rack pushed aside or raised, such as main=x+60cm or main=height+5cm")
}

// moved is the plan with its racks where the flags push them.
func (w world) moved(p *plan.Plan) (*plan.Plan, error) {
	for _, text := range w.racks {
		const form = "write a rack, an axis and by how much, such as main=x+60cm or main=height-5cm"
		name, move, _ := strings.Cut(text, "=")
		at := strings.IndexAny(move, "+-")
		if at < 0 {
			return nil, usageError("--rack %q: %s", text, form)
		}
		var names []string
		rack := -1
		for i, r := range p.Racks {
			if names = append(names, r.Name); r.Name == strings.TrimSpace(name) {
				rack = i
			}
		}
		if names == nil {
			return nil, usageError("--rack %q: the plan has no racks", text)
		}
		if rack < 0 {
			return nil, usageError("--rack %q: no rack is called %q; the plan has %s %s", text, name, diag.Words(names), diag.DidYouMean(name, names))
		}
		by, err := quantity.Length.Parse(move[at:])
		if err != nil {
			return nil, usageError("--rack %q: %s", text, err)
		}
		var d [3]float64
		switch axis := strings.TrimSpace(move[:at]); axis {
		case "x", "y":
			d[strings.Index("xy", axis)] = by
		case "height":
			d[2] = by
		default:
			return nil, usageError("--rack %q: %s", text, form)
		}
		q := p.Moved(rack, d)
		if why := slides(q.Racks[rack], d); why != "" {
			return nil, usageError("--rack %q: %s", text, why)
		}
		for _, c := range q.Racks[rack].Channels {
			for _, e := range q.Channels[c].Emitters {
				if min(e.Height, e.Height+e.Rise) <= 0 {
					return nil, usageError("--rack %q: a lamp of %s would hang in the water", text, q.Channels[c].Name)
				}
			}
		}
		p = q
	}
	return p, nil
}

// slides says why a rack cannot be pushed to where it is.
func slides(r plan.Rack, by [3]float64) string {
	for k, axis := range []string{"x", "y"} {
		switch {
		case by[k] == 0:
		case r.Slide == nil || r.Along != k:
			return r.Name + " does not slide along " + axis + "; give it slide in the plan"
		case r.At[k] < r.Slide[0]-1e-9 || r.At[k] > r.Slide[1]+1e-9:
			return r.Name + " slides from " + quantity.Length.Format(r.Slide[0]) + " to " + quantity.Length.Format(r.Slide[1])
		}
	}
	return ""
}
