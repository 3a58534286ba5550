package main

import (
	"fmt"
	"slices"
	"strings"

	"dayloom/exporters/job"
	"dayloom/schedule/balance"
)

// verdict says how far what was found goes.
func verdict(j *job.Job) string {
	a := *j.Found
	switch {
	case a.Met:
		return "every target is met within its tolerance"
	case j.OffColour() && a.Certificate.Sum == 0:
		what := "the colour asked for"
		if slices.ContainsFunc(a.Shares, func(s balance.Share) bool { return !s.Met }) {
			what = "a share of the spectrum"
		}
		return "every target is met, but " + what + " is not; dayloom balance says why"
	}
	return "not every target is met; dayloom balance says why"
}

// levels lists what was found.
func levels(a balance.Answer) string {
	var parts []string
	for _, c := range a.Channels {
		switch {
		case !c.Auto:
		case c.Hours != nil:
			parts = append(parts, fmt.Sprintf("%s %.2f h", c.Name, *c.Hours))
		default:
			parts = append(parts, fmt.Sprintf("%s %.1f %%", c.Name, 100*c.Peak))
		}
	}
	return strings.Join(parts, ", ")
}
