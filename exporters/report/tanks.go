package report

import (
	"slices"
	"strings"

	"dayloom/exporters/table"
	"dayloom/schedule/plan"
)

// tanks are the tanks of zones, by name; nil where the plan has one tank.
type tanks map[string]string

func tanksOf(p *plan.Plan) tanks {
	if !p.Several() {
		return nil
	}
	out := tanks{}
	for _, z := range p.Zones {
		out[z.Name] = p.Tanks[z.Tank].Name
	}
	return out
}

// over reports whether a channel hangs over the tank of a zone.
func over(p *plan.Plan, channel, zone int) bool {
	return p.Channels[channel].Tank == p.Zones[zone].Tank
}

// beside adds to a table a column of tanks before that of zones, where there are several.
func (k tanks) beside(t table.Table) table.Table {
	at := slices.IndexFunc(t.Columns, func(c table.Column) bool { return c.Head == "zone" || c.Key == "zone" })
	if k == nil || at < 0 {
		return t
	}
	c := t.Columns[at]
	c.Left = true
	if c.Head != "" {
		c.Head = "tank"
	}
	if c.Key != "" {
		c.Key = "tank"
	}
	t.Columns = slices.Insert(slices.Clone(t.Columns), at, c)
	rows := t.Rows
	t.Rows = nil
	for _, r := range rows {
		t.Rows = append(t.Rows, slices.Insert(slices.Clone(r), at, k[strings.TrimSuffix(r[at], " (area)")]))
	}
	return t
}

// inTank says which tank is told of, where there are several.
func inTank(name string) string {
	if name == "" {
		return ""
	}
	return " in the tank " + name
}
