package yamltree

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/keys"
)

// Fields is a group whose keys are fixed words.
type Fields struct {
	of      Value
	values  map[string]Value
	excused bool // what is missing was reported as something else
}

// Fields reads the value as a group of the known keys, those that the table of keys
// has below it when none are named; other keys are reported
// with the nearest known one, and read as that if it is not given itself, so that one
// slip of the pen does not make a dozen problems. When the value is not given, or is no group (which
// is reported), the fields are all not given and ok is false.
func (v Value) Fields(known ...string) (f Fields, ok bool) {
	if len(known) == 0 {
		known = v.known()
	}
	f = Fields{of: v, values: map[string]Value{}}
	var misspelt []Value
	if !v.want(yaml.MappingNode, "it takes the keys "+diag.Words(known)) {
		return f, false
	}
	for _, e := range v.Entries("") {
		if slices.Contains(known, e.Name()) {
			f.values[e.Name()] = e
			continue
		}
		e.KeyError(fmt.Sprintf("unknown key %q", shorten(e.Name())), "allowed here: "+diag.Words(known), meant(e.Name(), known))
		misspelt = append(misspelt, e)
	}
	for _, e := range misspelt {
		if near := diag.Nearest(e.Name(), known); near != "" && !f.Has(near) {
			e.row = join(v.row, near)
			f.values[near] = e
		}
	}
	return f, true
}

// meant is the nearest of the known keys, or else where in a plan a key of that name belongs.
func meant(name string, known []string) string {
	if near := diag.DidYouMean(name, known); near != "" {
		return near
	}
	var homes []string
	for _, form := range keys.Called(name) {
		home, deep := strings.CutSuffix(form, "."+name)
		if !deep {
			home = "the plan itself"
		}
		homes = append(homes, home)
	}
	if homes == nil {
		return ""
	}
	return name + " is a key of " + diag.Words(homes)
}

// Child is the value of a key of a group, not given when there is none; nothing is
// reported.
func (v Value) Child(key string) Value {
	if v.is(yaml.MappingNode) {
		for _, e := range v.Entries("") {
			if e.Name() == key {
				return e
			}
		}
	}
	return v.under(nil, nil, key)
}

// known are the fixed keys that the table has below the value.
func (v Value) known() (names []string) {
	for _, k := range keys.Under(v.row) {
		if k.Name() != "NAME" && k.Name() != "#" {
			names = append(names, k.Name())
		}
	}
	return names
}

// Get is the value of a key; it may be not given.
func (f Fields) Get(key string) Value {
	if v, ok := f.values[key]; ok {
		return v
	}
	return f.of.under(nil, nil, key)
}

// Need is the value of a key that may not be missing; the message shows an example,
// that of the table of keys unless one is given.
func (f Fields) Need(key string, example ...string) Value {
	v := f.Get(key)
	if k, ok := v.Key(); ok && len(example) == 0 {
		example = []string{k.Example}
	}
	if !v.Given() && !f.excused && f.of.is(yaml.MappingNode) {
		v.Error(fmt.Sprintf("the key %q is missing", key), "write it such as "+key+": "+strings.Join(example, ""), "")
	}
	return v
}

// Has reports whether a key is given.
func (f Fields) Has(key string) bool { return f.Get(key).Given() }

// From is the fields with what is not given taken from another group, which is read
// without a word: its own reading tells of its faults. Only the keys named are taken;
// words joined by | stand for each other, so that giving one keeps the others out.
func (f Fields) From(other Value, keys ...string) Fields {
	out := Fields{f.of, maps.Clone(f.values), f.excused}
	for _, group := range keys {
		words := strings.Split(group, "|")
		if slices.ContainsFunc(words, f.Has) {
			continue
		}
		for _, key := range words {
			if v := other.Child(key); v.Given() {
				out.values[key] = v
			}
		}
	}
	return out
}

// Excuse is the fields with no word about keys that are missing, because a fault that
// was reported is why they are.
func (f Fields) Excuse() Fields {
	f.excused = true
	return f
}
