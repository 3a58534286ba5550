package planfile

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dayloom/photon/dimmer"
	"dayloom/schedule/diag"
	"dayloom/schedule/plan"
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
	p := plan.Port{Name: v.Name(), Pos: pos(v.KeyPlace()), Channel: -1, OffBelow: math.Inf(-1)}
	f, ok := v.Fields()
	if !ok {
		return p
	}
	if c.Signal == plan.Switch {
		p.Channel = r.channelOf(f.Get("channel"))
		for _, key := range []string{"off_below", "response", "outlet"} {
			if f.Has(key) {
				f.Get(key).KeyError("a switched port has no "+key, "leave it out: a switch is on or off", "")
			}
		}
		p.Response, _ = dimmer.Linear(0, 1)
		return p
	}
	p.Channel = r.channelOf(f.Need("channel"))
	if p.Channel >= 0 && !r.plan.Channels[p.Channel].Dimmable {
		f.Get("channel").Conflict(fmt.Sprintf("the channel %q can not be dimmed", r.channels.list[p.Channel]),
			"give it a port of a controller with signal: switch", r.channels.at[p.Channel], "it is dimmable: no here")
	}
	p.Outlet = outletRef(f.Get("outlet"))
	if off := f.Get("off_below"); off.Given() {
		p.OffBelow = num(off, signals[c.Signal].kind, inRange(c))
	}
	if !math.IsNaN(c.Range[0] + c.Range[1] + p.OffBelow) {
		p.Response = r.response(f, c, p)
	}
	return p
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
func (r *reader) response(f source.Fields, c plan.Controller, p plan.Port) (out dimmer.Response) {
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
			out, err = r.fromReadings(v, c, p.Channel)
		default:
			out, err = dimmer.Linear(lo, hi)
		}
	}
	if r.errors() > before {
		return out
	}
	if err == nil && !math.IsInf(p.OffBelow, -1) {
		out, err = out.WithOffBelow(p.OffBelow)
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
	if dark := out.Fraction(lo); dark > 0 && p.Outlet == nil {
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
func outletRef(v source.Value) *plan.PortRef {
	const allowed = "write the outlet as controller/port, such as outlets/2"
	text, ok := v.Text(allowed)
	if !ok {
		return nil
	}
	controller, port, ok := strings.Cut(text, "/")
	if !ok || controller == "" || !portForm.MatchString(port) {
		v.Error(fmt.Sprintf("%q is no outlet", text), allowed, "")
		return nil
	}
	return &plan.PortRef{Controller: controller, Port: port, Pos: pos(v.Place())}
}

// outlets resolves the outlets of one controller's ports, and adds an outlet that
// is not declared as a port without a channel.
func (r *reader) outlets(i int) {
	for n, p := range r.plan.Controllers[i].Ports {
		if p.Outlet == nil {
			continue
		}
		v := r.portValues[i][n].Child("outlet")
		k := r.controllers.index(p.Outlet.Controller)
		if k < 0 {
			v.Error(fmt.Sprintf("no controller is called %q", p.Outlet.Controller), r.controllers.allowed("controller"), r.controllers.near(p.Outlet.Controller))
			continue
		}
		c := &r.plan.Controllers[k]
		if c.Signal != plan.Switch {
			v.Conflict(fmt.Sprintf("the controller %q does not switch", c.Name), "an outlet is a port of a controller with signal: switch", r.controllers.at[k], "the controller is here")
			continue
		}
		at := slices.IndexFunc(c.Ports, func(o plan.Port) bool { return o.Name == p.Outlet.Port })
		if at < 0 {
			on, _ := dimmer.Linear(0, 1)
			c.Ports = append(c.Ports, plan.Port{Name: p.Outlet.Port, Channel: -1, Pos: p.Outlet.Pos, OffBelow: math.Inf(-1), Response: on})
			continue
		}
		if o := c.Ports[at]; o.Channel >= 0 && o.Channel != p.Channel {
			v.Conflict(fmt.Sprintf("the outlet feeds the channel %q", r.channels.list[o.Channel]), "an outlet cuts the supply of one channel, or is declared without one",
				diag.Place{File: v.Place().File, Line: o.Pos.Line, Col: o.Pos.Col}, "the outlet is here")
		}
	}
}

// switchedPorts checks that what hangs on a switch can be switched.
func (r *reader) switchedPorts(i int) {
	c := r.plan.Controllers[i]
	if c.Signal != plan.Switch {
		return
	}
	for n, v := range r.portValues[i] {
		p := c.Ports[n]
		feeds := r.feeds(c.Name, p.Name)
		switch {
		case p.Channel < 0 && !feeds && v.IsMap():
			if !v.Child("channel").Given() {
				v.KeyError(fmt.Sprintf("the port %q has no channel", p.Name), "give channel: such as channel: tubes, or name the port as the outlet of another", "")
			}
		case p.Channel >= 0 && r.plan.Channels[p.Channel].Dimmable && !feeds:
			v.KeyConflict(fmt.Sprintf("the channel %q can be dimmed and hangs on a switch", r.channels.list[p.Channel]),
				"make it dimmable: no, or give it a dimming port with this one as its outlet", r.channels.at[p.Channel], "the channel is here")
		}
	}
}

// feeds reports whether any port names this one as its outlet.
func (r *reader) feeds(controller, port string) bool {
	for _, c := range r.plan.Controllers {
		for _, p := range c.Ports {
			if p.Outlet != nil && p.Outlet.Controller == controller && p.Outlet.Port == port {
				return true
			}
		}
	}
	return false
}
