package visible

import (
	"io"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/runes"
	"golang.org/x/text/transform"
)

// Hidden is the first character of a text that does not show itself, and whether there
// is one. Tabs and line ends count: a name or a note is on one line.
func Hidden(text string) (r rune, found bool) {
	if i := strings.IndexFunc(text, hidden); i >= 0 {
		r, _ = utf8.DecodeRuneInString(text[i:])
		return r, true
	}
	return 0, false
}

func hidden(r rune) bool {
	return unicode.In(r, unicode.Cc, unicode.Bidi_Control, unicode.Zl, unicode.Zp)
}

// shown is a character as it may be written in running text, where tabs and line ends
// are at home.
func shown(r rune) rune {
	if r != '\t' && r != '\n' && r != '\r' && hidden(r) {
		return unicode.ReplacementChar
	}
	return r
}

// Writer passes UTF-8 text on to w, each hidden character but tabs and line ends, and
// each byte that is not UTF-8, replaced by U+FFFD. A character that was begun at the
// end of a Write is written with the next one, or by Close, which leaves w open.
func Writer(w io.Writer) io.WriteCloser {
	return &writer{w: w, Writer: transform.NewWriter(w, runes.Map(shown))}
}

// writer passes on what is plain ASCII as it is, which is nearly all of a timetable,
// some seventy times as fast.
type writer struct {
	*transform.Writer
	w   io.Writer
	cut bool // the last character may be begun only
}

func (w *writer) Write(p []byte) (int, error) {
	if !w.cut && !slices.ContainsFunc(p, notPlain) {
		return w.w.Write(p)
	}
	w.cut = len(p) > 0 && p[len(p)-1] >= utf8.RuneSelf
	return w.Writer.Write(p)
}

func notPlain(c byte) bool { return (c < ' ' && c != '\t' && c != '\n' && c != '\r') || c > '~' }

// Text is a renderer of text whose output goes through Writer.
func Text(render func(io.Writer) error) func(io.Writer) error {
	return func(w io.Writer) error {
		out := Writer(w)
		if err := render(out); err != nil {
			return err
		}
		return out.Close()
	}
}
