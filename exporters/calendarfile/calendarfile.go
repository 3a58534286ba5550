package calendarfile

import (
	"bufio"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"dayloom/schedule/plan"
	"dayloom/schedule/shape/daypattern"
)

// Event is one reminder. Description may have several lines, or none. With Until it comes back
// on every one of its weekdays up to that date; Date is the first.
type Event struct {
	Date        plan.Date
	Summary     string
	Description string
	Days        daypattern.Weekdays
	Until       plan.Date // zero: it comes once
}

// Write writes a calendar of a name with its events, in the order given. stamp
// says when they were made. A calendar without events cannot be written: RFC
// 5545 (3.6) asks for at least one.
func Write(w io.Writer, name string, stamp time.Time, events []Event) error {
	if len(events) == 0 {
		return errors.New("there is nothing to be reminded of; a calendar file needs at least one event")
	}
	out := bufio.NewWriter(w)
	add := func(property, value string) { fold(out, property+":"+value) }
	add("BEGIN", "VCALENDAR")
	add("VERSION", "2.0")
	add("PRODID", "-//dayloom//reminders//EN")
	add("CALSCALE", "GREGORIAN")
	add("NAME", escape(name)) // RFC 7986, 5.1
	seen := make(map[string]int)
	for _, e := range events {
		if err := e.check(); err != nil {
			return err
		}
		add("BEGIN", "VEVENT")
		add("UID", uid(name, e, seen))
		add("DTSTAMP", stamp.UTC().Format("20060102T150405Z"))
		add("DTSTART;VALUE=DATE", e.Date.UTC().Format("20060102"))
		if !e.Until.IsZero() {
			add("RRULE", "FREQ=WEEKLY;BYDAY="+byDay(e.Days)+";UNTIL="+e.Until.UTC().Format("20060102"))
		}
		add("SUMMARY", escape(e.Summary))
		if e.Description != "" {
			add("DESCRIPTION", escape(e.Description))
		}
		add("TRANSP", "TRANSPARENT")
		add("END", "VEVENT")
	}
	add("END", "VCALENDAR")
	return out.Flush()
}

// byDay is weekdays as a recurrence rule has them (RFC 5545, 3.3.10).
func byDay(days daypattern.Weekdays) string {
	var out []string
	for _, w := range [7]time.Weekday{1, 2, 3, 4, 5, 6, 0} {
		if days.Has(w) {
			out = append(out, strings.ToUpper(w.String()[:2]))
		}
	}
	return strings.Join(out, ",")
}

func (e Event) check() error {
	switch {
	case !e.Until.IsZero() && (e.Until.Before(e.Date) || !e.Days.Has(e.Date.Weekday())):
		return fmt.Errorf("the reminder %q comes back from a date that is not one of its own", e.Summary)
	case e.Date.IsZero() || e.Date.Year < 1 || e.Date.Year > 9999:
		return fmt.Errorf("the reminder %q has no date that a calendar can hold", e.Summary)
	case strings.TrimSpace(e.Summary) == "":
		return fmt.Errorf("the reminder on %v has no summary", e.Date)
	case !utf8.ValidString(e.Summary + e.Description):
		return fmt.Errorf("the reminder on %v is not UTF-8 text", e.Date)
	}
	return nil
}

// uid tells events of the same date and summary apart by their order.
func uid(calendar string, e Event, seen map[string]int) string {
	what := e.Date.String() + "\x00" + e.Summary
	seen[what]++
	hash := sha256.Sum256([]byte(calendar + "\x00" + what))
	if n := seen[what]; n > 1 {
		return fmt.Sprintf("%x-%d", hash[:16], n)
	}
	return fmt.Sprintf("%x", hash[:16])
}

var escaper = strings.NewReplacer(`\`, `\\`, `;`, `\;`, `,`, `\,`, "\r\n", `\n`, "\n", `\n`)

// escape makes text of any characters a TEXT value (RFC 5545, 3.3.11). Control
// characters other than tab and line ends have no place in it and become spaces.
func escape(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\t' {
			return ' '
		}
		return r
	}, escaper.Replace(text))
}

// fold writes a line in pieces of at most 75 octets, of which later ones begin
// with a space (RFC 5545, 3.1).
func fold(w *bufio.Writer, line string) {
	const most = 75
	room := most
	for len(line) > room {
		cut := room
		for !utf8.RuneStart(line[cut]) {
			cut--
		}
		_, _ = w.WriteString(line[:cut] + "\r\n ") // the writer keeps its first error until Flush
		line, room = line[cut:], most-1
	}
	_, _ = w.WriteString(line + "\r\n")
}
