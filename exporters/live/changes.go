package live

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"net/http"
	"path/filepath"
	"strings"

	"github.com/rogpeppe/go-internal/diff"

	"dayloom/exporters/job"
	"dayloom/exporters/report"
	"dayloom/exporters/table"
	"dayloom/schedule/balance"
	"dayloom/schedule/balance/writeback"
)

// Changes are the lines of the plan that would change.
type Changes struct {
	Lines []Line `json:"lines"`
	Mark  string `json:"mark"` // of what was shown: writing asks for it
}

// Line is a line of a difference: as it is, taken out ("-") or put in ("+"); "@" is where it stands.
type Line struct {
	Sign string `json:"sign"`
	Text string `json:"text"`
}

// Changes shows what writing would change.
func (d *Document) Changes() (Changes, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	old, err := d.unchanged()
	if err != nil {
		return Changes{}, err
	}
	is := d.texts[d.at].is
	out := Changes{Mark: mark(old, is), Lines: []Line{}}
	if bytes.Equal(old, is) {
		return out, nil
	}
	lines := strings.Split(strings.TrimSuffix(string(diff.Diff("a", old, "b", is)), "\n"), "\n")
	for _, l := range lines[min(3, len(lines)):] { // behind the two names
		if l != "" {
			out.Lines = append(out.Lines, Line{l[:1], l[1:]})
		}
	}
	return out, nil
}

func mark(old, is []byte) string {
	a, b := sha256.Sum256(old), sha256.Sum256(is)
	return hex.EncodeToString(a[:8]) + hex.EncodeToString(b[:])
}

// Write puts the text shown in the place of the plan. It asks for the mark of the
// changes that were shown, and writes nothing else.
func (d *Document) Write(ctx context.Context, shown string) (View, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	old, err := d.unchanged()
	if err != nil {
		return View{}, err
	}
	is := d.texts[d.at].is
	if shown != mark(old, is) {
		return View{}, &trouble{http.StatusConflict, "the plan on the page is another than the lines that were shown; nothing was written. Look at the lines again."}
	}
	if bytes.Equal(old, is) {
		return View{}, &trouble{http.StatusConflict, "no line would change; nothing was written"}
	}
	if err := d.config.Write(ctx, old, is); err != nil {
		return View{}, err
	}
	d.base, d.read[d.config.File] = is, state(is, nil)
	v := d.view()
	v.Wrote = filepath.Base(d.config.File)
	return v, nil
}

// proofWidth is how wide the words of a balance are set, characters.
const proofWidth = 92

// Balance puts the levels and hours into the plan that meet its targets: of what is
// auto, or, where nothing is, of every dimmable channel.
func (d *Document) Balance(ctx context.Context) (View, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	p, j := d.now.Read, d.now.Job
	if !writeback.Open(p) {
		p = writeback.AllAuto(p)
	}
	a, problems := job.Balanced(ctx, p, j.Field, balance.Options{Age: job.AgeAtStart(p), From: writeback.Peaks(d.now.Read), Cost: true})
	if problems.HasErrors() {
		return View{}, said(&job.Job{Problems: job.Problems{Balance: problems}}, &trouble{http.StatusUnprocessableEntity, "there is no balance"})
	}
	src := d.texts[d.at].is
	is, err := writeback.Write(src, p, a)
	if err != nil {
		return View{}, err
	}
	w, err := d.open(ctx, is, d.date)
	if err != nil {
		return View{}, err
	}
	var words strings.Builder
	sheet := table.NewPage(&words, proofWidth, false)
	if err := report.NewBalanced(p, a).Text(sheet); err != nil {
		return View{}, err
	}
	if err := sheet.Close(); err != nil {
		return View{}, err
	}
	d.push(text{is, "balance", words.String()}, false, w)
	return d.view(), nil
}
