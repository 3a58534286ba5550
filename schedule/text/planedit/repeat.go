package planedit

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// Repeat gives the plan's text with item i of the list at path standing n times in a
// row, comments and layout with it. The list must have its items on lines of their own.
func Repeat(src []byte, path string, i, n int) ([]byte, error) {
	root, err := parse(src)
	if err != nil {
		return nil, err
	}
	v, err := at(root, path)
	if err != nil {
		return nil, err
	}
	items := v.Items("")
	if !v.IsList() || i < 0 || i >= len(items) {
		return nil, fmt.Errorf("%s has no item %d; %s", path, i, next(v))
	}
	lines := bytes.SplitAfter(src, []byte("\n"))
	first := items[i].Place().Line - 1
	dash := bytes.TrimLeft(lines[first], " ")
	if !bytes.HasPrefix(dash, []byte("-")) {
		return nil, errors.New(path + " is written on one line; write each of its items on lines of its own, after a dash")
	}
	indent := len(lines[first]) - len(dash)
	last := first + 1
	for last < len(lines) && within(lines[last], indent) {
		last++
	}
	block := bytes.Join(lines[first:last], nil)
	if !bytes.HasSuffix(block, []byte("\n")) {
		block = append(block, '\n')
	}
	out := bytes.Join(lines[:first], nil)
	for range n {
		out = append(out, block...)
	}
	return append(out, bytes.Join(lines[last:], nil)...), nil
}

// within tells whether a line still belongs to an item whose dash stands at indent:
// it is deeper. Blank lines and comments above the next item belong to that one.
func within(line []byte, indent int) bool {
	text := bytes.TrimLeft(line, " ")
	return len(bytes.TrimSpace(text)) > 0 && len(line)-len(text) > indent
}

// OnlyItem gives the plan's text with the list of words at path holding one of its
// items alone. The list must be written on one line, such as [a, b].
func OnlyItem(src []byte, path, item string) ([]byte, error) {
	from, to, err := inLine(src, path)
	if err != nil {
		return nil, err
	}
	return slices.Concat(src[:from], []byte("["+item+"]"), src[to:]), nil
}

// List gives the plan's text with a list, written on one line, in place of the one or of
// the single word at path.
func List(src []byte, path, list string) ([]byte, error) {
	from, to, err := inLine(src, path)
	if err != nil {
		root, bad := parse(src)
		if bad != nil {
			return nil, bad
		}
		places, bad := find(root, strings.Split(path, "."), "")
		if bad != nil {
			return nil, err
		}
		from = offset(src, places[0].Place())
		if to, err = end(src, from, places[0]); err != nil {
			return nil, err
		}
	}
	out := slices.Concat(src[:from], []byte(list), src[to:])
	_, err = parse(out)
	return out, err
}

// inLine is where a list written on one line begins and ends.
func inLine(src []byte, path string) (from, to int, err error) {
	root, err := parse(src)
	if err != nil {
		return 0, 0, err
	}
	v, err := at(root, path)
	if err != nil {
		return 0, 0, err
	}
	from = offset(src, v.Place())
	if v.IsList() && src[from] == '[' {
		deep := 0
		for to = from; to < len(src) && src[to] != '\n'; to++ {
			switch src[to] {
			case '[':
				deep++
			case ']':
				if deep--; deep == 0 {
					return from, to + 1, nil
				}
			}
		}
	}
	return 0, 0, fmt.Errorf("%s is not a list on one line; write it such as [a, b]", path)
}
