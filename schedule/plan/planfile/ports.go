package planfile

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dayloom/photon/dimmer"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/port"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/quantity"
	"dayloom/schedule/text/yamltree"
)

func (r *reader) readPorts(i int) {
	c := &r.plan.Controllers[i]
	for _, v := range r.portValues[i] {
		if !portForm.MatchString(v.Name()) {
			v.KeyError(fmt.Sprintf("%q is not a valid name for a port", v.Name()), "ports are numbers or lower-case names", "")
		}
		c.Ports = append(c.Ports, r.port(v, *c))
	}
}

func (r *reader) port(v yamltree.Value, c plan.Controller) plan.Port {
	p := plan.Port{Port: port.Port{Controller: c.Name, Name: v.Name(), Kind: c.Kind}, Pos: pos(v.KeyPlace())}
	f, ok := v.Fields()
	if !ok {
		return p
	}
	if c.Signal == port.Switch {
		if i := r.channelOf(f.Get("channel")); i >= 0 {
			p.Channels, p.Lamps = []int{i}, []port.Lamp{port.SwitchLamp(r.channels.list[i])}
		}
		for _, key := range []string{"channels", "off_below", "on_from", "never_off", "response", "outlet"} {
			if f.Has(key) {
				f.Get(key).KeyError("a switched port has no "+key, "leave it out: a switch is on or off", "")
			}
		}
		return p
	}
	p.Outlet, p.OutletPos = outletRef(f.Get("outlet"))
	for _, on := range r.onPort(v, f) {
		if !r.plan.Channels[on.channel].Dimmable {
			on.at.Conflict(fmt.Sprintf("the channel %q cannot be dimmed", r.channels.list[on.channel]),
				"give it a port of a controller with signal: switch", r.channels.at[on.channel], "it is dimmable: no here")
		}
		p.Channels = append(p.Channels, on.channel)
		p.Lamps = append(p.Lamps, r.lamp(on, c, p.Outlet != port.Ref{}))
	}
	r.pointsForCutIn(v, p)
	return p
}

// onPort is one channel of a port, where it is named, and the keys that say how it answers.
type onPort struct {
	channel int
	at      yamltree.Value
	answers yamltree.Fields
}

// answerKeys say how a lamp answers; a channel of several may have its own.
var answerKeys = []string{"off_below", "on_from", "never_off", "response"}

// onPort lists the channels of a port.
func (r *reader) onPort(v yamltree.Value, f yamltree.Fields) (out []onPort) {
	several := f.Get("channels")
	add := func(i int, at yamltree.Value, answers yamltree.Fields) {
		if slices.ContainsFunc(out, func(o onPort) bool { return o.channel == i }) {
			at.Error(fmt.Sprintf("%q is given twice on the port", r.channels.list[i]), "name each channel once", "")
		} else if i >= 0 {
			out = append(out, onPort{i, at, answers})
		}
	}
	switch {
	case !several.Given():
		add(r.channelOf(f.Need("channel")), f.Get("channel"), f)
	case f.Has("channel"):
		several.KeyConflict("a port has channel or channels", "leave one out", f.Get("channel").KeyPlace(), "the other is here")
	case several.IsMap():
		for _, e := range several.Entries("write channels such as {cyan: {off_below: 0.8 V}, lime: {}}") {
			own, _ := e.Fields()
			i := r.channels.index(e.Name())
			if i < 0 {
				e.KeyError(fmt.Sprintf("no channel is called %q", e.Name()), r.channels.allowed("channel"), r.channels.near(e.Name()))
			}
			add(i, e, own.From(v, answerKeys...))
		}
	default:
		for _, item := range several.Items("write a list of channel names such as [violet, uv], or {cyan: {off_below: 0.8 V}, lime: {}}") {
			add(r.channels.find(item, "channel"), item, f)
		}
	}
	return out
}

