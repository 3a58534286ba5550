package csvcell

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// OWASP, "CSV Injection": a cell that begins with = + - @ tab or CR may be run
// as a formula.
func TestNeutralTextComesBack(t *testing.T) {
	for _, s := range []string{"=1", "+1", "-1", "@x", "\tx", "\rx", "\nx"} {
		assert.Equal(t, "'"+s, Neutral(s))
	}
	for _, s := range []string{"", "'", "''x", "a=1", "☾=", " =1"} {
		assert.Equal(t, s, Neutral(s))
	}
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`['=+\-@a\t]{0,6}`).Draw(t, "text")
		cell := Neutral(s)
		assert.Equal(t, s, Original(cell))
		if cell != "" {
			assert.NotContains(t, "=+-@\t\r\n", cell[:1])
		}
	})
}
