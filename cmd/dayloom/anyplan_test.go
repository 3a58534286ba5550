package main

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"pgregory.net/rapid"
)

// anyPlan is a plan of random shape with the files that it names, and the names in it
// that flags may take. Most are sound; some hold one value that is not.
type anyPlan struct {
	t        *rapid.T
	text     strings.Builder
	files    map[string]string
	box      [3]float64 // m
	channels []anyChannel
	corals   []string
	zones    []string
	racks    []string
	ports    []string // controller/port
	readings bool
	several  bool // tanks
	paired   bool // the first two channels are one port's
}

// anyChannel is what the rest of a plan must know of a channel.
type anyChannel struct {
	name                         string
	dimmed, power, lamps, ported bool
	rack                         string
}

// n is a number of a range, the low end a little likelier.
func (m *anyPlan) n(lo, hi int) int { return rapid.IntRange(lo, hi).Draw(m.t, "") }

func (m *anyPlan) one(of ...string) string { return rapid.SampledFrom(of).Draw(m.t, "") }

// chance is true in so many of a hundred plans: of fair bits, as n favours small numbers.
func (m *anyPlan) chance(percent int) bool {
	x := 0
	for range 7 {
		x *= 2
		if rapid.Bool().Draw(m.t, "") {
			x++
		}
	}
	return x*100 >= (100-percent)*128
}

// number is one between two bounds, often a bound itself or far from the middle.
func (m *anyPlan) number(lo, hi float64) float64 {
	switch k := m.n(0, 15); {
	case k == 14:
		return lo
	case k == 15:
		return hi
	case k > 10 && lo > 0:
		return clamped(lo*math.Pow(hi/lo, float64(m.n(0, 100))/100), lo, hi)
	}
	return clamped(lo+(hi-lo)*float64(m.n(0, 1000))/1000, lo, hi)
}

func clamped(x, lo, hi float64) float64 { return max(lo, min(hi, x)) }

// usual is a number of a usual range, or now and then of the whole range that is allowed.
func (m *anyPlan) usual(lo, hi, least, most float64) float64 {
	if m.chance(2) {
		return m.number(least, most)
	}
	return m.number(lo, hi)
}

