package planfile

import (
	"fmt"

	"dayloom/schedule/plan"
	"dayloom/schedule/shape/daypattern"
	"dayloom/schedule/text/yamltree"
)

func (r *reader) calendar(v yamltree.Value) {
	r.usedDays = map[int]bool{}
	for _, item := range v.Items(`write a list such as [{days: "0 0 * * 0", name: quiet Sunday, scale: 60 %}]`) {
		switch {
		case item.Child("relamp").Given():
			r.relamp(item)
		case item.Child("rack").Given():
			r.rackMove(item)
		case item.Child("season").Given():
			if f, ok := item.Fields("season"); ok {
				r.season(f.Get("season"))
			}
		default:
			r.rule(item)
		}
	}
}

func (r *reader) relamp(v yamltree.Value) {
	f, ok := v.Fields("relamp", "on", "step_max")
	if !ok {
		return
	}
	l := plan.Relamp{
		Channel: r.channels.find(f.Get("relamp"), "channel"),
		On:      r.date(f.Need("on")),
		StepMax: number(f.Get("step_max")),
		Pos:     pos(v.Place()),
	}
	if on := f.Get("on"); l.Channel >= 0 && !l.On.IsZero() && l.On.Before(r.plan.Channels[l.Channel].Installed) {
		installed := on.Place()
		installed.Line, installed.Col = r.channels.at[l.Channel].Line, r.channels.at[l.Channel].Col
		on.Conflict(fmt.Sprintf("the lamps of %q are replaced on %v, before they were installed on %v", r.channels.list[l.Channel], l.On, r.plan.Channels[l.Channel].Installed),
			"correct one of the dates", installed, "the channel is here")
	}
	if l.Channel >= 0 && len(r.plan.Channels[l.Channel].Ageing) == 0 {
		f.Get("relamp").Warn(fmt.Sprintf("the channel %q does not age", r.channels.list[l.Channel]), "new lamps then change nothing; give it ageing", "")
	}
	r.plan.Relamps = append(r.plan.Relamps, l)
}

func (r *reader) season(v yamltree.Value) {
	f, ok := v.Fields("latitude", "share")
	if !ok {
		return
	}
	s := &plan.Season{
		LatitudeDeg: number(f.Need("latitude")),
		Share:       number(f.Need("share")),
		Pos:         pos(v.KeyPlace()),
	}
	if r.plan.Season != nil {
		other := v.KeyPlace()
		other.Line, other.Col = r.plan.Season.Pos.Line, r.plan.Season.Pos.Col
		v.KeyConflict("the plan has a second season", "give one", other, "the first is here")
		return
	}
	r.plan.Season = s
}

// rule reads which dates are other days than usual, and what they are like.
func (r *reader) rule(v yamltree.Value) {
	f, ok := v.Fields("name", "days", "from", "to", "on", "scale", "day", "relamp", "season", "rack")
	if !ok {
		return
	}
	c := plan.CalendarRule{Day: -1, Pos: pos(v.Place())}
	if name := f.Get("name"); name.Given() {
		c.Name, _ = name.Text("write a name such as quiet Sunday")
	}
	r.dates(v, f, &c)
	c.Scale = number(f.Get("scale"))
	if f.Has("day") {
		c.Day = r.days.find(f.Get("day"), "day")
		r.usedDays[c.Day] = true
	}
	if !f.Has("day") && !f.Has("scale") {
		if c.Name == "" {
			v.Error("the rule changes nothing", "give scale: such as scale: 60 %, or day: the name of one of days, or both; or the name of a chore", "")
		}
		r.plan.Chores = append(r.plan.Chores, plan.Chore{Name: c.Name, Pattern: c.Pattern, From: c.From, To: c.To})
		return
	}
	r.plan.Calendar = append(r.plan.Calendar, c)
}

// dates reads a pattern, a range (of which both may be given), or one date.
func (r *reader) dates(v yamltree.Value, f yamltree.Fields, c *plan.CalendarRule) {
	const allowed = `give days: "0 0 * * 0", from and to, or on`
	if on := f.Get("on"); on.Given() {
		for _, key := range []string{"days", "from", "to"} {
			if f.Has(key) {
				f.Get(key).KeyConflict(key+" does not go with on", allowed, on.KeyPlace(), "on is here")
			}
		}
		c.From = r.date(on)
		c.To = c.From
		return
	}
	if pattern := f.Get("days"); pattern.Given() {
		if text, ok := pattern.Text(`write a cron day pattern such as "0 0 * * 0"`); ok {
			p, err := daypattern.Parse(text)
			if err != nil {
				pattern.Error(err.Error(), "", "")
			}
			c.Pattern = p.String()
		}
	} else if !f.Has("from") && !f.Has("to") {
		v.Error("the rule has no dates", allowed, "")
		return
	}
	if f.Has("from") || f.Has("to") {
		c.From, c.To = r.date(f.Need("from")), r.date(f.Need("to"))
		if !c.From.IsZero() && !c.To.IsZero() && c.To.Before(c.From) {
			f.Get("to").Conflict("to is before from", "the last date must not be before the first", f.Get("from").Place(), "from is here")
		}
	}
}
