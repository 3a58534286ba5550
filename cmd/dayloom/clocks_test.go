package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Each kind of day under each kind of controller, compiled over both changes of summer
// time of 2027 (IANA tz database: Lisbon 28 March and 31 October, Lord Howe 4 April and
// 3 October; Brisbane has none, and gets its neighbour's dates), is proved on the days
// before, of and after each. The plan is that of the script clocks.
func TestDaysAcrossSummerTime(t *testing.T) {
	archive, err := txtar.ParseFile("testdata/script/clocks.txtar")
	require.NoError(t, err)
	texts := map[string]string{}
	for _, f := range archive.Files {
		texts[f.Name] = string(f.Data)
	}
	for _, z := range []struct {
		zone  string
		dates []string
	}{
		{"Europe/Lisbon", []string{"2027-03-27", "2027-03-28", "2027-03-29", "2027-10-30", "2027-10-31", "2027-11-01"}},
		{"Australia/Lord_Howe", []string{"2027-04-03", "2027-04-04", "2027-04-05", "2027-10-02", "2027-10-03", "2027-10-04"}},
		{"Australia/Brisbane", []string{"2027-04-03", "2027-04-04", "2027-04-05", "2027-10-02", "2027-10-03", "2027-10-04"}},
	} {
		for _, clocks := range []string{"ignore, controller: follows", "ignore, controller: stays", "follow, controller: follows", "follow, controller: stays"} {
			dir := t.TempDir()
			plan, out := filepath.Join(dir, "plan.yaml"), filepath.Join(dir, "out")
			text := strings.Replace(texts["plan.yaml"], "zone: Europe/Lisbon, summer_time: ignore, controller: follows", "zone: "+z.zone+", summer_time: "+clocks, 1)
			require.Contains(t, text, z.zone)
			require.NoError(t, os.WriteFile(plan, []byte(text), 0o644))
			require.NoError(t, os.WriteFile(filepath.Join(dir, "readings.csv"), []byte(texts["readings.csv"]), 0o644))
			_, msg, code := at(t, "2026-12-02T12:00:00Z", "compile", plan, "-o", out, "--from", z.dates[0], "--to", z.dates[5])
			require.Zero(t, code, msg)
			for _, date := range z.dates {
				said, msg, code := at(t, "2026-12-02T12:00:00Z", "verify", filepath.Join(out, "timetable.json"), plan, "--date", date)
				require.Zero(t, code, "%s, %s, %s: %s%s", z.zone, clocks, date, said, msg)
			}
			tables, err := os.ReadFile(filepath.Join(out, "timetable.csv"))
			require.NoError(t, err)
			moves := z.zone != "Australia/Brisbane" && (clocks[:6] == "ignore") == strings.HasSuffix(clocks, "follows")
			want := 1 + 10 // a header and the points of one table
			if moves {
				want = 1 + 3*10
			}
			assert.Equal(t, want, strings.Count(string(tables), "\r\n"), "%s, %s", z.zone, clocks)
		}
	}
}
