package planfile

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"dayloom/schedule/plan"
)

// plans are those of testdata/plans, read from the disk once.
type plans map[string][]byte

// with reads a plan with one of its tables in other words: what is wrong is told at a place of the
// table that there is, and what is not wrong is a plan.
func (k plans) with(t *testing.T, dir, table string, data []byte) *plan.Plan {
	read := func(path string) ([]byte, error) {
		if path == table {
			return data, nil
		}
		path = filepath.Join("../../../testdata/plans", dir, path)
		if k[path] == nil {
			text, err := os.ReadFile(path)
			if err != nil {
				return nil, err
			}
			k[path] = text
		}
		return k[path], nil
	}
	p, problems := Load(read, "plan.yaml")
	require.Equal(t, problems.HasErrors(), p == nil)
	lines := strings.Split(string(data), "\n")
	for _, problem := range problems {
		require.NotEmpty(t, problem.What)
		if !strings.Contains(string(data), "NaN") {
			require.NotContains(t, problem.Error(), "NaN")
		}
		if problem.File != table {
			continue
		}
		require.True(t, problem.Line >= 1 && problem.Line <= len(lines), "%v of %d lines", problem, len(lines))
		require.True(t, problem.Col >= 1 && problem.Col <= utf8.RuneCountInString(lines[problem.Line-1])+1, "%v: %q", problem, lines[problem.Line-1])
	}
	return p
}

// seeds adds files below testdata as seeds.
func seeds(f *testing.F, add func(data []byte), names ...string) {
	for _, name := range names {
		data, err := os.ReadFile(filepath.Join("../../../testdata", name))
		require.NoError(f, err)
		add(data)
	}
}

// FuzzReadings: a table of readings, in a plan of one tank or of several, gives rows whose places,
// channels and commands are those of the plan.
func FuzzReadings(f *testing.F) {
	for _, several := range []bool{false, true} {
		seeds(f, func(data []byte) { f.Add(several, data) }, "plans/quay/readings.csv", "plans/tanks/readings.csv", "plans/troughs/readings.csv", "broken/files/readings-broken.csv",
			"broken/files/readings-circumstances.csv", "broken/files/readings-columns.csv", "broken/files/readings-quotes.csv", "broken/files/readings-racks.csv", "broken/files/readings-tanks.csv")
		f.Add(several, []byte("\ufeffcoral;lit;ppfd;date;repeat_sd\nstaghorn-a;bar-blue@100%+tubes;180,5;2027-02-03;2,5\n"))
		f.Add(several, []byte("tank,corål,lit,ppfd,"))
	}
	known := plans{}
	f.Fuzz(func(t *testing.T, several bool, data []byte) {
		p := known.with(t, map[bool]string{false: "quay", true: "tanks"}[several], "readings.csv", data)
		if p == nil || p.Readings == nil {
			return
		}
		for _, r := range p.Readings.Rows {
			require.True(t, r.Line >= 2 && r.Line <= 1+strings.Count(string(data), "\n"), "%+v", r)
			require.True(t, r.PPFD >= 0 && r.PPFD <= 1e5 && r.RepeatSD >= 0 && r.RepeatSD <= 1e5, "%+v", r)
			require.True(t, r.Coral < len(p.Corals) && r.Meter >= 0 && r.Meter < len(p.Meters), "%+v", r)
			box := p.TankAt(r.Tank).Box
			require.True(t, r.X >= 0 && r.X <= box.Length && r.Y >= 0 && r.Y <= box.Width && r.Depth >= 0 && r.Depth <= box.Depth, "%+v", r)
			if r.Coral >= 0 {
				require.Equal(t, p.TankOf(r.Coral), r.Tank)
			}
			for _, l := range r.Lit {
				require.Equal(t, r.Tank, p.Channels[l.Channel].Tank)
				require.True(t, l.Fraction >= 0 && l.Fraction <= 1, "%+v", r)
			}
		}
	})
}

// FuzzPoints: a day's points rise, are shares, and give some light.
func FuzzPoints(f *testing.F) {
	seeds(f, func(data []byte) { f.Add(data) }, "plans/reef/reef-day.csv", "broken/files/points-fall.csv")
	for _, text := range []string{"time,share\n08:00,0\n12:00,100 %\n18:00,0\n", "\ufefftime;share\n06:15;1,4\n23:59;99,9\n", "# a note\ntime,share\n00:00,5\n", "time,share\n24:00,1\n\"\n", "time,share\n24:00tim\"\n"} {
		f.Add([]byte(text))
	}
	known := plans{}
	f.Fuzz(func(t *testing.T, data []byte) {
		p := known.with(t, "reef", "reef-day.csv", data)
		if p == nil {
			return
		}
		points := p.Day[0].Daylight.Points
		require.True(t, len(points) >= 2 && len(points) <= mostPoints)
		require.True(t, slices.ContainsFunc(points, func(s plan.Share) bool { return s.Share > 0 }))
		for i, s := range points {
			require.True(t, s.TimeS >= 0 && s.TimeS < 86400 && s.Share >= 0 && s.Share <= 1, "%+v", s)
			require.True(t, i == 0 || s.TimeS > points[i-1].TimeS, "%+v", points)
		}
	})
}

// FuzzSpectral: a meter's response is a table of rising wavelengths with finite values.
func FuzzSpectral(f *testing.F) {
	seeds(f, func(data []byte) { f.Add(data) }, "plans/quay/sensor.csv", "broken/files/white-broken.csv")
	for _, text := range []string{"400,0\n700,0\n", "nm;response\n400;0,5\n700;1\n", "100,1e-320\n100000,1e308\n", "500,1\n400,1\n"} {
		f.Add([]byte(text))
	}
	known := plans{}
	f.Fuzz(func(t *testing.T, data []byte) {
		p := known.with(t, "quay", "sensor.csv", data)
		if p == nil {
			return
		}
		for i, at := range p.Meter.Spectral {
			require.True(t, i == 0 || at[0] > p.Meter.Spectral[i-1][0])
			require.True(t, at[1] >= 0 && !math.IsInf(at[1], 0), "%v", at)
		}
	})
}
