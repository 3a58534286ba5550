package live

import (
	"bytes"
	"context"
	"crypto/sha256"
	"net/http"
	"reflect"
	"strings"
	"sync"

	"dayloom/exporters/job"
	"dayloom/exporters/picture"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
	"dayloom/schedule/text/diag"
)

// mostUndone bounds the history of edits.
const mostUndone = 500

// Document is a plan on the page: its text on the disk, and what edits made of it.
type Document struct {
	config Config
	mu     sync.Mutex                   // one request at a time changes it; what is worked out is never changed
	base   []byte                       // as on the disk when it was read or written last
	read   map[string][sha256.Size]byte // what was read, by path
	texts  []text                       // from base on
	at     int                          // the one shown
	date   plan.Date
	now    *worked
}

// text is one state of the plan.
type text struct {
	is    []byte
	edit  string // what led to it; edits of the same value follow each other as one
	proof string // what balance said of it, where that led to it
}

// worked is a text read and worked out.
type worked struct {
	*job.Job
	day     job.Dated
	read    map[string][sha256.Size]byte
	ages    [][]float64 // of the lamps at the readings
	version []int       // by channel: rises when its light may have changed
	colours []string    // by channel: that of its spectrum
}

// Open reads the plan.
func Open(ctx context.Context, c Config) (*Document, error) {
	d := &Document{config: c}
	_, err := d.Reload(ctx)
	return d, err
}

// Job is the plan as it stands on the page.
func (d *Document) Job() *job.Job {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.now == nil {
		return nil
	}
	return d.now.Job
}

// open reads a text in the place of the plan's own.
func (d *Document) open(ctx context.Context, is []byte, date plan.Date) (*worked, error) {
	out := &worked{read: map[string][sha256.Size]byte{}}
	var shown plan.Date
	j, err := job.Open(ctx, job.Question{File: d.config.File,
		Read: func(path string) ([]byte, error) {
			b, err := is, error(nil)
			if path != d.config.File {
				b, err = d.config.Read(path)
			}
			out.read[path] = state(b, err)
			return b, err
		},
		Until: func(p *plan.Plan) (plan.Date, error) {
			if shown = date; date.IsZero() {
				shown = plan.DateOf(d.config.Now().In(p.Clock.Zone))
			}
			if clock.Skipped(p.Clock.Zone, shown) {
				return shown, &trouble{http.StatusUnprocessableEntity, "this date did not happen in the plan's time zone"}
			}
			return shown, nil
		},
		Light: func(p *plan.Plan) (light.Field, diag.List, error) {
			out.ages = ages(p)
			if d.now != nil && reflect.DeepEqual(lit(p), lit(d.now.Read)) && reflect.DeepEqual(out.ages, d.now.ages) {
				return d.now.Field, d.now.Problems.Light, nil
			}
			return job.Light(p)
		}})
	if out.Job = j; err != nil {
		if d.now != nil { // at first the caller tells of it
			err = said(j, err)
		}
		return out, err
	}
	out.day = j.On(shown)
	out.version, out.colours = d.versions(j)
	return out, nil
}

// lit is what the light of a plan is made of.
func lit(p *plan.Plan) plan.Plan {
	return plan.Plan{Tank: p.Tank, Tanks: p.Tanks, Channels: p.Channels, Racks: p.Racks, Readings: p.Readings, Meters: p.Meters,
		Zones: p.Zones, Corals: p.Corals, Acclimation: p.Acclimation, Balance: p.Balance}
}

// ages are what is left of the lamps on the dates of the readings.
func ages(p *plan.Plan) (out [][]float64) {
	if p.Readings == nil {
		return nil
	}
	known, on := map[plan.Date]bool{}, job.Ages(p)
	for _, r := range p.Readings.Rows {
		if !known[r.Date] && !r.Date.IsZero() {
			out = append(out, on(r.Date))
		}
		known[r.Date] = true
	}
	return out
}

// said is what is wrong with a plan, for a person.
func said(j *job.Job, err error) error {
	var lines []string
	for _, l := range []diag.List{j.Problems.Plan, j.Problems.Light, j.Problems.Journal, j.Problems.Balance} {
		for _, p := range l.First() {
			if p.Severity == diag.Error {
				lines = append(lines, p.Error())
			}
		}
	}
	if lines == nil {
		return err
	}
	return &trouble{http.StatusUnprocessableEntity, strings.Join(lines, "\n")}
}

