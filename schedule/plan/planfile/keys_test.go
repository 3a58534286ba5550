package planfile

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/keys"
	"dayloom/schedule/text/yamltree"
)

// Every key that the reader names is in the table of keys.
func TestEveryKeyReadIsInTheTable(t *testing.T) {
	known := map[string]bool{}
	for _, k := range keys.All() {
		known[k.Name()] = true
	}
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	named := regexp.MustCompile(`\.(?:Get|Need|Has|Child)\("([a-z_]+)"`)
	found := 0
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, m := range named.FindAllStringSubmatch(string(text), -1) {
			found++
			assert.True(t, known[m[1]], "%s reads %q, which schedule/text/keys/table.txt does not have", file, m[1])
		}
	}
	assert.Greater(t, found, 100)
}

// Every key of the table stands in a plan among the test data.
func TestEveryKeyHasATestPlan(t *testing.T) {
	used := map[string]bool{}
	var plans []string
	for _, pattern := range []string{"../../../testdata/*/*.yaml", "../../../testdata/*/*/*.yaml", "../../../cmd/dayloom/starters/*/*.yaml"} {
		found, err := filepath.Glob(pattern)
		require.NoError(t, err)
		plans = append(plans, found...)
	}
	require.Greater(t, len(plans), 150)
	for _, path := range plans {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		var problems diag.List
		if root, ok := yamltree.Parse(path, text, &problems); ok {
			walk(root, used)
		}
	}
	for _, k := range keys.All() {
		assert.True(t, used[k.Form], "no plan among the test data has %s", k.Form)
	}
}

func walk(v yamltree.Value, used map[string]bool) {
	if k, ok := v.Key(); ok {
		used[k.Form] = true
	}
	if v.IsMap() {
		for _, e := range v.Entries("") {
			walk(e, used)
		}
	}
	if v.IsList() {
		for _, item := range v.Items("") {
			walk(item, used)
		}
	}
}

// The ranges and defaults of the table are numbers that the reader understands.
func TestRangesAndDefaults(t *testing.T) {
	checked := 0
	for _, k := range keys.All() {
		if k.Range == "" {
			continue
		}
		kind := kinds[k.Kinds[0]]
		require.NotEmpty(t, kind.Name, "%s: no quantity is called %q", k.Form, k.Kinds[0])
		l := rangeOf(kind, k.Range)
		assert.Less(t, l.lo, l.hi, "%s: %s", k.Form, k.Range)
		assert.Greater(t, l.lo, -1e9, "%s: %s", k.Form, k.Range)
		assert.Less(t, l.hi, 1e12, "%s: %s", k.Form, k.Range)
		if d, err := kind.Parse(k.Default); err == nil {
			assert.True(t, d >= l.lo && d <= l.hi, "%s: the default %s is out of its range", k.Form, k.Default)
		}
		checked++
	}
	assert.Greater(t, checked, 50)
}

// The words for lamps are those of the table.
func TestLampWords(t *testing.T) {
	assert.Equal(t, keys.Lamps, lampWords())
}

// The plan of rare keys reads without a word.
func TestPlanOfRareKeys(t *testing.T) {
	p, problems, text := loadIn("../../../testdata/plans/keys", "plan.yaml")
	require.NotNil(t, p, text)
	assert.Empty(t, problems, text)
	assert.Equal(t, 0.75, p.Circuits[0].Continuous)
	assert.Equal(t, 0.1, p.Relamps[0].StepMax)
	assert.InDelta(t, 0.04, p.Acclimation[0].Apart, 1e-12)
	assert.True(t, p.Acclimation[0].Force)
}