// plain is a number as a plan may have it.
func plainNumber(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

func (m *anyPlan) length(x float64) string {
	switch m.n(0, 3) {
	case 0:
		return plainNumber(x) + " m"
	case 1:
		return plainNumber(math.Round(x*1e3)) + " mm"
	}
	return plainNumber(math.Round(x*1e4)/100) + " cm"
}

func (m *anyPlan) share(lo, hi float64) string { return plainNumber(m.number(lo, hi)) + " %" }
func (m *anyPlan) put(format string, args ...any) {
	fmt.Fprintf(&m.text, format+"\n", args...)
}

// newAnyPlan draws a plan.
func newAnyPlan(t *rapid.T) *anyPlan {
	m := &anyPlan{t: t, files: map[string]string{}}
	m.put("plan: 1\nname: %s", m.one("Quay Street", "Mill Lane, the small one", "\"100 %\"", "Wasser über Riff", "x"))
	m.put("clock: {zone: %s, summer_time: %s, controller: %s}",
		m.one("Europe/Lisbon", "Europe/Lisbon", "UTC", "Pacific/Kiritimati", "America/St_Johns", "Australia/Lord_Howe"), m.one("ignore", "follow"), m.one("follows", "stays"))
	m.tank()
	m.lamps()
	m.hang()
	m.living()
	m.days()
	m.outputs()
	m.wishes()
	m.dates()
	m.measured()
	m.journal()
	text := m.text.String()
	if m.chance(8) {
		text = m.spoilt(text)
	}
	m.files["plan.yaml"] = text
	return m
}

func (m *anyPlan) tank() {
	for k, usual := range [3][2]float64{{0.3, 2}, {0.2, 0.8}, {0.1, 0.6}} {
		m.box[k] = math.Round(m.usual(usual[0], usual[1], 0.01, 100)*1e3) / 1e3
	}
	in := "  "
	if m.several = m.chance(12); m.several {
		m.put("tanks:\n  right: {like: left}\n  left:")
		in = "    "
	} else {
		m.put("tank:")
	}
	m.put("%[1]slength: %[2]g m\n%[1]swidth: %[3]g m\n%[1]sdepth: %[4]g m", in, m.box[0], m.box[1], m.box[2])
	if m.chance(60) {
		absorption := "pure"
		if m.chance(20) {
			absorption, m.files["water.csv"] = "water.csv", "nm,1/m\n350,0.02\n450,0.01\n600,0.25\n800,2.5\n"
		}
		m.put("%swater: {absorption: %s, yellowing: %s /m}", in, absorption, plainNumber(m.usual(0, 0.3, 0, 100)))
	}
	if m.chance(70) {
		wall := func() string {
			if m.chance(15) {
				return m.share(0, 100)
			}
			return m.one("dark", "glass")
		}
		m.put("%swalls: {left: %s, right: %s, front: %s, back: %s}", in, wall(), wall(), wall(), wall())
	}
}

// inTank says which of several tanks the i-th of something is in.
func (m *anyPlan) inTank(i int) {
	if m.several {
		m.put("    tank: %s", []string{"left", "right"}[i%2])
	}
}

func (m *anyPlan) lamps() {
	m.put("channels:")
	for i := range m.n(1, 4) {
		c := anyChannel{name: []string{"blue", "white", "uv", "tubes", "moon"}[i], dimmed: m.chance(75), lamps: m.several || m.chance(94)}
		m.put("  %s:", c.name)
		m.inTank(i)
		if i > 0 && m.chance(15) {
			like := m.channels[m.n(0, i-1)]
			c.power, c.lamps = like.power, like.lamps
			m.put("    like: %s\n    dimmable: %s", like.name, map[bool]string{true: "yes", false: "no"}[c.dimmed])
			m.channels = append(m.channels, c)
			continue
		}
		if !c.dimmed {
			m.put("    dimmable: no")
		}
		c.power = m.chance(70)
		if c.power {
			m.put("    power: %s W", plainNumber(m.usual(5, 300, 1e-300, 1e6)))
		}
		colour := m.spectrum()
		m.put("    %s\n    spectrum: %s", m.flux(c.power, colour), colour)
		m.age()
		if c.lamps {
			m.put("    emitters:")
			for range m.n(1, 2) {
				m.emitter()
			}
		}
		m.channels = append(m.channels, c)
	}
	m.paired = len(m.channels) > 1 && m.channels[0].dimmed && m.channels[1].dimmed && !m.several && m.chance(15)
}

func (m *anyPlan) flux(power bool, colour string) string {
	x := plainNumber(m.usual(1, 120, 1e-300, 1e12))
	switch m.n(0, 7) {
	case 0:
		if colour == "violet" || m.chance(5) {
			return "flux: " + x + " umol/s 380-430 nm"
		}
	case 1:
		return "flux: " + x + " W radiant"
	case 2:
		return "flux: " + x + " lm"
	case 3:
		if power {
			return "efficacy: " + plainNumber(m.usual(0.5, 3, 1e-9, 1e6)) + " umol/J"
		}
	}
	return "flux: " + x + " umol/s"
}

func (m *anyPlan) spectrum() string {
	peak := func() string {
		return fmt.Sprintf("peak: %s nm, width: %s nm", plainNumber(m.usual(380, 700, 200, 2000)), plainNumber(m.usual(8, 60, 1, 500)))
	}
	switch m.n(0, 5) {
	case 0:
		m.files["white.csv"] = "nm,power\n380,0\n450,1\n" + m.one("520,0.3", "520,0", "521.5,1e-12") + "\n600,0.7\n780,0\n"
		return "{file: white.csv}"
	case 1:
		return fmt.Sprintf("[{%s, share: 40 %%}, {%s, share: 60 %%}]", peak(), peak())
	case 2, 3:
		return "{" + peak() + "}"
	}
	return m.one("near-uv", "violet", "blue", "cyan", "green", "amber", "red", "warm white", "cool white", "fluorescent")
}

func (m *anyPlan) age() {
	if m.chance(30) {
		m.put("    ageing: [[0 h, 100 %%], [%d h, %s]]", m.n(1, 9000), m.share(1e-9, 100))
		if m.chance(60) {
			m.put("    installed: %s", m.one("2026-10-01", "2027-01-15", "1990-01-01"))
		}
		if m.chance(30) {
			m.put("    hours_run: %s h", plainNumber(m.usual(0, 5000, 0, 1e6)))
		}
	}
	if m.chance(20) {
		m.put("    uncertainty: {common: %s, own: %s}", m.share(0, 100), m.share(0, 100))
	}
}

// place is one over the tank, or now and then anywhere that is allowed.
func (m *anyPlan) place() (x, y float64) {
	return m.usual(0, m.box[0], -100, 100), m.usual(0, m.box[1], -100, 100)
}

func (m *anyPlan) emitter() {
	height := func() string { return m.length(max(0.001, m.usual(0.1, 0.6, 0.001, 100))) }
	x, y := m.place()
	switch m.n(0, 3) {
	case 0:
		u, v := m.place()
		if m.chance(25) {
			m.put("      - line: {from: [%s, %s, %s], to: [%s, %s, %s]}", m.length(x), m.length(y), height(), m.length(u), m.length(v), height())
		} else {
			m.put("      - line: {from: [%s, %s], to: [%s, %s], height: %s}", m.length(x), m.length(y), m.length(u), m.length(v), height())
		}
	case 1:
		m.put("      - panel: {at: [%s, %s], size: [%s, %s], height: %s}", m.length(x), m.length(y),
			m.length(max(0.001, m.usual(0.02, 0.3, 0.001, 100))), m.length(max(0.001, m.usual(0.02, 0.3, 0.001, 100))), height())
	default:
		m.put("      - point: {at: [%s, %s], height: %s}", m.length(x), m.length(y), height())
	}
	if m.chance(15) {
		m.files["spot.ies"] = m.photometry()
		m.put("        photometry: spot.ies")
	} else {
		m.put("        beam: %s deg", plainNumber(m.usual(20, 120, 1, 179.9)))
	}
	if m.chance(25) {
		m.put("        aim: [%s, %s, %s]", plainNumber(m.usual(-1, 1, -1000, 1000)), plainNumber(m.usual(-1, 1, -1000, 1000)), plainNumber(-m.usual(0.3, 1, 1e-300, 1000)))
	}
	if m.chance(15) {
		m.put("        turn: %s deg", plainNumber(m.usual(-90, 90, -360, 360)))
	}
}

// photometry is an LM-63 file of a few angles, with an opening of some size.
func (m *anyPlan) photometry() string {
	var candela []string
	for k := range 7 {
		candela = append(candela, plainNumber(float64(m.n(0, 1000))*float64(7-k)))
	}
	side := plainNumber(m.usual(0, 0.2, 0, 2))
	return fmt.Sprintf("IESNA:LM-63-2002\n[TEST] invented\nTILT=NONE\n1 -1 1 7 1 1 2 %s %s 0\n1 1 60\n0 15 30 45 60 75 90\n0\n%s\n", side, side, strings.Join(candela, " "))
}

func (m *anyPlan) hang() {
	if !m.chance(25) {
		return
	}
	m.put("racks:")
	free := len(m.channels)
	for i := range m.n(1, 2) {
		if i >= free || !m.channels[i].lamps {
			continue
		}
		name := []string{"main", "arm"}[i]
		m.channels[i].rack = name
		m.racks = append(m.racks, name)
		m.put("  %s: {channels: [%s], at: [0 cm, 0 cm], height: %s, slide: {along: %s, from: 0 cm, to: %s}}", name, m.channels[i].name,
			m.length(m.usual(0, 0.4, 0, 100)), m.one("x", "y"), m.length(m.usual(0, 0.6, 0, 100)))
	}
	if m.racks == nil {
		m.put("  spare: {channels: [%s], height: 0 cm}", m.channels[0].name)
	}
}

// at is a place in the tank, written.
func (m *anyPlan) at() string {
	place := [3]string{}
	for k := range place {
		x := m.usual(0.1*m.box[k], 0.9*m.box[k], 0, m.box[k])
		place[k] = plainNumber(math.Floor(x*1e4)/1e4) + " m"
	}
	return fmt.Sprintf("x: %s, y: %s, depth: %s", place[0], place[1], place[2])
}

func (m *anyPlan) living() {
	m.put("zones:")
	for i := range m.n(1, 3) {
		zone := []string{"shelf", "slope", "shade"}[i]
		m.zones = append(m.zones, zone)
		dli := m.usual(1, 15, 1e-9, 200)
		m.put("  %s:\n    dli: %s", zone, plainNumber(dli))
		m.inTank(i)
		if m.chance(30) {
			m.put("    within: %s", m.share(0.1, 100))
		}
		if m.chance(12) {
			m.put("    dli_min: %s", plainNumber(m.number(dli/100, dli)))
		}
		if m.chance(30) {
			m.put("    dli_max: %s", plainNumber(m.number(dli, 200)))
		}
		if m.chance(25) {
			m.put("    ppfd_max: %s", plainNumber(m.usual(200, 3000, 1e-6, 10000)))
		}
		if m.chance(30) {
			m.put("    ek: %s", plainNumber(m.number(5, 3000)))
		}
		corals := m.n(1, 3)
		if m.chance(15) {
			m.put("    area: {x: [%s m, %s m], y: [%s m, %s m], depth: %s m}", plainNumber(m.box[0]*0.2), plainNumber(m.box[0]*m.number(0.25, 1)),
				plainNumber(m.box[1]*0.1), plainNumber(m.box[1]*m.number(0.2, 1)), plainNumber(m.box[2]*m.number(0, 1)))
			corals = m.n(0, 1)
		}
		if corals > 0 {
			m.put("    corals:")
		}
		for range corals {
			name := fmt.Sprintf("coral-%c", 'a'+len(m.corals))
			m.corals = append(m.corals, name)
			ek := ""
			if m.chance(10) {
				ek = ", ek: " + plainNumber(m.number(5, 3000))
			}
			m.put("      %s: {%s%s}", name, m.at(), ek)
		}
	}
}

// spoilt is a text with one fault that a person or a disk may make.
func (m *anyPlan) spoilt(text string) string {
	lines := strings.SplitAfter(text, "\n")
	k := m.n(0, len(lines)-1)
	switch m.n(0, 3) {
	case 0:
		lines = slices.Delete(lines, k, k+1)
	case 1:
		lines = slices.Insert(lines, k, lines[m.n(0, len(lines)-1)])
	case 2:
		lines[k] = strings.Replace(lines[k], m.one("1", "0", "2", ":", ",", "[", "cm", "m"), m.one("-1", "1e308", "1e-320", "", ".nan", ".inf", "%", "-"), 1)
	case 3:
		lines = lines[:k]
	}
	return strings.Join(lines, "")
}
