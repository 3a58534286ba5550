package port

import "math"

// Finest is a light fraction below which a lamp counts as beginning from nothing.
const Finest = 1e-4

// Floor is what lamp i gives at the lowest command while it has its supply: 0 when the
// port can be dark by itself.
func (p Port) Floor(i int) float64 { return p.Lamps[i].Light(p.Range[0]) }

// Least is the least light that lamp i can be held at while it is lit: what it gives at
// the lowest command on the port's step that lights it.
func (p Port) Least(i int) float64 {
	if floor := p.Floor(i); floor > 0 {
		return floor
	}
	l := p.Lamps[i]
	from, _ := l.Response.Darkest()
	top := int(math.Floor((p.Range[1]-p.Range[0])/p.step() + 1e-6))
	n := int(math.Ceil((max(from, l.On())-p.Range[0])/p.step() - 1e-6))
	for n = min(max(n, 1), top); n < top && l.Light(p.level(n)) <= 0; {
		n++
	}
	return l.Light(p.level(n))
}

// Foot is the light below which lamp i cannot follow a slow rise, and has to be switched:
// its Least where the light begins with a jump or commands are held, else 0.
func (p Port) Foot(i int) float64 {
	l := p.Lamps[i]
	start, light := l.Response.Darkest()
	if on := l.On(); on > start {
		light = l.Response.Fraction(on)
	}
	if least := p.Least(i); p.Hold && least > Finest || light > Finest {
		return least
	}
	return 0
}

// Follow is what lamp i gives while the first lamp of the port gives a light, both
// reached from below.
func (p Port) Follow(i int, light float64) float64 {
	if i == 0 || light <= 0 && p.Floor(0) == 0 {
		return light
	}
	command, _ := p.Lamps[0].Response.Command(light)
	return p.Lamps[i].Light(command)
}
