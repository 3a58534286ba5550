package cure

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"dayloom/schedule/balance"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

// A coral that two more limits would leave in the dark: of three changes the first and the last cure it together, and the
// one between that helps neither does not end the search.
func TestPairsGoOn(t *testing.T) {
	p := &plan.Plan{Clock: plan.Clock{Zone: time.UTC}, Channels: []plan.Channel{{Name: "a", Dimmable: true}, {Name: "b", Dimmable: true}},
		Balance: plan.Balance{PowerMaxW: 1e9, Spend: plan.HalfSpent}}
	for c := range 2 {
		p.Day = append(p.Day, plan.DayPart{Channels: []int{c}, Daylight: &plan.Daylight{
			Sunrise: plan.Ramp{From: 36000, To: 36000}, Sunset: plan.Ramp{From: 72000, To: 72000}, Peak: plan.Level{Fraction: 0}}})
	}
	p.Zones = []plan.Zone{{Name: "z", DLI: 3.6, Within: 0.1, DLIMax: 1e9, PPFDMax: 1e9, Corals: []int{0}}}
	p.Corals = []plan.Coral{{Name: "fan"}}
	s := state{p, light.Field{Corals: [][]light.Cell{{{PPFD: 50, Bands: nil}, {PPFD: 50, Bands: nil}}}}, balance.Options{}, &search{ctx: context.Background(), tell: func(int) {}}}
	level := func(kind string, channel int) change {
		return change{kind: kind, most: 1, steps: func(x float64) float64 { return x }, size: func(x float64) float64 { return x },
			say: func(float64) (string, []balance.Edit) { return kind, nil },
			apply: func(s state, amount float64) state {
				if channel < 0 {
					return s
				}
				q := *s.p
				q.Day = append([]plan.DayPart{}, q.Day...)
				d := *q.Day[channel].Daylight
				d.Peak.Fraction = amount
				q.Day[channel].Daylight = &d
				s.p = &q
				return s
			}}
	}
	got := pairs(s, []change{level("first", 0), level("nothing", -1), level("last", 1)})
	if assert.Len(t, got, 1) {
		assert.Equal(t, "first and last", got[0].Kind)
		assert.InDelta(t, 1.8, got[0].Size, 0.02) // 100 µmol/m²/s less a tenth
	}
}
