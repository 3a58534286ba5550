package main

import (
	"fmt"
	"strings"
)

// clockTimes are times of day in order, so many as wanted, on whole minutes.
func (m *anyPlan) clockTimes(count int) []string {
	var out []string
	at := m.n(0, 700)
	for i := range count {
		out = append(out, fmt.Sprintf("%q", fmt.Sprintf("%02d:%02d", at/60, at%60)))
		if left := 1439 - at - (count - 1 - i); left > 1 {
			at += m.n(1, max(1, min(left, 1000/count)))
		} else {
			at++
		}
	}
	return out
}

func (m *anyPlan) days() {
	m.put("day:")
	m.day("  ")
	if m.chance(20) {
		m.put("days:\n  quiet:")
		m.day("    ")
	}
}

// day is one day's entries; each channel but the last may be left out.
func (m *anyPlan) day(indent string) {
	for i, c := range m.channels {
		if i > 0 && m.chance(8) || i == 1 && m.paired {
			continue
		}
		if m.paired && i == 0 {
			m.put("%s- channels: [%s, %s]", indent, c.name, m.channels[1].name)
		} else {
			m.put("%s- channels: [%s]", indent, c.name)
		}
		switch {
		case !c.dimmed && m.chance(25):
			m.put("%s  on: auto\n%s  off: auto\n%s  window: {from: \"08:00\", to: \"20:00\", at_least: %d min}", indent, indent, indent, m.n(0, 720))
		case !c.dimmed:
			t := m.clockTimes(2)
			m.put("%s  on: %s\n%s  off: %s", indent, t[0], indent, t[1])
		case m.chance(12):
			m.put("%s  moonlight: {from: \"21:00\", to: \"06:00\", peak: %s %%, phase: %s}", indent, plainNumber(m.usual(10, 100, 1e-9, 100)),
				m.one("constant", "follow", "true-sky, latitude: 18 S, longitude: 147 E", "true-sky, latitude: 89.9 N, longitude: 0 E"))
		case m.chance(8):
			m.files["points.csv"] = "time,share\n" + m.one("08:00,0\n12:00,100\n18:00,0\n", "00:00,5\n12:00,100\n23:59,5\n", "06:00,0\n06:01,100\n06:02,0\n")
			m.put("%s  points: points.csv\n%s  peak: %s", indent, indent, m.peak())
		default:
			t := m.clockTimes(4)
			shape := func() string { return m.one("linear", "smooth", "solar", "even") }
			m.put("%s  sunrise: {from: %s, to: %s, shape: %s}\n%s  peak: %s\n%s  sunset: {from: %s, to: %s, shape: %s}", indent, t[0], t[1], shape(), indent, m.peak(), indent, t[2], t[3], shape())
		}
	}
}

func (m *anyPlan) peak() string {
	switch m.n(0, 5) {
	case 0, 1:
		return "auto"
	case 2:
		return "{from: 20 %, to: 80 %}"
	}
	return m.share(0, 100)
}

// outputs are controllers with a port for most channels.
func (m *anyPlan) outputs() {
	if m.chance(4) {
		return
	}
	m.put("controllers:")
	var switched, dimmed []anyChannel
	for i, c := range m.channels {
		if m.chance(6) && !m.paired {
			continue
		}
		m.channels[i].ported = true
		if c.dimmed {
			dimmed = append(dimmed, c)
		} else {
			switched = append(switched, c)
		}
	}
	cut := len(dimmed)
	if cut > 1 {
		cut = m.n(2, len(dimmed))
	}
	for i, list := range [][]anyChannel{dimmed[:cut], dimmed[cut:]} {
		if len(list) > 0 {
			m.dimmer([]string{"rack", "module"}[i], list)
		}
	}
	if len(switched) > 0 {
		m.put("  outlets:\n    signal: switch\n    ports:")
		for i, c := range switched {
			m.ports = append(m.ports, fmt.Sprintf("outlets/%d", i+1))
			m.put("      %d: {channel: %s}", i+1, c.name)
		}
	}
}

