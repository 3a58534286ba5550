package balance

import "math"

const kWh = 3.6e6 // J

// watts is the energy of each variable's unit, kWh. A channel without a power counts a hundredth of the least known.
func (s *system) watts() []float64 {
	least, out := s.leastPower()/100, make([]float64, len(s.vars))
	for c, j := range s.varOf {
		if j >= 0 {
			out[j] += s.power(c, least) * s.dose1[c] / kWh
		}
	}
	return out
}

// steadyEnergy is the energy at variables zero, kWh.
func (s *system) steadyEnergy() (sum float64) {
	least := s.leastPower() / 100
	for c, d := range s.dose0 {
		sum += s.power(c, least) * d / kWh
	}
	return sum
}

// power is a channel's at full output, W.
func (t *task) power(c int, unknown float64) float64 {
	if w := t.p.Channels[c].PowerW; w > 0 {
		return w
	}
	return unknown
}

func (t *task) leastPower() float64 {
	least := math.Inf(1)
	for _, c := range t.p.Channels {
		if c.PowerW > 0 {
			least = min(least, c.PowerW)
		}
	}
	if math.IsInf(least, 1) {
		return 100
	}
	return least
}

// power is rank 6, and rank 4 of `prefer: least power`.
func (k *solver) power() { k.energy(6) }

func (k *solver) energy(rankNo int) {
	cost, flat := map[int]float64{}, make([]float64, k.n)
	size := 0.0
	for j, c := range k.watts() {
		cost[j], flat[j] = c, c
		size = max(size, c)
	}
	const what = "energy of the day, kWh"
	_, bound, err := k.program.solve(rank{cost: cost})
	if err != nil || size == 0 {
		k.unproved(rankNo, what)
		return
	}
	used, steady := dot(flat, k.x), k.steadyEnergy()
	k.stage(rankNo, what, used+steady, bound+steady)
	k.most(flat, used*(1+slackRel)+slack*size, size)
}

func add(to, v []float64, times float64) {
	for j, a := range v {
		to[j] += times * a
	}
}
