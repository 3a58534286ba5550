package planfile

import (
	"fmt"
	"slices"

	"dayloom/photon/emitter"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/port"
	"dayloom/schedule/text/diag"
)

// unused warns of what is defined and does nothing, and of ports that share a
// channel.
func (r *reader) unused() {
	if r.errors() > 0 {
		return // what is not understood may be what uses it
	}
	lit := map[int]bool{}
	for _, p := range r.plan.Day {
		for _, c := range p.Channels {
			lit[c] = true
		}
	}
	for _, d := range r.plan.Days {
		for _, p := range d.Parts {
			for _, c := range p.Channels {
				lit[c] = true
			}
		}
	}
	r.unusedChannels(lit)
	for i, name := range r.days.list {
		if !r.usedDays[i] {
			r.warn(r.days.at[i], "days."+name, fmt.Sprintf("the day %q is never used", name), "name it in the calendar with day: "+name)
		}
	}
	r.sharedChannels()
	r.outside()
	r.darkTanks()
}

// darkTanks warns of tanks over which no channel hangs, and of those in which nothing stands.
func (r *reader) darkTanks() {
	for i, t := range r.plan.Tanks {
		at, path := r.tanks.at[i], "tanks."+t.Name
		if !slices.ContainsFunc(r.plan.Channels, func(c plan.Channel) bool { return c.Tank == i }) {
			r.warn(at, path, fmt.Sprintf("no channel lights the tank %q", t.Name), "name it in a channel with tank: "+t.Name)
		}
		if !slices.ContainsFunc(r.plan.Zones, func(z plan.Zone) bool { return z.Tank == i }) {
			r.warn(at, path, fmt.Sprintf("no zone lies in the tank %q", t.Name), "name it in a zone with tank: "+t.Name)
		}
	}
}

// outside warns of emitters that hang beside the tank: much of their light misses the
// water, and it is more often a slip in a place than meant.
func (r *reader) outside() {
	for i, c := range r.plan.Channels {
		box := r.plan.TankAt(c.Tank).Box
		for n, e := range c.Emitters {
			ends := [][2]float64{e.At}
			if e.Kind == emitter.Line {
				ends = [][2]float64{e.From, e.To}
			}
			for _, at := range ends {
				if at[0] < 0 || at[0] > box.Length || at[1] < 0 || at[1] > box.Width {
					r.warn(r.channels.at[i], "channels."+c.Name, fmt.Sprintf("emitter %d of %q reaches beside the tank, to x %s, y %s", n+1, c.Name, cm(at[0]), cm(at[1])),
						fmt.Sprintf("the water is %s long and %s wide; check the place, or leave it if the lamp does hang there", cm(box.Length), cm(box.Width)))
					break
				}
			}
		}
	}
}

func (r *reader) unusedChannels(lit map[int]bool) {
	for i, c := range r.plan.Channels {
		at, path := r.channels.at[i], "channels."+c.Name
		switch port := r.hasPort(i); {
		case !lit[i]:
			r.warn(at, path, fmt.Sprintf("the channel %q is in no entry of the day and stays dark", c.Name), "give it an entry under day")
		case !port && len(r.plan.Controllers) > 0:
			r.warn(at, path, fmt.Sprintf("the channel %q has no port", c.Name), "no timetable can be written for it; give it a port under controllers")
		}
		if len(c.Emitters) == 0 && !r.isRead(i) {
			r.warn(at, path, fmt.Sprintf("no light is known of the channel %q", c.Name), "give it emitters, or read it lit alone")
		}
	}
	if len(r.plan.Controllers) == 0 {
		r.warn(diag.Place{File: r.plan.File, Line: 1, Col: 1}, "controllers", "the plan has no controllers", "no timetable can be written; give controllers with ports")
	}
}

func (r *reader) hasPort(channel int) bool {
	return slices.ContainsFunc(r.plan.Ports(), func(p plan.Port) bool { return slices.Contains(p.Channels, channel) })
}

func (r *reader) isRead(channel int) bool {
	for _, w := range r.rows {
		for _, l := range w.lit {
			if l.channel == channel {
				return true
			}
		}
	}
	return false
}

// sharedChannels warns of ports that drive the same channel, save an outlet and the
// dimming port whose supply it cuts.
func (r *reader) sharedChannels() {
	first := map[int]plan.Port{}
	place := func(p plan.Port) diag.Place {
		return diag.Place{File: r.plan.File, Line: p.Pos.Line, Col: p.Pos.Col}
	}
	for _, p := range r.plan.Ports() {
		if p.Signal == port.Switch && r.feeds(p.Ref()) {
			continue
		}
		for _, i := range p.Channels {
			if other, ok := first[i]; ok {
				r.warn(place(p), "controllers."+p.Controller+".ports."+p.Name,
					fmt.Sprintf("the channel %q has more than one port", r.channels.list[i]), "each follows the whole curve, through its own response")
				r.problems[len(r.problems)-1].Other = &diag.Other{Place: place(other), Note: "the first is here"}
				continue
			}
			first[i] = p
		}
	}
}

func (r *reader) warn(at diag.Place, path, what, allowed string) {
	r.problems = append(r.problems, diag.Problem{Severity: diag.Warning, Place: at, Path: path, What: what, Allowed: allowed})
}