// dimmer is one controller that dims.
func (m *anyPlan) dimmer(name string, list []anyChannel) {
	m.put("  %s:", name)
	signal, unit, most := "volts", " V", 10.0
	switch m.n(0, 3) {
	case 0:
		signal, unit, most = "percent", " %", 100
	case 1:
		signal, unit, most = "counts", "", 255
		m.put("    bits: 8")
	}
	m.put("    signal: %s", signal)
	if signal == "volts" && m.chance(50) {
		m.put("    step: %s V", m.one("0.1", "0.01", "1", "10", "0.001"))
	}
	if m.chance(40) {
		m.put("    between_points: hold")
	}
	if m.chance(60) {
		m.put("    points_per_day: %d", m.n(2, 24))
	}
	if m.chance(20) {
		m.put("    time_step: %s", m.one("1 s", "5 min", "30 min", "6 h"))
	}
	if m.chance(15) {
		m.put("    tables_per_year: %d", m.n(1, 20))
	}
	at := func(share float64) string { // a command on every step
		if most == 10 {
			return fmt.Sprintf("%g%s", share*most, unit)
		}
		return fmt.Sprintf("%d%s", int(share*most), unit)
	}
	m.put("    ports:")
	for i := 0; i < len(list); i++ {
		m.ports = append(m.ports, fmt.Sprintf("%s/%d", name, i+1))
		m.put("      %d:", i+1)
		if m.paired && list[i].name == m.channels[0].name {
			m.put("        channels: [%s, %s]", list[i].name, list[i+1].name)
			i++
		} else {
			m.put("        channel: %s", list[i].name)
		}
		switch m.n(0, 7) {
		case 0:
			m.put("        off_below: %s\n        response: [[%s, 7 %%], [%s, %s], [%s, 100 %%]]", at(0.1), at(0.1), at(0.5), m.share(7, 100), at(1))
		case 1:
			m.put("        off_below: %s\n        on_from: %s", at(0.1), at(0.2))
		case 2:
			m.put("        never_off: yes\n        response: [[%s, %s], [%s, 100 %%]]", at(0), m.share(0.01, 5), at(1))
		case 3:
			m.put("        response: %s", m.one("square", "log", "linear"))
		}
	}
}

func (m *anyPlan) wishes() {
	if m.chance(35) {
		m.put("balance:")
		m.put("  prefer: %s", m.one("even", "least power", "least change", "closest"))
		if m.chance(30) {
			m.put("  spend: %s", m.share(0, 100))
		}
		if m.chance(30) {
			m.put("  power_max: %s W", plainNumber(m.usual(50, 600, 1e-6, 1e6)))
		}
		if m.chance(40) {
			m.put("  shares:\n    - {band: [400 nm, 480 nm], at_least: %s, at_most: %s}", m.share(0, 50), m.share(50, 100))
		}
		if m.chance(20) {
			m.put("  colour: {near: [%s, %s], within: %s}", plainNumber(m.usual(0.2, 0.4, 0.001, 0.9)), plainNumber(m.usual(0.2, 0.4, 0.001, 0.9)), plainNumber(m.usual(0.005, 0.05, 1e-4, 0.2)))
		}
		if m.chance(15) {
			m.put("  spectrum: {like: daylight, at: %s}", m.length(m.usual(0, 20, 0, 100)))
		}
	}
	if m.channels[0].power && m.chance(25) {
		m.put("circuits:\n  left: {channels: [%s], rating: %s A, supply: %s V}", m.channels[0].name, plainNumber(m.usual(2, 16, 1e-9, 1000)), plainNumber(m.usual(110, 240, 1e-9, 1000)))
	}
	if m.chance(15) {
		m.put("tariff: %s EUR/kWh", m.one("0.25", "0", "1000000", "0.000001"))
	}
}

