package planedit

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"dayloom/schedule/text/yamltree"
)

// Replace is Set for one value that may be a group, which then goes with all that it holds.
func Replace(src []byte, path, value string) ([]byte, error) {
	root, err := parse(src)
	if err != nil {
		return nil, err
	}
	v, err := at(root, path)
	if err != nil || v.IsText() {
		if err == nil {
			src, err = Set(src, path, value)
		}
		return src, err
	}
	from := offset(src, v.Place())
	to, err := groupEnd(src, from, v)
	if err != nil {
		return nil, err
	}
	for from > 0 && src[from] != '{' && src[from] != '[' && src[from-1] != ':' {
		if !bytes.ContainsRune([]byte(" \n\r"), rune(src[from-1])) { // a comment behind the key stays
			from = offset(src, v.Place())
			break
		}
		from--
	}
	text := written(value, nil)
	if src[from-1] == ':' {
		text = " " + text
	}
	out := slices.Concat(src[:from], []byte(text), src[to:])
	return out, verify(out, path, value)
}

// Remove takes a key with its value, or an item of a list, out of the text.
func Remove(src []byte, path string) ([]byte, error) {
	root, err := parse(src)
	if err != nil {
		return nil, err
	}
	v, err := at(root, path)
	if err != nil {
		return nil, err
	}
	start := offset(src, v.Place())
	var to int
	if v.IsText() {
		to, err = end(src, start, v)
	} else {
		to, err = groupEnd(src, start, v)
	}
	if err != nil {
		return nil, err
	}
	from := offset(src, v.KeyPlace())
	line := bytes.LastIndexByte(src[:from], '\n') + 1
	before := bytes.TrimLeft(src[line:from], " ")
	rest := src[to:]
	after := len(rest) - len(bytes.TrimLeft(rest, " \r\n"))
	switch {
	case len(before) == 0 && (after == len(rest) || !bytes.ContainsRune([]byte(",}]"), rune(rest[after]))), string(before) == "- " && isItem(path):
		from, to = line, lineEnd(src, to)
	case after < len(rest) && rest[after] == ',':
		to += after + 1
		to += len(src[to:]) - len(bytes.TrimLeft(src[to:], " "))
	case bytes.HasSuffix(bytes.TrimRight(src[:from], " \r\n"), []byte(",")):
		from = len(bytes.TrimRight(src[:from], " \r\n")) - 1
	default:
		return nil, fmt.Errorf("%s stands first on its line; write it after another key first", path)
	}
	out := slices.Concat(src[:from], src[to:])
	root, err = parse(out)
	if _, there := at(root, path); err == nil && there == nil && !isItem(path) {
		err = fmt.Errorf("%s can not be taken out", path)
	}
	return out, err
}

func isItem(path string) bool {
	_, err := strconv.Atoi(path[strings.LastIndexByte(path, '.')+1:])
	return err == nil
}

// at is the one value at a path.
func at(v yamltree.Value, path string) (yamltree.Value, error) {
	for _, step := range strings.Split(path, ".") {
		if i, err := strconv.Atoi(step); err == nil && v.IsList() && i >= 0 && i < len(v.Items("")) {
			v = v.Items("")[i]
		} else if v = v.Child(step); !v.Given() {
			return v, fmt.Errorf("the plan has no %s", path)
		}
	}
	return v, nil
}

// groupEnd is where a group that begins at an offset ends: behind its bracket, or with the last of the lines that are
// indented as far as its first.
func groupEnd(src []byte, from int, v yamltree.Value) (int, error) {
	if src[from] == '{' || src[from] == '[' {
		return closing(src, from)
	}
	indent := v.Place().Col - 1
	to := lineEnd(src, from)
	last := to
	for to < len(src) {
		next := lineEnd(src, to)
		line := bytes.TrimRight(src[to:next], "\r\n")
		text := bytes.TrimLeft(line, " ")
		if len(text) > 0 && len(line)-len(text) < indent {
			break
		}
		if to = next; len(text) > 0 {
			last = next
		}
	}
	return len(bytes.TrimRight(src[:last], "\r\n")), nil
}

// lineEnd is the beginning of the next line.
func lineEnd(src []byte, at int) int {
	if n := bytes.IndexByte(src[at:], '\n'); n >= 0 {
		return at + n + 1
	}
	return len(src)
}

// closing is behind the bracket that closes the one at an offset.
func closing(src []byte, from int) (int, error) {
	depth, begins := 0, true // of a value, where a quote opens a text
	for i := from; i < len(src); i++ {
		switch c := src[i]; {
		case begins && (c == '"' || c == '\''):
			n := quoted(src[i:])
			if n == 0 {
				return 0, errors.New("a quoted text goes over several lines; write it on one line first")
			}
			i += n - 1
		case c == '#' && bytes.ContainsRune([]byte(" \n"), rune(src[i-1])):
			i = lineEnd(src, i) - 1
			continue
		case c == '{' || c == '[':
			depth++
		case c == '}' || c == ']':
			if depth--; depth == 0 {
				return i + 1, nil
			}
		case c == ' ' || c == '\n' || c == '\r':
			continue
		}
		begins = strings.IndexByte("{[,:", src[i]) >= 0
	}
	return 0, errors.New("a group has no closing bracket")
}
