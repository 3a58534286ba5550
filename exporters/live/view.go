package live

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"

	"dayloom/exporters/picture"
	"dayloom/exporters/report"
	"dayloom/exporters/sheet"
	"dayloom/exporters/table"
	"dayloom/schedule/maps"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/quantity"
)

// View is all that the page shows but its maps. Words and numbers in quotes are shown as
// they are; bare numbers are drawn.
type View struct {
	Name, File, Date, Summary, Verdict string
	Tanks                              []Tank
	Shades                             []string
	Channels                           []Channel
	Lamps                              []Lamp
	Corals                             []Coral
	Levels                             []Level
	Electric                           []string // power and circuits
	Notes, Cautions                    []string
	Proof                              string // of the balance that led here, as `dayloom balance` has it
	Undo, Redo                         int    // how many steps there are
	Edited                             bool   // the plan is not as on the disk
	Met                                bool
	Wrote                              string // the file just written
}

// Tank is a body of water; its name is empty where there is one.
type Tank struct {
	Name                 string
	Length, Width, Depth float64 // m
	Plane                float64 // m, the depth to show first
}

// Channel is what the page draws of one. Tank, here and below, is the index in View.Tanks.
type Channel struct {
	Tank         int
	Name, Colour string
	Version      int       // rises when its maps may have changed
	Age          float64   // what is left of its new flux
	DoseS        float64   // seconds at full output of the day
	Curve        []float64 // light fraction from midnight to midnight, every five minutes
}

// Lamp is one emitter, seen from above: its corners, m.
type Lamp struct {
	Tank           int
	Channels       []int // those that hang on it
	Emitter        int
	Corners        [][2]float64
	X, Y, Height   float64
	Name, Position string
	Fixed          string // why it cannot be moved; empty: it can
}

// Coral is a coral or an area, judged.
type Coral struct {
	Tank                                                               int
	Name, Zone, Position                                               string
	X, Y, Depth                                                        float64
	DLI, SD, Target, Peak, PeakAt, Photoperiod, Verdict, Words, Source string
	Share                                                              float64   // DLI of target, drawn
	Low, High                                                          float64   // the tolerance likewise
	Full                                                               []float64 // PPFD of each channel at full output, age included
	Area                                                               bool
	Fixed                                                              string
}

// Level is one entry of the usual day.
type Level struct {
	Entry    int
	Channels []int
	Kind     string            // daylight | switched | moonlight
	Percent  string            // the level, empty where it was found and differs between the channels
	Found    string            // in words, where balance found it
	Now      []float64         // by channel of the entry, drawn
	Times    map[string]string // by key, such as sunrise.from
	Light    []string          // highest level and full-output hours of the date, by channel
}

// alike are levels that are shown as one: a twentieth of a percent apart at most.
const alike = 5e-4

// every is the step of curves that are drawn, s.
const every = 300

func (d *Document) view() View {
	now, p := d.now, d.now.Plan
	r := now.day.DLI()
	v := View{Name: p.Name, File: filepath.Base(d.config.File), Date: r.Date, Summary: r.Summary(),
		Notes: r.Notes, Cautions: sheet.Cautions(), Proof: d.texts[d.at].proof, Electric: r.Load.Lines(),
		Undo: d.at, Redo: len(d.texts) - 1 - d.at, Edited: string(d.base) != string(d.texts[d.at].is), Met: now.Met(now.day)}
	for i := range max(len(p.Tanks), 1) {
		t := p.TankAt(i)
		v.Tanks = append(v.Tanks, Tank{t.Name, t.Box.Length, t.Box.Width, t.Box.Depth, planeDepth(p, i)})
	}
	v.Notes = append(slices.Clip(v.Notes), doubts(now)...)
	for i := range 64 {
		c := picture.Shade(float64(i) / 63)
		v.Shades = append(v.Shades, fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B))
	}
	for i, c := range now.day.Day.Channels {
		out := Channel{Tank: p.Channels[i].Tank, Name: p.Channels[i].Name, Colour: now.colours[i], Version: now.version[i], Age: 1, DoseS: c.DoseS}
		if now.day.Age != nil {
			out.Age = now.day.Age[i]
		}
		for t := 0.0; t <= curve.Day; t += every {
			out.Curve = append(out.Curve, math.Round(c.Curve.At(math.Min(t, curve.Day-1e-6))*1e4)/1e4)
		}
		v.Channels = append(v.Channels, out)
	}
	v.Lamps = d.lamps()
	v.Corals = corals(now, r)
	v.Levels = levels(now, r)
	return v
}

