package yamltree

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/text/diag"
)

func read(t *testing.T, text string) (Value, *diag.List) {
	t.Helper()
	problems := &diag.List{}
	v, ok := Parse("f", []byte(text), problems)
	require.True(t, ok, "%v", *problems)
	return v, problems
}

// What YAML 1.1 readers make of these scalars (a bool, a sexagesimal or octal
// number, a float, a date) is none of a plan's business: they are handed on as text.
func TestScalarsStayText(t *testing.T) {
	v, problems := read(t, "a: no\nb: 08:30\nc: 010\nd: .inf\ne: 2027-02-03\nf: 'it''s'\ng: \"é\\u00e9\"\n1: one\n")
	f, ok := v.Fields("a", "b", "c", "d", "e", "f", "g", "1")
	require.True(t, ok)
	for key, want := range map[string]string{"a": "no", "b": "08:30", "c": "010", "d": ".inf", "e": "2027-02-03", "f": "it's", "g": "éé", "1": "one"} {
		got, ok := f.Get(key).Text("")
		assert.True(t, ok)
		assert.Equal(t, want, got)
	}
	assert.Empty(t, *problems)
}

func TestPlaces(t *testing.T) {
	v, problems := read(t, "\ufeff# comment\r\nöl: {a: 1, b: [x, y]}\r\nempty:\r\n")
	oil := v.Child("öl")
	assert.Equal(t, "f:2:1", oil.KeyPlace().String())
	assert.Equal(t, "f:2:5", oil.Place().String(), "columns count characters")
	b := oil.Child("b")
	assert.Equal(t, "f:2:19", b.Items("")[1].Place().String())
	assert.Equal(t, "öl.b.1", b.Items("")[1].Path())
	assert.Equal(t, "f:2:1", oil.Child("missing").Place().String(), "what is missing points at what it belongs to")
	assert.Equal(t, "öl.missing", oil.Child("missing").Path())
	_, ok := v.Child("empty").Text("write something")
	assert.False(t, ok)
	assert.Equal(t, "f:3:1: empty has no value; write something", (*problems)[0].Error())
}

func TestWrongForms(t *testing.T) {
	v, problems := read(t, "a: {k: 1}\nb: [1]\nc: text\n")
	v.Child("a").Text("a text")
	v.Child("a").Items("a list")
	v.Child("b").Entries("keys")
	v.Child("c").Fields("x", "y")
	v.Child("c").Items("a list")
	v.Child("none").Text("not reported")
	var got []string
	for _, p := range *problems {
		got = append(got, p.Error())
	}
	assert.Equal(t, []string{
		"f:1:4: a holds keys; a text", "f:1:4: a holds keys; a list", "f:2:4: b is a list; keys",
		`f:3:4: c is the text "text"; it takes the keys x, y`, `f:3:4: c is the text "text"; a list`,
	}, got)
}

func TestMisspeltKeyIsReadAsTheNearest(t *testing.T) {
	v, problems := read(t, "hieght: 3\nother: 4\n")
	f, _ := v.Fields("height", "width")
	text, _ := f.Need("height", "1").Text("")
	assert.Equal(t, "3", text)
	require.Len(t, *problems, 2)
	assert.Equal(t, `f:1:1: unknown key "hieght"; allowed here: height, width; did you mean "height"?`, (*problems)[0].Error())
	assert.Equal(t, `f:2:1: unknown key "other"; allowed here: height, width`, (*problems)[1].Error())
	f.Need("width", "2 m")
	assert.Equal(t, `f:1:1: the key "width" is missing; write it such as width: 2 m`, (*problems)[2].Error())
}

// A key that belongs elsewhere in a plan is told where; a name of a user's own group is no such key.
func TestKeyOfAnotherGroupIsToldWhere(t *testing.T) {
	v, problems := read(t, "on_from: 3\ntank: 1\nNAME: 2\n")
	v.Fields("height", "width")
	require.Len(t, *problems, 3)
	assert.Equal(t, `f:1:1: unknown key "on_from"; allowed here: height, width; on_from is a key of controllers.NAME.ports.NAME.channels.NAME, controllers.NAME.ports.NAME`, (*problems)[0].Error())
	assert.Equal(t, `f:2:1: unknown key "tank"; allowed here: height, width; tank is a key of the plan itself, channels.NAME, zones.NAME`, (*problems)[1].Error())
	assert.Equal(t, `f:3:1: unknown key "NAME"; allowed here: height, width`, (*problems)[2].Error())
}

