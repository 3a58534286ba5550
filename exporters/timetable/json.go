package timetable

import (
	"bufio"
	"bytes"
	_ "embed"
	"encoding/json"
	"fmt"
	"io"
	"strconv"

	"dayloom/schedule/shape/port"
)

// Schema is timetable.schema.json, the JSON Schema (draft 2020-12) of
// timetable.json.
//
//go:embed timetable.schema.json
var Schema []byte

// WriteJSON writes timetable.json, one point a line. The same file gives the
// same bytes. Ports whose range and response are not known cannot be written.
func WriteJSON(w io.Writer, f File) error {
	if err := f.Check(); err != nil {
		return err
	}
	if f.NeedsPlan() {
		return fmt.Errorf("the range and response of a port are not known; complete the timetable from its plan first")
	}
	b := jsonWriter{bufio.NewWriterSize(w, 1<<16)}
	b.print("{\n  \"format\": ", strconv.Itoa(Format), ",\n")
	b.print("  \"plan\": ", quote(f.Plan), ",\n  \"plan_hash\": ", quote(f.PlanHash), ",\n")
	b.print("  \"clock\": {\"zone\": ", quote(f.Clock.Zone),
		", \"summer_time\": ", quote(pick(f.Clock.FollowsSummerTime, "follow", "ignore")),
		", \"controller\": ", quote(pick(f.Clock.ControllerStays, "stays", "follows")), "},\n")
	if !f.Judged[0].IsZero() {
		b.print("  \"judged\": {\"from\": ", quote(f.Judged[0].String()), ", \"to\": ", quote(f.Judged[1].String()), "},\n")
	}
	if f.Cost != nil {
		b.print("  \"dli_departure_percent\": ", strconv.FormatFloat(*f.Cost*100, 'f', 6, 64), ",\n")
	}
	b.print("  \"point_count\": ", strconv.Itoa(f.PointCount()), ",\n  \"tables\": [")
	for i, t := range f.Tables {
		b.print(pick(i > 0, ",", ""), "\n    {\n      \"valid_from\": ", quote(t.From.String()), ", \"days\": ", quote(t.Days.String()), ",\n")
		if !t.To.IsZero() {
			b.print("      \"valid_to\": ", quote(t.To.String()), ",\n")
		}
		b.print("      \"ports\": [")
		for j, p := range t.Ports {
			b.print(pick(j > 0, ",", ""))
			if err := b.port(p); err != nil {
				return err
			}
		}
		b.print("\n      ]\n    }")
	}
	b.print("\n  ]\n}\n")
	return b.Flush()
}

type jsonWriter struct{ *bufio.Writer }

// print leaves errors to the buffer, which keeps the first until Flush.
func (b jsonWriter) print(texts ...string) {
	for _, s := range texts {
		_, _ = b.WriteString(s)
	}
}

func (b jsonWriter) port(p Port) error {
	b.print("\n        {\"controller\": ", quote(p.Controller), ", \"port\": ", quote(p.Name), ",\n")
	b.print("         \"signal\": ", quote(port.Signals[p.Signal].Word), ", \"unit\": ", quote(p.Unit()),
		", \"between_points\": ", quote(pick(p.Hold, "hold", "ramp")), ",\n")
	if p.Outlet != (port.Ref{}) {
		b.print("         \"outlet\": {\"controller\": ", quote(p.Outlet.Controller), ", \"port\": ", quote(p.Outlet.Port), "},\n")
	}
	if p.Signal != port.Switch {
		b.print("         \"range\": [", number(p.Range[0]), ", ", number(p.Range[1]), "], \"step\": ", number(p.Step), ",\n")
	}
	b.print("         \"lamps\": [")
	for i, l := range p.Lamps {
		b.print(pick(i > 0, ", ", ""))
		if err := b.lamp(p, l); err != nil {
			return err
		}
	}
	b.print("],\n")
	if p.Claim != nil {
		b.print("         \"greatest_departure_percent\": ", strconv.FormatFloat(*p.Claim*100, 'f', 6, 64), ",\n")
	}
	b.print("         \"points\": [")
	decimals, line := p.decimals(), make([]byte, 0, 100)
	names := make([]string, len(p.Lamps))
	for k, l := range p.Lamps {
		names[k] = quote(l.Channel)
	}
	for i, q := range p.Points {
		line = append(line[:0], pick(i > 0, ",", "")...)
		line = append(line, "\n          {\"time\": \""...)
		line = append(appendTime(line, q.Time), "\", \"command\": "...)
		if p.Signal == port.Switch {
			line = append(line, '"')
		}
		line = p.appendCommand(line, q.Command, decimals)
		if p.Signal == port.Switch {
			line = append(line, '"')
		}
		line = append(line, ", \"light_percent\": {"...)
		for k := range p.Lamps {
			line = append(append(line, pick(k > 0, ", ", "")...), names[k]...)
			line = appendLight(append(line, ": "...), p.light(i, k))
		}
		line = append(line, "}}"...)
		_, _ = b.Write(line)
	}
	b.print("\n         ]}")
	return nil
}

func (b jsonWriter) lamp(p Port, l port.Lamp) error {
	b.print("{\"channel\": ", quote(l.Channel))
	if p.Signal != port.Switch {
		spec := l.Response.Spec()
		off := spec.OffBelow
		spec.OffBelow = nil
		response, err := json.Marshal(spec)
		if err != nil {
			return fmt.Errorf("port %s of %s: the response cannot be written: %w", p.Name, p.Controller, err)
		}
		b.print(", \"response\": ", string(response))
		if off != nil {
			b.print(", \"off_below\": ", number(*off))
		}
		if l.OnFrom > 0 {
			b.print(", \"on_from\": ", number(l.OnFrom))
		}
		if l.NeverOff {
			b.print(", \"never_off\": true")
		}
	}
	b.print("}")
	return nil
}

func pick(yes bool, a, b string) string {
	if yes {
		return a
	}
	return b
}

func number(x float64) string { return strconv.FormatFloat(x+0, 'f', -1, 64) }

// quote is a JSON string without the escapes that only web pages need.
func quote(s string) string {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	_ = e.Encode(s) // a string into a buffer cannot fail
	return string(bytes.TrimSuffix(b.Bytes(), []byte("\n")))
}
