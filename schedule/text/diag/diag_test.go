package diag

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func at(file string, line, col int) Place { return Place{file, line, col} }

func TestProblemIsOneLine(t *testing.T) {
	p := Problem{Place: at("plan.yaml", 12, 5), What: `unknown key "chanels"`, Allowed: "allowed here: channels, clock", Hint: `did you mean "channels"?`}
	assert.Equal(t, `plan.yaml:12:5: unknown key "chanels"; allowed here: channels, clock; did you mean "channels"?`, p.Error())
	p.Severity, p.Allowed = Warning, ""
	assert.Equal(t, `plan.yaml:12:5: warning: unknown key "chanels"; did you mean "channels"?`, p.Error())
}

// The caret stands under the character of the column on a terminal with tab stops,
// where é is one cell, an accent put on top none, and 水 two (Unicode Annex 11).
func TestCaretStandsUnderItsColumn(t *testing.T) {
	for _, c := range []struct{ line, want string }{
		{"key: bad", "  1 | key: bad\n    |      ^\n"},
		{"kéy: bad", "  1 | kéy: bad\n    |      ^\n"},
		{"key:\tbad", "  1 | key:\tbad\n    |     \t^\n"},
		{"ke\u0301y:bad", "  1 | ke\u0301y:bad\n    |     ^\n"},
		{"水水y: bad", "  1 | 水水y: bad\n    |        ^\n"},
		{"key:\x00bad", "  1 | key:\uFFFDbad\n    |      ^\n"},
	} {
		got := List{{Place: at("f", 1, 6), What: "x"}}.Text(func(string) []byte { return []byte(c.line) })
		assert.Equal(t, "f:1:6: x\n"+c.want, got)
	}
}

func TestTextOfConflictsAndLongLines(t *testing.T) {
	l := List{{Place: at("f", 2, 1), What: "twice", Other: &Other{at("f", 1, 1), "first here"}}}
	assert.Equal(t, "f:2:1: twice\n  2 | b\n    | ^\nf:1:1: first here\n  1 | a\n    | ^\n",
		l.Text(func(string) []byte { return []byte("\ufeffa\r\nb\rc") }))
	assert.Equal(t, "f:2:1: twice\nf:1:1: first here\n", l.Text(nil))

	long := make([]byte, 1000)
	for i := range long {
		long[i] = 'x'
	}
	long[499] = '!'
	got := List{{Place: at("f", 1, 500), What: "x"}}.Text(func(string) []byte { return long })
	assert.Less(t, len(got), 400)
	assert.Contains(t, got, "!")
}

func TestSortIsDocumentOrder(t *testing.T) {
	l := List{
		{Place: at("b.csv", 1, 1), What: "in a named file"},
		{Place: at("plan", 2, 9), What: "second"},
		{Place: at("plan", 2, 1), What: "first"},
		{Place: at("plan", 2, 1), What: "first"},
		{Place: at("a.csv", 9, 1), What: "in another"},
	}
	var order []string
	for _, p := range l.Sort("plan") {
		order = append(order, p.What)
	}
	assert.Equal(t, []string{"first", "second", "in another", "in a named file"}, order)
	assert.Equal(t, "in a named file", l[0].What, "the list itself is left alone")
	assert.True(t, l.HasErrors())
	assert.False(t, List{{Severity: Warning}}.HasErrors())
}

func TestJSON(t *testing.T) {
	got, err := json.Marshal(Problem{Severity: Warning, Place: at("f", 1, 2), Path: "a.b", What: "w", Other: &Other{at("f", 3, 4), "n"}})
	require.NoError(t, err)
	assert.JSONEq(t, `{"severity":"warning","file":"f","line":1,"column":2,"path":"a.b","what":"w",
		"other":{"file":"f","line":3,"column":4,"note":"n"}}`, string(got))
}

func TestNearest(t *testing.T) {
	words := []string{"channels", "clock", "circuits", "day", "days", "dli_min", "on", "off"}
	for word, want := range map[string]string{
		"chanels": "channels", "Channels": "channels", "chnanels": "channels", "dli-min": "dli_min",
		"clocks": "clock", "dayz": "day", "o": "on", "x": "", "quay": "", "wholly different": "", "": "",
	} {
		assert.Equal(t, want, Nearest(word, words), word)
	}
	assert.Equal(t, `did you mean "on"?`, DidYouMean("onn", words))
	assert.Empty(t, DidYouMean("zzz", words))
}

// Distances of word pairs that are commonly worked by hand: kitten to sitting 3
// (Levenshtein), ca to ac 1 (a swap, Damerau), ca to abc 3 by the optimal string
// alignment, which edits no part twice.
func TestDistance(t *testing.T) {
	assert.Equal(t, 3, distance([]rune("kitten"), []rune("sitting")))
	assert.Equal(t, 1, distance([]rune("ca"), []rune("ac")))
	assert.Equal(t, 3, distance([]rune("ca"), []rune("abc")))
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.SliceOfN(rapid.RuneFrom([]rune("abc")), 0, 6).Draw(t, "a"), rapid.SliceOfN(rapid.RuneFrom([]rune("abc")), 0, 6).Draw(t, "b")
		d := distance(a, b)
		if d != distance(b, a) || d > max(len(a), len(b)) || d < len(a)-len(b) || (d == 0) != (string(a) == string(b)) {
			t.Fatalf("distance %d", d)
		}
	})
}

func TestWords(t *testing.T) {
	assert.Equal(t, "a, b", Words([]string{"a", "b"}))
	assert.Contains(t, Words(make([]string, 30)), "(30 in all)")
}

// A file of another kind has a fault in every line: the first 50 of each severity are
// told in full, the rest counted.
func TestManyProblemsAreCounted(t *testing.T) {
	var l List
	for i := range 120 {
		l = append(l, Problem{Place: at("f", i+1, 1), What: "x"}, Problem{Place: at("f", i+1, 2), What: "y", Severity: Warning})
	}
	l = l[:171] // 86 errors and 85 warnings
	got := l.Text(nil)
	assert.Equal(t, 100+2, strings.Count(got, "\n"))
	assert.True(t, strings.HasSuffix(got, "f:50:2: warning: y\n… and 36 more errors\n… and 35 more warnings\n"), got)
	assert.Contains(t, l[:101].Text(nil), "… and 1 more error\n")
	assert.Len(t, l.First(), 100)
	assert.Equal(t, l[:7], l[:7].First())
}

// A word that begins or ends another is taken for it where nothing is nearer.
func TestNearestByItsBeginningOrEnd(t *testing.T) {
	for word, want := range map[string]string{"points": "points_per_day", "white": "warm white", "royal blue": "blue", "per": ""} {
		assert.Equal(t, want, Nearest(word, []string{"range", "points_per_day", "warm white", "blue"}), word)
	}
}