func (m *anyPlan) dates() {
	if m.chance(15) {
		m.put("season: {latitude: %s, share: %s}", m.one("18 S", "65 N", "0 N", "65 S"), m.share(0, 100))
	}
	if m.chance(30) && len(m.corals) > 0 {
		m.put("acclimation:\n  - corals: [%s]\n    arrives: %s\n    over: %s\n    every: %s\n    step_max: %s\n    allow: big steps", m.corals[len(m.corals)-1], m.one("2026-12-05", "2027-02-03", "2026-11-20"),
			m.one("6 weeks", "20 days", "1 week", "6 weeks", "20 days", "3660 days"), m.one("1 week", "3 days", "1 week"), m.share(1, 100))
		m.put("    %s", []string{"from_dli: " + plainNumber(m.usual(0.5, 8, 1e-9, 200)), "from_share: " + m.share(1, 100), "from_place: {" + m.at() + "}"}[m.n(0, 2)])
		if by := m.one("", "dimming", "hours", "place", "balance", "height"); by != "" && (by != "height" || m.racks != nil) {
			m.put("    by: %s", by)
		}
	}
	if !m.chance(35) {
		return
	}
	m.put("calendar:")
	for range m.n(1, 2) {
		switch m.n(0, 4) {
		case 0:
			m.put("  - {days: %q, name: quiet, scale: %s}", m.one("0 0 * * 0", "0 0 1 * *", "0 0 29 2 *"), m.share(0, 100))
		case 1:
			m.put("  - {from: 2026-12-20, to: 2027-01-06, name: dim weeks, scale: %s}", m.share(0, 100))
		case 2:
			m.put("  - {relamp: %s, on: %s}", m.channels[m.n(0, len(m.channels)-1)].name, m.one("2026-12-10", "2027-05-01"))
		case 3:
			m.put("  - {days: \"0 0 * * 3\", name: wipe the lamps}")
		case 4:
			if m.racks != nil {
				m.put("  - {rack: %s, on: 2026-12-04, height: %s, from: \"14:00\", to: \"15:30\", name: service}", m.racks[0], m.length(m.usual(0.1, 1, 0, 100)))
			} else {
				m.put("  - {on: 2026-12-03, name: dark day, scale: 0 %%}")
			}
		}
	}
}

// measured is a table of readings, of corals and of other places; channels without lamps
// are known from it alone.
func (m *anyPlan) measured() {
	need := false
	for _, c := range m.channels {
		need = need || !c.lamps
	}
	if !need && !m.chance(30) {
		return
	}
	m.readings = true
	rows := []string{"coral,x_cm,y_cm,depth_cm,lit,ppfd,date"}
	row := func(place, lit string) {
		rows = append(rows, fmt.Sprintf("%s,%s,%s,%s", place, lit, plainNumber(m.usual(1, 400, 0, 1e5)), m.one("", "", "2026-11-01")))
	}
	for _, c := range m.channels {
		if c.lamps && m.chance(50) {
			continue
		}
		lit := c.name
		if c.dimmed {
			lit += "@100%"
			if c.ported && m.chance(20) {
				lit = c.name + "@50%"
			}
		}
		for _, coral := range m.corals {
			row(coral+",,,", lit)
		}
		row(fmt.Sprintf(",%s,%s,%s", plainNumber(m.box[0]*50), plainNumber(m.box[1]*50), plainNumber(m.box[2]*m.number(0, 100))), lit)
	}
	if m.chance(30) && len(m.corals) > 0 {
		row(m.corals[0]+",,,", m.one("all", "none"))
	}
	if len(rows) == 1 {
		return
	}
	m.put("readings: readings.csv")
	if m.chance(50) {
		m.put("meter: {in_water_factor: %s, uncertainty: %s}", plainNumber(m.number(1, 2)), m.share(0.001, 100))
	}
	m.files["readings.csv"] = strings.Join(rows, "\n") + "\n"
}

func (m *anyPlan) journal() {
	if !m.chance(25) || len(m.corals) == 0 {
		return
	}
	var b strings.Builder
	for range m.n(1, 3) {
		switch m.n(0, 5) {
		case 0:
			fmt.Fprintf(&b, "- {date: 2026-12-06, coral: %s, do: hold %d days}\n", m.corals[len(m.corals)-1], m.n(1, 400))
		case 1:
			fmt.Fprintf(&b, "- {date: 2026-12-08, coral: %s, do: back one step, note: pale}\n", m.corals[len(m.corals)-1])
		case 2:
			fmt.Fprintf(&b, "- {date: 2026-12-09, coral: %s, do: moved, %s}\n", m.corals[0], m.at())
		case 3:
			fmt.Fprintf(&b, "- {date: 2026-12-10, do: outage %d days}\n", m.n(1, 30))
		case 4:
			fmt.Fprintf(&b, "- {date: 2026-12-10, coral: %s, do: reading %d}\n", m.corals[0], m.n(0, 2000))
		case 5:
			fmt.Fprintf(&b, "- {date: 2026-12-11, note: fed less}\n")
		}
	}
	m.files["journal.yaml"] = b.String()
}
