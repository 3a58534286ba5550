package keys

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"
)

func compiled(t *testing.T) *jsonschema.Schema {
	text, err := Schema()
	require.NoError(t, err)
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("plan.schema.json", doc))
	s, err := c.Compile("plan.schema.json")
	require.NoError(t, err)
	return s
}

// read gives a plan as an editor's YAML reader does: keys and dates are text.
func read(path string) (any, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	var doc any
	if err := yaml.Unmarshal(text, &doc); err != nil {
		return nil, err
	}
	return plain(doc), nil
}

func plain(v any) any {
	switch v := v.(type) {
	case map[string]any:
		for k := range v {
			v[k] = plain(v[k])
		}
	case map[any]any:
		out := map[string]any{}
		for k := range v {
			out[fmt.Sprint(k)] = plain(v[k])
		}
		return out
	case []any:
		for i := range v {
			v[i] = plain(v[i])
		}
	case time.Time:
		return v.Format(time.DateOnly)
	}
	return v
}

func plans(t *testing.T, atLeast int, patterns ...string) (found []string) {
	for _, pattern := range patterns {
		more, err := filepath.Glob(filepath.Join("..", "..", "..", pattern))
		require.NoError(t, err)
		found = append(found, more...)
	}
	require.GreaterOrEqual(t, len(found), atLeast)
	return found
}

func TestSchemaTakesEveryGoodPlan(t *testing.T) {
	s := compiled(t)
	for _, path := range plans(t, 15, "testdata/plans/*/plan.yaml", "testdata/warned/*.yaml", "cmd/dayloom/starters/*/plan.yaml") {
		doc, err := read(path)
		require.NoError(t, err, path)
		assert.NoError(t, s.Validate(doc), path)
	}
}

// What a schema can tell: keys that are unknown or missing, wrong forms, units and
// words. Where the first message of a broken plan is of that sort, about the plan
// itself, the schema refuses it as well.
func TestSchemaRefusesWhatItCanTell(t *testing.T) {
	s := compiled(t)
	can := regexp.MustCompile(`^[^:]*\.yaml:\d+:\d+: (unknown key|the key "(name|clock|tank|channels|zones|day|length|depth|dli|zone|signal|ports|rating|supply|arrives|over|corals|from|to|height|share)" is missing|unknown [a-z ]+ "|"[^"]*" has no unit|"[^"]*" is not (a|an) (length|share|power|duration|wavelength|angle|time of day)|\S+ (is a list|holds keys|is the text))`)
	told := 0
	for _, path := range plans(t, 100, "testdata/broken/*.yaml") {
		messages, err := os.ReadFile(strings.TrimSuffix(path, ".yaml") + ".txt")
		require.NoError(t, err)
		doc, err := read(path)
		if err != nil || !can.Match(messages) {
			continue
		}
		told++
		assert.Error(t, s.Validate(doc), "%s\n%s", path, messages)
	}
	assert.Greater(t, told, 15)
}
