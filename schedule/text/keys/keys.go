package keys

import (
	_ "embed"
	"slices"
	"strings"
)

// Key is one row of the table.
type Key struct {
	Form     string   // where it stands, such as channels.NAME.flux
	Kinds    []string // what may be written there, without the words
	Words    []string // of "one of": the words that may be written
	Range    string   // in the words of a message, such as "from 0 % to 100 %"; "" where the plan itself bounds it, or nothing does
	Needed   bool     // the key may not be missing in its group
	Default  string   // what holds when it is not given; "" nothing
	Example  string
	Sentence string
}

// Name is the last step of the form: the key itself, NAME or #.
func (k Key) Name() string { return k.Form[strings.LastIndexByte(k.Form, '.')+1:] }

//go:embed table.txt
var text string

var (
	table          = parse(text)
	byForm, groups = index(table)
)

// index finds rows by their form, and by the form that they hang on.
func index(rows []Key) (byForm map[string]Key, groups map[string][]Key) {
	byForm, groups = map[string]Key{}, map[string][]Key{}
	for _, k := range rows {
		byForm[k.Form] = k
		up := strings.TrimSuffix(strings.TrimSuffix(k.Form, k.Name()), ".")
		groups[up] = append(groups[up], k)
	}
	return byForm, groups
}

// parse reads the table. It is part of the program, so a fault in it is one of the
// program: TestTable reads every row again.
func parse(text string) (rows []Key) {
	for line := range strings.Lines(text) {
		column := strings.Split(line, "|")
		if strings.HasPrefix(line, "#") || len(column) != 6 {
			continue
		}
		for i := range column {
			column[i] = strings.TrimSpace(column[i])
		}
		k := Key{Form: column[0], Range: column[2], Needed: column[3] == "needed", Example: column[4], Sentence: column[5]}
		for _, kind := range strings.Split(column[1], " or ") {
			if words, ok := strings.CutPrefix(kind, "one of "); ok {
				k.Words = append(k.Words, strings.Split(words, ", ")...)
				continue
			}
			k.Kinds = append(k.Kinds, kind)
		}
		if !k.Needed && column[3] != "-" {
			k.Default = column[3]
		}
		rows = append(rows, k)
	}
	return rows
}

// All is every row in the order of the reference.
func All() []Key { return slices.Clone(table) }

// Called are the forms of all keys of a fixed name, wherever they stand.
func Called(name string) (forms []string) {
	for _, k := range table {
		if k.Name() == name && name != "NAME" && name != "#" {
			forms = append(forms, k.Form)
		}
	}
	return forms
}

// alike are parts of a plan that are written like others.
var alike = []struct{ part, like string }{{"days.NAME", "day"}, {"calendar.#.season", "season"}, {"tanks.NAME", "tank"}}

// canonical is the form under which the table has a part that is written like another.
func canonical(form string) string {
	for _, a := range alike {
		if rest, ok := strings.CutPrefix(form, a.part+"."); ok {
			return a.like + "." + rest
		}
	}
	return form
}

// Find is the row of a form.
func Find(form string) (Key, bool) {
	k, ok := byForm[form]
	if !ok {
		k, ok = byForm[canonical(form)]
	}
	return k, ok
}

// Under are the rows directly below a form, "" for the plan itself.
func Under(form string) []Key {
	like := strings.TrimSuffix(canonical(form+"."), ".")
	if like == form {
		return groups[form]
	}
	return slices.Concat(groups[form], groups[like])
}

// Resolve is the row that a path of a plan, such as channels.bar-blue.emitters.0.beam,
// or a form means. Names and indexes may be left out: channels.emitters.beam.
func Resolve(path string) (Key, bool) {
	form := ""
	for _, step := range strings.Split(path, ".") {
		next, ok := below(form, step)
		if !ok {
			return Key{}, false
		}
		form = next
	}
	return Find(form)
}

// below is the form that a step leads to from another: the key of that name, also
// past a name or an index that was left out, or else a name or an index.
func below(form, step string) (string, bool) {
	for at := form; ; {
		if _, ok := Find(join(at, step)); ok {
			return join(at, step), true
		}
		next, ok := generic(at)
		if !ok {
			break
		}
		at = next
	}
	next, ok := generic(form)
	if ok && strings.HasSuffix(next, "#") && strings.Trim(step, "0123456789") != "" {
		return "", false
	}
	return next, ok
}

// generic is the form of the names or the items below another.
func generic(form string) (string, bool) {
	for _, step := range []string{"NAME", "#"} {
		if _, ok := Find(join(form, step)); ok {
			return join(form, step), true
		}
	}
	return "", false
}

func join(form, step string) string {
	if form == "" {
		return step
	}
	return form + "." + step
}
