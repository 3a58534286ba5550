package planfile

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dayloom/photon/dimmer"
	"dayloom/schedule/diag"
	"dayloom/schedule/plan"
	"dayloom/schedule/port"
	"dayloom/schedule/quantity"
	"dayloom/schedule/source"
)

func (r *reader) readPorts(i int) {
	c := &r.plan.Controllers[i]
	for _, v := range r.portValues[i] {
		if !portForm.MatchString(v.Name()) {
			v.KeyError(fmt.Sprintf("%q is no name for a port", v.Name()), "ports are numbers or lower-case names", "")
		}
		c.Ports = append(c.Ports, r.port(v, *c))
	}
}

func (r *reader) port(v source.Value, c plan.Controller) plan.Port {
	p := plan.Port{Port: port.Port{Controller: c.Name, Name: v.Name(), Kind: c.Kind}, Pos: pos(v.KeyPlace())}
	f, ok := v.Fields()
	if !ok {
		return p
	}
	if c.Signal == port.Switch {
		if i := r.channelOf(f.Get("channel")); i >= 0 {
			p.Channels, p.Lamps = []int{i}, []port.Lamp{port.SwitchLamp(r.channels.list[i])}
		}
		for _, key := range []string{"off_below", "response", "outlet"} {
			if f.Has(key) {
				f.Get(key).KeyError("a switched port has no "+key, "leave it out: a switch is on or off", "")
			}
		}
		return p
	}
	p.Outlet, p.OutletPos = outletRef(f.Get("outlet"))
	i := r.channelOf(f.Need("channel"))
	if i < 0 {
		return p
	}
	if !r.plan.Channels[i].Dimmable {
		f.Get("channel").Conflict(fmt.Sprintf("the channel %q can not be dimmed", r.channels.list[i]),
			"give it a port of a controller with signal: switch", r.channels.at[i], "it is dimmable: no here")
	}
	p.Channels, p.Lamps = []int{i}, []port.Lamp{r.lamp(f, c, i, p.Outlet != port.Ref{})}
	return p
}

// lamp reads how a channel answers the commands of its port.
func (r *reader) lamp(f source.Fields, c plan.Controller, channel int, cut bool) port.Lamp {
	l := port.Lamp{Channel: r.channels.list[channel]}
	off := math.Inf(-1)
	if v := f.Get("off_below"); v.Given() {
		off = num(v, signals[c.Signal].kind, inRange(c))
	}
	if !math.IsNaN(c.Range[0] + c.Range[1] + off) {
		l.Response = r.response(f, c, channel, off, cut)
	}
	return l
}

func (r *reader) channelOf(v source.Value) int {
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
func (r *reader) response(f source.Fields, c plan.Controller, channel int, off float64, cut bool) (out dimmer.Response) {
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
		v.Warn(fmt.Sprintf("the lamp never gives its full light: %.4g %% at %s", full*100, k.Format(hi)), "flux is counted at a light fraction of 100 %", "")
	}
	return out
}

// table reads [[command, share], …].
func (r *reader) table(v source.Value, c plan.Controller) (out dimmer.Response, err error) {
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
func outletRef(v source.Value) (ref port.Ref, at plan.Pos) {
	const allowed = "write the outlet as controller/port, such as outlets/2"
	text, ok := v.Text(allowed)
	if !ok {
		return ref, at
	}
	controller, name, ok := strings.Cut(text, "/")
	if !ok || controller == "" || !portForm.MatchString(name) {
		v.Error(fmt.Sprintf("%q is no outlet", text), allowed, "")
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
