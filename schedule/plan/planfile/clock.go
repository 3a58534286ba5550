package planfile

import (
	"time"

	"dayloom/schedule/plan/clock"
	"dayloom/schedule/text/yamltree"
)

func (r *reader) clock(v yamltree.Value) {
	f, ok := v.Fields()
	if !ok {
		return
	}
	c := &r.plan.Clock
	c.Zone, c.ZoneName = zone(f.Need("zone"))
	c.FollowsSummerTime = word(f.Get("summer_time"), "ignore", "follow") == 1
	c.ControllerStays = word(f.Get("controller"), "follows", "stays") == 1
}

func zone(v yamltree.Value) (*time.Location, string) {
	const allowed = "write an IANA name such as Europe/Lisbon or UTC"
	name, ok := v.Text(allowed)
	if !ok {
		return nil, ""
	}
	loc, err := clock.Zone(name)
	if err != nil {
		v.Error(err.Error(), allowed, "")
		return nil, ""
	}
	return loc, name
}
