package yamltree

import (
	"regexp"
	"strconv"
	"strings"
)

// syntaxProblem turns an error of the library into a place and words. The library
// gives a line at most, counted from 0 in errors of its parser and from 1 in those
// of its scanner.
func syntaxProblem(err error, data []byte) (line, col int, path, what, allowed, hint string) {
	text := strings.TrimPrefix(err.Error(), "yaml: ")
	if m := lineOf.FindStringSubmatch(text); m != nil {
		line, _ = strconv.Atoi(m[1])
		text = text[len(m[0]):]
	}
	if strings.HasPrefix(text, "did not find expected") {
		line++
	}
	lines := strings.Split(strings.ReplaceAll(strings.ReplaceAll(string(data), "\r\n", "\n"), "\r", "\n"), "\n")
	if tab := tabbed(lines); tab > 0 {
		return tab, strings.IndexByte(lines[tab-1], '\t') + 1, "", "a tab in the indentation", "indent with spaces (YAML 1.2.2, section 6.1)", ""
	}
	if open, at := openQuote(lines); open > 0 {
		return open, at, "", "a quote that is opened here is not closed", "put a quote at the end of the text", ""
	}
	what, allowed = text, "the text must be YAML: key: value lines, indented with spaces"
	for _, s := range syntax {
		if strings.HasPrefix(text, s.begins) {
			what, allowed = s.what, s.allowed
			if open, at := openBracket(lines); open > 0 && strings.HasPrefix(text, "did not find expected ','") {
				line, col = open, at
			}
			if s.at != nil {
				line, col = locate(lines, line, s.at)
			}
			break
		}
	}
	line = min(max(line, 1), len(lines))
	if col == 0 {
		col = 1 + len([]rune(lines[line-1])) - len([]rune(strings.TrimLeft(lines[line-1], " \t")))
	}
	return line, col, "", what, allowed, ""
}

var lineOf = regexp.MustCompile(`^line (\d+): `)

// syntax is what the library says, and what an author is told; at finds the fault
// where the library is vague about it.
var syntax = []struct {
	begins, what, allowed string
	at                    *regexp.Regexp
}{
	{"mapping values are not allowed", "a colon where none can stand", "write one key: value to a line, indented under its group; quote text that holds a colon", nil},
	{"did not find expected key", "a key is expected near here", "the keys of one group begin in the same column", nil},
	{"did not find expected ',' or ']'", "a list that begins here is not closed", "put commas between the items and ] at the end", nil},
	{"did not find expected ',' or '}'", "a group that begins here is not closed", "put commas between the keys and } at the end", nil},
	{"did not find expected '-'", "a list item is expected near here", "the items of a list begin with - in the same column", nil},
	{"did not find expected node content", "a value is expected near here", "write a value after the comma or the colon", nil},
	{"found character that cannot start any token", "a value that begins with a character YAML keeps for itself", "put the value in quotes, or the number before the unit", regexp.MustCompile("(?:^|[\\s\\[{,])([%@`\\t])")},
	{"could not find expected ':'", "a line without a colon near here", "write key: value, with a space after the colon", nil},
	{"found unexpected end of stream", "a quote that is opened here is not closed", "put a quote at the end of the text", nil},
	{"found unexpected document indicator", "a quote that is opened here is not closed", "put a quote at the end of the text", nil},
	{"unknown anchor", "an alias to something that is not there", "YAML aliases are not supported: write the value out", regexp.MustCompile(`(?:^|[\s\[{,])(\*)`)},
	{"found unknown escape character", "a backslash that means nothing in double quotes", "use single quotes, or write two backslashes", regexp.MustCompile(`()\\[^0abtnvfre "/\\N_LPxuU]`)},
	{"block sequence entries are not allowed", "a list item where none can stand", "begin the list on the line below its key", nil},
	{"exceeded max depth", "too many levels of lists and keys", "a plan needs fewer than ten", nil},
	{"found incompatible YAML document", "a version of YAML that is not read", "remove the line %YAML", regexp.MustCompile(`^(%)`)},
	{"did not find expected <document start>", "text before the plan begins", "a plan begins with the line plan: 1", nil},
	{"did not find expected whitespace or line break", "a space is missing near here", "put a space after the mark", nil},
	{"did not find expected", "something is missing near here", "the text must be YAML: key: value lines, indented with spaces", nil},
}

// tabbed is the first line that is indented with a tab, 0 when there is none.
func tabbed(lines []string) int {
	for i, l := range lines {
		indent := l[:len(l)-len(strings.TrimLeft(l, " \t"))]
		if strings.Contains(indent, "\t") && strings.TrimSpace(l) != "" && !strings.HasPrefix(strings.TrimSpace(l), "#") {
			return i + 1
		}
	}
	return 0
}

// openQuote is the first line with an odd number of double quotes outside its
// comment, and the column of the last of them; 0 when there is none.
func openQuote(lines []string) (line, col int) {
	for i, l := range lines {
		n, last := 0, 0
		for k, r := range []rune(l) {
			if r == '#' && n%2 == 0 && (k == 0 || []rune(l)[k-1] == ' ') {
				break
			}
			if r == '"' && (k == 0 || []rune(l)[k-1] != '\\') {
				n, last = n+1, k+1
			}
		}
		if n%2 == 1 {
			return i + 1, last
		}
	}
	return 0, 0
}

// openBracket is the place of the last bracket that is opened and not closed, 0 when
// there is none. Brackets in quotes and comments do not count.
func openBracket(lines []string) (line, col int) {
	var stack [][2]int
	for i, l := range lines {
		quote, before := rune(0), ' '
		for k, r := range []rune(l) {
			if quote == 0 && r == '#' && before == ' ' {
				break // a comment
			}
			switch {
			case quote != 0:
				if r == quote && before != '\\' {
					quote = 0
				}
			case (r == '"' || r == '\'') && strings.ContainsRune(" [{,", before):
				quote = r
			case r == '[' || r == '{':
				stack = append(stack, [2]int{i + 1, k + 1})
			case (r == ']' || r == '}') && len(stack) > 0:
				stack = stack[:len(stack)-1]
			}
			before = r
		}
	}
	if len(stack) == 0 {
		return 0, 0
	}
	return stack[len(stack)-1][0], stack[len(stack)-1][1]
}

// locate finds the first match at or after a line, in the whole text when the
// line is 0; without a match the column is 0.
func locate(lines []string, line int, at *regexp.Regexp) (int, int) {
	for i := max(line, 1); i <= len(lines); i++ {
		if m := at.FindStringSubmatchIndex(lines[i-1]); m != nil {
			return i, 1 + len([]rune(lines[i-1][:m[2]]))
		}
	}
	return line, 0
}
