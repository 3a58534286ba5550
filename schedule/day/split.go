package day

import "dayloom/schedule/shape/curve"

// Split is the day with every channel once for its light outside some spans ([from, to] in s, by time,
// apart) and once more for its light in each: n channels become n·(1 + spans). Levels stay as they are.
func (d Day) Split(spans [][2]float64) Day {
	if len(spans) == 0 {
		return d
	}
	out, n := d, len(d.Channels)
	out.Channels = make([]Channel, n*(1+len(spans)))
	for i, c := range d.Channels {
		left, lightOut, moonOut := 0.0, []curve.Curve(nil), []curve.Curve(nil)
		dose := c.DoseS
		for k, s := range spans {
			in := c
			in.Curve, in.Moon = c.Curve.Between(s[0], s[1]), c.Moon.Between(s[0], s[1])
			in.DoseS = in.Curve.Dose()
			out.Channels[n*(k+1)+i] = in
			dose -= in.DoseS
			lightOut, moonOut = append(lightOut, c.Curve.Between(left, s[0])), append(moonOut, c.Moon.Between(left, s[0]))
			left = s[1]
		}
		c.Curve = curve.Sum(append(lightOut, c.Curve.Between(left, curve.Day))...)
		c.Moon = curve.Sum(append(moonOut, c.Moon.Between(left, curve.Day))...)
		c.DoseS = max(dose, 0)
		out.Channels[i] = c
	}
	return out
}
