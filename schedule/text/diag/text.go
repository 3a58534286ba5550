package diag

import (
	"fmt"
	"strings"
	"unicode"
)

// Text is the list as a person reads it: each problem in one line, below it the
// line of the file with a caret, and the second place of a conflict; the first 50
// errors and 50 warnings, and how many more there are. source gives
// the bytes of a file by the name used in the list; nil, or no bytes, leaves the
// lines of the file out.
func (l List) Text(source func(file string) []byte) string {
	var b strings.Builder
	lines := map[string][]string{}
	show := func(p Place) {
		if source == nil {
			return
		}
		if _, ok := lines[p.File]; !ok {
			lines[p.File] = splitLines(string(source(p.File)))
		}
		if file := lines[p.File]; p.Line >= 1 && p.Line <= len(file) {
			b.WriteString(excerpt(p, file[p.Line-1]))
		}
	}
	for _, p := range l.First() {
		b.WriteString(p.Error() + "\n")
		show(p.Place)
		if p.Other != nil {
			fmt.Fprintf(&b, "%s: %s\n", p.Other.Place, p.Other.Note)
			show(p.Other.Place)
		}
	}
	for _, s := range []Severity{Error, Warning} {
		if n := l.Count(s) - mostShown; n > 0 {
			b.WriteString("… and " + Count(n, "more "+s.String()) + "\n")
		}
	}
	return b.String()
}

// Count is "1 error", "3 errors", "2 entries".
func Count(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	if strings.HasSuffix(word, "y") {
		word = word[:len(word)-1] + "ie"
	}
	return fmt.Sprintf("%d %ss", n, word)
}

// splitLines splits at the line breaks of YAML 1.2.2 (section 5.4): LF, CR LF, CR.
func splitLines(s string) []string {
	s = strings.TrimPrefix(s, "\ufeff")
	return strings.Split(strings.ReplaceAll(strings.ReplaceAll(s, "\r\n", "\n"), "\r", "\n"), "\n")
}

// longest is how many characters of a line are shown; a longer line is cut
// around the column.
const longest = 70

func excerpt(p Place, line string) string {
	text, col := []rune(line), p.Col-1
	if len(text) > longest {
		from := min(max(col-longest/2, 0), len(text)-longest)
		text, col = text[from:from+longest], col-from
	}
	col = min(max(col, 0), len(text))
	number := fmt.Sprint(p.Line)
	under := ""
	for _, r := range text[:col] {
		under += blank(r)
	}
	shown := strings.Map(func(r rune) rune {
		if r != '\t' && !unicode.IsPrint(r) {
			return unicode.ReplacementChar
		}
		return r
	}, string(text))
	return fmt.Sprintf("  %s | %s\n  %s | %s^\n", number, shown, strings.Repeat(" ", len(number)), under)
}

// blank is what takes the room of r on a terminal.
func blank(r rune) string {
	switch {
	case r == '\t':
		return "\t"
	case unicode.In(r, unicode.Mn, unicode.Me):
		return "" // a combining mark is drawn over the character before
	case unicode.In(r, unicode.Han, unicode.Hangul, unicode.Hiragana, unicode.Katakana), r >= 0xFF01 && r <= 0xFF60, r >= 0x1F300 && r <= 0x1FAFF:
		return "  " // wide, Unicode Standard Annex 11
	}
	return " "
}
