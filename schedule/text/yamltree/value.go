package yamltree

import (
	"fmt"
	"strings"

	"gopkg.in/yaml.v3"

	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/keys"
)

type document struct {
	file     string
	problems *diag.List

	anchors, aliases int // how many were met
}

func (d *document) add(line, col int, path, what, allowed, hint string) {
	*d.problems = append(*d.problems, diag.Problem{Place: d.place(line, col), Path: path, What: what, Allowed: allowed, Hint: hint})
}

func (d *document) conflict(n *yaml.Node, path, what, allowed string, other *yaml.Node, note string) {
	d.add(n.Line, n.Column, path, what, allowed, "")
	(*d.problems)[len(*d.problems)-1].Other = &diag.Other{Place: d.place(other.Line, other.Column), Note: note}
}

func (d *document) place(line, col int) diag.Place {
	return diag.Place{File: d.file, Line: max(line, 1), Col: max(col, 1)}
}

// Value is a value of the file, or the absence of one, with its place. Its methods
// add to the problems of the file when the value has the wrong form.
type Value struct {
	doc  *document
	key  *yaml.Node // nil for the root and the items of a list
	node *yaml.Node // nil: not given
	path string
	row  string // the path with NAME and # in place of names and indexes
	up   *Value // what it belongs to, for the place of what is not given
}

// Given reports whether the value stands in the file.
func (v Value) Given() bool { return v.node != nil }

// Name is the key under which the value stands, "" for the items of a list.
func (v Value) Name() string {
	if v.key == nil {
		return ""
	}
	return v.key.Value
}

// Key is the value's row in the table of keys; false for a file that has no table.
func (v Value) Key() (keys.Key, bool) { return keys.Find(v.row) }

// Path is where the value is in the plan, such as channels.bar-blue.flux.
func (v Value) Path() string { return v.path }

// Place is where the value begins, or for one that is not given, where that begins
// to which it would belong.
func (v Value) Place() diag.Place {
	switch {
	case v.node == nil && v.up != nil:
		return v.up.KeyPlace()
	case v.node == nil:
		return v.doc.place(1, 1)
	case isEmpty(v.node) && v.key != nil, v.node.Line == 0 && v.key != nil:
		return v.KeyPlace()
	}
	return v.doc.place(v.node.Line, v.node.Column)
}

// KeyPlace is the place of the value's key, of the value itself when it has none.
func (v Value) KeyPlace() diag.Place {
	if v.key == nil {
		if v.node == nil || v.node.Line == 0 {
			return v.doc.place(1, 1)
		}
		return v.doc.place(v.node.Line, v.node.Column)
	}
	return v.doc.place(v.key.Line, v.key.Column)
}

// Error reports that the value is wrong.
func (v Value) Error(what, allowed, hint string) {
	v.report(diag.Problem{Place: v.Place(), What: what, Allowed: allowed, Hint: hint})
}

// KeyError reports that the value's key or name is wrong.
func (v Value) KeyError(what, allowed, hint string) {
	v.report(diag.Problem{Place: v.KeyPlace(), What: what, Allowed: allowed, Hint: hint})
}

// Warn reports something doubtful about the value, at its key.
func (v Value) Warn(what, allowed, hint string) {
	v.report(diag.Problem{Severity: diag.Warning, Place: v.KeyPlace(), What: what, Allowed: allowed, Hint: hint})
}

// Conflict reports that the value does not go with what stands at another place.
func (v Value) Conflict(what, allowed string, other diag.Place, note string) {
	v.report(diag.Problem{Place: v.Place(), What: what, Allowed: allowed, Other: &diag.Other{Place: other, Note: note}})
}

// KeyConflict is Conflict at the value's key.
func (v Value) KeyConflict(what, allowed string, other diag.Place, note string) {
	v.report(diag.Problem{Place: v.KeyPlace(), What: what, Allowed: allowed, Other: &diag.Other{Place: other, Note: note}})
}

func (v Value) report(p diag.Problem) {
	p.Path = v.path
	*v.doc.problems = append(*v.doc.problems, p)
}

// Text is the text of a scalar, without quotes. ok is false when the value is not
// given or, which is reported with what is allowed, is no scalar or empty.
func (v Value) Text(allowed string) (text string, ok bool) {
	switch {
	case v.node == nil || v.node.Kind == yaml.AliasNode:
		return "", false
	case v.node.Kind != yaml.ScalarNode || strings.TrimSpace(v.node.Value) == "":
		v.Error(fmt.Sprintf("%s %s", v.what(), v.form()), allowed, "")
		return "", false
	}
	return strings.TrimSpace(v.node.Value), true
}

// IsText reports whether the value is a scalar, IsList whether it is a list and
// IsMap whether it holds keys.
func (v Value) IsText() bool { return v.is(yaml.ScalarNode) && !isEmpty(v.node) }

// IsList reports whether the value is a list.
func (v Value) IsList() bool { return v.is(yaml.SequenceNode) }

// IsMap reports whether the value holds keys.
func (v Value) IsMap() bool { return v.is(yaml.MappingNode) }

func (v Value) is(k yaml.Kind) bool { return v.node != nil && v.node.Kind == k }

// Items are the items of a list, none when the value is not given. Another form is
// reported with what is allowed.
func (v Value) Items(allowed string) []Value {
	if !v.want(yaml.SequenceNode, allowed) {
		return nil
	}
	var items []Value
	for i, n := range v.node.Content {
		items = append(items, Value{doc: v.doc, node: n, path: join(v.path, fmt.Sprint(i)), row: join(v.row, "#"), up: &v})
	}
	return items
}

// under is the value of a key below v, with the form of its row in the table of keys.
func (v Value) under(key, node *yaml.Node, name string) Value {
	row := join(v.row, name)
	if _, ok := keys.Find(row); !ok {
		row = join(v.row, "NAME")
	}
	return Value{doc: v.doc, key: key, node: node, path: join(v.path, name), row: row, up: &v}
}

// Entries are the values of a group whose keys are names, in file order; a name
// that stands twice gives its first value. Another form is reported with what is
// allowed.
func (v Value) Entries(allowed string) []Value {
	if !v.want(yaml.MappingNode, allowed) {
		return nil
	}
	var out []Value
	seen := map[string]bool{}
	for i := 0; i+1 < len(v.node.Content); i += 2 {
		key := v.node.Content[i]
		if key.Kind != yaml.ScalarNode || key.Value == "" || key.Tag == "!!merge" || seen[key.Value] {
			continue
		}
		seen[key.Value] = true
		out = append(out, v.under(key, v.node.Content[i+1], key.Value))
	}
	return out
}

// want reports a value of another kind than the one wanted.
func (v Value) want(k yaml.Kind, allowed string) bool {
	if v.node == nil || v.node.Kind == yaml.AliasNode {
		return false
	}
	if v.node.Kind != k {
		v.Error(fmt.Sprintf("%s %s", v.what(), v.form()), allowed, "")
		return false
	}
	return true
}

// what names the value in a message.
func (v Value) what() string {
	switch {
	case v.key != nil:
		return v.key.Value
	case v.path == "":
		return "the file"
	}
	return "this item"
}

// form says what a value of the wrong kind is.
func (v Value) form() string {
	switch {
	case v.node.Kind == yaml.MappingNode:
		return "holds keys"
	case v.node.Kind == yaml.SequenceNode:
		return "is a list"
	case isEmpty(v.node) || strings.TrimSpace(v.node.Value) == "":
		return "has no value"
	}
	return fmt.Sprintf("is the text %q", shorten(v.node.Value))
}

func isEmpty(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && n.Value == "" && n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) == 0
}

func shorten(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}
