package light

import (
	"cmp"
	"errors"
	"slices"

	"dayloom/photon/fit"
	"dayloom/photon/gauss"
	"dayloom/schedule/plan"
)

// Fit is what the readings taught; nil for a field that was made by hand.
func (f Field) Fit() *fit.Fit {
	if f.lesson == nil {
		return nil
	}
	return f.lesson.fit
}

// Expect is what all readings but that of a row of the plan's (-1: all) expect a meter
// to show in a reading, which need not be one of them. The error says why a reading
// teaches nothing. It is not for several callers at once.
func (f Field) Expect(r plan.Reading, row int) (fit.Expected, error) {
	s := f.lesson
	if s == nil {
		return fit.Expected{}, errElsewhere
	}
	if err := s.model([]plan.Reading{r}); err != nil {
		return fit.Expected{}, err
	}
	q, bad := s.reading(r)
	if bad != nil {
		return fit.Expected{}, errors.New(bad.what)
	}
	for _, t := range q.Terms {
		if !Modelled(s.p.Channels[t.Channel]) && !s.taught[t.Channel] {
			return fit.Expected{}, errors.New("nothing tells the light of " + s.p.Channels[t.Channel].Name)
		}
	}
	return s.fit.Expect(q, slices.Index(s.rows, row)), nil
}

// Aside reports whether a row of the plan's readings was set aside.
func (f Field) Aside(row int) bool {
	if f.lesson == nil {
		return false
	}
	i := slices.Index(f.lesson.rows, row)
	return i >= 0 && f.lesson.fit.Aside[i]
}

// Room is the light of the room on a date, µmol m⁻² s⁻¹.
type Room struct {
	Date     plan.Date
	PPFD, SD float64
}

// Rooms lists the room light of the dates on which it was read, by date.
func (f Field) Rooms() (out []Room) {
	if f.lesson == nil {
		return nil
	}
	for date, i := range f.lesson.rooms {
		e := f.lesson.fit.Room(i)
		out = append(out, Room{date, e.Mean, e.SD})
	}
	slices.SortFunc(out, func(a, b Room) int { return cmp.Compare(a.Date.String(), b.Date.String()) })
	return out
}

// Design is the choice among readings that could be taken next. Those that would teach
// nothing are left out; rows says which candidates stand in it, in its order.
func (f Field) Design(candidates []plan.Reading, targets []fit.Point) (d *gauss.Design, rows []int, err error) {
	if f.lesson == nil {
		return nil, nil, errElsewhere
	}
	if err := f.lesson.model(candidates); err != nil {
		return nil, nil, err
	}
	var known []fit.Reading
	for i, r := range candidates {
		if q, bad := f.lesson.reading(r); bad == nil && len(q.Terms) > 0 {
			known, rows = append(known, q), append(rows, i)
		}
	}
	return f.lesson.fit.Design(known, targets), rows, nil
}
