package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"
)

// moves is how often each thing is done.
const moves = 100

// How fast the page follows the hand, measured by the page itself (live/web/measure.js) from
// the input event to the frame that shows it: testdata/bench/twelve.yaml, twelve channels, a
// plane of 240 x 60 cm at 2 cm. It reports; it passes no verdict, for machines differ.
func TestPageLatency(t *testing.T) {
	if os.Getenv("DAYLOOM_LATENCY") == "" {
		t.Skip("measured only with DAYLOOM_LATENCY=1 beside DAYLOOM_BROWSER=1")
	}
	plan := filepath.Join(t.TempDir(), "plan.yaml")
	text, err := os.ReadFile("../../testdata/bench/twelve.yaml")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(plan, text, 0o600))
	b := openTab(t, plan)
	is(b, chromedp.Evaluate[bool](`import("/measure.js").then((m) => { globalThis.times = m.times; return true })`, chromedp.EvalAwaitPromise))

	b.do(chromedp.Focus(`#level-rows tr:nth-child(4) [data-level]`))
	for i := range moves {
		b.do(chromedp.KeyEvent([]string{kb.ArrowUp, kb.ArrowDown}[i/10%2]))
		b.until(fmt.Sprintf("times.level.length > %d", i))
	}
	js[bool](b, `scrollTo(0, 0); true`)
	at := js[[]float64](b, `[...document.querySelectorAll(".mark.lamp")].slice(12).map((l) => { const r = l.getBoundingClientRect(); return [l, r.x + r.width / 2, r.y + r.height / 2] })
		.find(([l, x, y]) => document.elementFromPoint(x, y) === l).slice(1)`)
	b.do(chromedp.MouseEvent(chromedp.MousePressed, at[0], at[1], chromedp.ButtonLeft))
	b.do(chromedp.MouseEvent(chromedp.MouseMoved, at[0]+5, at[1], chromedp.ButtonLeft))
	for i := range moves {
		b.do(chromedp.MouseEvent(chromedp.MouseMoved, at[0]+6+float64(i%20), at[1]+float64(i%7), chromedp.ButtonLeft))
		b.until(fmt.Sprintf("times.lamp.length > %d", i))
	}
	b.do(chromedp.MouseEvent(chromedp.MouseReleased, at[0]+6, at[1], chromedp.ButtonLeft))
	b.clean()
	load, _ := os.ReadFile("/proc/loadavg")
	for _, kind := range []string{"level", "lamp"} {
		ms := js[[]float64](b, "times."+kind)
		slices.Sort(ms)
		require.GreaterOrEqual(t, len(ms), moves)
		t.Logf("%s: %d moves, median %.0f ms, 95th percentile %.0f ms, most %.0f ms; load %s", kind, len(ms), ms[len(ms)/2], ms[len(ms)*95/100], ms[len(ms)-1], strings.TrimSpace(string(load)))
	}
}
