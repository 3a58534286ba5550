package picture

import (
	"cmp"
	"fmt"
	"image/color"
	"math"
	"slices"
	"time"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"dayloom/schedule/plan"
)

// labelRoom is the width of the names at the right.
func (c Course) labelRoom() vg.Length {
	style, room := words(labelSize, false), vg.Length(0)
	for _, p := range c.Panels {
		for _, l := range p.Lines {
			room = max(room, style.Width(l.label()))
		}
	}
	return room + 30
}

// label is a line's name with its last value.
func (l Line) label() string {
	if v, ok := l.last(); ok {
		return fmt.Sprintf("%s %.1f", l.Name, v)
	}
	return l.Name
}

func (l Line) last() (float64, bool) {
	for i := len(l.DLI) - 1; i >= 0; i-- {
		if !math.IsNaN(l.DLI[i]) {
			return l.DLI[i], true
		}
	}
	return 0, false
}

// levels puts each mark of a way on one of two lines, whichever has room, or on none
// (-1), and says how many lines that takes. An upright line shows every mark.
func (d courseDrawing) levels(w Way) (at []int, n int) {
	text := words(7.5, false)
	free := [2]vg.Length{d.x0 - axisWidth, d.x0 - axisWidth}
	n = 1
	for _, m := range w.Marks {
		x := d.x(m.Day)
		end := x + max(text.Width(m.Step), text.Width(m.Done)) + 6
		level := -1
		for k := range free {
			if x-2 >= free[k] && end <= d.x1+22 {
				level, free[k] = k, end
				n = max(n, k+1)
				break
			}
		}
		at = append(at, level)
	}
	return at, n
}

// strip describes the steps, one line or two for each newcomer.
func (d courseDrawing) strip(top vg.Length) {
	name, text := words(labelSize, true), words(7.5, false)
	name.YAlign, text.YAlign = draw.YTop, draw.YTop
	for _, w := range d.Ways {
		name.Color = d.colourOf(w.Name)
		d.FillText(name, vg.Point{X: d.x1 + 24, Y: top}, w.Name)
		at, n := d.levels(w)
		for i, m := range w.Marks {
			if at[i] >= 0 {
				y := top - vg.Length(at[i])*wayHeight
				d.FillText(text, vg.Point{X: d.x(m.Day) - 2, Y: y}, m.Step)
				d.FillText(text, vg.Point{X: d.x(m.Day) - 2, Y: y - 10}, m.Done)
			}
		}
		top -= vg.Length(n) * wayHeight
	}
}

// colourOf is the colour of a newcomer's line, ink for anything else.
func (d courseDrawing) colourOf(name string) color.Color {
	for _, p := range d.Panels {
		for i, l := range p.Lines {
			if l.Newcomer && l.Name == name {
				return l.style(i).Color
			}
		}
	}
	return ink
}

// names writes each name at the end of its line, pushed apart where lines end close
// together.
func (d courseDrawing) names(p Panel, y func(float64) vg.Length, bottom, top vg.Length) {
	type tag struct {
		line   int
		at, to vg.Length
	}
	var tags []tag
	for i, l := range p.Lines {
		if v, ok := l.last(); ok {
			tags = append(tags, tag{line: i, at: y(v)})
		}
	}
	slices.SortStableFunc(tags, func(a, b tag) int { return cmp.Compare(a.at, b.at) })
	at := make([]vg.Length, len(tags))
	for i, t := range tags {
		at[i] = t.at
	}
	for i, to := range spread(at, bottom, top, labelSize+2) {
		tags[i].to = to
	}
	style := words(labelSize, false)
	style.YAlign = draw.YCenter
	for _, t := range tags {
		l := p.Lines[t.line]
		s := l.style(t.line)
		s.Width = min(s.Width, 1.3)
		d.StrokeLines(s, []vg.Point{{X: d.x1, Y: t.at}, {X: d.x1 + 6, Y: t.at}, {X: d.x1 + 16, Y: t.to}, {X: d.x1 + 21, Y: t.to}})
		style.Color = s.Color
		d.FillText(style, vg.Point{X: d.x1 + 24, Y: t.to}, l.label())
	}
}

// spread moves rising heights apart, by the least squares way: with i·apart taken off
// they are to rise or stay, so neighbours that fall are pooled at their mean (isotonic
// regression). Where there is room they lie between bottom and top.
func spread(at []vg.Length, bottom, top, apart vg.Length) []vg.Length {
	type pool struct {
		sum vg.Length
		n   int
	}
	mean := func(p pool) vg.Length { return p.sum / vg.Length(p.n) }
	var pools []pool
	for i, a := range at {
		pools = append(pools, pool{a - vg.Length(i)*apart, 1})
		for k := len(pools) - 1; k > 0 && mean(pools[k-1]) > mean(pools[k]); k-- {
			pools[k-1] = pool{pools[k-1].sum + pools[k].sum, pools[k-1].n + pools[k].n}
			pools = pools[:k]
		}
	}
	out := make([]vg.Length, 0, len(at))
	for _, p := range pools {
		for range p.n {
			h := max(bottom, min(mean(p), top-apart*vg.Length(len(at)-1)))
			out = append(out, h+vg.Length(len(out))*apart)
		}
	}
	return out
}

// dates labels the axis under the last panel.
func (d courseDrawing) dates(bottom vg.Length) {
	style := words(8.5, false)
	style.XAlign, style.YAlign = draw.XCenter, draw.YTop
	year := 0
	for _, t := range d.dateTicks() {
		x := d.x(d.From.DaysUntil(t))
		d.line(ink, 0.8, nil, vg.Point{X: x, Y: bottom}, vg.Point{X: x, Y: bottom - 4})
		d.FillText(style, vg.Point{X: x, Y: bottom - 6}, fmt.Sprintf("%d %s", t.Day, t.Month.String()[:3]))
		if t.Year != year {
			year = t.Year
			d.FillText(style, vg.Point{X: x, Y: bottom - 17}, fmt.Sprint(year))
		}
	}
}

// dateTicks are some 4 to 14 dates: days, weeks from the first step on, or the first of months.
func (d courseDrawing) dateTicks() []plan.Date {
	n := d.From.DaysUntil(d.To) + 1
	var out []plan.Date
	for _, every := range []int{1, 2, 7, 14} {
		if n/every > 14 {
			continue
		}
		start := d.From
		if len(d.Ways) > 0 && len(d.Ways[0].Marks) > 0 {
			start = start.AddDays(d.Ways[0].Marks[0].Day % every)
		}
		for t := start; !d.To.Before(t); t = t.AddDays(every) {
			out = append(out, t)
		}
		return out
	}
	months := 1
	for n/(30*months) > 14 {
		months++
	}
	t := plan.Date{Year: d.From.Year, Month: d.From.Month, Day: 1}
	for !d.To.Before(t) {
		if !t.Before(d.From) {
			out = append(out, t)
		}
		t = plan.DateOf(time.Date(t.Year, t.Month+time.Month(months), 1, 0, 0, 0, 0, time.UTC))
	}
	return out
}
