package report

import (
	"fmt"
	"io"
	"strings"

	"dayloom/exporters/compile"
	"dayloom/exporters/lowering"
	"dayloom/exporters/table"
	"dayloom/schedule/plan"
)

// Compiled says what was written and how well each port follows its curve.
type Compiled struct {
	Plan     string         `json:"plan"`
	Folder   string         `json:"folder"`
	Files    []string       `json:"files"`
	From     string         `json:"valid_from"`
	To       string         `json:"valid_to,omitempty"`
	Tables   int            `json:"tables"`
	Ports    []CompiledPort `json:"ports"`
	Spots    Spots          `json:"expected"`
	Cut      *Cut           `json:"cut,omitempty"`
	Energy   []EnergyMonth  `json:"energy_by_month,omitempty"`
	Notes    []string       `json:"notes,omitempty"`
	Faithful bool           `json:"faithful"` // what was written gives what was asked, when it is played
	Met      bool           `json:"met"`      // what was asked meets targets and limits
	Played   Played         `json:"played"`
	ports    []portNote
}

// portNote is a note on one port.
type portNote struct {
	port string
	lowering.Note
}

// CompiledPort is the worst of one port over all its tables.
type CompiledPort struct {
	Controller string  `json:"controller"`
	Port       string  `json:"port"`
	Channel    string  `json:"channel"`
	Points     int     `json:"points"`
	Allowed    int     `json:"points_allowed"`
	Greatest   float64 `json:"greatest_departure"`
	GreatestAt string  `json:"greatest_departure_at"`
	DoseS      float64 `json:"dose_asked_s"`
	DoseError  float64 `json:"dose_departure"`
	Curves     int     `json:"curves"`
	Bound      float64 `json:"greatest_departure_at_least"` // no table can do with less
	Proven     bool    `json:"greatest_departure_proven"`   // and none comes nearer than this
}

// NewCompiled sums up a build.
func NewCompiled(p *plan.Plan, b compile.Result, folder string, files []string, played Played) (Compiled, error) {
	f := b.File
	from, to := f.Covers()
	spots, err := NewSpots(f)
	out := Compiled{Plan: p.Name, Folder: folder, Files: files, Tables: len(f.Tables), Spots: spots, Faithful: played.Faithful, Met: played.Met, Played: played,
		From: from.String(), To: to.String()}
	for _, c := range p.Controllers {
		for _, q := range c.Ports {
			if row, ok := worst(b, c, q.Name); ok {
				out.Ports = append(out.Ports, row)
			}
		}
	}
	out.Notes = append(out.Notes, b.Notes...)
	seen := map[string]bool{}
	for _, l := range b.Lowered {
		for _, n := range l.Result.Notes {
			if kind := fmt.Sprint(l.Controller, "/", l.Port, n.Kind); !seen[kind] {
				seen[kind] = true
				note := portNote{fmt.Sprintf("%s port %s (%s)", l.Controller, l.Port, l.Channel), n}
				out.Notes, out.ports = append(out.Notes, note.port+": "+n.Text), append(out.ports, note)
			}
		}
	}
	return out, err
}

func worst(b compile.Result, c plan.Controller, port string) (CompiledPort, bool) {
	out := CompiledPort{Controller: c.Name, Port: port, Allowed: c.PointsPerDay}
	for _, l := range b.Lowered {
		if l.Controller != c.Name || l.Port != port {
			continue
		}
		r := l.Result
		out.Proven = (out.Curves == 0 || out.Proven) && r.Proven
		out.Curves++
		out.Channel = l.Channel
		out.Points = max(out.Points, len(r.Points))
		if out.Curves == 1 || r.Greatest > out.Greatest {
			out.Greatest, out.GreatestAt, out.Bound = r.Greatest, Clock(r.GreatestAt), r.Bound
		}
		off := 0.0
		if r.DoseAsked > 0 {
			off = r.DoseDelivered/r.DoseAsked - 1
		}
		if out.Curves == 1 || off*off > out.DoseError*out.DoseError {
			out.DoseS, out.DoseError = r.DoseAsked, off
		}
	}
	return out, out.Curves > 0
}

