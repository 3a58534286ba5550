package yamltree

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"unicode"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/visible"
)

// The bounds of a file: far above any plan, far below any harm.
const (
	MaxBytes = 1 << 20
	maxDepth = 32
)

// Parse reads a YAML file and adds what is wrong with its form to problems. ok is
// false when there is no tree to read on with.
func Parse(file string, data []byte, problems *diag.List) (root Value, ok bool) {
	d := &document{file: file, problems: problems}
	if !d.checkText(data) {
		return Value{}, false
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	top, next, err := decode(data)
	switch {
	case errors.Is(err, io.EOF), err == nil && (len(top.Content) == 0 || isEmpty(top.Content[0])):
		d.add(1, 1, "", "the file holds nothing", "a plan begins with the line plan: 1", "")
		return Value{}, false
	case err != nil:
		d.add(syntaxProblem(err, data))
		return Value{}, false
	case next != nil:
		d.add(next.Line, next.Column, "", "a second document begins here", "a file holds one plan; remove the line --- and what follows", "")
	}
	d.checkForm(top.Content[0], "", 1)
	return Value{doc: d, node: top.Content[0]}, true
}

// decode gives the first document and, if there is one, the second.
func decode(data []byte) (top, next *yaml.Node, err error) {
	defer func() {
		if r := recover(); r != nil { // the library's own faults must not end the program
			err = errors.New("the text cannot be read as YAML")
		}
	}()
	dec := yaml.NewDecoder(bytes.NewReader(data))
	top, next = new(yaml.Node), new(yaml.Node)
	if err := dec.Decode(top); err != nil {
		return nil, nil, err
	}
	switch err := dec.Decode(next); {
	case errors.Is(err, io.EOF):
		return top, nil, nil
	case err != nil:
		return nil, nil, err
	}
	return top, next, nil
}

// checkText refuses bytes that are no text, with the place of the first.
func (d *document) checkText(data []byte) bool {
	if len(data) > MaxBytes {
		d.add(1, 1, "", fmt.Sprintf("the file has %d bytes", len(data)), fmt.Sprintf("a plan may have %d", MaxBytes), "")
		return false
	}
	line, col := 1, 1
	for i := 0; i < len(data); {
		r, n := utf8.DecodeRune(data[i:])
		switch {
		case r == utf8.RuneError && n <= 1:
			d.add(line, col, "", fmt.Sprintf("the byte %#02x is not UTF-8", data[i]), "save the file as UTF-8 text", "")
			return false
		case r == 0xFEFF && i == 0:
			i += n
			continue
		case r == '\u0085' || r == '\u2028' || r == '\u2029' || unicode.IsControl(r) && r != '\t' && r != '\n' && r != '\r', r == 0xFEFF, r == 0xFFFE, r == 0xFFFF:
			d.add(line, col, "", invisible(r), "only printable characters, tabs and line ends may stand in a plan", "delete it")
			return false
		}
		col++
		if r == '\n' || r == '\r' && (i+1 == len(data) || data[i+1] != '\n') {
			line, col = line+1, 1
		}
		i += n
	}
	return true
}

// checkForm walks the tree and reports what a plan has no use for. Aliases are
// never followed, so the walk ends whatever they point at; the first of them stands
// for all.
func (d *document) checkForm(n *yaml.Node, path string, depth int) {
	at := func(what, allowed, hint string) { d.add(n.Line, n.Column, path, what, allowed, hint) }
	switch {
	case depth > maxDepth:
		at(fmt.Sprintf("more than %d levels of lists and keys", maxDepth), "a plan needs fewer than ten", "")
		return
	case n.Kind == yaml.AliasNode:
		if d.aliases++; d.aliases == 1 {
			at(fmt.Sprintf("the alias *%s", n.Value), "YAML aliases are not supported: write the value out", "")
		}
		return
	case n.Anchor != "":
		if d.anchors++; d.anchors == 1 {
			at(fmt.Sprintf("the anchor &%s", n.Anchor), "YAML anchors are not supported: remove it", "")
		}
	case n.Style&yaml.TaggedStyle != 0:
		at(fmt.Sprintf("the tag %s", n.Tag), "YAML tags are not supported: remove it", "")
	case n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		at("a block of text", "write the value on one line", "")
	case n.Kind == yaml.ScalarNode:
		if r, found := visible.Hidden(n.Value); found {
			at(invisible(r), "names, notes and values are of characters that can be seen, on one line", "delete it")
		}
	}
	if n.Kind == yaml.SequenceNode {
		for i, item := range n.Content {
			d.checkForm(item, join(path, fmt.Sprint(i)), depth+1)
		}
	}
	if n.Kind == yaml.MappingNode {
		d.checkKeys(n, path, depth)
	}
}

func (d *document) checkKeys(n *yaml.Node, path string, depth int) {
	first := map[string]*yaml.Node{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		here := join(path, key.Value)
		switch {
		case key.Kind != yaml.ScalarNode || key.Value == "":
			d.add(key.Line, key.Column, path, "a key that is not a word", "keys are words such as channels", "")
		case key.Tag == "!!merge":
			d.add(key.Line, key.Column, path, "the merge key <<", "YAML merge keys are not supported: write the keys out", "")
		case key.Anchor != "" || key.Style&yaml.TaggedStyle != 0 || key.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
			d.add(key.Line, key.Column, here, fmt.Sprintf("the key %q carries an anchor, a tag or a block", key.Value), "keys are plain words", "")
		case first[key.Value] != nil:
			d.conflict(key, here, fmt.Sprintf("%q is given twice", key.Value), "keep one", first[key.Value], "first given here")
		default:
			first[key.Value] = key
			if r, found := visible.Hidden(key.Value); found {
				d.add(key.Line, key.Column, path, "a key with "+invisible(r), "keys are plain words", "delete it")
			}
		}
		d.checkForm(value, here, depth+1)
	}
}

func invisible(r rune) string { return fmt.Sprintf("the invisible character U+%04X", r) }

func join(path, step string) string {
	if path == "" {
		return step
	}
	return path + "." + step
}
