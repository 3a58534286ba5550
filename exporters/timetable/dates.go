package timetable

import (
	"fmt"
	"slices"
	"sort"
	"time"

	"dayloom/schedule/plan"
)

// On is the table valid on a date of the controller's calendar.
func (f File) On(d plan.Date) (Table, bool) {
	i, ok := f.Index(d)
	if !ok {
		return Table{}, false
	}
	return f.Tables[i], true
}

// Index is where in Tables that table is.
func (f File) Index(d plan.Date) (int, bool) {
	i := sort.Search(len(f.Tables), func(i int) bool { return d.Before(f.Tables[i].From) }) - 1
	for i >= 0 && !f.Tables[i].Has(d) {
		i--
	}
	return i, i >= 0
}

// Has reports whether the table is valid on a date.
func (t Table) Has(d plan.Date) bool {
	return t.Days.Has(d.Weekday()) && !d.Before(t.From) && (t.To.IsZero() || !t.To.Before(d))
}

// First is the first date on which the table is valid.
func (t Table) First() plan.Date {
	d := t.From
	for !t.Days.Has(d.Weekday()) {
		d = d.AddDays(1)
	}
	return d
}

// Covers is the first and the last date of the file; the last is zero while it is open.
func (f File) Covers() (from, to plan.Date) {
	from = f.Tables[0].From
	for _, t := range f.Tables {
		if t.To.IsZero() {
			return from, plan.Date{}
		}
		if to.Before(t.To) {
			to = t.To
		}
	}
	return from, to
}

// of tells a table from others in a message: "from 2027-01-01 for sun".
func (t Table) of() string {
	if t.Days == 0 {
		return fmt.Sprintf("from %v", t.From)
	}
	return fmt.Sprintf("from %v for %s", t.From, t.Days)
}

// checkDates refuses a table that claims a date which one before it has too, and a date without a table: of each
// weekday on its own, as tables may be for some weekdays alone.
func (f File) checkDates(i int) string {
	t := f.Tables[i]
	switch {
	case t.From.IsZero():
		return "valid_from is missing; every table needs its first date"
	case !t.To.IsZero() && t.To.Before(t.From):
		return fmt.Sprintf("valid_to %v is before valid_from %v; the last date must not come before the first", t.To, t.From)
	case !t.To.IsZero() && t.To.Before(t.First()):
		return fmt.Sprintf("there is no %s from %v to %v; give other days or dates", t.Days, t.From, t.To)
	case t.To.IsZero() && slices.ContainsFunc(f.Tables[i+1:], t.shares):
		return fmt.Sprintf("the table %s has no valid_to, but another follows; only the last may stay open", t.of())
	case i == 0:
		return ""
	case t.From.Before(f.Tables[i-1].From) && (t.Days != 0 || f.Tables[i-1].Days != 0):
		return fmt.Sprintf("valid_from %v is before that of the table above, %v; tables stand by their first dates", t.From, f.Tables[i-1].From)
	}
	for w := time.Sunday; w <= time.Saturday; w++ {
		if !t.Days.Has(w) {
			continue
		}
		if say := f.follows(i, w); say != "" {
			return say
		}
	}
	return ""
}

// shares reports whether two tables have a weekday in common.
func (t Table) shares(o Table) bool { return t.Days == 0 || o.Days == 0 || t.Days&o.Days != 0 }

// follows says what is wrong between a table and the one before it of the same weekday.
func (f File) follows(i int, w time.Weekday) string {
	t := f.Tables[i]
	k := i - 1
	for k >= 0 && !f.Tables[k].Days.Has(w) {
		k--
	}
	want := f.Tables[0].From
	if k >= 0 {
		last := f.Tables[k].To
		if d := next(t.From, w); !last.Before(d) && (t.To.IsZero() || !t.To.Before(d)) {
			if t.Days == 0 && f.Tables[k].Days == 0 {
				return fmt.Sprintf("valid_from %v overlaps the table before, which is valid to %v; tables follow each other by date, this one from %v", t.From, last, last.AddDays(1))
			}
			return fmt.Sprintf("two tables claim %v (%s): this one, and the one %s to %v; give other days or dates", d, w, f.Tables[k].of(), last)
		}
		want = last.AddDays(1)
	}
	if d := next(want, w); d.Before(t.From) {
		if t.Days == 0 && k >= 0 && f.Tables[k].Days == 0 {
			return fmt.Sprintf("no table is valid from %v to %v: valid_from %v must be the day after the table before; compile the plan again", want, t.From.AddDays(-1), t.From)
		}
		return missing(d)
	}
	return ""
}

// checkEnds refuses weekdays that have no table up to the end of the file.
func (f File) checkEnds() error {
	_, last := f.Covers()
	for w := time.Sunday; w <= time.Saturday; w++ {
		k := len(f.Tables) - 1
		for k >= 0 && !f.Tables[k].Days.Has(w) {
			k--
		}
		want := f.Tables[0].From
		if k >= 0 {
			if f.Tables[k].To.IsZero() {
				continue
			}
			want = f.Tables[k].To.AddDays(1)
		}
		if d := next(want, w); last.IsZero() || !last.Before(d) {
			return fault{len(f.Tables) - 1, -1, -1, missing(d)}
		}
	}
	return nil
}

func missing(d plan.Date) string {
	return fmt.Sprintf("no table is valid on %v (%s); compile the plan again", d, d.Weekday())
}

// next is the first date of a weekday from a date on.
func next(d plan.Date, w time.Weekday) plan.Date { return d.AddDays((int(w-d.Weekday()) + 7) % 7) }
