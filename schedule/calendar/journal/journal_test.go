package journal_test

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/schedule/calendar/journal"
	"dayloom/schedule/plan"
)

// all has an entry of every kind, as the package comment shows them.
func all(t testing.TB) []byte {
	data, err := os.ReadFile("testdata/all.yaml")
	require.NoError(t, err)
	return data
}

func TestReadEveryKind(t *testing.T) {
	es, problems := journal.Read("journal.yaml", all(t))
	require.Empty(t, problems)
	require.Len(t, es, 7)
	assert.Equal(t, "2027-02-20", es[0].Date.String())
	assert.Equal(t, "staghorn-b", es[0].Coral)
	var words []string
	for _, e := range es {
		words = append(words, e.Words())
	}
	assert.Equal(t, []string{"hold 7 days", "back one step", "moved", "reading 180", "outage 3 days", "note", "hold 1 day"}, words)
	assert.InDeltaSlice(t, []float64{0.4, 0.3, 0.2}, es[2].To[:], 1e-12)
	assert.Equal(t, 180.0, es[3].PPFD)
	assert.Equal(t, "fed less", es[5].Remarks)
	assert.Equal(t, "journal.yaml:3:3", es[0].At.String())
}

func TestAJournalMayBeEmpty(t *testing.T) {
	for _, text := range []string{"", "\n", "# nothing yet\n\n", "\ufeff# nothing\n"} {
		es, problems := journal.Read("journal.yaml", []byte(text))
		assert.Empty(t, es)
		assert.Empty(t, problems)
	}
}

func TestErrorsSayWhereAndWhat(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"- date: 2027-02-20\n  coral: a\n  do: holt 7 days\n", `journal.yaml:3:7: "holt 7 days" is not something to do; write "hold 7 days"`},
		{"- date: 2027-02-20\n  coral: a\n  do: hold 7\n", `3:7: "hold 7" needs whole days, such as "hold 7 days"`},
		{"- date: 2027-02-20\n  coral: a\n  do: hold 0 days\n", `from 1 to 366`},
		{"- date: 2027-02-20\n  coral: a\n  do: back two steps\n", `write "back one step", once for each step`},
		{"- date: 2027-02-20\n  coral: a\n  do: reading bright\n", `is not a reading`},
		{"- date: 2027-02-30\n  coral: a\n  do: hold 7 days\n", `1:9: "2027-02-30" is not a date; write a date such as 2027-02-20`},
		{"- coral: a\n  do: hold 7 days\n", `the key "date" is missing`},
		{"- date: 2027-02-20\n  do: hold 7 days\n", `"hold 7 days" needs a coral`},
		{"- date: 2027-02-20\n  coral: a\n  do: outage 3 days\n", `leave the coral out`},
		{"- date: 2027-02-20\n  coral: a\n  do: moved\n  x: 40 cm\n  y: 30\n", `"30" has no unit`},
		{"- date: 2027-02-20\n  coral: a\n  do: moved\n  x: 40 cm\n", `the key "y" is missing`},
		{"- date: 2027-02-20\n  coral: a\n  do: hold 7 days\n  x: 40 cm\n", `4:3: x belongs to do: moved`},
		{"- date: 2027-02-20\n  corral: a\n", `2:3: unknown key "corral"; allowed here: date, coral, do, x, y, depth, zone, note, rack, height, from, to; did you mean "coral"?`},
		{"- date: 2027-02-20\n", `the entry says nothing`},
		{"date: 2027-02-20\n", `a journal is a list of entries`},
		{"- {date: 2027-02-20, do: undo}\n", `there is no entry above to undo`},
		{"- {date: 2027-02-20, note: a}\n- {date: 2027-02-21, do: undo}\n", `undo has the date 2027-02-21, and the entry that it cancels, "note", has 2027-02-20`},
	} {
		_, problems := journal.Read("journal.yaml", []byte(c.text))
		require.True(t, problems.HasErrors(), c.text)
		assert.Contains(t, problems.Text(nil), c.want)
	}
}

func TestAnEntryOutOfOrderIsAWarning(t *testing.T) {
	es, problems := journal.Read("j.yaml", []byte("- {date: 2027-02-20, note: b}\n- {date: 2027-02-19, note: a}\n"))
	require.Len(t, es, 2)
	require.Len(t, problems, 1)
	assert.False(t, problems.HasErrors())
	assert.Equal(t, "a", journal.ByDate(es)[0].Remarks)
}

// Undo cancels the last entry that stands, one after the other.
func TestUndo(t *testing.T) {
	var data []byte
	add := func(day int, do, remarks string) {
		t.Helper()
		e, err := journal.Today(plan.Date{Year: 2027, Month: 2, Day: day}, map[bool]string{true: "a"}[do == "back one step"], do, remarks)
		require.NoError(t, err)
		data, err = journal.Append(data, e)
		require.NoError(t, err)
	}
	stands := func() (out []string) {
		es, problems := journal.Read("j.yaml", data)
		require.False(t, problems.HasErrors(), problems.Text(nil))
		for _, e := range journal.Effective(es) {
			out = append(out, e.Remarks)
		}
		return out
	}
	add(1, "note", "first")
	add(2, "back one step", "second")
	add(3, "outage 2 days", "third")
	add(3, "undo", "")
	add(2, "undo", "by mistake")
	assert.Equal(t, []string{"first"}, stands())
	add(4, "note", "fourth")
	assert.Equal(t, []string{"first", "fourth"}, stands())
	add(4, "undo", "")
	add(1, "undo", "")
	assert.Empty(t, stands())
}

