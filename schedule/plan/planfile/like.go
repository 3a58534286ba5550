package planfile

import (
	"fmt"
	"slices"

	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/yamltree"
)

// What `like` takes from another, in words joined by | that stand for each other. A
// zone does not take corals, each of which has its own name and place, and takes an
// area only when it has no corals.
var (
	likeTank    = []string{"length", "width", "depth", "water", "walls"}
	likeChannel = []string{"tank", "flux|efficacy", "power", "spectrum", "dimmable", "ageing", "hours_run", "installed", "uncertainty", "emitters"}
	likeEmitter = []string{"line|point|panel", "beam|photometry", "aim", "turn"}
	likeZone    = []string{"dli", "dli_min", "dli_max", "within", "ppfd_max", "ek"}
)

// like fills in what a channel, zone or other named thing of a group does not say
// from the one that its key `like` names, which may be like a third. After a fault the
// fields are those that are said, and what they lack is excused.
func like(f yamltree.Fields, v yamltree.Value, group yamltree.Value, sort string, keys []string) yamltree.Fields {
	said, seen := f, []string{v.Name()}
	for at := f.Get("like"); at.Given(); {
		name, ok := at.Text("write the name of another " + sort)
		other := group.Child(name)
		switch {
		case !ok:
			return said.Excuse()
		case !other.Given():
			at.Error(fmt.Sprintf("no %s is called %q", sort, name), "like: takes what is not said here from another "+sort, diag.DidYouMean(name, namesIn(group)))
			return said.Excuse()
		case slices.Contains(seen, name):
			if seen[0] == name { // the others of a ring tell of it themselves
				at.Error(fmt.Sprintf("%q is like itself", name), "like: names another "+sort+", and no ring of them", "")
			}
			return said.Excuse()
		}
		seen = append(seen, name)
		f, at = f.From(other, keys...), other.Child("like")
	}
	return f
}

func namesIn(group yamltree.Value) (names []string) {
	if group.IsMap() {
		for _, e := range group.Entries("") {
			names = append(names, e.Name())
		}
	}
	return names
}

// likeThat fills in what an emitter does not say from the emitter of the channel that
// its key `like` names: the one of the same number in the list, or the only one.
func (r *reader) likeThat(f yamltree.Fields, number int) (out yamltree.Fields, ok bool) {
	at := f.Get("like")
	if !at.Given() {
		return f, true
	}
	name, ok := at.Text("write the name of a channel")
	if !ok {
		return f, false
	}
	channel := r.channelGroup.Child(name)
	if !channel.Given() {
		at.Error(fmt.Sprintf("no channel is called %q", name), "like: in an emitter names the channel whose emitter it is like", diag.DidYouMean(name, namesIn(r.channelGroup)))
		return f, false
	}
	emitters := channel.Child("emitters")
	if !emitters.IsList() {
		at.Error(fmt.Sprintf("the channel %q has no emitters of its own", name), "name a channel that lists its emitters", "")
		return f, false
	}
	items := emitters.Items("")
	switch {
	case len(items) == 1:
		return f.From(items[0], likeEmitter...), true
	case number < len(items):
		return f.From(items[number], likeEmitter...), true
	}
	at.Error(fmt.Sprintf("the channel %q has only %s", name, count(len(items), "emitter")), fmt.Sprintf("this is emitter %d: it is like the one of the same number, or the only one", number+1), "")
	return f, false
}
