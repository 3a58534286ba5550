package main

import (
	"flag"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "rewrite the expected output inside the scripts")

// TestMain lets scripts run the real program as `dayloom`. DAYLOOM_TEST_NOW, known
// only here, sets its clock so that what it prints does not depend on the day.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"dayloom": func() {
			now := time.Now
			if s := os.Getenv("DAYLOOM_TEST_NOW"); s != "" {
				at, err := time.Parse(time.RFC3339, s)
				if err != nil {
					panic(err)
				}
				now = func() time.Time { return at }
			}
			os.Exit(run(os.Args[1:], world{
				stdin: os.Stdin, stdout: os.Stdout, stderr: os.Stderr, now: now, columns: columnsOf(os.Stdout),
			}))
		},
	})
}

// short are the scripts that between them use every stage which works on several
// processors; the race detector, ten times slower, is given no more. What map and colour do on
// several has tests of its own below exporters, schedule/maps and photon/tank.
var short = []string{"balance", "dli", "first_light", "writing"}

// TestScripts runs one archive for each behaviour; see testdata/script/README.
func TestScripts(t *testing.T) {
	found, err := filepath.Glob("testdata/script/*.txtar")
	require.NoError(t, err)
	require.NotEmpty(t, found, "no scripts found: the test would prove nothing")
	if testing.Short() {
		found = nil
		for _, name := range short {
			found = append(found, filepath.Join("testdata", "script", name+".txtar"))
		}
	}
	testscript.Run(t, testscript.Params{
		Files:               found,
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("DAYLOOM_TEST_NOW", "2026-12-02T12:00:00Z")
			e.Setenv("COLUMNS", "1000") // what is said, not where its lines end; TestWidths sees to that
			plans, err := filepath.Abs("../../testdata/plans")
			e.Setenv("PLANS", plans)
			return err
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){"exits": exits, "edit": edit, "starter": starter},
	})
}