func entries() *rapid.Generator[journal.Entry] {
	return rapid.Custom(func(t *rapid.T) journal.Entry {
		e := journal.Entry{Date: plan.Date{Year: 2027, Month: 1, Day: 1}.AddDays(rapid.IntRange(0, 400).Draw(t, "day"))}
		e.Do = journal.Do(rapid.IntRange(int(journal.Note), int(journal.Outage)).Draw(t, "do"))
		e.Remarks = rapid.StringMatching(`[a-z'"#:{\[-][ a-z'":#\-]{0,20}[a-z']`).Draw(t, "note")
		if e.Do != journal.Outage {
			e.Coral = rapid.SampledFrom([]string{"staghorn-b", "no", "true", "12", "a: b"}).Draw(t, "coral")
		}
		switch e.Do {
		case journal.Hold, journal.Outage:
			e.Days = rapid.IntRange(1, 366).Draw(t, "days")
		case journal.Moved:
			for i := range e.To {
				e.To[i] = float64(rapid.IntRange(0, 3000).Draw(t, "mm")) / 1000
			}
		case journal.Reading:
			e.PPFD = float64(rapid.IntRange(1, 20000).Draw(t, "ppfd")) / 10
		}
		return e
	})
}

// Adding keeps every byte, and reads back as what was there and the entry.
func TestAppendOnlyAdds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		data := rapid.SampledFrom([][]byte{nil, []byte("# mine\n"), []byte("- {date: 2027-01-01, note: x}"), []byte("  - date: 2027-01-01\n    note: x\n\n# end\n")}).Draw(t, "start")
		old, _ := journal.Read("j.yaml", data)
		for _, e := range rapid.SliceOfN(entries(), 1, 5).Draw(t, "entries") {
			next, err := journal.Append(data, e)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.HasPrefix(next, data) {
				t.Fatalf("changed:\n%s\n%s", data, next)
			}
			es, problems := journal.Read("j.yaml", next)
			if problems.HasErrors() || len(es) != len(old)+1 {
				t.Fatalf("%v\n%s", problems, next)
			}
			got := es[len(es)-1]
			e.At = got.At
			e.Remarks = strings.Join(strings.Fields(e.Remarks), " ")
			if got != e {
				t.Fatalf("%+v\n%+v", got, e)
			}
			data, old = next, es
		}
	})
}

func TestAppendRefusesWhatItCannotKeep(t *testing.T) {
	e := journal.Entry{Date: plan.Date{Year: 2027, Month: 2, Day: 1}, Remarks: "x"}
	for _, text := range []string{"[{date: 2027-01-01, note: x}]\n", "- date: 2027-13-01\n  note: x\n", "...\n"} {
		_, err := journal.Append([]byte(text), e)
		assert.Error(t, err, text)
	}
	_, err := journal.Append(nil, journal.Entry{Date: e.Date, Do: journal.Hold, Days: 3})
	assert.ErrorContains(t, err, "needs a coral")
	_, err = journal.Append(nil, journal.Entry{Remarks: "x"})
	assert.ErrorContains(t, err, "no date")
}

// What is read has sound values and can be added to, or is refused with words; and
// the reader never changes its mind.
func FuzzRead(f *testing.F) {
	f.Add(all(f))
	f.Add([]byte("- date: 2027-02-20\n  coral: a\n  do: moved\n  x: 1 m\n  y: 2 m\n  depth: 3 m\n"))
	f.Add([]byte("- {date: 2027-02-20, do: outage 3 days}\n...\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		es, problems := journal.Read("j.yaml", data)
		for _, e := range es {
			if e.Date.IsZero() || e.Days < 0 || e.Days > 366 || e.To[0] < 0 || e.PPFD < 0 {
				t.Fatalf("%+v", e)
			}
		}
		next, err := journal.Append(data, journal.Entry{Date: plan.Date{Year: 2027, Month: 2, Day: 1}, Remarks: "added"})
		if problems.HasErrors() && err == nil {
			t.Fatal("added to a journal with errors")
		}
		if err == nil && !bytes.HasPrefix(next, data) {
			t.Fatal("changed what was there")
		}
	})
}

// What is to be done is understood within its bounds, or refused with words.
func FuzzParseDo(f *testing.F) {
	for _, s := range []string{"hold 7 days", "back one step", "moved", "reading 180", "outage 1 day", "note", "", "reading 1e309", "reading 0x1p3", "hold 99999999999999999999 days"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		e, err := journal.ParseDo(text)
		if err == nil && (e.Days < 0 || e.Days > 366 || !(e.PPFD >= 0 && e.PPFD < 1e4)) {
			t.Fatalf("%+v", e)
		}
		if err == nil {
			if again, err := journal.ParseDo(e.Words()); err != nil || again.Do != e.Do || again.Days != e.Days || again.PPFD != e.PPFD {
				t.Fatalf("%q became %q: %+v", text, e.Words(), again)
			}
		}
	})
}
