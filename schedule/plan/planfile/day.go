package planfile

import (
	"fmt"
	"math"

	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/text/quantity"
	"dayloom/schedule/text/yamltree"
)

func (r *reader) day(v yamltree.Value) (parts []plan.DayPart) {
	const example = "write a list of entries such as - channels: [bar-blue]"
	items := v.Items(example)
	if v.IsList() && len(items) == 0 {
		v.Error("the day is empty", example, "")
	}
	for _, item := range items {
		if p, ok := r.dayPart(item); ok {
			parts = append(parts, p)
		}
	}
	r.overlaps(items, parts)
	r.together(parts)
	return parts
}

func (r *reader) namedDays(v yamltree.Value) {
	for _, d := range v.Entries("write other days by name, such as quiet: [{channels: [bar-blue], …}]") {
		r.days.define(d, "a day")
		r.plan.Days = append(r.plan.Days, plan.NamedDay{Name: d.Name(), Parts: r.day(d), Pos: pos(d.KeyPlace())})
	}
}

// The keys that make an entry one of daylight, switching or moonlight.
var partKeys = [3][]string{{"sunrise", "peak", "sunset", "points"}, {"on", "off", "window"}, {"moonlight"}}

// dayPart reads one entry; ok is false when it could not be told what it is.
func (r *reader) dayPart(v yamltree.Value) (p plan.DayPart, ok bool) {
	f, ok := v.Fields()
	if !ok {
		return p, false
	}
	p = plan.DayPart{Pos: pos(v.Place())}
	channels := f.Need("channels")
	p.Channels = r.channels.findAll(channels, "channel")
	sort, first := -1, yamltree.Value{}
	for i, keys := range partKeys {
		for _, key := range keys {
			switch k := f.Get(key); {
			case !k.Given():
			case sort < 0:
				sort, first = i, k
			case sort != i:
				k.KeyConflict(fmt.Sprintf("%s does not go with %s", key, first.Name()),
					"an entry has sunrise, peak and sunset; or on and off; or moonlight", first.KeyPlace(), "the other is here")
				return p, false
			}
		}
	}
	before := r.errors()
	r.dimmability(p.Channels, sort, first)
	switch sort {
	case 0:
		p.Daylight = r.daylight(f)
	case 1:
		p.Switched = switched(v, f)
	case 2:
		p.Moonlight = moonlight(f.Get("moonlight"))
	default:
		v.Error("the entry says nothing about light", "give sunrise, peak and sunset; or on and off; or moonlight", "")
	}
	return p, r.errors() == before && sort >= 0
}

// dimmability reports a dimmable channel that is switched and the reverse.
func (r *reader) dimmability(channels []int, sort int, key yamltree.Value) {
	for _, i := range channels {
		switch c := r.plan.Channels[i]; {
		case sort == 1 && c.Dimmable:
			key.KeyConflict(fmt.Sprintf("the channel %q can be dimmed and has no on and off", c.Name),
				"give it sunrise, peak and sunset, or make it dimmable: no", r.channels.at[i], "the channel is here")
		case (sort == 0 || sort == 2) && !c.Dimmable:
			key.KeyConflict(fmt.Sprintf("the channel %q cannot be dimmed and has no %s", c.Name, key.Name()),
				"give it on and off", r.channels.at[i], "the channel is here")
		}
	}
}

func (r *reader) daylight(f yamltree.Fields) *plan.Daylight {
	if v := f.Get("points"); v.Given() {
		for _, key := range []string{"sunrise", "sunset"} {
			if f.Has(key) {
				f.Get(key).KeyConflict(key+" does not go with points", "give points, or sunrise and sunset", v.KeyPlace(), "points is here")
			}
		}
		return r.points(v, level(f.Need("peak")))
	}
	rise := f.Need("sunrise")
	peak := f.Need("peak")
	set := f.Need("sunset")
	d := &plan.Daylight{Sunrise: ramp(rise), Sunset: ramp(set), Peak: level(peak)}
	length := wrap(d.Sunrise.To - d.Sunrise.From)
	start, end := wrap(d.Sunset.From-d.Sunrise.From), wrap(d.Sunset.To-d.Sunrise.From)
	clock := quantity.FormatTime
	switch {
	case start < length:
		set.KeyConflict(fmt.Sprintf("the sunset begins at %s, before the sunrise ends at %s", clock(d.Sunset.From), clock(d.Sunrise.To)),
			"ramps come one after the other: sunrise.from, sunrise.to, sunset.from, sunset.to", rise.KeyPlace(), "the sunrise is here")
	case end <= start:
		set.KeyConflict(fmt.Sprintf("the sunset ends at %s, after the next sunrise begins at %s", clock(d.Sunset.To), clock(d.Sunrise.From)),
			"sunrise and sunset lie within 24 h", rise.KeyPlace(), "the sunrise is here")
	case d.Sunrise.From+end > curve.Day:
		rise.Warn(fmt.Sprintf("the light from %s to %s goes over midnight", clock(d.Sunrise.From), clock(d.Sunset.To)),
			"what is given after midnight counts to the day on which it falls", "")
	}
	return d
}

func ramp(v yamltree.Value) (p plan.Ramp) {
	f, ok := v.Fields()
	p.Pos = pos(v.KeyPlace())
	p.From = clockTime(f.Need("from"))
	p.To = clockTime(f.Need("to"))
	if !ok {
		return p
	}
	p.Shape = curve.Shape(word(f.Get("shape"), curve.Names...))
	clock := quantity.FormatTime
	switch length := wrap(p.To - p.From); {
	case p.From == p.To:
		f.Get("to").Error(fmt.Sprintf("the %s takes no time: it begins and ends at %s", v.Name(), clock(p.From)), "a ramp takes from a second to 12 h", "")
	case !(length > curve.Day/2):
		return p
	default:
		f.Get("to").Error(fmt.Sprintf("the %s from %s to %s would go over midnight and take %.4g h", v.Name(), clock(p.From), clock(p.To), length/3600),
			"a ramp takes 12 h at most", "are from and to the wrong way round?")
	}
	p.From, p.To = math.NaN(), math.NaN()
	return p
}

// level reads a light fraction, auto, or bounds of what is auto.
func level(v yamltree.Value) plan.Level {
	l := plan.Level{Pos: pos(v.Place()), To: 1}
	if v.IsMap() {
		f, _ := v.Fields()
		if !f.Has("from") && !f.Has("to") {
			v.Error("the peak has no bound", "give from, to or both, or write auto", "")
		}
		l.Auto, l.From, l.To = true, number(f.Get("from")), number(f.Get("to"))
		if l.From > l.To {
			f.Get("from").Conflict("from is above to", "from ≤ to", f.Get("to").Place(), "to is here")
		}
		return l
	}
	if text, _ := v.Text("write a share such as 70 %, auto, or {from: 20 %, to: 80 %}"); text == "auto" {
		l.Auto = true
		return l
	}
	if v.IsText() {
		l.Fraction = number(v)
	}
	return l
}

// wrap brings a difference of times into 0 ≤ t < 24 h.
func wrap(t float64) float64 {
	if t < 0 {
		t += curve.Day
	}
	return t
}
