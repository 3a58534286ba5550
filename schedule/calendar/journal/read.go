package journal

import (
	"bytes"
	"fmt"
	"math"
	"strings"

	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/quantity"
	"dayloom/schedule/text/yamltree"
)

// MaxBytes is how large a journal may be.
const MaxBytes = yamltree.MaxBytes

// Read reads a journal. An empty file, or one of comments alone, is a journal without
// entries. Entries with an error are left out of the result.
func Read(file string, data []byte) ([]Entry, diag.List) {
	if blank(data) {
		return nil, nil
	}
	var problems diag.List
	root, ok := yamltree.Parse(file, data, &problems)
	if !ok {
		return nil, problems
	}
	var out []Entry
	for _, item := range root.Items("a journal is a list of entries, each beginning with - date:") {
		before := len(problems)
		e := entry(item)
		if !problems[before:].HasErrors() {
			if err := e.check(); err != nil {
				item.Error(err.Error(), "", "")
				continue
			}
			if e.Do == Undo {
				if k := Last(out); k < 0 {
					item.Error("there is no entry above to undo", "", "")
					continue
				} else if out[k].Date != e.Date {
					item.Error(fmt.Sprintf("undo has the date %s, and the entry that it cancels, %q, has %s", e.Date, out[k].Words(), out[k].Date), "the days from that date on are worked out again, so it carries the same date", "write date: "+out[k].Date.String())
					continue
				}
			}
			if n := len(out); n > 0 && e.Date.Before(out[n-1].Date) {
				item.Warn(fmt.Sprintf("this entry is dated %s, before the one above it", e.Date), "", "the days from then on are worked out again")
			}
			out = append(out, e)
		}
	}
	return out, problems
}

// blank reports whether there is nothing but comments and empty lines.
func blank(data []byte) bool {
	for line := range bytes.Lines(bytes.TrimPrefix(data, []byte("\ufeff"))) {
		if line = bytes.TrimSpace(line); len(line) > 0 && line[0] != '#' {
			return false
		}
	}
	return true
}

func entry(item yamltree.Value) Entry {
	f, ok := item.Fields("date", "coral", "do", "x", "y", "depth", "zone", "note", "rack", "height", "from", "to")
	if !ok {
		return Entry{}
	}
	var e Entry
	if v := f.Get("do"); v.Given() {
		text, _ := v.Text(doAllowed)
		var err error
		if e, err = ParseDo(text); err != nil && text != "" {
			what, allowed, _ := strings.Cut(err.Error(), "; ")
			v.Error(what, allowed, "")
		}
	}
	if f.Has("rack") {
		aside(f, &e)
	}
	e.At = item.Place()
	if v := f.Need("date", "2027-02-20"); v.Given() {
		const allowed = "write a date such as 2027-02-20"
		text, ok := v.Text(allowed)
		d, err := plan.ParseDate(text)
		if ok && err != nil {
			v.Error(fmt.Sprintf("%q is not a date", text), allowed, "")
		}
		e.Date = d
	}
	if v := f.Get("coral"); v.Given() {
		e.Coral, _ = v.Text("the name of a coral of the plan")
	}
	if v := f.Get("note"); v.Given() {
		e.Remarks, _ = v.Text("any words")
	}
	if v := f.Get("zone"); v.Given() {
		if e.Do != Moved {
			v.KeyError("zone belongs to do: moved", "remove it, or write do: moved", "")
		}
		e.Zone, _ = v.Text("the name of a zone of the plan")
	}
	for i, key := range []string{"x", "y", "depth"} {
		v := f.Get(key)
		if e.Do == Aside && key != "depth" {
			continue
		}
		if e.Do != Moved {
			if v.Given() {
				v.KeyError(fmt.Sprintf("%s belongs to do: moved", key), "remove it, or write do: moved", "")
			}
			continue
		}
		if v = f.Need(key, "40 cm"); v.Given() {
			text, ok := v.Text("write a length such as 40 cm")
			x, err := quantity.Length.Parse(text)
			if ok && err != nil {
				v.Error(err.Error(), "", "")
			}
			e.To[i] = x
		}
	}
	return e
}

// aside reads where a rack hangs for a while, and from when to when.
func aside(f yamltree.Fields, e *Entry) {
	if do := f.Get("do"); do.Given() {
		do.KeyError("do does not go with rack", "give one of them", "")
		return
	}
	e.Do = Aside
	e.Rack, _ = f.Get("rack").Text("the name of a rack of the plan")
	for i, key := range []string{"x", "y", "height"} {
		e.Hung[i] = math.NaN()
		if v := f.Get(key); v.Given() {
			e.Hung[i] = read(v, "write a length such as 40 cm", quantity.Length.Parse)
		}
	}
	for i, key := range []string{"from", "to"} {
		e.Times[i] = read(f.Need(key, "14:00"), `write a time such as "14:00"`, quantity.TimeOfDay)
	}
}

// read is a quantity, NaN for what is bad.
func read(v yamltree.Value, allowed string, parse func(string) (float64, error)) float64 {
	text, ok := v.Text(allowed)
	if !ok {
		return math.NaN()
	}
	x, err := parse(text)
	if err != nil {
		v.Error(err.Error(), "", "")
		return math.NaN()
	}
	return x
}
