package table

import (
	"io"
	"strings"
	"unicode/utf8"
)

// Page is a writer of text that is so many columns wide. Lines of words that are longer
// are folded at a blank and go on indented; a table that is written to it makes itself
// fit (see Table.Text). Close writes a last line that has no end.
type Page struct {
	to    io.Writer
	width int
	wide  bool
	line  []byte
}

// NewPage is a page on w; width 0 has no edge, and wide lets tables keep all their columns.
func NewPage(w io.Writer, width int, wide bool) *Page {
	return &Page{to: w, width: width, wide: wide}
}

// Write folds what it is given, line by line.
func (p *Page) Write(b []byte) (int, error) {
	p.line = append(p.line, b...)
	end := strings.LastIndexByte(string(p.line), '\n') + 1
	if end == 0 {
		return len(b), nil
	}
	_, err := io.WriteString(p.to, Fold(string(p.line[:end]), p.width))
	p.line = p.line[end:]
	return len(b), err
}

// Close writes what is left.
func (p *Page) Close() error {
	_, err := io.WriteString(p.to, Fold(string(p.line), p.width))
	p.line = nil
	return err
}

// Wide reports whether everything is to be shown; a writer that is no page shows all.
func Wide(w io.Writer) bool {
	p, ok := w.(*Page)
	return !ok || p.wide
}

// Width is how many columns a writer has; 0 where there is no edge.
func Width(w io.Writer) int {
	if p, ok := w.(*Page); ok {
		return p.width
	}
	return 0
}

// edge is how wide tables may be on a writer; 0 has no edge.
func edge(w io.Writer) int {
	if Wide(w) {
		return 0
	}
	return Width(w)
}

// Fold breaks lines longer than width at blanks and indents what goes on by two more than
// the line itself. A word that is longer than a line stays whole. Width 0 changes nothing.
func Fold(text string, width int) string {
	if width <= 0 {
		return text
	}
	var b strings.Builder
	for _, line := range strings.SplitAfter(text, "\n") {
		if utf8.RuneCountInString(strings.TrimRight(line, "\n")) <= width {
			b.WriteString(line)
			continue
		}
		indent := line[:len(line)-len(strings.TrimLeft(line, " "))]
		lines := wrap(strings.TrimSpace(line), width-len(indent), width-len(indent)-2)
		b.WriteString(indent + strings.Join(lines, "\n"+indent+"  "))
		if strings.HasSuffix(line, "\n") {
			b.WriteByte('\n')
		}
	}
	return b.String()
}

// wrap breaks words into lines, the first so wide and the others so wide.
func wrap(text string, first, others int) (lines []string) {
	room, line := first, ""
	for _, word := range strings.Split(text, " ") {
		if line != "" && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > room {
			lines, line, room = append(lines, strings.TrimRight(line, " ")), "", others
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(lines, line)
}