// versions tells which channels' light may be another than before, and the colours of their spectra.
func (d *Document) versions(j *job.Job) (version []int, colours []string) {
	old := d.now
	same := func(i int) bool {
		return old != nil && len(old.Read.Channels) == len(j.Read.Channels) && reflect.DeepEqual(old.Read.Tank, j.Read.Tank) && reflect.DeepEqual(old.Read.Tanks, j.Read.Tanks) &&
			reflect.DeepEqual(old.Read.Channels[i], j.Read.Channels[i]) && (j.Read.Readings == nil || reflect.DeepEqual(lit(old.Read), lit(j.Read)))
	}
	version = make([]int, len(j.Read.Channels))
	fresh := old == nil || len(old.Read.Channels) != len(j.Read.Channels)
	for i := range version {
		if old == nil || i >= len(old.version) {
			continue
		}
		if version[i] = old.version[i]; !same(i) {
			version[i]++
			fresh = true
		}
	}
	if !fresh {
		return version, old.colours
	}
	for _, c := range j.Read.Channels {
		colours = append(colours, picture.Own(c.Spectrum).String())
	}
	return version, colours
}

// Reload reads the plan from the disk; edits that were not written are dropped.
func (d *Document) Reload(ctx context.Context) (View, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	is, err := d.config.Read(d.config.File)
	if err != nil {
		return View{}, err
	}
	w, err := d.open(ctx, is, d.date)
	if w.Job != nil && d.now == nil {
		d.now = w // what was read of it, for the caller to tell of
	}
	if err != nil {
		return View{}, err
	}
	d.base, d.texts, d.at, d.now, d.read = is, []text{{is: is}}, 0, w, w.read
	return d.view(), nil
}

// Apply makes an edit.
func (d *Document) Apply(ctx context.Context, e Edit) (View, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	is, name, err := e.text(d.texts[d.at].is, d.now.Job)
	if err != nil {
		return View{}, err
	}
	w, err := d.open(ctx, is, d.date)
	if err != nil {
		return View{}, err
	}
	d.push(text{is: is, edit: name}, e.More, w)
	return d.view(), nil
}

// push puts a text after the one shown; more is of one going on with the edit before.
func (d *Document) push(t text, more bool, w *worked) {
	if more && d.at > 0 && d.texts[d.at].edit == t.edit {
		d.at--
	}
	d.texts, d.now = append(d.texts[:d.at+1:d.at+1], t), w
	if len(d.texts) > mostUndone {
		d.texts = append([]text{d.texts[0]}, d.texts[2:]...)
	}
	d.at = len(d.texts) - 1
}

// Step goes to the text before (-1) or after (+1).
func (d *Document) Step(ctx context.Context, by int) (View, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	to := d.at + by
	if by != 1 && by != -1 || to < 0 || to >= len(d.texts) {
		return View{}, &trouble{http.StatusConflict, "there is nothing to undo or redo"}
	}
	w, err := d.open(ctx, d.texts[to].is, d.date)
	if err != nil {
		return View{}, err
	}
	d.at, d.now = to, w
	return d.view(), nil
}

// On shows another date; empty: today.
func (d *Document) On(ctx context.Context, date string) (View, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	var on plan.Date
	if date != "" {
		var err error
		if on, err = plan.ParseDate(date); err != nil || on.Year < 1970 || on.Year > 2200 {
			return View{}, &trouble{http.StatusUnprocessableEntity, "write a date from 1970 to 2200, such as 2027-02-03"}
		}
	}
	w, err := d.open(ctx, d.texts[d.at].is, on)
	if err != nil {
		return View{}, err
	}
	d.date, d.now = on, w
	return d.view(), nil
}

// View is what the page shows now.
func (d *Document) View() (View, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.view(), nil
}

// Changed reports whether the plan, its journal or a file that it names is another on
// the disk than was read.
func (d *Document) Changed() bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	for path, was := range d.read {
		if b, err := d.config.Read(path); state(b, err) != was {
			return true
		}
	}
	return false
}

// state tells one content of a file from another, and from none.
func state(b []byte, err error) [sha256.Size]byte {
	if err != nil {
		b = []byte("cannot be read: " + err.Error())
	}
	return sha256.Sum256(b)
}

// unchanged is the plan's text on the disk, as it was read.
func (d *Document) unchanged() ([]byte, error) {
	is, err := d.config.Read(d.config.File)
	if err != nil || !bytes.Equal(is, d.base) {
		return nil, &trouble{http.StatusConflict, "the plan was changed on the disk since it was read; nothing was written. Load it again first."}
	}
	return is, nil
}
