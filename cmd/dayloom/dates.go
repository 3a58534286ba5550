package main

import (
	"time"

	"github.com/spf13/cobra"

	"dayloom/schedule/plan"
)

// today is the date now in the plan's zone.
func (w world) today(p *plan.Plan) plan.Date { return plan.DateOf(w.now().In(p.Clock.Zone)) }

func dateFlag(cmd *cobra.Command, name, help string) *string {
	return cmd.Flags().String(name, "", help)
}

// dateOr reads a date flag; empty means today.
func (w world) dateOr(text string, p *plan.Plan) (plan.Date, error) {
	if text == "" {
		return w.today(p), nil
	}
	d, err := plan.ParseDate(text)
	if err != nil {
		return d, usageError("%s", err)
	}
	return d, nil
}

// momentOr reads a moment on the plan's wall clock or with an offset of its own; empty means now.
func (w world) momentOr(text string, p *plan.Plan) (time.Time, error) {
	if text == "" {
		return w.now(), nil
	}
	for _, layout := range []string{time.RFC3339, "2006-01-02T15:04:05", "2006-01-02T15:04", "2006-01-02 15:04:05", "2006-01-02 15:04"} {
		if t, err := time.ParseInLocation(layout, text, p.Clock.Zone); err == nil {
			return t, nil
		}
	}
	for _, layout := range []string{"15:04", "15:04:05"} {
		if t, err := time.Parse(layout, text); err == nil {
			y, m, d := w.now().In(p.Clock.Zone).Date()
			return time.Date(y, m, d, t.Hour(), t.Minute(), t.Second(), 0, p.Clock.Zone), nil
		}
	}
	return time.Time{}, usageError("%q is not a moment; write 2027-02-03T14:30, or 14:30 for today", text)
}