// Table has one row a port.
func (r Compiled) Table() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "controller", Key: "controller", Left: true}, {Head: "port", Key: "port", Left: true},
		{Head: "channel", Key: "channel", Left: true},
		{Head: "points", Key: "points"}, {Head: "limit", Key: "points_allowed", Last: 3},
		{Head: "largest difference", Unit: "% of full output", Key: "greatest_departure_percent"}, {Head: "at time", Key: "greatest_departure_at", Last: 4},
		{Head: "light", Unit: "full-output h", Key: "dose_asked_h", Last: 2}, {Head: "light differs by", Unit: "%", Key: "dose_departure_percent"},
	}}
	for _, p := range r.Ports {
		allowed := "any"
		if p.Allowed > 0 {
			allowed = fmt.Sprint(p.Allowed)
		}
		t.Add(p.Controller, p.Port, p.Channel, p.Points, allowed, fmt.Sprintf("%.2f", 100*p.Greatest), p.GreatestAt,
			fmt.Sprintf("%.3f", p.DoseS/3600), fmt.Sprintf("%+.2f", 100*p.DoseError))
	}
	return t
}

// Text says what was written, then how well, then what to know.
func (r Compiled) Text(w io.Writer) error {
	valid := "from " + r.From + " on"
	if r.To != "" {
		valid = r.From + " to " + r.To
	}
	fmt.Fprintf(w, "%s, %s: %d %s, written to %s\n  %s\n\n", r.Plan, valid, r.Tables, plural(r.Tables, "table"), r.Folder, strings.Join(r.Files, "  "))
	if err := r.Table().Text(w); err != nil {
		return err
	}
	fmt.Fprintln(w)
	if err := r.Spots.Text(w); err != nil {
		return err
	}
	if r.Cut != nil {
		if err := r.Cut.text(w); err != nil {
			return err
		}
	}
	if r.Energy != nil {
		fmt.Fprintln(w)
		if err := EnergyTable(r.Energy).Text(w); err != nil {
			return err
		}
	}
	r.notes(w)
	for _, b := range r.Played.beyond {
		fmt.Fprintf(w, "\n%s\n", b)
	}
	rises := r.Played.rises()
	if len(rises) > 0 || len(r.Played.Unfaithful) > 0 || !r.Met {
		fmt.Fprintln(w)
	}
	for _, rise := range rises {
		fmt.Fprintln(w, rise)
	}
	return verdicts(w, r.Played.Differences, r.Faithful, r.Met, r.Played.Advice)
}

// groups are the heads of notes of one kind on several ports.
var groups = map[lowering.Kind]string{
	lowering.AboveFull:  "ports are asked for more than they can give, and stay at their most",
	lowering.DoseOff:    "ports differ from the plan in the day's light, the nearest found within their limits",
	lowering.FewPoints:  "ports have too few points to follow the plan closely; their level differs from it by up to this much of full output",
	lowering.TooMany:    "ports have too many times × commands for all points to be tried; the nearest found are written",
	lowering.Unplayable: "ports have points that cannot be played",
}

// notes writes those that several ports share once, with a line for each port, then the others.
func (r Compiled) notes(w io.Writer) {
	said := map[string]bool{}
	for kind := lowering.AboveFull; kind <= lowering.Unplayable; kind++ {
		var lines []string
		for _, n := range r.ports {
			if n.Kind == kind {
				lines = append(lines, fmt.Sprintf("  %s: %s", n.port, n.Brief))
			}
		}
		if len(lines) < 2 {
			continue
		}
		fmt.Fprintf(w, "\n%d %s:\n%s\n", len(lines), groups[kind], strings.Join(lines, "\n"))
		for _, n := range r.ports {
			said[n.port+": "+n.Text] = said[n.port+": "+n.Text] || n.Kind == kind
		}
	}
	for _, n := range r.Notes {
		if !said[n] {
			fmt.Fprintf(w, "\n%s\n", n)
		}
	}
}

func plural(n int, word string) string {
	if n == 1 {
		return word
	}
	return word + "s"
}
