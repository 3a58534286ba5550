//go:build unix

package job_test

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"dayloom/exporters/compile"
	"dayloom/exporters/job"
	"dayloom/schedule/balance"
	"dayloom/schedule/balance/cure"
	"dayloom/schedule/plan"
)

var growthDate = plan.Date{Year: 2027, Month: 2, Day: 3}

// growths are the sizes of a farm that BenchmarkGrowth doubles, one at a time; make gives what is measured at a size.
var growths = []struct {
	name     string
	from, to int
	make     func(b *testing.B, size int) func(b *testing.B)
}{
	{"Dli16LinesCorals", 125, 1000, func(b *testing.B, n int) func(*testing.B) { return dli(greenhouse(1, 16, n)) }},
	{"Dli16PointsCorals", 125, 4000, func(b *testing.B, n int) func(*testing.B) { return dli(spots(16, n, half, six)) }},
	{"Dli5000CoralsPoints", 25, 200, func(b *testing.B, n int) func(*testing.B) { return dli(spots(n, 5000, half, six)) }},
	{"BalanceMet16ChannelsCorals", 125, 2000, func(b *testing.B, n int) func(*testing.B) { return balanced(b, 16, n, true) }},
	{"BalanceMet500CoralsChannels", 8, 128, func(b *testing.B, n int) func(*testing.B) { return balanced(b, n, 500, true) }},
	{"BalanceUnmetWithCures16ChannelsCorals", 125, 2000, func(b *testing.B, n int) func(*testing.B) { return balanced(b, 16, n, false) }},
	{"BalanceUnmetWithCures500CoralsChannels", 8, 64, func(b *testing.B, n int) func(*testing.B) { return balanced(b, n, 500, false) }},
	{"Compile16PortsOneDayPoints", 12, 384, func(b *testing.B, n int) func(*testing.B) { return compiled(b, n, 1, false) }},
	{"Compile16Ports24PointsDaysAllDifferent", 8, 64, func(b *testing.B, n int) func(*testing.B) { return compiled(b, 24, n, false) }},
	{"Verify16Ports24PointsDaysAllDifferent", 8, 64, func(b *testing.B, n int) func(*testing.B) { return compiled(b, 24, n, true) }},
}

// BenchmarkGrowth tells how the work grows: each size's seconds of CPU, and under "fit" the exponent of a least-squares line
// through their logarithms. The log of "fit" is the row of the table in DEVELOPERS.md.
func BenchmarkGrowth(b *testing.B) {
	for _, g := range growths {
		b.Run(g.name, func(b *testing.B) {
			var sizes, seconds []float64
			row := ""
			for n := g.from; n <= g.to; n *= 2 {
				var run func(*testing.B)
				took := 0.0
				b.Run(fmt.Sprint(n), func(b *testing.B) {
					if run == nil {
						run = g.make(b, n)
						b.ResetTimer()
					}
					before := cpu(b)
					for range b.N {
						run(b)
					}
					took = (cpu(b) - before) / float64(b.N)
					b.ReportMetric(took, "cpu-s/op")
				})
				if run == nil { // not asked for
					continue
				}
				sizes, seconds = append(sizes, math.Log(float64(n))), append(seconds, math.Log(took))
				row += fmt.Sprintf(" %d: %.2g,", n, took)
			}
			if len(sizes) < 2 {
				return
			}
			b.Run("fit", func(b *testing.B) {
				e := slope(sizes, seconds)
				b.ReportMetric(e, "exponent")
				b.ReportMetric(0, "ns/op")
				b.Logf("| %s |%s | %.2f |", g.name, strings.TrimSuffix(row, ","), e)
			})
		})
	}
}

// cpu is the seconds that all cores have worked for this process.
func cpu(b *testing.B) float64 {
	var u syscall.Rusage
	require.NoError(b, syscall.Getrusage(syscall.RUSAGE_SELF, &u))
	return time.Duration(u.Utime.Nano() + u.Stime.Nano()).Seconds()
}

// slope is that of the least-squares line through the points.
func slope(x, y []float64) float64 {
	var mx, my, xy, xx float64
	for i := range x {
		mx, my = mx+x[i]/float64(len(x)), my+y[i]/float64(len(x))
	}
	for i := range x {
		xy, xx = xy+(x[i]-mx)*(y[i]-my), xx+(x[i]-mx)*(x[i]-mx)
	}
	return xy / xx
}

