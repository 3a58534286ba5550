package keys

import (
	"flag"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every line of the table is a row, whole, and hangs on a row above it.
func TestTable(t *testing.T) {
	lines := 0
	for line := range strings.Lines(text) {
		if !strings.HasPrefix(line, "#") && strings.TrimSpace(line) != "" {
			lines++
		}
	}
	require.Len(t, table, lines, "a line that is no row")
	seen := map[string]bool{}
	for _, k := range table {
		assert.False(t, seen[k.Form], "%s stands twice", k.Form)
		seen[k.Form] = true
		assert.NotEmpty(t, k.Example, k.Form)
		assert.Regexp(t, `^[A-Za-z0-9%].*\.$`, k.Sentence, "%s needs a sentence", k.Form)
		assert.NotEmpty(t, append(k.Kinds, k.Words...), k.Form)
		if i := strings.LastIndexByte(k.Form, '.'); i > 0 {
			_, ok := Find(k.Form[:i])
			assert.True(t, ok, "%s hangs on nothing", k.Form)
		}
		for _, kind := range k.Kinds {
			_, known := patterns[kind]
			assert.True(t, known, "%s: the kind %q", k.Form, kind)
		}
	}
}

func TestResolve(t *testing.T) {
	for path, form := range map[string]string{
		"channels":                               "channels",
		"channels.bar-blue.flux":                 "channels.NAME.flux",
		"channels.bar-blue.emitters.0.beam":      "channels.NAME.emitters.#.beam",
		"channels.bar-blue.emitters.line.height": "channels.NAME.emitters.#.line.height",
		"channels.NAME.emitters.#.line.from":     "channels.NAME.emitters.#.line.from",
		"channels.emitters.beam":                 "channels.NAME.emitters.#.beam",
		"zones.within":                           "zones.NAME.within",
		"day.sunrise":                            "day.#.sunrise",
		"days.quiet.0.peak":                      "day.#.peak",
		"calendar.0.season.share":                "season.share",
	} {
		k, ok := Resolve(path)
		require.True(t, ok, path)
		assert.Equal(t, form, k.Form, path)
	}
	for _, path := range []string{"chanels", "channels.a.flx", "day.x", ""} {
		_, ok := Resolve(path)
		assert.False(t, ok, path)
	}
}

var update = flag.Bool("update", false, "rewrite the reference page")

// The reference page in the repository is that of the table.
func TestReference(t *testing.T) {
	if *update {
		require.NoError(t, os.WriteFile("REFERENCE.md", []byte(Reference()), 0o644))
	}
	got, err := os.ReadFile("REFERENCE.md")
	require.NoError(t, err)
	assert.Equal(t, Reference(), string(got), "remake it with go test ./schedule/text/keys -update")
}
