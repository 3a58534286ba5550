package planfile

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/text/diag"
)

// quayReadings reads the example with another file of readings.
func quayReadings(t *testing.T, csv string) diag.List {
	t.Helper()
	p, problems := Load(func(path string) ([]byte, error) {
		if path == "readings.csv" {
			return []byte(csv), nil
		}
		return os.ReadFile(filepath.Join(quay, path))
	}, "plan.yaml")
	require.Equal(t, problems.HasErrors(), p == nil)
	return problems
}

// What is wrong in every line costs as much as what is wrong in the first thousand:
// lines, and words of a line, are not read on without end.
func TestFaultyReadingsAreReadNoFurther(t *testing.T) {
	const head = "coral,lit,ppfd\n"
	problems := quayReadings(t, head+strings.Repeat("nobody,bar-blue,1\n", 5000))
	assert.Equal(t, maxFaults+1, problems.Count(diag.Error))
	assert.Contains(t, problems[len(problems)-1].Error(), "readings.csv:1001:1: 1000 faults so far: the file is read no further")

	problems = quayReadings(t, head+"staghorn-a,"+strings.Repeat("z ", 200_000)+",1\n")
	assert.LessOrEqual(t, problems.Count(diag.Error), 2*mostGuesses)

	problems = quayReadings(t, head+strings.Repeat("staghorn-a,bar-blue,\n", maxReadings+1))
	assert.Equal(t, 1, problems.Count(diag.Error))
	assert.Contains(t, problems.Text(nil), "the file has too many readings; it may have 100000")
}

func TestSizesAreLimitedByKind(t *testing.T) {
	read := func(name string, bytes int) string {
		_, problems := Load(func(path string) ([]byte, error) {
			if path == filepath.FromSlash(name) {
				return make([]byte, bytes), nil
			}
			return os.ReadFile(filepath.Join(quay, path))
		}, "plan.yaml")
		return problems.Text(nil)
	}
	assert.Contains(t, read("spectra/white.csv", maxTable+1), `the file "spectra/white.csv" is larger than 4 MiB, the most that is read of such a file`)
	assert.Contains(t, read("spot.ies", maxTable+1), `the file "spot.ies" is larger than 4 MiB`)
	assert.Contains(t, read("readings.csv", MaxFile+1), `the file "readings.csv" is larger than 16 MiB`)
	assert.Contains(t, read("plan.yaml", 1<<20+1), "a plan may have 1048576")
	assert.Contains(t, read("plan.yaml", MaxFile+1), "larger than 16 MiB")
}

func TestAllFilesTogetherAreLimited(t *testing.T) {
	var b strings.Builder
	b.WriteString("plan: 1\nchannels:\n")
	for i := range 40 {
		b.WriteString("  c" + strings.Repeat("x", i) + ": {spectrum: {file: s" + strings.Repeat("x", i) + ".csv}}\n")
	}
	_, problems := Load(func(path string) ([]byte, error) {
		if path == "plan.yaml" {
			return []byte(b.String()), nil
		}
		return make([]byte, maxTable), nil
	}, "plan.yaml")
	assert.Contains(t, problems.Text(nil), "the files of the plan are larger than 128 MiB together")
}

func TestTheReasonForNotReadingIsTold(t *testing.T) {
	_, problems := Load(func(path string) ([]byte, error) {
		return nil, &fs.PathError{Op: "read", Path: path, Err: fs.ErrInvalid}
	}, "plan.yaml")
	assert.Contains(t, problems.Text(nil), `the file "plan.yaml" cannot be read: invalid argument`)
}
