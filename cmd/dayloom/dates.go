package main

import (
	"time"

	"github.com/spf13/cobra"

	"dayloom/schedule/calendar"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
)

// today is the date now in the plan's time zone.
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
	return d, datable(d, p)
}

// litOn reads a date flag, as dateOr does, for a command that tells of the light of that
// date.
func (w world) litOn(text string, p *plan.Plan) (plan.Date, error) {
	d, err := w.dateOr(text, p)
	if err == nil {
		w.early(p, d)
	}
	return d, err
}

// early warns of lamps that are lit on a date before they were installed. Every command
// that tells of the light of one date does so, of several dates of the first.
func (w world) early(p *plan.Plan, date plan.Date) { w.problems(calendar.Early(p, date), source) }

// datable refuses a date that never was, or is too far off to say anything of.
func datable(d plan.Date, p *plan.Plan) error {
	switch {
	case d.Year < 1970 || d.Year > 2200:
		return usageError("the date %v is out of range; it must be from 1970 to 2200", d)
	case clock.Skipped(p.Clock.Zone, d):
		return usageError("the date %v did not happen in %s: the law of the time zone left it out; name the day after", d, p.Clock.Zone)
	}
	return nil
}

// momentOr reads a moment on the plan's wall clock or with an offset of its own; empty means now.
func (w world) momentOr(text string, p *plan.Plan) (time.Time, error) {
	if text == "" {
		return w.now(), nil
	}
	for _, layout := range []string{time.RFC3339, "2006-01-02T15:04:05", "2006-01-02T15:04", "2006-01-02 15:04:05", "2006-01-02 15:04"} {
		t, err := time.ParseInLocation(layout, text, p.Clock.Zone)
		if err != nil {
			continue
		}
		if layout == time.RFC3339 {
			return t, datable(plan.DateOf(t.In(p.Clock.Zone)), p)
		}
		written, _ := time.Parse(layout, text)
		return t, datable(plan.DateOf(written), p)
	}
	for _, layout := range []string{"15:04", "15:04:05"} {
		if t, err := time.Parse(layout, text); err == nil {
			y, m, d := w.now().In(p.Clock.Zone).Date()
			return time.Date(y, m, d, t.Hour(), t.Minute(), t.Second(), 0, p.Clock.Zone), nil
		}
	}
	return time.Time{}, usageError("%q is not a moment; write 2027-02-03T14:30, or 14:30 for today", text)
}