// lamp reads how a channel answers the commands of its port.
func (r *reader) lamp(on onPort, c plan.Controller, cut bool) port.Lamp {
	f, kind := on.answers, signals[c.Signal].kind
	l := port.Lamp{Channel: r.channels.list[on.channel], NeverOff: word(f.Get("never_off"), "no", "yes") == 1}
	off := math.Inf(-1)
	if v := f.Get("off_below"); v.Given() {
		off = num(v, kind, inRange(c))
	}
	if v := f.Get("on_from"); v.Given() {
		l.OnFrom = num(v, kind, inRange(c))
		switch {
		case !f.Has("off_below"):
			v.KeyError("on_from goes with off_below", "give the command below which the lamp goes dark again: off_below", "")
		case l.OnFrom < off:
			v.Conflict(fmt.Sprintf("the lamp would light from %s on and go dark below %s", kind.Format(l.OnFrom), kind.Format(off)),
				"on_from is at least off_below", f.Get("off_below").KeyPlace(), "off_below is here")
		}
	}
	if math.IsNaN(c.Range[0] + c.Range[1] + off + l.OnFrom) {
		return l
	}
	before := r.errors()
	l.Response = r.response(f, c, on.channel, off, cut || l.NeverOff)
	if l.NeverOff && r.errors() == before {
		switch v := f.Get("never_off"); {
		case f.Has("off_below"):
			v.KeyConflict("a lamp that is never off has no command below which it is dark", "leave one out", f.Get("off_below").KeyPlace(), "off_below is here")
		case l.Response.Fraction(c.Range[0]) <= 0:
			v.KeyError(fmt.Sprintf("the response of %q gives no light at %s, where a lamp that is never off gives some", l.Channel, kind.Format(c.Range[0])),
				fmt.Sprintf("say how much in a response such as [[%s, 10 %%], [%s, 100 %%]]", kind.Format(c.Range[0]), kind.Format(c.Range[1])), "")
		}
	}
	return l
}

// fewestPoints is how many points a ramp through a cut-in takes: dark, lit, lit, dark.
const fewestPoints = 4

// pointsForCutIn reports a ramp whose points cannot take the lamp through its cut-in at both
// ends of the day.
func (r *reader) pointsForCutIn(v yamltree.Value, p plan.Port) {
	if p.Hold || p.PointsPerDay == 0 || p.PointsPerDay >= fewestPoints {
		return
	}
	for _, l := range p.Lamps {
		if off := l.OffBelow(); !math.IsInf(off, -1) && off > p.Range[0] && l.Response.Fraction(off) > port.Finest {
			v.KeyError(fmt.Sprintf("with %d points a day a ramp cannot pass the cut-in of %q twice", p.PointsPerDay, l.Channel),
				"give points_per_day: 4 or more, between_points: hold, or an outlet with a response that has no off_below", "")
			return
		}
	}
}

func (r *reader) channelOf(v yamltree.Value) int {
	if !v.Given() {
		return -1
	}
	return r.channels.find(v, "channel")
}

func inRange(c plan.Controller) limits {
	k := signals[c.Signal].kind
	return limits{c.Range[0], c.Range[1], false, fmt.Sprintf("within the range, from %s to %s", k.Format(c.Range[0]), k.Format(c.Range[1]))}
}

// response makes the curve from command to light fraction, off_below included.
func (r *reader) response(f yamltree.Fields, c plan.Controller, channel int, off float64, cut bool) (out dimmer.Response) {
	v := f.Get("response")
	lo, hi := c.Range[0], c.Range[1]
	if !(hi > lo) {
		return out
	}
	var err error
	before := r.errors()
	if v.IsList() {
		out, err = r.table(v, c)
	} else {
		switch word(v, "linear", "square", "log", "readings") {
		case 1:
			out, err = dimmer.Square(lo, hi)
		case 2:
			out, err = dimmer.Log(lo, hi)
		case 3:
			out, err = r.fromReadings(v, c, channel)
		default:
			out, err = dimmer.Linear(lo, hi)
		}
	}
	if r.errors() > before {
		return out
	}
	if err == nil && !math.IsInf(off, -1) {
		out, err = out.WithOffBelow(off)
	}
	if err != nil {
		at := v
		if !at.Given() {
			at = f.Get("off_below")
		}
		at.Error(err.Error(), "", "")
		return out
	}
	k := signals[c.Signal].kind
	if dark := out.Fraction(lo); dark > 0 && !cut {
		v.Warn(fmt.Sprintf("the lamp is never dark: it gives %.4g %% at %s", dark*100, k.Format(lo)), "give off_below, an outlet that cuts the supply, or a point of 0 %", "")
	}
	if full := out.Fraction(hi); full < 1 {
		v.Warn(fmt.Sprintf("the lamp never gives its full light: %.4g %% at %s", full*100, k.Format(hi)), "flux is counted at a level of 100 %", "")
	}
	return out
}

