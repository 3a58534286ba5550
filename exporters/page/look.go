package page

import (
	"fmt"
	"io"
	"slices"

	"dayloom/exporters/report"
	"dayloom/photon/colour"
	"dayloom/schedule/day/mix"
	"dayloom/schedule/shape/curve"
)

// Looks are how the light of a day looks at some places.
type Looks []Look

// Look is one place: its light's colour at its highest, and hour by hour.
type Look struct {
	ID, Name, Letter, Swatch, Tone, Text, Told string
	Hours                                      []hour
}

type hour struct{ X, Width, Y, Height, Shade string }

// slices of a day that is drawn by its colours.
const slicesOfDay = 96

// look works out the colours of the corals that are shown or stand for their zone, and of areas.
func (m *maker) look() error {
	hung, f, _ := m.job.Book.On(m.Date).Hung(m.on.Plan, m.on.Field, -1)
	p := *hung
	p.Corals, f.Corals = nil, nil
	at := slices.Clone(m.shown)
	for z := range m.on.Plan.Zones[:min(len(m.on.Plan.Zones), MostShown)] {
		if i := m.furthest(func(i int) bool { return m.on.Plan.Corals[i].Zone == z }); i >= 0 && !slices.Contains(at, i) {
			at = append(at, i)
		}
	}
	for _, i := range at {
		p.Corals, f.Corals = append(p.Corals, m.on.Plan.Corals[i]), append(f.Corals, m.on.Field.Corals[i])
	}
	for k := range m.dli.Areas {
		at = append(at, len(m.dli.Corals)+k)
	}
	places, err := mix.At(&p, f)
	m.seen = map[int]mix.Place{}
	for k, pl := range places {
		m.seen[at[k]] = pl
	}
	return err
}

// colour is what colour tells of the date.
func (m *maker) colour() (Section, error) {
	out := Section{ID: "colour", Head: "How the light looks"}
	levels := mix.Peaks(m.on.Day, m.on.Age)
	r := report.NewColour(m.on.Plan, m.Date, "peaks", levels)
	later := m.job.Book.On(m.Date.AddDays(365)).Age
	var looks Looks
	rows := slices.Clone(m.shown)
	for k := range m.dli.Areas {
		if len(rows) < 2*MostShown {
			rows = append(rows, len(m.dli.Corals)+k)
		}
	}
	for _, i := range rows {
		pl := m.seen[i]
		s := pl.Under(levels)
		r = r.Add(m.on.Plan, pl, s, report.NewDrift(pl, m.on.Day, m.on.Age, later))
		l := lookOf(fmt.Sprintf("look-%d", i), pl.Name, pl.Course(m.on.Day, m.on.Age, curve.Day/slicesOfDay))
		if i < len(m.dli.Corals) {
			l.Letter = m.sign(i).Letter
		}
		if s.Lit {
			l.Swatch, l.Tone, l.Text = s.Swatch.String(), legible(s.Swatch), s.Swatch.String()
		}
		looks = append(looks, l)
	}
	out.Sum = "All channels at their peak levels: " + r.Lit() + "."
	out.Parts = []Part{looks, newTable("Colour with all channels at their peak levels", r.Table(), nil)}
	var more Row
	for _, t := range r.Tables() {
		more = append(more, newTable(sentenceOf(t.Head), t.Table, nil))
	}
	out.Parts = append(out.Parts, more, Notes(slices.Concat(r.Remarks(), r.Notes)))
	return out, nil
}

// lookOf draws a place's day.
func lookOf(id, name string, course []mix.Moment) Look {
	l := Look{ID: id, Name: name}
	top := 0.0
	for _, c := range course {
		top = max(top, c.PPFD)
	}
	l.Told = "The colour of the light from midnight to midnight; height tells its PPFD."
	for i := range course[:len(course)-1] {
		a, b := course[i], course[i+1]
		mean := (a.PPFD + b.PPFD) / 2
		if mean <= 0 {
			continue
		}
		h := mean / top
		s := colour.XYZ{}.Plus(1, a.XYZ).Plus(1, b.XYZ).Swatch()
		l.Hours = append(l.Hours, hour{percent(float64(i) / slicesOfDay), percent(1.02 / slicesOfDay), percent(1 - h), percent(h), s.String()})
	}
	return l
}

// Write writes the swatches.
func (l Looks) Write(w io.Writer) error { return pages.ExecuteTemplate(w, "looks", l) }
