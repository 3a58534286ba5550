package follow

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"io"
	"strconv"
	"strings"
	"time"

	"dayloom/exporters/csvcell"
)

// Formats are the ways of writing changes: a JSON value a line, or CSV.
var Formats = []string{"json", "csv"}

// Writer writes changes as lines. Every batch goes out in one piece, so that a
// reader never sees half a line because the program was ended.
type Writer struct {
	out    io.Writer
	csv    bool
	headed bool
}

// NewWriter writes in one of Formats.
func NewWriter(out io.Writer, format string) *Writer { return &Writer{out: out, csv: format == "csv"} }

// line is one change in JSON.
type line struct {
	At         string          `json:"at"`
	Controller string          `json:"controller"`
	Port       string          `json:"port"`
	Channel    string          `json:"channel"`
	Command    json.RawMessage `json:"command"`
	Unit       string          `json:"unit"`
	Light      json.RawMessage `json:"light_percent"`
}

// Write writes a batch of changes; none is no line.
func (w *Writer) Write(changes []Change) error {
	if len(changes) == 0 {
		return nil
	}
	var b bytes.Buffer
	if w.csv {
		w.rows(&b, changes)
	} else {
		lines(&b, changes)
	}
	_, err := w.out.Write(b.Bytes())
	return err
}

func lines(b *bytes.Buffer, changes []Change) {
	e := json.NewEncoder(b)
	e.SetEscapeHTML(false)
	for _, c := range changes {
		command := c.Shown
		if c.Switch {
			command = strconv.Quote(command)
		}
		_ = e.Encode(line{c.At.Format(time.RFC3339), c.Controller, c.Port, c.Channel, json.RawMessage(command), c.Unit,
			c.light()}) // to memory, of values that are always valid
	}
}

func (w *Writer) rows(b *bytes.Buffer, changes []Change) {
	c := csv.NewWriter(b)
	c.UseCRLF = true // RFC 4180
	if !w.headed {
		_ = c.Write([]string{"at", "controller", "port", "channel", "command", "unit", "light_percent"})
		w.headed = true
	}
	for _, x := range changes {
		_ = c.Write([]string{x.At.Format(time.RFC3339), csvcell.Neutral(x.Controller), csvcell.Neutral(x.Port), csvcell.Neutral(x.Channel),
			x.Shown, x.Unit, x.percents("+")})
	}
	c.Flush()
}

// percents is the light of each lamp, joined.
func (c Change) percents(by string) string {
	out := make([]string, len(c.Light))
	for i, y := range c.Light {
		out[i] = percent(y)
	}
	return strings.Join(out, by)
}

// light is a number or, where several channels answer the command, an object of them.
func (c Change) light() json.RawMessage {
	names := strings.Split(c.Channel, "+")
	if len(c.Light) == 1 {
		return json.RawMessage(percent(c.Light[0]))
	}
	var out []string
	for i, y := range c.Light {
		out = append(out, strconv.Quote(names[i])+":"+percent(y))
	}
	return json.RawMessage("{" + strings.Join(out, ",") + "}")
}

// percent is a light fraction as percent to 0.001, as timetables hold it.
func percent(light float64) string { return strconv.FormatFloat(light*100+0, 'f', 3, 64) }
