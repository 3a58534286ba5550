package calendarfile

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/schedule/plan"
	"dayloom/schedule/shape/daypattern"
)

var update = flag.Bool("update", false, "write the golden files again")

var stamp = time.Date(2027, 1, 2, 3, 4, 5, 0, time.FixedZone("", 3600))

func events() []Event {
	return []Event{
		{plan.Date{Year: 2027, Month: 2, Day: 3}, "staghorn-b arrives: 5 of 14 mol/m²/day", "", 0, plan.Date{}},
		{plan.Date{Year: 2027, Month: 3, Day: 28}, `Load the summer timetable; rack, outlets \ all`, "Summer time begins.\nUse timetable.csv from 2027-03-28 on, and check at 12:00: rack 1 shows 5.0 V, outlets 1 is on. Überprüfe ☾ die Nacht.", 0, plan.Date{}},
		{plan.Date{Year: 2027, Month: 5, Day: 1}, "Relamp tubes", "New lamps are brighter.", 0, plan.Date{}},
		{plan.Date{Year: 2027, Month: 5, Day: 1}, "Relamp tubes", "The second time.", 0, plan.Date{}},
		{plan.Date{Year: 2027, Month: 5, Day: 2}, "timetable of Saturday and Sunday today", "", daypattern.WeekdaysOf(time.Saturday, time.Sunday), plan.Date{Year: 2027, Month: 12, Day: 31}},
	}
}

func write(t require.TestingT, name string, es []Event) string {
	var b bytes.Buffer
	require.NoError(t, Write(&b, name, stamp, es))
	return b.String()
}

func TestGolden(t *testing.T) {
	got := write(t, "Quay Street", events())
	if *update {
		require.NoError(t, os.WriteFile("testdata/reminders.ics", []byte(got), 0o644))
	}
	want, err := os.ReadFile("testdata/reminders.ics")
	require.NoError(t, err)
	assert.Equal(t, string(want), got)
}

// property is a content line taken apart by the grammar of RFC 5545, 3.1.
type property struct{ name, params, value string }

var contentLine = regexp.MustCompile(`^([A-Z-]+)((?:;[A-Z-]+=[^":;,]+)*):(.*)$`)

// parse is a strict reader of the part of RFC 5545 that is used: lines (3.1),
// then components by BEGIN and END (3.4, 3.6).
func parse(text string) (calendar []property, events [][]property, err error) {
	if !strings.HasSuffix(text, "\r\n") {
		return nil, nil, errors.New("3.1: the last line has no CRLF")
	}
	lines := strings.Split(strings.TrimSuffix(text, "\r\n"), "\r\n")
	for _, l := range lines {
		if len(l) > 75 || strings.ContainsAny(l, "\r\n") || !utf8.ValidString(l) {
			return nil, nil, errors.New("3.1: line too long, torn, or with a bare line end: " + l)
		}
	}
	var stack []string
	for _, l := range strings.Split(strings.ReplaceAll(strings.TrimSuffix(text, "\r\n"), "\r\n ", ""), "\r\n") {
		m := contentLine.FindStringSubmatch(l)
		if m == nil {
			return nil, nil, errors.New("3.1: no content line: " + l)
		}
		switch p := (property{m[1], m[2], m[3]}); {
		case p.name == "BEGIN":
			stack = append(stack, p.value)
			if p.value == "VEVENT" {
				events = append(events, nil)
			}
		case p.name == "END":
			if len(stack) == 0 || stack[len(stack)-1] != p.value {
				return nil, nil, errors.New("3.6: END without its BEGIN")
			}
			stack = stack[:len(stack)-1]
		case len(stack) == 2:
			events[len(events)-1] = append(events[len(events)-1], p)
		case len(stack) == 1:
			calendar = append(calendar, p)
		default:
			return nil, nil, errors.New("3.4: a line outside of the calendar: " + l)
		}
	}
	if len(stack) > 0 {
		return nil, nil, errors.New("3.6: BEGIN without its END")
	}
	return calendar, events, nil
}

func values(ps []property, name string) (out []property) {
	for _, p := range ps {
		if p.name == name {
			out = append(out, p)
		}
	}
	return out
}

// unescape undoes RFC 5545, 3.3.11, and refuses what it does not allow.
func unescape(t require.TestingT, s string) string {
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		switch {
		case s[i] == ',' || s[i] == ';':
			require.Fail(t, "3.3.11: bare comma or semicolon", s)
		case s[i] != '\\':
			b.WriteByte(s[i])
			continue
		}
		i++
		require.Less(t, i, len(s))
		switch s[i] {
		case 'n', 'N':
			b.WriteByte('\n')
		case '\\', ',', ';':
			b.WriteByte(s[i])
		default:
			require.Fail(t, "3.3.11: unknown escape", s)
		}
	}
	return b.String()
}