func TestWhatIsNoTree(t *testing.T) {
	for text, want := range map[string]string{
		"":              "f:1:1: the file holds nothing; a plan begins with the line plan: 1",
		"---\n":         "f:1:1: the file holds nothing; a plan begins with the line plan: 1",
		"a: b\n\xff":    "f:2:1: the byte 0xff is not UTF-8; save the file as UTF-8 text",
		"a: \u2028b":    "f:1:4: the invisible character U+2028; only printable characters, tabs and line ends may stand in a plan; delete it",
		"\xff\xfea\x00": "f:1:1: the byte 0xff is not UTF-8; save the file as UTF-8 text",
		"é: [1\nb: 2\n": "f:1:4: a list that begins here is not closed; put commas between the items and ] at the end",
		"a: {b: 1\n":    "f:1:4: a group that begins here is not closed; put commas between the keys and } at the end",
		"a: \"[\" # [\nb: [1, {c: 2}, [3]\nd: [4]\n": "f:2:4: a list that begins here is not closed; put commas between the items and ] at the end",
		"a: 1\nb: 2: 3\n":               "f:2:1: a colon where none can stand; write one key: value to a line, indented under its group; quote text that holds a colon",
		"a: 1\nb: %2\n":                 "f:2:4: a value that begins with a character YAML keeps for itself; put the value in quotes, or the number before the unit",
		"a: *b\n":                       "f:1:4: an alias to something that is not there; YAML aliases are not supported: write the value out",
		"a:\n\tb: 1\n":                  "f:2:1: a tab in the indentation; indent with spaces (YAML 1.2.2, section 6.1)",
		"a: \"\\q\"\n":                  "f:1:5: a backslash that means nothing in double quotes; use single quotes, or write two backslashes",
		strings.Repeat("a", MaxBytes+1): "f:1:1: the file has 1048577 bytes; a plan may have 1048576",
	} {
		problems := &diag.List{}
		_, ok := Parse("f", []byte(text), problems)
		assert.False(t, ok)
		require.Len(t, *problems, 1)
		assert.Equal(t, want, (*problems)[0].Error())
	}
}

// A mapping must not hold a key twice (YAML 1.2.2, section 3.2.1.3); the library
// lets that pass in nodes, drops a second document unseen, and builds a tree that
// never ends from an alias to its own list.
func TestWhatTheLibraryLetsPass(t *testing.T) {
	for text, want := range map[string]string{
		"a: 1\nb: 2\na: 3\n": `f:3:1: "a" is given twice; keep one`,
		"a: 1\n---\nb: 2\n":  "f:2:1: a second document begins here; a file holds one plan; remove the line --- and what follows",
		"a: &x [*x, *x]\n":   "f:1:4: the anchor &x; YAML anchors are not supported: remove it",
		"a: !!str 1\n":       "f:1:4: the tag !!str; YAML tags are not supported: remove it",
		"a: >\n  x\n":        "f:1:4: a block of text; write the value on one line",
		"<<: {a: 1}\n":       "f:1:1: the merge key <<; YAML merge keys are not supported: write the keys out",
		"a: \"x\\u202Ey\"\n": "f:1:4: the invisible character U+202E; names, notes and values are of characters that can be seen, on one line; delete it",
		"a: x\u202ey\n":      "f:1:4: the invisible character U+202E; names, notes and values are of characters that can be seen, on one line; delete it",
		"a: \"x\\e[2J\"\n":   "f:1:4: the invisible character U+001B; names, notes and values are of characters that can be seen, on one line; delete it",
		"a: \"x\\ny\"\n":     "f:1:4: the invisible character U+000A; names, notes and values are of characters that can be seen, on one line; delete it",
		"\"a\\0\": 1\n":      "f:1:1: a key with the invisible character U+0000; keys are plain words; delete it",
		"[a]: 1\n":           "f:1:1: a key that is not a word; keys are words such as channels",
		"a: " + strings.Repeat("[", 40) + strings.Repeat("]", 40): "f:1:35: more than 32 levels of lists and keys; a plan needs fewer than ten",
	} {
		_, problems := read(t, text)
		require.NotEmpty(t, *problems, text)
		assert.Equal(t, want, (*problems)[0].Error())
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"a: 1\n", "a: [1, {b: c}]\n", "a: &x [*x]\n", "? a\n: b\n", "a: |\n b\n", "%YAML 1.3\n---\n", "\xff", "a:\n\t- b", "\"", "a: 'x\n\n y'\n---\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var problems diag.List
		_, ok := Parse("f", data, &problems)
		require.True(t, ok || problems.HasErrors(), "no tree and no reason")
		for _, p := range problems {
			require.True(t, p.Line >= 1 && p.Col >= 1, p.Error())
			require.NotContains(t, p.What, "yaml:")
		}
	})
}
