package planfile

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The starter's readings with semicolons and decimal commas say the same; with tabs the separator is named.
func TestReadingsWithSemicolons(t *testing.T) {
	const dir = "../../../cmd/dayloom/starters/readings/"
	as := func(change func(string) string) func(string) ([]byte, error) {
		return func(path string) ([]byte, error) {
			b, err := os.ReadFile(path)
			if strings.HasSuffix(path, ".csv") {
				b = []byte(change(string(b)))
			}
			return b, err
		}
	}
	plain, problems := Load(os.ReadFile, dir+"plan.yaml")
	require.Empty(t, problems)
	p, problems := Load(as(func(s string) string {
		s = strings.NewReplacer(";", " and", ",", ";").Replace(s)
		return strings.Replace(s, ";410;", ";410,0;", 1)
	}), dir+"plan.yaml")
	require.Empty(t, problems)
	require.Len(t, p.Readings.Rows, len(plain.Readings.Rows))
	for i, r := range plain.Readings.Rows {
		assert.Equal(t, r.PPFD, p.Readings.Rows[i].PPFD)
	}
	_, problems = Load(as(func(s string) string { return strings.ReplaceAll(s, ",", "\t") }), dir+"plan.yaml")
	require.True(t, problems.HasErrors())
	assert.Contains(t, problems[0].Error(), "the columns are separated by tabs; separate them with commas, or with semicolons")
}
