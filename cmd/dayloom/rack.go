package main

import (
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
		q, _, err := pushed(p, text)
		if err != nil {
			return nil, err
		}
		p = q
	}
	return p, nil
}

// pushed is the plan with a rack where one flag pushes it, and which rack that is.
func pushed(p *plan.Plan, text string) (q *plan.Plan, rack int, err error) {
	rack, d, err := push(p, text)
	if err != nil {
		return nil, 0, err
	}
	if why, _ := p.Stuck(rack, d); why != "" {
		return nil, 0, usageError("--rack %q: %s", text, why)
	}
	return p.Moved(rack, d), rack, nil
}

// push reads which rack a flag pushes, and by how much along x and y and up, m.
func push(p *plan.Plan, text string) (rack int, by [3]float64, err error) {
	const form = "write a rack, an axis and by how much, such as main=x+60cm or main=height-5cm"
	name, axis, length, ok := plan.SplitPush(text)
	if !ok {
		return 0, by, usageError("--rack %q: %s", text, form)
	}
	var names []string
	rack = -1
	for i, r := range p.Racks {
		if names = append(names, r.Name); r.Name == name {
			rack = i
		}
	}
	if names == nil {
		return 0, by, usageError("--rack %q: the plan has no racks", text)
	}
	if rack < 0 {
		return 0, by, usageError("--rack %q: no rack is called %q; the plan has %s %s", text, name, diag.Words(names), diag.DidYouMean(name, names))
	}
	far, err := quantity.Length.Parse(length)
	if err != nil {
		return 0, by, usageError("--rack %q: %s", text, err)
	}
	if axis < 0 {
		return 0, by, usageError("--rack %q: %s", text, form)
	}
	by[axis] = far
	return rack, by, nil
}
