package acclimate_test

import (
	"os"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"

	"dayloom/schedule/calendar/acclimate"
	"dayloom/schedule/calendar/journal"
	"dayloom/schedule/day"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
)

// layered is the plan with every layer at work (testdata/layers), a journal and an outage on top.
func layered(t testing.TB) (*plan.Plan, light.Field, acclimate.Options) {
	const folder = "../../../testdata/layers/"
	p, problems := planfile.Load(os.ReadFile, folder+"plan.yaml")
	require.False(t, problems.HasErrors(), text(problems))
	f, problems := light.Survey(p)
	require.False(t, problems.HasErrors(), text(problems))
	data, err := os.ReadFile(folder + "journal.yaml")
	require.NoError(t, err)
	entries, problems := journal.Read("journal.yaml", data)
	require.False(t, problems.HasErrors())
	return p, f, acclimate.Options{Journal: append(entries, journal.Entry{Date: date("2028-01-10"), Do: journal.Outage, Days: 3})}
}

func days(p *plan.Plan, g *acclimate.Programme, years int) {
	book := g.Book()
	for d := date("2026-09-01"); d.Before(date("2026-09-01").AddDays(365 * years)); d = d.AddDays(1) {
		day.Build(p, d, book.On(d).Day)
	}
}

func BenchmarkFiveYearsOfEveryLayer(b *testing.B) {
	p, f, opts := layered(b)
	for b.Loop() {
		days(p, acclimate.New(p, f, opts), 5)
	}
}

// What is kept of the days does not grow with the years: from one year to twenty by less than 64 bytes a channel and
// quarter of a year.
func TestMemoryIsFlatInTheYears(t *testing.T) {
	p, f, opts := layered(t)
	g := acclimate.New(p, f, opts)
	kept := func(years int) int64 {
		days(p, g, years)
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		runtime.KeepAlive(g)
		return int64(m.HeapAlloc)
	}
	one := kept(1)
	require.Less(t, kept(20)-one, int64(64*len(p.Channels)*4*19+64<<10))
}
