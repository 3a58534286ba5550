package planfile

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/planedit"
	"dayloom/schedule/text/yamltree"
)

// leaves lists the paths of all single values below v.
func leaves(v yamltree.Value) (paths []string) {
	switch {
	case v.IsMap():
		for _, e := range v.Entries("") {
			paths = append(paths, leaves(e)...)
		}
	case v.IsList():
		for _, item := range v.Items("") {
			paths = append(paths, leaves(item)...)
		}
	default:
		paths = append(paths, v.Path())
	}
	return paths
}

// No value of a plan is passed over: whichever is replaced by nonsense, and by
// nothing, a list, a group or a wild number in turn, there is an error at its very line.
func TestEveryValueIsRead(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(quay, "plan.yaml"))
	require.NoError(t, err)
	var problems diag.List
	root, ok := yamltree.Parse("plan.yaml", text, &problems)
	require.True(t, ok)
	paths := leaves(root)
	require.Greater(t, len(paths), 150)
	const mark = "zqxj"
	free := map[string]bool{"name": true, "calendar.0.name": true} // any text will do
	wrongs := []string{"", "[]", "{}", "1e999", "-1"}
	for i, path := range paths {
		marked, err := planedit.Set(text, path, mark)
		require.NoError(t, err, path)
		line := 1 + strings.Count(string(marked[:strings.Index(string(marked), mark)]), "\n")
		quoted := strings.Contains(string(marked), `"`+mark+`"`)
		for _, wrong := range []string{mark, wrongs[i%len(wrongs)]} {
			if free[path] && !strings.ContainsAny(wrong, "[{") && wrong != "" {
				continue
			}
			old := mark
			if quoted {
				old = `"` + mark + `"`
			}
			changed := strings.Replace(string(marked), old, wrong, 1)
			p, problems := Load(func(name string) ([]byte, error) {
				if name == "plan.yaml" {
					return []byte(changed), nil
				}
				return os.ReadFile(filepath.Join(quay, name))
			}, "plan.yaml")
			if allowedAnyway(path, wrong) {
				continue
			}
			assert.Nil(t, p, "%s: %s", path, wrong)
			found := false
			for _, problem := range problems {
				found = found || problem.Severity == diag.Error && problem.Line == line && problem.File == "plan.yaml"
			}
			assert.True(t, found, "%s: %s gives no error at line %d:\n%s", path, wrong, line, problems.Text(nil))
		}
	}
}

// allowedAnyway lists the few places where the value is good: a direction may be -1,
// and a list of names may end in a comma.
func allowedAnyway(path, wrong string) bool {
	return wrong == "-1" && strings.Contains(path, ".aim.") || wrong == "" && strings.Contains(path, ".channels.")
}
