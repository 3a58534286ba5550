package planfile

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

var update = flag.Bool("update", false, "rewrite the golden messages")

// loadIn reads a plan of a folder as a person in that folder would name it.
func loadIn(dir, file string) (*plan.Plan, diag.List, string) {
	read := func(path string) ([]byte, error) { return os.ReadFile(filepath.Join(dir, path)) }
	p, problems := Load(read, file)
	return p, problems, problems.Text(func(path string) []byte { b, _ := read(path); return b })
}

// golden runs a folder of plans and compares the messages of each with the file
// beside it.
func golden(t *testing.T, dir string, atLeast int, check func(t *testing.T, p *plan.Plan, problems diag.List)) {
	plans, err := filepath.Glob(filepath.Join(dir, "*.yaml"))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(plans), atLeast, "the folder %s has lost its plans", dir)
	for _, path := range plans {
		name := filepath.Base(path)
		t.Run(name, func(t *testing.T) {
			p, problems, text := loadIn(dir, name)
			check(t, p, problems)
			for _, problem := range problems {
				assert.GreaterOrEqual(t, problem.Line, 1, problem.What)
				assert.GreaterOrEqual(t, problem.Col, 1, problem.What)
				assert.NotRegexp(t, `\*?\b(yaml|source|quantity|float64|strconv|plan)\.[A-Z]|NaN|Inf|!\(|<nil>`, problem.Error(), "a word of the program")
			}
			want := strings.TrimSuffix(path, ".yaml") + ".txt"
			if *update {
				require.NoError(t, os.WriteFile(want, []byte(text), 0o644))
			}
			golden, err := os.ReadFile(want)
			require.NoError(t, err)
			assert.Equal(t, string(golden), text)
		})
	}
}

func TestBrokenPlans(t *testing.T) {
	golden(t, "../../../testdata/broken", 40, func(t *testing.T, p *plan.Plan, problems diag.List) {
		assert.Nil(t, p, "a plan with an error gives no plan")
		assert.True(t, problems.HasErrors())
	})
}

func TestWarnedPlans(t *testing.T) {
	golden(t, "../../../testdata/warned", 10, func(t *testing.T, p *plan.Plan, problems diag.List) {
		assert.NotNil(t, p)
		assert.NotEmpty(t, problems)
		assert.False(t, problems.HasErrors())
	})
}
