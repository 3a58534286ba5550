package main

import (
	"github.com/spf13/cobra"

	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

func tankFlag(cmd *cobra.Command, name *string) {
	cmd.Flags().StringVar(name, "tank", "", "the tank that is asked of, where the plan has several")
}

// tanked is the plan and field of the one tank that is asked of, and which channels of the plan are over it; nil: all.
func tanked(p *plan.Plan, f light.Field, name string) (*plan.Plan, light.Field, []int, error) {
	i, what := p.TankNamed(name)
	if what != "" && name == "" {
		return p, f, nil, usageError("%s; add --tank NAME", what)
	}
	if what != "" {
		return p, f, nil, usageError("--tank %s: %s", name, what)
	}
	if !p.Several() {
		return p, f, nil, nil
	}
	q := p.Part(i)
	return q.Plan, f.Of(q), q.Kept.Channels, nil
}

// own picks what is of some channels; nil: of all.
func own(values []float64, channels []int) []float64 {
	if channels == nil || values == nil {
		return values
	}
	out := make([]float64, len(channels))
	for i, c := range channels {
		out[i] = values[c]
	}
	return out
}

// tanks counts the tanks of a plan, where there are several.
func tanks(p *plan.Plan) string {
	if !p.Several() {
		return ""
	}
	return diag.Count(len(p.Tanks), "tank") + ", "
}
