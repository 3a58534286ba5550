package calendar

import "dayloom/schedule/plan"

// Span is a run of dates, both inclusive; a zero date is an open end.
type Span [2]plan.Date

// Has tells whether a date is in the span.
func (s Span) Has(date plan.Date) bool {
	return (s[0].IsZero() || !date.Before(s[0])) && (s[1].IsZero() || !s[1].Before(date))
}

// Meets tells whether two spans have a date in common.
func (s Span) Meets(o Span) bool {
	return !(after(s[0], o[1]) || after(o[0], s[1]))
}

// Without is what is left of a span when another is taken out, in order.
func (s Span) Without(o Span) (out []Span) {
	if !s.Meets(o) {
		return []Span{s}
	}
	if !o[0].IsZero() && (s[0].IsZero() || s[0].Before(o[0])) {
		out = append(out, Span{s[0], o[0].AddDays(-1)})
	}
	if !o[1].IsZero() && (s[1].IsZero() || o[1].Before(s[1])) {
		out = append(out, Span{o[1].AddDays(1), s[1]})
	}
	return out
}

// after tells whether a beginning is later than an end; an open one never is.
func after(from, to plan.Date) bool { return !from.IsZero() && !to.IsZero() && to.Before(from) }

// String is the span in words.
func (s Span) String() string {
	switch {
	case s[0].IsZero() && s[1].IsZero():
		return "all dates"
	case s[0].IsZero():
		return "up to " + s[1].String()
	case s[1].IsZero():
		return "from " + s[0].String() + " on"
	case s[0] == s[1]:
		return s[0].String()
	}
	return s[0].String() + " to " + s[1].String()
}