// doubts are what the stages warn of, and why the programme is refused.
func doubts(now *worked) (out []string) {
	for _, p := range slices.Concat(now.Problems.Plan, now.Problems.Light, now.Problems.Journal, now.Problems.Balance) {
		out = append(out, p.Error())
	}
	for _, p := range now.Programme.Problems {
		if p.Severity == diag.Error {
			out = append(out, p.Error())
		}
	}
	return out
}

// planeDepth is that of the plane which map and report draw of a tank, or half the tank's without corals.
func planeDepth(p *plan.Plan, tank int) float64 {
	box := p.TankAt(tank).Box
	if r, ok := (maps.Region{Box: box}).OrPlane(p.Part(tank).Plan); ok {
		return *r.Depth
	}
	return box.Depth / 2
}

// corals are the rows of `dayloom dli`.
func corals(now *worked, r report.DLI) (out []Coral) {
	t := r.Table()
	cell := func(row int, key string) string {
		return t.Rows[row][slices.IndexFunc(t.Columns, func(c table.Column) bool { return c.Key == key })]
	}
	p := now.day.Plan
	at := p.Corals
	for i, c := range append(slices.Clone(r.Corals), r.Areas...) {
		q := Coral{Tank: tankOf(p, c.Zone), Name: c.Name, Zone: c.Zone, X: c.X, Y: c.Y, Depth: c.Depth,
			Position: fmt.Sprintf("x %s, y %s, depth %s", cm(c.X), cm(c.Y), cm(c.Depth)),
			DLI:      cell(i, "dli_mol_m2_d"), SD: cell(i, "dli_sd_mol_m2_d"), Target: cell(i, "target_dli_mol_m2_d"),
			Peak: cell(i, "ppfd_peak_umol_m2_s"), PeakAt: cell(i, "ppfd_peak_at"), Photoperiod: cell(i, "photoperiod_h"),
			Verdict: c.Verdict, Source: cell(i, "source"), Share: c.DLI / c.Target, Low: 1 - c.Within, High: 1 + c.Within, Area: i >= len(at)}
		for _, ch := range now.Plan.Channels {
			q.Full = append(q.Full, c.Full[ch.Name])
		}
		switch home := now.Read.Corals; {
		case q.Area:
			q.Fixed = "an area is changed in the plan"
		case home[i].X != c.X || home[i].Y != c.Y || home[i].Depth != c.Depth:
			q.Fixed = "it stands elsewhere on this date than in the plan"
		}
		q.Words = wordsOf(q)
		out = append(out, q)
	}
	return out
}

// tankOf is the index of the tank that a zone is in.
func tankOf(p *plan.Plan, zone string) int {
	return p.Zones[slices.IndexFunc(p.Zones, func(z plan.Zone) bool { return z.Name == zone })].Tank
}

// wordsOf says in a sentence what a coral gets.
func wordsOf(c Coral) string {
	return fmt.Sprintf("%s: %s. DLI %s of %s mol/m²/d, peak PPFD %s µmol/m²/s at %s", c.Name, c.Verdict, c.DLI, c.Target, c.Peak, c.PeakAt)
}

// levels are the entries of the usual day, with what the date makes of their channels.
func levels(now *worked, r report.DLI) (out []Level) {
	for i, part := range now.Read.Day {
		l := Level{Entry: i, Channels: part.Channels, Times: map[string]string{}}
		for key, at := range times(part) {
			l.Times[key] = quantity.FormatTime(at)
		}
		for _, c := range part.Channels {
			ch := r.Channels[c]
			l.Light = append(l.Light, fmt.Sprintf("%.1f %%, %.2f h", 100*ch.Peak, ch.Peak*ch.DoseS/3600))
		}
		switch found := now.Plan.Day; {
		case part.Switched != nil:
			l.Kind = "switched"
		case part.Moonlight != nil:
			l.Kind, l.Percent, l.Now = "moonlight", decimals(100*part.Moonlight.Peak, 3), []float64{part.Moonlight.Peak}
		default:
			l.Kind = "daylight"
			l.Now = nowOf(found, part.Channels)
			if slices.Max(l.Now)-slices.Min(l.Now) < alike {
				l.Percent = decimals(100*l.Now[0], 3)
			}
			if part.Daylight.Peak.Auto {
				l.Found = "found by balance"
			}
		}
		out = append(out, l)
	}
	return out
}

// nowOf is the daylight level of some channels of the usual day.
func nowOf(parts []plan.DayPart, channels []int) (out []float64) {
	for _, c := range channels {
		level := 0.0
		for _, part := range parts {
			if part.Daylight != nil && slices.Contains(part.Channels, c) {
				level = part.Daylight.Peak.Fraction
			}
		}
		out = append(out, level)
	}
	return out
}