// table reads [[command, share], …].
func (r *reader) table(v yamltree.Value, c plan.Controller) (out dimmer.Response, err error) {
	k := signals[c.Signal].kind
	example := fmt.Sprintf("write points such as [[%s, 0 %%], [%s, 100 %%]]", k.Format(c.Range[0]), k.Format(c.Range[1]))
	var points []dimmer.Point
	before := r.errors()
	for _, item := range v.Items(example) {
		two := item.Items(example)
		if item.IsList() && len(two) != 2 {
			item.Error("a point of a response has two values", example, "")
		}
		if len(two) != 2 {
			continue
		}
		p := dimmer.Point{Command: num(two[0], k, inRange(c))}
		if share := num(two[1], quantity.Percent, limits{0, 100, false, "from 0 % to 100 %"}); share >= 0 {
			p.Fraction = share / 100
		}
		if n := len(points); n > 0 && p.Command <= points[n-1].Command {
			two[0].Error("the commands do not rise", "each point must have a higher command than the one before", "")
		} else if n > 0 && p.Fraction < points[n-1].Fraction && r.errors() == before {
			two[1].Error("the light falls as the command rises", "more command must never give less light", "")
		}
		points = append(points, p)
	}
	if v.IsList() && len(points) < 2 && r.errors() == before {
		v.Error(fmt.Sprintf("a response with %s", count(len(points), "point")), example, "")
	}
	if r.errors() > before {
		return out, nil
	}
	if out, err = dimmer.Table(points); err != nil {
		return out, err
	}
	return out.WithRange(c.Range[0], c.Range[1])
}

// outletRef reads controller/port.
func outletRef(v yamltree.Value) (ref port.Ref, at plan.Pos) {
	const allowed = "write the outlet as controller/port, such as outlets/2"
	text, ok := v.Text(allowed)
	if !ok {
		return ref, at
	}
	controller, name, ok := strings.Cut(text, "/")
	if !ok || controller == "" || !portForm.MatchString(name) {
		v.Error(fmt.Sprintf("%q is not an outlet", text), allowed, "")
		return ref, at
	}
	return port.Ref{Controller: controller, Port: name}, pos(v.Place())
}

// outlets resolves the outlets of one controller's ports, and adds an outlet that
// is not declared as a port without a channel.
func (r *reader) outlets(i int) {
	for n, p := range r.plan.Controllers[i].Ports {
		if p.Outlet == (port.Ref{}) {
			continue
		}
		v := r.portValues[i][n].Child("outlet")
		k := r.controllers.index(p.Outlet.Controller)
		if k < 0 {
			v.Error(fmt.Sprintf("no controller is called %q", p.Outlet.Controller), r.controllers.allowed("controller"), r.controllers.near(p.Outlet.Controller))
			continue
		}
		c := &r.plan.Controllers[k]
		if c.Signal != port.Switch {
			v.Conflict(fmt.Sprintf("the controller %q does not switch", c.Name), "an outlet is a port of a controller with signal: switch", r.controllers.at[k], "the controller is here")
			continue
		}
		at := slices.IndexFunc(c.Ports, func(o plan.Port) bool { return o.Name == p.Outlet.Port })
		if at < 0 {
			c.Ports = append(c.Ports, plan.Port{Port: port.Port{Controller: c.Name, Name: p.Outlet.Port, Kind: c.Kind}, Pos: p.OutletPos})
			continue
		}
		if o := c.Ports[at]; len(o.Channels) > 0 && !slices.Contains(p.Channels, o.Channels[0]) {
			v.Conflict(fmt.Sprintf("the outlet feeds the channel %q", r.channels.list[o.Channels[0]]), "an outlet cuts the supply of one channel, or is declared without one",
				diag.Place{File: v.Place().File, Line: o.Pos.Line, Col: o.Pos.Col}, "the outlet is here")
		}
	}
}

// switchedPorts checks that what hangs on a switch can be switched.
func (r *reader) switchedPorts(i int) {
	c := r.plan.Controllers[i]
	if c.Signal != port.Switch {
		return
	}
	for n, v := range r.portValues[i] {
		p := c.Ports[n]
		feeds := r.feeds(p.Ref())
		switch {
		case len(p.Channels) == 0 && !feeds && v.IsMap():
			if !v.Child("channel").Given() {
				v.KeyError(fmt.Sprintf("the port %q has no channel", p.Name), "give channel: such as channel: tubes, or name the port as the outlet of another", "")
			}
		case len(p.Channels) > 0 && r.plan.Channels[p.Channels[0]].Dimmable && !feeds:
			v.KeyConflict(fmt.Sprintf("the channel %q can be dimmed and hangs on a switch", r.channels.list[p.Channels[0]]),
				"make it dimmable: no, or give it a dimming port with this one as its outlet", r.channels.at[p.Channels[0]], "the channel is here")
		}
	}
}

// feeds reports whether any port names this one as its outlet.
func (r *reader) feeds(outlet port.Ref) bool {
	return slices.ContainsFunc(r.plan.Ports(), func(p plan.Port) bool { return p.Outlet == outlet })
}
