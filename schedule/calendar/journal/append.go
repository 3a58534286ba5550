package journal

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"

	"dayloom/schedule/plan"
	"dayloom/schedule/text/quantity"
)

const header = "# Journal of the tank: what was done and seen, oldest first. Add to it; never change what is written.\n"

// Append is the journal with one more entry: every byte that was there, then the
// entry. It fails, and changes nothing, when the journal has errors, when the entry
// does, or when the list in the file cannot be added to at its end.
func Append(existing []byte, e Entry) ([]byte, error) {
	e.Remarks = strings.Join(strings.Fields(e.Remarks), " ")
	if err := e.check(); err != nil {
		return nil, err
	}
	old, problems := Read("journal.yaml", existing)
	if problems.HasErrors() {
		return nil, fmt.Errorf("the journal has errors: %w; correct them before adding to it", problems[0])
	}
	out := bytes.Clone(existing)
	switch n := len(out); {
	case n == 0:
		out = []byte(header)
	case out[n-1] != '\n' && out[n-1] != '\r':
		out = append(out, '\n')
	}
	out = append(out, indent(existing)+write(e, indent(existing))...)

	all, problems := Read("journal.yaml", out)
	if problems.HasErrors() || len(all) != len(old)+1 || !same(all[len(old)], e) {
		return nil, errors.New("nothing can be added at the end of the journal; its entries must each begin with - on a line of its own")
	}
	return out, nil
}

// same compares what was read back with what was to be written.
func same(a, b Entry) bool {
	a.At, b.At = b.At, a.At
	return a.Date == b.Date && a.Coral == b.Coral && a.Do == b.Do && a.Days == b.Days && a.To == b.To && a.Zone == b.Zone && a.PPFD == b.PPFD && a.Remarks == b.Remarks &&
		a.Rack == b.Rack && (a.Do != Aside || a.Words() == b.Words() && a.Times == b.Times)
}

// indent is the white space before the first entry of the list.
func indent(data []byte) string {
	for line := range bytes.Lines(bytes.TrimPrefix(data, []byte("\ufeff"))) {
		if t := bytes.TrimLeft(line, " "); bytes.HasPrefix(t, []byte("-")) && !bytes.HasPrefix(t, []byte("---")) {
			return string(line[:len(line)-len(t)])
		}
	}
	return ""
}

func write(e Entry, indent string) string {
	lines := []string{"- date: " + e.Date.String()}
	if e.Coral != "" {
		lines = append(lines, "  coral: "+quoted(e.Coral))
	}
	if e.Do == Aside {
		lines = append(lines, "  rack: "+quoted(e.Rack))
		for i, key := range []string{"x", "y", "height"} {
			if !math.IsNaN(e.Hung[i]) {
				lines = append(lines, "  "+key+": "+number(e.Hung[i])+" m")
			}
		}
		for i, key := range []string{"from", "to"} {
			lines = append(lines, "  "+key+": \""+quantity.FormatTime(e.Times[i])+"\"")
		}
	} else {
		lines = append(lines, "  do: "+e.Words())
	}
	if e.Do == Moved {
		for i, key := range []string{"x", "y", "depth"} {
			lines = append(lines, "  "+key+": "+number(e.To[i])+" m")
		}
		if e.Zone != "" {
			lines = append(lines, "  zone: "+quoted(e.Zone))
		}
	}
	if e.Remarks != "" {
		lines = append(lines, "  note: "+quoted(e.Remarks))
	}
	return strings.Join(lines, "\n"+indent) + "\n"
}

// quoted is text in single quotes, in which YAML reads everything but the quote
// itself as it stands (1.2.2, section 7.3.2).
func quoted(s string) string { return "'" + strings.ReplaceAll(s, "'", "''") + "'" }

// Today is an entry of the words of `do` on a date, as a command is given it.
func Today(date plan.Date, coral, do, remarks string) (Entry, error) {
	e, err := ParseDo(do)
	e.Date, e.Coral, e.Remarks = date, coral, remarks
	return e, err
}
