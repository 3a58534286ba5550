package report

import (
	"fmt"

	"dayloom/exporters/table"
	"dayloom/schedule/day/load"
	"dayloom/schedule/plan"
)

// EnergyMonth is the energy of the days of a month that were asked for, and its cost.
type EnergyMonth struct {
	Month    string  `json:"month"` // such as 2027-02
	Days     int     `json:"days"`
	KWh      float64 `json:"energy_kwh"`
	Cost     float64 `json:"cost"`
	Currency string  `json:"currency"`
}

// NewEnergy is the months of a plan with a tariff.
func NewEnergy(p *plan.Plan, months []load.Month) (out []EnergyMonth) {
	for _, m := range months {
		out = append(out, EnergyMonth{fmt.Sprintf("%04d-%02d", m.Year, m.Month), m.Days, m.KWh, m.Cost, p.Tariff.Currency})
	}
	return out
}

// EnergyTable has one row a month, then all of them.
func EnergyTable(months []EnergyMonth) table.Table {
	t := table.Table{Columns: []table.Column{{Head: "month", Left: true}, {Head: "days"}, {Head: "energy", Unit: "kWh"}, {Head: "cost", Unit: months[0].Currency}}}
	all := EnergyMonth{Month: "all"}
	row := func(m EnergyMonth) { t.Add(m.Month, m.Days, fmt.Sprintf("%.1f", m.KWh), fmt.Sprintf("%.2f", m.Cost)) }
	for _, m := range months {
		row(m)
		all.Days, all.KWh, all.Cost = all.Days+m.Days, all.KWh+m.KWh, all.Cost+m.Cost
	}
	if len(months) > 1 {
		row(all)
	}
	return t
}
