package journal

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/quantity"
	"dayloom/schedule/text/visible"
)

// Do is what an entry does.
type Do int

// What an entry can do.
const (
	Note Do = iota
	Hold
	Back
	Moved
	Reading
	Outage
	Aside // a rack that hangs elsewhere for a while
	Undo  // of the last entry above it that is not undone; on its date
)

// Entry is one entry of the journal.
type Entry struct {
	Date    plan.Date
	Coral   string // "" for the whole tank
	Do      Do
	Days    int        // Hold, Outage
	To      [3]float64 // Moved: x, y, depth, m
	Zone    string     // Moved: its zone from then on; "": as before
	PPFD    float64    // Reading: µmol m⁻² s⁻¹ as read
	Rack    string     // Aside
	Hung    [3]float64 // Aside: x, y and height meanwhile, m; NaN: as before
	Times   [2]float64 // Aside: from and to, s of the day
	Remarks string
	At      diag.Place
}

// Words is the entry's `do` as it is written.
func (e Entry) Words() string {
	switch e.Do {
	case Hold:
		return "hold " + days(e.Days)
	case Back:
		return "back one step"
	case Moved:
		return "moved"
	case Reading:
		return "reading " + number(e.PPFD)
	case Outage:
		return "outage " + days(e.Days)
	case Aside:
		return "rack " + e.Rack + e.hung()
	case Undo:
		return "undo"
	}
	return "note"
}

// hung says where a rack hung and when: " at x 60 cm, 14:00 to 15:30".
func (e Entry) hung() string {
	var at []string
	for i, key := range []string{"x", "y", "height"} {
		if !math.IsNaN(e.Hung[i]) {
			at = append(at, fmt.Sprintf("%s %.4g cm", key, 100*e.Hung[i]))
		}
	}
	return fmt.Sprintf(" at %s, %s to %s", strings.Join(at, ", "), quantity.FormatTime(e.Times[0]), quantity.FormatTime(e.Times[1]))
}

func days(n int) string {
	if n == 1 {
		return "1 day"
	}
	return fmt.Sprintf("%d days", n)
}

func number(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

const doAllowed = `write "hold 7 days", "back one step", "moved" with x, y and depth, "reading 180", "outage 3 days", "undo" or "note"`

// mostDays is the longest hold or outage that is taken at its word, days.
const mostDays = 366

// ParseDo reads the words of `do`.
func ParseDo(text string) (Entry, error) {
	words := strings.Fields(text)
	bad := fmt.Errorf("%q is not something to do; %s", text, doAllowed)
	if len(words) == 0 {
		return Entry{}, bad
	}
	switch words[0] {
	case "note", "moved", "undo":
		if len(words) != 1 {
			return Entry{}, bad
		}
		return Entry{Do: map[string]Do{"moved": Moved, "undo": Undo}[words[0]]}, nil
	case "back":
		if strings.Join(words, " ") != "back one step" {
			return Entry{}, fmt.Errorf("%q is not something to do; write \"back one step\", once for each step", text)
		}
		return Entry{Do: Back}, nil
	case "reading":
		if len(words) != 2 {
			return Entry{}, bad
		}
		x, err := strconv.ParseFloat(words[1], 64)
		if err != nil || !(x > 0 && x < 1e4) {
			return Entry{}, fmt.Errorf("%q is not a reading; write the PPFD in µmol m⁻² s⁻¹, such as \"reading 180\"", text)
		}
		return Entry{Do: Reading, PPFD: x}, nil
	case "hold", "outage":
		if len(words) != 3 || words[2] != "days" && words[2] != "day" {
			return Entry{}, fmt.Errorf("%q needs whole days, such as \"%s 7 days\"", text, words[0])
		}
		n, err := strconv.Atoi(words[1])
		if err != nil || n < 1 || n > mostDays {
			return Entry{}, fmt.Errorf("%q needs whole days from 1 to %d, such as \"%s 7 days\"", text, mostDays, words[0])
		}
		if words[0] == "hold" {
			return Entry{Do: Hold, Days: n}, nil
		}
		return Entry{Do: Outage, Days: n}, nil
	}
	if near := diag.DidYouMean(words[0], []string{"hold", "back", "moved", "reading", "outage", "undo", "note"}); near != "" {
		return Entry{}, fmt.Errorf("%w; %s", bad, near)
	}
	return Entry{}, bad
}

// check says what is wrong with an entry as a whole.
func (e Entry) check() error {
	switch {
	case e.Date.IsZero():
		return errors.New("the entry has no date")
	case e.Date.Year < 1900 || e.Date.Year > 2999:
		return errors.New("the year of the date must be from 1900 to 2999")
	case e.Coral == "" && e.Do != Outage && e.Do != Note && e.Do != Undo && e.Do != Aside:
		return fmt.Errorf("%q needs a coral", e.Words())
	case e.Coral != "" && e.Do == Outage:
		return errors.New("an outage is the whole tank's: leave the coral out")
	case e.Coral != "" && e.Do == Aside:
		return errors.New("a rack is not one coral's: leave the coral out")
	case e.Do == Aside && !(e.Times[0] < e.Times[1]):
		return errors.New("the rack is back before it is moved: to must be later than from, on the same day")
	case e.Coral != "" && e.Do == Undo:
		return errors.New("undo cancels the last entry, whoever it is about: leave the coral out")
	case e.Do == Note && e.Remarks == "":
		return errors.New("the entry says nothing: give `do` or `note`")
	}
	if r, hidden := visible.Hidden(e.Remarks); hidden {
		return fmt.Errorf("the note has the invisible character U+%04X in it; leave it out", r)
	}
	for i, x := range e.To {
		if !(x >= 0 && x < 100) || math.IsInf(x, 0) {
			return fmt.Errorf("the place has %s out of range: lengths from 0 to 100 m", []string{"x", "y", "depth"}[i])
		}
	}
	return nil
}

// Last is the index of the last entry that an undo would cancel, -1: there is none.
func Last(es []Entry) int {
	undone := 0
	for i := len(es) - 1; i >= 0; i-- {
		switch {
		case es[i].Do == Undo:
			undone++
		case undone > 0:
			undone--
		default:
			return i
		}
	}
	return -1
}

// Effective is the entries that stand, in the order of the file.
func Effective(es []Entry) (out []Entry) {
	for _, e := range es {
		if e.Do != Undo {
			out = append(out, e)
		} else if len(out) > 0 {
			out = out[:len(out)-1]
		}
	}
	return out
}

// ByDate is the entries in the order in which they act.
func ByDate(es []Entry) []Entry {
	out := slices.Clone(es)
	slices.SortStableFunc(out, func(a, b Entry) int {
		return cmp.Compare(a.Date.UTC().Unix(), b.Date.UTC().Unix())
	})
	return out
}
