package load_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"dayloom/schedule/day"
	"dayloom/schedule/day/load"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
)

// 120 W all day and 230 W from 10 to 12 on one circuit of 2 A at 230 V: by hand,
// 350 W and 1.5217 A from 10:00, against 1.6 A allowed; 3.34 kWh a day.
func TestTwoLampsByHand(t *testing.T) {
	p := &plan.Plan{
		Channels: []plan.Channel{{Name: "a", PowerW: 120}, {Name: "b", PowerW: 230}, {Name: "c"}},
		Circuits: []plan.Circuit{{Name: "left", Channels: []int{0, 1}, RatingA: 2, SupplyV: 230, Continuous: 0.8, PowerFactor: 1}},
		Balance:  plan.Balance{PowerMaxW: math.Inf(1)},
	}
	lit := func(c curve.Curve) day.Channel { return day.Channel{Curve: c, DoseS: c.Dose()} }
	d := day.Day{Channels: []day.Channel{lit(curve.Always(1)), lit(curve.Hold(36000, 43200, 1)), lit(curve.Always(0.1))}}
	l := load.Of(p, d)
	assert.InDelta(t, 350, l.Power.Value, 1e-6)
	assert.InDelta(t, 36000, l.Power.AtS, 1e-6)
	assert.InDelta(t, 120*24+230*2, l.EnergyWh, 1e-6)
	assert.InDelta(t, 350./230, l.Circuits[0].Current.Value, 1e-9)
	assert.InDelta(t, 1.6, l.Circuits[0].Allowed, 1e-12)
	assert.False(t, l.Over())
	assert.Equal(t, []string{"c"}, l.Unknown)

	p.Circuits[0].PowerFactor = 0.9 // 1.69 A now
	assert.True(t, load.Of(p, d).Over())
	p.Circuits, p.Balance.PowerMaxW = nil, 349
	assert.True(t, load.Of(p, d).Over())
}

// 1 kWh a day for ten days of January and five of February at 0.25 a kWh, by hand.
func TestMonthsByHand(t *testing.T) {
	p := &plan.Plan{Channels: []plan.Channel{{PowerW: 100}}, Tariff: plan.Tariff{PerKWh: 0.25, Currency: "EUR"}}
	months := load.Months(p, plan.Date{Year: 2027, Month: 1, Day: 22}, plan.Date{Year: 2027, Month: 2, Day: 5}, func(plan.Date) day.Day {
		return day.Day{Channels: []day.Channel{{DoseS: 36000}}}
	})
	assert.Len(t, months, 2)
	assert.Equal(t, 10, months[0].Days)
	assert.InDelta(t, 2.5, months[0].Cost, 1e-12)
	assert.InDelta(t, 5, months[1].KWh, 1e-12)
}
