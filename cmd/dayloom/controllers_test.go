package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/exporters/compile"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/port"
)

// controllersDir holds one invented day under six imagined controllers.
const controllersDir = "../../testdata/controllers"

// controllers are its plans, with what their controllers are and can hold.
var controllers = []string{"four-points", "eight-volts", "sixteen-bits", "five-minutes-log", "never-dark", "two-for-one"}

// loweredPort is a row of what compile says.
type loweredPort struct {
	Controller, Port, Channel string
	Points                    int
	Allowed                   int     `json:"points_allowed"`
	Greatest                  float64 `json:"greatest_departure"`
	Bound                     float64 `json:"greatest_departure_at_least"`
	Proven                    bool    `json:"greatest_departure_proven"`
	Dose                      float64 `json:"dose_asked_s"`
	DoseOff                   float64 `json:"dose_departure"`
}

// playedDay is what verify says of a day.
type playedDay struct {
	Corals []struct {
		Name         string
		AskedDLI     float64 `json:"dli_asked_mol_m2_d"`
		DeliveredDLI float64 `json:"dli_delivered_mol_m2_d"`
	}
	Ports []struct {
		Controller, Port string
		Greatest         float64 `json:"greatest_departure"`
	}
	Kept bool
}

// The same day for six controllers, on a winter and a summer date, all of it by the
// commands themselves: every coral gets its light within 1 %, no port has more points
// than it can hold, and what verify sees of a port is what compile said.
func TestSixControllers(t *testing.T) {
	var rows []string
	for _, name := range controllers {
		plan := filepath.Join(controllersDir, name+".yaml")
		for _, date := range []string{"2027-01-15", "2027-07-15"} {
			lowered, played := compiledAndPlayed(t, plan, date)
			departs := map[string]float64{}
			for _, c := range played.Corals {
				require.Positive(t, c.AskedDLI)
				assert.InEpsilon(t, c.AskedDLI, c.DeliveredDLI, 0.01, "%s on %s: %s", name, date, c.Name)
			}
			for _, p := range played.Ports {
				departs[p.Controller+"/"+p.Port] = p.Greatest
			}
			require.Len(t, played.Ports, len(lowered), "%s: every port that lights is played", name)
			for _, p := range lowered {
				id := p.Controller + "/" + p.Port
				assert.LessOrEqual(t, p.Points, p.Allowed, "%s: %s", name, id)
				require.Contains(t, departs, id)
				assert.InDelta(t, p.Greatest, departs[id], 2e-6, "%s on %s: %s departs otherwise than compile said", name, date, id)
				if date == "2027-01-15" {
					rows = append(rows, controllerRow(name, p))
				}
			}
		}
	}
	golden(t, filepath.Join(controllersDir, "table.txt"), tableHead+strings.Join(rows, ""))
}

// On every date of four weeks, in which the clocks of some of them change, no port is further from its curve than
// the tables of that date and its neighbours claim, and the greatest claim of each port is reached.
func TestClaimsOfSixControllers(t *testing.T) {
	plans, err := filepath.Glob(filepath.Join(controllersDir, "*.yaml"))
	require.NoError(t, err)
	require.Len(t, plans, len(controllers))
	from, to := plan.Date{Year: 2027, Month: 3, Day: 12}, plan.Date{Year: 2027, Month: 4, Day: 8}
	for _, path := range plans {
		w := world{stdin: strings.NewReader(""), stdout: new(bytes.Buffer), stderr: new(bytes.Buffer), now: compiledAt}
		j, err := w.job(path)
		require.NoError(t, err)
		spans, err := w.spans(j.Plan, from.String(), to.String())
		require.NoError(t, err)
		file := compile.Build(j.Plan, spans, j.Curves).File
		played, err := j.Play(file, from, to)
		require.NoError(t, err)
		claimed, found := map[port.Ref]float64{}, map[port.Ref]float64{}
		for _, table := range file.Tables {
			for _, q := range table.Ports {
				if q.Claim != nil {
					claimed[q.Ref()] = max(claimed[q.Ref()], *q.Claim)
				}
			}
		}
		for _, day := range played.Days {
			for _, q := range day.Ports {
				ref, near := port.Ref{Controller: q.Controller, Port: q.Name}, 0.0
				for d := -1; d <= 1; d++ {
					if table, ok := file.On(day.Date.AddDays(d)); ok {
						near = max(near, *table.Ports[table.Port(ref)].Claim)
					}
				}
				assert.LessOrEqual(t, q.Greatest, near+2e-6, "%s on %v: %v", path, day.Date, ref)
				found[ref] = max(found[ref], q.Greatest)
			}
		}
		assert.NotEmpty(t, claimed, path)
		assert.InDeltaMapValues(t, claimed, found, 2e-6, path)
	}
}

func compiledAndPlayed(t *testing.T, plan, date string) (lowered []loweredPort, played playedDay) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "out")
	out, msg, code := at(t, "2026-12-02T12:00:00Z", "compile", plan, "-o", dir, "--from", date, "--to", date, "--format", "json")
	require.Zero(t, code, msg)
	var c struct{ Ports []loweredPort }
	require.NoError(t, json.Unmarshal([]byte(out), &c))
	out, msg, code = at(t, "2026-12-02T12:00:00Z", "verify", filepath.Join(dir, "timetable.json"), plan, "--format", "json")
	require.Zero(t, code, msg)
	require.NoError(t, json.Unmarshal([]byte(out), &played))
	require.True(t, played.Kept)
	return c.Ports, played
}

const tableHead = `One invented day under six imagined controllers, as compile lowers it (15 January 2027).
Greatest departure is in % of full light, from what the port can be asked for, and least is
what no table can do without; where it is proven, none comes nearer than this one.

controller        port           channel        points     greatest       least  dose off
`

func controllerRow(name string, p loweredPort) string {
	off := 100 * p.DoseOff
	if math.Abs(off) < 0.005 {
		off = 0
	}
	least := "   proven"
	if !p.Proven {
		least = fmt.Sprintf("%7.2f %%", 100*p.Bound)
	}
	return fmt.Sprintf("%-17s %-14s %-14s %2d of %2d %8.2f %%   %s  %+7.2f %%\n", name, p.Controller+"/"+p.Port, p.Channel, p.Points, p.Allowed, 100*p.Greatest, least, off)
}

// golden compares a text with a file, or writes the file with -update.
func golden(t *testing.T, path, got string) {
	t.Helper()
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), got)
}

// A crontab of outlets that only feed dimmed lamps has nothing to be judged by.
func TestOutletsThatOnlyFeed(t *testing.T) {
	plan, dir := filepath.Join(controllersDir, "never-dark.yaml"), filepath.Join(t.TempDir(), "out")
	_, msg, code := at(t, "2026-12-02T12:00:00Z", "compile", plan, "-o", dir)
	require.Zero(t, code, msg)
	_, msg, code = at(t, "2026-12-02T12:00:00Z", "verify", filepath.Join(dir, "outlets.cron"), plan)
	assert.Equal(t, exitFile, code)
	assert.Contains(t, msg, "only feed dimmed lamps")
}
