package planedit

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"

	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/yamltree"
)

// offset is the byte at which a place stands; a place counts characters.
func offset(src []byte, p diag.Place) int {
	at := 0
	if bytes.HasPrefix(src, []byte("\ufeff")) {
		at = 3
	}
	for line := 1; line < p.Line && at < len(src); at++ {
		if src[at] == '\n' || src[at] == '\r' && (at+1 == len(src) || src[at+1] != '\n') {
			line++
		}
	}
	for col := 1; col < p.Col && at < len(src); col++ {
		_, n := utf8.DecodeRune(src[at:])
		at += n
	}
	return at
}

// end is where the scalar that begins at a byte ends.
func end(src []byte, from int, v yamltree.Value) (int, error) {
	text, _ := v.Text("")
	rest := src[from:]
	switch {
	case len(rest) > 0 && (rest[0] == '"' || rest[0] == '\''):
		if to := quoted(rest); to > 0 {
			return from + to, nil
		}
	case bytes.HasPrefix(rest, []byte(text)):
		return from + len(text), nil
	}
	return 0, fmt.Errorf("%s is written over several lines; write it on one line first", v.Path())
}

// quoted is the length of a quoted scalar on one line, 0 when it goes on.
func quoted(s []byte) int {
	for i := 1; i < len(s); i++ {
		switch {
		case s[i] == '\n' || s[i] == '\r':
			return 0
		case s[0] == '"' && s[i] == '\\':
			i++
		case s[i] == s[0] && s[0] == '\'' && i+1 < len(s) && s[i+1] == '\'':
			i++
		case s[i] == s[0]:
			return i + 1
		}
	}
	return 0
}

// written is a value as it goes into the text in place of old.
func written(value string, old []byte) string {
	if !plain(value) || len(old) > 0 && old[0] == '"' {
		return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(value) + `"`
	}
	if len(old) > 0 && old[0] == '\'' {
		return "'" + strings.ReplaceAll(value, "'", "''") + "'"
	}
	return value
}

// plain reports whether a value may stand without quotes anywhere in YAML, a flow
// list included: letters, digits and the few marks that quantities and names need.
// A time of day is quoted, since readers of YAML 1.1 take 08:30 for a number.
func plain(value string) bool {
	if value == "" || strings.TrimSpace(value) != value {
		return false
	}
	for i, r := range value {
		letter := r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == 'µ'
		if !letter && (i == 0 || !strings.ContainsRune(" ._%/-+", r)) && !(i == 0 && r == '-' && len(value) > 1 && value[1] >= '0' && value[1] <= '9') {
			return false
		}
	}
	return true
}

// verify reads the changed text again and sees that the path now holds the value.
func verify(text []byte, path, value string) error {
	root, err := parse(text)
	if err != nil {
		return err
	}
	places, err := find(root, strings.Split(path, "."), "")
	if err != nil {
		return err
	}
	for _, v := range places {
		if got, _ := v.Text(""); got != strings.TrimSpace(value) {
			return fmt.Errorf("%s cannot hold the text %q", v.Path(), value)
		}
	}
	return nil
}
