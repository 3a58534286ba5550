package timetable

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"
)

// cursor walks JSON text that is known to be well formed by its tokens, knowing at each
// value where it stands, so that unknown and repeated keys and wrong kinds of value are
// told by their place.
type cursor struct {
	data   []byte
	tokens *json.Decoder
}

func newCursor(data []byte) cursor {
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	return cursor{data, d}
}

// at is the byte at which the next token begins.
func (c *cursor) at() int {
	i := int(c.tokens.InputOffset())
	for i < len(c.data) && strings.IndexByte(" \t\r\n,:", c.data[i]) >= 0 {
		i++
	}
	return i
}

// peek is the first byte of the next token.
func (c *cursor) peek() byte {
	if i := c.at(); i < len(c.data) {
		return c.data[i]
	}
	return 0
}

// take is the next token; the text is known to have one.
func (c *cursor) take() json.Token {
	t, _ := c.tokens.Token()
	return t
}

// misplaced is an error at a byte of the file.
type misplaced struct {
	at  int
	say string
}

func (m misplaced) Error() string { return m.say }

// wellFormed finds the first place where the text is not JSON (RFC 8259).
func wellFormed(data []byte) error {
	if bytes.HasPrefix(data, []byte("\xef\xbb\xbf")) {
		return misplaced{0, "the file begins with a byte order mark; save it as plain UTF-8"}
	}
	if !utf8.Valid(data) {
		at := 0
		for at < len(data) {
			r, n := utf8.DecodeRune(data[at:])
			if r == utf8.RuneError && n == 1 {
				break
			}
			at += n
		}
		return misplaced{at, "a byte here is not UTF-8; the file is damaged: compile the plan again"}
	}
	var raw json.RawMessage
	err := json.Unmarshal(data, &raw)
	if bad := (*json.SyntaxError)(nil); errors.As(err, &bad) {
		if len(bytes.TrimSpace(data)) == 0 {
			return misplaced{0, "the file is empty; compile the plan again"}
		}
		if strings.HasPrefix(bad.Error(), "unexpected end") || errors.Is(err, io.ErrUnexpectedEOF) {
			return misplaced{len(bytes.TrimRight(data, " \t\r\n")), "the file ends here, in the middle: it was cut short; compile the plan again"}
		}
		if text := bytes.TrimSpace(data); text[0] != '{' {
			return misplaced{0, "this is no timetable: timetable.json begins with {, timetable.csv with valid_from; dayloom compile writes both from a plan"}
		}
		return misplaced{int(bad.Offset) - 1, fmt.Sprintf("this is not JSON (%v); undo the edit, or compile the plan again", bad)}
	}
	return err
}

func (c *cursor) fail(format string, args ...any) error {
	return misplaced{c.at(), fmt.Sprintf(format, args...)}
}

// open steps into an object or array; next says whether there is another entry.
func (c *cursor) open(bracket byte, what, kind string) error {
	if c.peek() != bracket {
		return c.fail("%s must be %s", what, kind)
	}
	c.take()
	return nil
}

func (c *cursor) next() bool {
	if c.tokens.More() {
		return true
	}
	c.take()
	return false
}

// object reads an object whose keys are all of those required, any of those
// optional (both separated by spaces), and no others.
func (c *cursor) object(what, required, optional string, value func(key string) error) error {
	if err := c.open('{', what, "an object, {...}"); err != nil {
		return err
	}
	start := int(c.tokens.InputOffset()) - 1
	needed, allowed := strings.Fields(required), strings.Fields(optional)
	seen := make([]string, 0, 12)
	for c.next() {
		at := c.at()
		key, err := c.text("a key")
		if err != nil {
			return err
		}
		switch {
		case slices.Contains(seen, key):
			return misplaced{at, fmt.Sprintf("%s has the key %q twice", what, key)}
		case !slices.Contains(needed, key) && !slices.Contains(allowed, key):
			return misplaced{at, fmt.Sprintf("%s has no key %q; its keys are %s", what, key, strings.Join(append(needed, allowed...), ", "))}
		}
		seen = append(seen, key)
		if err := value(key); err != nil {
			return err
		}
	}
	for _, key := range needed {
		if !slices.Contains(seen, key) {
			return misplaced{start, fmt.Sprintf("%s lacks the key %q; compile the plan again", what, key)}
		}
	}
	return nil
}

func (c *cursor) array(what string, item func() error) error {
	if err := c.open('[', what, "a list, [...]"); err != nil {
		return err
	}
	for c.next() {
		if err := item(); err != nil {
			return err
		}
	}
	return nil
}

func (c *cursor) text(what string) (string, error) {
	if c.peek() != '"' {
		return "", c.fail("%s must be text in quotes", what)
	}
	s, _ := c.take().(string)
	return s, nil
}

// word is one of two texts; true when it is the first.
func (c *cursor) word(what, yes, no string) (bool, error) {
	at := c.at()
	s, err := c.text(what)
	if err == nil && s != yes && s != no {
		err = misplaced{at, fmt.Sprintf("%s is %q; it must be %s or %s", what, s, yes, no)}
	}
	return s == yes, err
}

// truth is true or false.
func (c *cursor) truth(what string) (bool, error) {
	if b := c.peek(); b != 't' && b != 'f' {
		return false, c.fail("%s must be true or false", what)
	}
	yes, _ := c.take().(bool)
	return yes, nil
}

func (c *cursor) number(what string) (float64, error) {
	if b := c.peek(); b != '-' && (b < '0' || b > '9') {
		return 0, c.fail("%s must be a number", what)
	}
	at := c.at()
	n, _ := c.take().(json.Number)
	x, err := parseNumber(n.String())
	if err != nil {
		return 0, misplaced{at, fmt.Sprintf("%s: %v", what, err)}
	}
	return x, nil
}

// numbers reads a list of exactly n numbers.
func (c *cursor) numbers(what string, out []float64) error {
	at, n := c.at(), 0
	err := c.array(what, func() error {
		x, err := c.number(what)
		if err == nil && n < len(out) {
			out[n] = x
		}
		n++
		return err
	})
	if err == nil && n != len(out) {
		err = misplaced{at, fmt.Sprintf("%s must be a list of %d numbers", what, len(out))}
	}
	return err
}

// skip steps over any value.
func (c *cursor) skip() {
	var raw json.RawMessage
	_ = c.tokens.Decode(&raw) // the text is known to be well formed
}