// spots is a tank of the greenhouse under points of light, each zone of one coral, with the peaks and the daily light asked.
func spots(channels, corals int, peak func(channel int) string, dli func(coral int) float64) map[string][]byte {
	files := greenhouse(1, channels, corals)
	head, rest, _ := strings.Cut(string(files["plan.yaml"]), "zones:\n")
	zones, rest, _ := strings.Cut(rest, "day:\n")
	_, tail, _ := strings.Cut(rest, "\n")
	i := 0
	head = regexp.MustCompile(`line: {from.*?, height`).ReplaceAllStringFunc(head, func(string) string {
		i++
		return fmt.Sprintf("point: {at: [%d cm, %d cm], height", 10+37*i%180, 10+13*i%40)
	})
	var text strings.Builder
	text.WriteString(head + "zones:\n")
	for i, c := range regexp.MustCompile(`c-0-\d+: {[^}]*}`).FindAllString(zones, -1) {
		fmt.Fprintf(&text, "  z-%d: {dli: %.4f, within: 20 %%, corals: {%s}}\n", i, dli(i), c)
	}
	text.WriteString("day:\n")
	for i, name := range regexp.MustCompile(`(?m)^  ([a-z]+-\d+-0): {flux`).FindAllStringSubmatch(head, -1) {
		fmt.Fprintf(&text, "  - {channels: [%s], sunrise: {from: \"09:%02d\", to: \"11:%02d\"}, peak: %s, sunset: {from: \"17:00\", to: \"19:00\"}}\n", name[1], i%60, i%60, peak(i))
	}
	files["plan.yaml"] = []byte(text.String() + tail)
	return files
}

func half(int) string { return "50 %" }
func six(int) float64 { return 6 }

// dli reads a plan, works out its light and sums a date.
func dli(files map[string][]byte) func(b *testing.B) {
	files["plan.yaml"] = bytes.ReplaceAll(files["plan.yaml"], []byte("peak: auto"), []byte("peak: 50 %"))
	return func(b *testing.B) { opened(b, files).On(growthDate).DLI() }
}

// balanced finds the levels of a tank in which each coral asks what it gets at one mixture of levels, give or take less than
// is tolerated; or, not met, light drawn apart from it, and looks for cures.
func balanced(b *testing.B, channels, corals int, met bool) func(b *testing.B) {
	rnd := rand.New(rand.NewPCG(1, 5))
	j := opened(b, spots(channels, corals, func(int) string { return fmt.Sprintf("%.1f %%", 20+50*rnd.Float64()) }, six))
	got := j.On(growthDate).Result.Corals
	files := spots(channels, corals, func(int) string { return "auto" }, func(i int) float64 {
		if met {
			return got[i].DLI * (0.9 + 0.2*rnd.Float64())
		}
		return got[i].DLI * (0.5 + rnd.Float64())
	})
	asked, err := job.Read(job.Question{File: "plan.yaml", Read: func(path string) ([]byte, error) { return files[path], nil }})
	require.NoError(b, err)
	return func(b *testing.B) {
		o := balance.Options{Cost: true}
		a, problems := job.Balanced(context.Background(), asked.Plan, j.Field, o)
		require.False(b, problems.HasErrors())
		require.Equal(b, met, a.Met)
		cure.Find(context.Background(), asked.Plan, j.Field, o, a, func(int) {})
	}
}

// compiled lowers so many days, all different for the season's sake, to so many points; or plays them.
func compiled(b *testing.B, points, days int, verify bool) func(b *testing.B) {
	files := spots(16, 10, half, six)
	files["plan.yaml"] = append([]byte(strings.Replace(string(files["plan.yaml"]), "signal: percent,", fmt.Sprintf("signal: percent, step: 0.1 %%, points_per_day: %d,", points), 1)), "season: {latitude: 18 S, share: 50 %}\n"...)
	j := opened(b, files)
	span := compile.Span{From: growthDate, To: growthDate.AddDays(days - 1)}
	build := func() compile.Result { return compile.Build(j.Plan, []compile.Span{span}, j.Curves) }
	if !verify {
		return func(*testing.B) { build() }
	}
	file := build().File
	return func(b *testing.B) {
		_, err := j.Play(file, span.From, span.To)
		require.NoError(b, err)
	}
}
