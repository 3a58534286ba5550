package planfile

import (
	"fmt"

	"dayloom/schedule/plan"
	"dayloom/schedule/text/quantity"
	"dayloom/schedule/text/yamltree"
)

const boldStep = 0.50 // above this a plan must say that it means it

func (r *reader) acclimation(v yamltree.Value) {
	items := v.Items("write a list such as [{corals: [staghorn-b], arrives: 2027-02-03, from_dli: 5, over: 6 weeks}]")
	for _, item := range items {
		f, ok := item.Fields()
		if !ok {
			continue
		}
		a := r.programme(item, f)
		for _, other := range r.plan.Acclimation {
			r.twice(item, items, a, other)
		}
		r.plan.Acclimation = append(r.plan.Acclimation, a)
	}
}

func (r *reader) programme(v yamltree.Value, f yamltree.Fields) plan.Acclimation {
	a := plan.Acclimation{
		Corals:    r.corals.findAll(f.Need("corals"), "coral"),
		Arrives:   r.date(f.Need("arrives")),
		OverDays:  days(f.Need("over")),
		EveryDays: days(f.Get("every")),
		StepMax:   number(f.Get("step_max")),
		By:        plan.ByChoice,
		Apart:     number(f.Get("apart")),
		Pos:       pos(v.Place()),
		StepPos:   pos(f.Get("step_max").Place()),
	}
	if a.EveryDays > a.OverDays && a.OverDays > 0 {
		f.Get("over").Error(fmt.Sprintf("the programme lasts %s and steps every %s", count(a.OverDays, "day"), count(a.EveryDays, "day")), "over must be at least as long as every", "")
	}
	if f.Has("allow") {
		word(f.Get("allow"), "big steps")
		a.Force = true
	}
	if a.StepMax > boldStep && !a.Force {
		f.Get("step_max").Error(fmt.Sprintf("step_max %s is dangerous to corals", quantity.Share.Format(a.StepMax)), "common practice is 10 % to 20 % a week; the limit is 50 %", "to go beyond it on purpose, add allow: big steps")
	}
	if f.Has("by") {
		a.By = plan.How(word(f.Get("by"), "dimming", "hours", "place", "balance", "height"))
		if a.By == plan.ByHeight && len(r.plan.Racks) == 0 {
			f.Get("by").Error("by: height raises the racks, and the plan has none", "", "give racks, or take another way")
		}
	}
	if len(a.Corals) > 0 {
		r.here = r.plan.TankOf(a.Corals[0])
	}
	for _, c := range a.Corals {
		if (f.Has("from_place") || f.Has("within")) && r.plan.TankOf(c) != r.here {
			f.Get("corals").Error(fmt.Sprintf("%q and %q stand in two tanks", r.corals.list[a.Corals[0]], r.corals.list[c]), "from_place and within are places in one tank", "write an entry for each tank")
			break
		}
	}
	r.start(v, f, &a)
	r.byPlace(f, &a)
	return a
}

// start reads where the newcomer comes from: one of three ways to say it.
func (r *reader) start(v yamltree.Value, f yamltree.Fields, a *plan.Acclimation) {
	var first yamltree.Value
	for _, key := range []string{"from_dli", "from_share", "from_place"} {
		switch k := f.Get(key); {
		case !k.Given():
		case first.Given():
			k.KeyConflict(key+" does not go with "+first.Name(), "give one of from_dli, from_share, from_place", first.KeyPlace(), "the other is here")
		default:
			first = k
		}
	}
	if !first.Given() {
		v.Error("the programme does not say what light the coral comes from", "give one of from_dli, from_share, from_place", "")
	}
	a.FromDLI = numberOr(f.Get("from_dli"), 0)
	a.FromShare = numberOr(f.Get("from_share"), 0)
	if place, ok := f.Get("from_place").Fields(); ok {
		at := r.inWater(place)
		a.FromPlace = &at
	}
	for _, i := range a.Corals {
		if target := r.plan.Zones[r.plan.Corals[i].Zone].DLI; a.FromDLI >= target {
			f.Get("from_dli").Warn(fmt.Sprintf("the coral %q has no less light before than its target of %g", r.plan.Corals[i].Name, target), "a programme goes up from less light", "")
		}
	}
}

// byPlace reads what only a programme by place takes.
func (r *reader) byPlace(f yamltree.Fields, a *plan.Acclimation) {
	if a.By != plan.ByPlace && a.By != plan.ByChoice {
		for _, key := range []string{"within", "apart"} {
			if f.Has(key) {
				f.Get(key).KeyError(key+" does nothing here", "it goes with by: place", "")
			}
		}
		return
	}
	box, ok := f.Get("within").Fields()
	if !ok {
		return
	}
	a.Within = &plan.Volume{
		X:     span(box.Need("x"), quantity.Length, r.within(0)),
		Y:     span(box.Need("y"), quantity.Length, r.within(1)),
		Depth: span(box.Need("depth"), quantity.Length, r.within(2)),
	}
}

// twice reports a coral that two programmes take up at one time.
func (r *reader) twice(v yamltree.Value, items []yamltree.Value, a, other plan.Acclimation) {
	if a.Arrives.IsZero() || other.Arrives.IsZero() ||
		!a.Arrives.Before(other.Arrives.AddDays(other.OverDays)) || !other.Arrives.Before(a.Arrives.AddDays(a.OverDays)) {
		return
	}
	for _, c := range shared(a.Corals, other.Corals) {
		v.Conflict(fmt.Sprintf("the coral %q is in another programme at that time", r.corals.list[c]), "let one programme end before the next begins",
			itemAt(items, other.Pos).Place(), "the other programme is here")
	}
}