// RFC 5545: 3.1 (folding), 3.4, 3.6 and 3.6.1 (which properties must be there,
// once), 3.3.4 and 3.3.5 (dates, UTC times), 3.3.11 (text).
func TestAnyTextComesBack(t *testing.T) {
	text := rapid.StringMatching(`[a-z,;:\\"\n é☾𝄞=-]{1,200}`)
	rapid.Check(t, func(t *rapid.T) {
		var es []Event
		for range rapid.IntRange(1, 4).Draw(t, "events") {
			es = append(es, Event{
				Date:        plan.Date{Year: 2027, Month: 1, Day: 1}.AddDays(rapid.IntRange(0, 800).Draw(t, "day")),
				Summary:     "s" + text.Draw(t, "summary"),
				Description: text.Draw(t, "description"),
			})
		}
		calendar, got, err := parse(write(t, text.Draw(t, "name"), es))
		require.NoError(t, err)
		require.Equal(t, "2.0", values(calendar, "VERSION")[0].value)
		require.Len(t, values(calendar, "PRODID"), 1)
		require.Len(t, got, len(es))
		uids := make(map[string]bool)
		for i, e := range es {
			for _, once := range []string{"UID", "DTSTAMP", "DTSTART", "SUMMARY", "DESCRIPTION"} {
				require.Len(t, values(got[i], once), 1, once)
			}
			require.Equal(t, property{"DTSTAMP", "", "20270102T020405Z"}, values(got[i], "DTSTAMP")[0])
			require.Equal(t, property{"DTSTART", ";VALUE=DATE", strings.ReplaceAll(e.Date.String(), "-", "")}, values(got[i], "DTSTART")[0])
			require.Equal(t, e.Summary, unescape(t, values(got[i], "SUMMARY")[0].value))
			require.Equal(t, e.Description, unescape(t, values(got[i], "DESCRIPTION")[0].value))
			uids[values(got[i], "UID")[0].value] = true
		}
		require.Len(t, uids, len(es), "each event has its own UID")
	})
}

func uids(t *testing.T, name string, es []Event) (out []string) {
	_, got, err := parse(write(t, name, es))
	require.NoError(t, err)
	for _, e := range got {
		out = append(out, values(e, "UID")[0].value)
	}
	return out
}

func TestUIDsAreStable(t *testing.T) {
	es := events()
	first := uids(t, "Quay Street", es)
	es[1].Description = "Changed."
	assert.Equal(t, first, uids(t, "Quay Street", es))
	assert.Equal(t, first[1:], uids(t, "Quay Street", es[1:]), "other events do not matter")
	es[1].Date = es[1].Date.AddDays(1)
	moved := uids(t, "Quay Street", es)
	assert.NotEqual(t, first[1], moved[1])
	assert.Equal(t, first[2:], moved[2:])
	assert.NotEqual(t, first[0], uids(t, "Other tank", es)[0])
}

func TestRefusals(t *testing.T) {
	d := plan.Date{Year: 2027, Month: 1, Day: 1}
	for want, es := range map[string][]Event{
		"at least one event": nil,
		"has no date":        {{Summary: "x"}},
		"has no summary":     {{Date: d, Summary: " "}},
		"is not UTF-8":       {{Date: d, Summary: "\xff"}},
	} {
		assert.ErrorContains(t, Write(new(bytes.Buffer), "c", stamp, es), want)
	}
	text := write(t, "a\x00b", []Event{{Date: d, Summary: "bell\a\rBEGIN:VEVENT"}})
	_, got, err := parse(text)
	require.NoError(t, err)
	require.Len(t, got, 1)
	assert.Equal(t, "bell  BEGIN:VEVENT", values(got[0], "SUMMARY")[0].value)
}

// A parser that others wrote reads the same, where the machine has it.
func TestAGeneralPurposeParserReadsTheSame(t *testing.T) {
	const script = `
import json, sys
from icalendar import Calendar
c = Calendar.from_ical(open(sys.argv[1], "rb").read())
print(json.dumps([[str(e.decoded("DTSTART")), str(e["SUMMARY"]), str(e.get("DESCRIPTION", ""))] for e in c.walk("VEVENT")]))`
	python := ""
	for _, p := range []string{"python3", "/usr/bin/python3"} { // the second is where Debian's python3-icalendar is seen
		if exec.Command(p, "-c", "import icalendar").Run() == nil {
			python = p
		}
	}
	if python == "" {
		t.Skip("python3 with icalendar is not here; the strict reader of this test alone has judged the file")
	}
	path := filepath.Join(t.TempDir(), "reminders.ics")
	require.NoError(t, os.WriteFile(path, []byte(write(t, "Quay Street", events())), 0o600))
	out, err := exec.Command(python, "-c", script, path).Output()
	require.NoError(t, err)
	var got [][3]string
	require.NoError(t, json.Unmarshal(out, &got))
	require.Len(t, got, len(events()))
	for i, e := range events() {
		assert.Equal(t, [3]string{e.Date.String(), e.Summary, e.Description}, got[i])
	}
}
