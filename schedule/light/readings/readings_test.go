package readings_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/light"
	"dayloom/schedule/light/readings"
	"dayloom/schedule/plan/planfile"
	"dayloom/schedule/text/diag"
)

const starter = "../../../cmd/dayloom/starters/nursery"

// judge reads the starter plan with its readings edited, old and new in pairs.
func judge(t *testing.T, edits ...string) ([]readings.Judged, diag.List) {
	t.Helper()
	p, problems := planfile.Load(func(path string) ([]byte, error) {
		b, err := os.ReadFile(filepath.Join(starter, path))
		if path == "readings.csv" {
			for i := 0; i < len(edits); i += 2 {
				require.Contains(t, string(b), edits[i])
				b = []byte(strings.Replace(string(b), edits[i], edits[i+1], 1))
			}
		}
		return b, err
	}, "plan.yaml")
	require.NotNil(t, p, problems.Text(nil))
	f, problems := light.Survey(p)
	require.False(t, problems.HasErrors())
	judged := readings.Judge(p, f)
	return judged, append(problems, readings.Doubts(p, judged)...)
}

// outliers lists line → slip.
func outliers(judged []readings.Judged) map[int]string {
	out := map[int]string{}
	for _, j := range judged {
		if j.Outlier {
			out[j.Line] = j.Slip
		}
	}
	return out
}

func TestGoodReadingsAreNotDoubted(t *testing.T) {
	judged, problems := judge(t)
	assert.Empty(t, outliers(judged))
	assert.Empty(t, problems)
	assert.Len(t, judged, 67)
	for _, j := range judged {
		assert.InDelta(t, j.PPFD, j.Expected.Value, 4*j.Expected.SD, "line %d", j.Line)
	}
}

// One slip of each kind in a table that is otherwise good: named by its line. All at
// once as well.
func TestSlipsAreNamed(t *testing.T) {
	type slip struct {
		edits []string
		want  map[int]string
	}
	slips := map[string]slip{
		"ten":   {[]string{"brain-coral,bar-blue@100%,212.6", "brain-coral,bar-blue@100%,2126"}, map[int]string{5: "a factor of ten: 212.6 was meant"}},
		"swap":  {[]string{"finger-coral,tubes,30.0", "finger-coral,tubes,77.6", "staghorn-b,tubes,77.6", "staghorn-b,tubes,30.0"}, map[int]string{51: "swapped with line 54: it was read at finger-coral", 54: "swapped with line 51: it was read at staghorn-b"}},
		"lamp":  {[]string{"star-coral,strip-red@100%,11.6", "star-coral,strip-red@100%,216.5"}, map[int]string{39: "the wrong channel: pendant-white was lit"}},
		"water": {[]string{"table-coral,strip-cyan@100%,47.8", "table-coral,strip-cyan@100%,63.1"}, map[int]string{28: "the immersion factor is in it already: over 1.32 it agrees"}},
		"bare":  {[]string{"staghorn-a,bar-blue@100%,322.8", "staghorn-a,bar-blue@100%,244.5"}, map[int]string{2: "no immersion factor: times 1.32 it agrees"}},
	}
	var every []string
	all := map[int]string{}
	for name, s := range slips {
		judged, problems := judge(t, s.edits...)
		assert.Equal(t, s.want, outliers(judged), name)
		assert.Len(t, problems, len(s.want), name)
		every = append(every, s.edits...)
		for line, words := range s.want {
			all[line] = words
		}
	}
	judged, _ := judge(t, every...)
	assert.Equal(t, all, outliers(judged))
}

// Two readings of one lamp at one place that do not fit their commands.
func TestContradiction(t *testing.T) {
	judged, _ := judge(t, "staghorn-a,pendant-white@100%,264.5,\n", "staghorn-a,pendant-white@100%,264.5,\nstaghorn-a,pendant-white@5V,262,\n")
	assert.Equal(t, map[int]string{11: "another command: the lamp stood at 100%; it contradicts line 10"}, outliers(judged))
}

func TestMissingFactorIsSaidOnce(t *testing.T) {
	p, problems := planfile.Load(func(path string) ([]byte, error) {
		b, err := os.ReadFile(filepath.Join(starter, path))
		return []byte(strings.Replace(string(b), "meter: {in_water_factor: 1.32, uncertainty: 5 %}", "meter: {uncertainty: 5 %}", 1)), err
	}, "plan.yaml")
	require.NotNil(t, p, problems.Text(nil))
	f, _ := light.Survey(p)
	doubts := readings.Doubts(p, readings.Judge(p, f))
	require.Len(t, doubts, 1)
	assert.Contains(t, doubts[0].Error(), "readings.csv:2:1: warning: taken under water by a meter of which the plan does not tell in_water_factor")
}
