package planfile

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/quantity"
	"dayloom/schedule/text/spreadsheet"
	"dayloom/schedule/text/visible"
	"dayloom/schedule/text/yamltree"
)

// row is one reading with its commands as written.
type row struct {
	plan.Reading
	lit []litText
}

// litText is one word of the column lit: a channel, and what stands after @.
type litText struct {
	channel int
	command string
	at      diag.Place
}

var (
	placeColumns   = []string{"x_cm", "y_cm", "depth_cm"}
	readingColumns = []string{"tank", "coral", "x_cm", "y_cm", "depth_cm", "lit", "ppfd", "date", "repeat_sd", "meter", "rack", "note"}
	passedOver     = []string{"expected_umol_m2_s", "low", "high"} // a survey's sheet has them for the eye
)

const (
	maxReadings = 100_000
	maxFaults   = 1000 // after which a file of readings is read no further
)

// readings reads the file of measurements; light turns its commands into fractions
// once the ports are known.
func (r *reader) readings(v yamltree.Value) {
	path, data, ok := r.files.named(v, MaxFile)
	if !ok {
		return
	}
	r.plan.Readings = &plan.Readings{File: path, Pos: pos(v.Place())}
	data = bytes.TrimPrefix(data, []byte("\ufeff")) // as columns are counted without it
	t, ok := spreadsheet.New(bytes.NewReader(data))
	t.FieldsPerRecord = -1
	if !ok {
		r.files.add(path, 1, 1, "the columns are separated by tabs", "separate them with commas, or with semicolons where numbers have decimal commas", "")
		return
	}
	head, err := t.Next()
	if err != nil {
		r.csvError(path, err, "a table of readings begins with a line of column names, such as coral,lit,ppfd")
		return
	}
	sheet := sheet{reader: r, path: path, lines: strings.Split(string(data), "\n"), csv: t}
	if !sheet.columns(head) {
		return
	}
	before := r.errors()
	for n := 0; ; n++ {
		record, err := t.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil || n == maxReadings {
			r.csvError(path, err, "put a text that holds a comma or a quote in double quotes (RFC 4180)")
			break
		}
		if sheet.row(record, len(head)); r.errors()-before >= maxFaults {
			line, _ := t.FieldPos(0)
			r.files.add(path, line, 1, fmt.Sprintf("%d faults so far: the file is read no further", maxFaults), "correct what is wrong up to here first", "")
			break
		}
	}
	if len(r.rows) == 0 && !sheet.reported {
		r.files.add(path, 1, 1, "the file holds no readings", "give one line for each reading, such as staghorn-a,bar-blue,180", "")
	}
}

func (r *reader) csvError(path string, err error, allowed string) {
	line, col, what := 1, 1, "the file holds no readings"
	var e *csv.ParseError
	switch {
	case errors.As(err, &e):
		line, col, what = e.Line, e.Column, "the line is not of the form RFC 4180"
	case err == nil:
		what, allowed = "the file has too many readings", fmt.Sprintf("it may have %d", maxReadings)
	}
	r.files.add(path, line, col, what, allowed, "")
}

// sheet is the table being read, with where each known column is.
type sheet struct {
	*reader
	path     string
	lines    []string
	csv      spreadsheet.Rows
	col      map[string]int
	reported bool
}

// fail reports a fault in a field of the record last read.
func (s *sheet) fail(field int, what, allowed, hint string) {
	p := s.at(field, 0)
	s.files.add(p.File, p.Line, p.Col, what, allowed, hint)
	s.reported = true
}

// at is the place of a byte of a field; it counts characters where the library
// counts bytes.
func (s *sheet) at(field, skip int) diag.Place {
	line, col := s.csv.FieldPos(field)
	text := s.lines[line-1]
	if col <= len(text) && text[col-1] == '"' {
		skip++
	}
	if to := col - 1 + skip; to <= len(text) {
		col = 1 + utf8.RuneCountInString(text[:to])
	}
	return diag.Place{File: s.path, Line: line, Col: col}
}

func (s *sheet) columns(head []string) bool {
	s.col = map[string]int{}
	for i, name := range head {
		name = strings.TrimSpace(name)
		_, twice := s.col[name]
		switch {
		case slices.Contains(passedOver, name):
		case !slices.Contains(readingColumns, name):
			s.fail(i, fmt.Sprintf("unknown column %q", shorten(name)), "columns are: "+diag.Words(readingColumns), diag.DidYouMean(name, readingColumns))
		case twice:
			s.fail(i, fmt.Sprintf("the column %q is given twice", name), "name each column once", "")
		}
		s.col[name] = i
	}
	for _, need := range []string{"lit", "ppfd"} {
		if _, ok := s.col[need]; !ok {
			s.fail(0, fmt.Sprintf("the column %q is missing", need), "readings need lit and ppfd, and coral or x_cm, y_cm, depth_cm", "")
		}
	}
	_, coral := s.col["coral"]
	places := 0
	for _, name := range placeColumns {
		if _, ok := s.col[name]; ok {
			places++
		}
	}
	if places != 3 && (places != 0 || !coral) {
		s.fail(0, "the columns do not say where a reading was taken", "give coral, or all of x_cm, y_cm, depth_cm", "")
	}
	return !s.reported
}

// field is the text of a column, with its index; empty when there is none.
func (s *sheet) field(record []string, name string) (string, int) {
	i, ok := s.col[name]
	if !ok || i >= len(record) {
		return "", 0
	}
	return strings.TrimSpace(record[i]), i
}

func (s *sheet) row(record []string, width int) {
	if len(record) != width {
		s.fail(0, fmt.Sprintf("the line has %s", count(len(record), "field")), fmt.Sprintf("the heading has %d", width), "")
		return
	}
	for i, text := range record {
		if !utf8.ValidString(text) {
			s.fail(i, "the text is not UTF-8", "save the file as UTF-8 text", "")
			return
		}
		if r, hidden := visible.Hidden(text); hidden {
			s.fail(i, fmt.Sprintf("the invisible character U+%04X", r), "readings are of characters that can be seen, each on one line", "delete it")
			return
		}
	}
	line, _ := s.csv.FieldPos(0)
	got := row{Reading: plan.Reading{Line: line}}
	got.Note, _ = s.field(record, "note")
	ppfd, at := s.field(record, "ppfd")
	if ppfd == "" {
		s.problems = append(s.problems, diag.Problem{Severity: diag.Warning, Place: diag.Place{File: s.path, Line: line, Col: 1},
			What: "a line without ppfd is passed over", Allowed: "fill it in, or delete the line"})
		s.reported = true
		return
	}
	before := s.errors()
	got.PPFD = s.number(ppfd, at, limits{0, 1e5, false, "from 0 to 100000"})
	got.Digit = digit(ppfd)
	s.circumstances(record, &got.Reading)
	s.place(record, &got.Reading)
	s.hung(record, &got.Reading)
	s.lit(record, &got)
	if s.errors() == before {
		s.rows = append(s.rows, got)
	}
}

func (s *sheet) number(text string, field int, l limits) float64 {
	x, err := quantity.Plain.Parse(text)
	var e *quantity.Error
	switch {
	case errors.As(err, &e):
		s.fail(field, e.What, e.Allowed, e.Hint)
	case x < l.lo || x > l.hi:
		s.fail(field, fmt.Sprintf("%q is out of range", text), "it must be "+l.text, "")
	}
	return x
}

// digit is a step of the last digit of a number as it is written.
func digit(text string) float64 {
	if strings.ContainsAny(text, "eE") {
		return 0
	}
	_, after, _ := strings.Cut(text, ".")
	return math.Pow10(-len(after))
}

// circumstances reads when, with which meter and how steadily it was read.
func (s *sheet) circumstances(record []string, got *plan.Reading) {
	if text, at := s.field(record, "date"); text != "" {
		d, err := plan.ParseDate(text)
		if err != nil || d.Year < 1970 || d.Year > 2200 {
			s.fail(at, fmt.Sprintf("%q is not a date", shorten(text)), "write year-month-day, such as 2027-02-03", "")
		}
		got.Date = d
	}
	if text, at := s.field(record, "repeat_sd"); text != "" {
		got.RepeatSD = s.number(text, at, limits{1e-9, 1e5, false, "more than 0, in µmol/m²/s"})
	}
	if text, at := s.field(record, "meter"); text != "" {
		var names []string
		for _, m := range s.plan.Meters {
			names = append(names, m.Name)
		}
		if got.Meter = slices.Index(names, text); got.Meter < 0 {
			allowed := "the plan has: " + diag.Words(names)
			if names[0] == "" {
				allowed = "the plan names no meters; write meter: {" + "name: {in_water_factor: 1.32}, …} to tell several apart"
			}
			s.fail(at, fmt.Sprintf("no meter is called %q", shorten(text)), allowed, diag.DidYouMean(text, names))
		}
	}
}

// place reads where the reading was taken: a coral or three coordinates.
func (s *sheet) place(record []string, got *plan.Reading) {
	coral, at := s.field(record, "coral")
	s.here = 0
	named, said := s.tankColumn(record)
	if i := s.corals.index(coral); i >= 0 {
		s.here = s.plan.TankOf(i)
	}
	if said {
		s.here = named
	}
	var xyz [3]float64
	given := 0
	for i, name := range placeColumns {
		text, field := s.field(record, name)
		if text == "" {
			continue
		}
		given++
		l := s.within(i)
		l.lo, l.hi = l.lo*100, l.hi*100
		xyz[i] = s.number(text, field, l) / 100
	}
	got.Coral, got.X, got.Y, got.Depth, got.Tank = -1, xyz[0], xyz[1], xyz[2], s.here
	switch {
	case coral == "" && given == 3 && !said && len(s.plan.Tanks) > 1:
		s.fail(at, "the line does not say in which tank the place is", s.tanks.allowed("tank"), "add a column tank")
	case coral == "" && given == 3:
	case coral == "" || given > 0:
		s.fail(at, "the line does not say one place", "give a coral, or all of x_cm, y_cm, depth_cm", "")
	default:
		i := s.corals.index(coral)
		if i < 0 && s.corals.quiet {
			return
		}
		if i < 0 {
			s.fail(at, fmt.Sprintf("no coral is called %q", shorten(coral)), s.corals.allowed("coral"), s.corals.near(coral))
			return
		}
		c := s.plan.Corals[i]
		if in := s.plan.TankOf(i); in != s.here && in >= 0 && s.here >= 0 {
			s.fail(at, fmt.Sprintf("the coral %s stands in the tank %s, not in %s", coral, s.plan.Tanks[in].Name, s.plan.Tanks[s.here].Name), "the tank may be left out where a coral is named", "")
			got.Tank = in
			return
		}
		got.Coral, got.X, got.Y, got.Depth = i, c.X, c.Y, c.Depth
	}
}

// tankColumn is the tank that a line names, -1 when there is none of that name; said is whether it names any.
func (s *sheet) tankColumn(record []string) (i int, said bool) {
	text, at := s.field(record, "tank")
	if text == "" {
		return 0, false
	}
	if i = s.tanks.index(text); i < 0 && !s.tanks.quiet {
		s.fail(at, fmt.Sprintf("no tank is called %q", shorten(text)), s.tanks.allowed("tank"), s.tanks.near(text))
	}
	return i, true
}

// Words of the column lit that stand for channels.
const (
	litAll  = "all"  // every channel at full output
	litNone = "none" // the light of the room
)

// lit splits the column into its channels, parted by spaces or +.
func (s *sheet) lit(record []string, got *row) {
	text, field := s.field(record, "lit")
	before := s.errors()
	switch text {
	case "":
		s.fail(field, "no channel is lit", "write the channels that were lit, such as bar-blue@100% tubes, or all, or none for the light of the room", "")
		return
	case litNone:
		return
	case litAll:
		for i := range s.channels.list {
			if s.plan.Channels[i].Tank != got.Tank {
				continue
			}
			got.lit = append(got.lit, litText{i, "", s.at(field, 0)})
		}
		return
	}
	from := 0
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return unicode.IsSpace(r) || r == '+' }) {
		from += strings.Index(record[field][from:], word)
		s.word(word, s.at(field, from), got)
		if from += len(word); s.errors()-before == mostGuesses {
			return
		}
	}
	if len(got.lit) == 0 && s.errors() == before {
		s.fail(field, "no channel is lit", "write the channels that were lit", "")
	}
}

// word reads one channel and its command.
func (s *sheet) word(word string, at diag.Place, got *row) {
	fail := func(what, allowed, hint string) {
		s.files.add(s.path, at.Line, at.Col, what, allowed, hint)
		s.reported = true
	}
	name, cmd, _ := strings.Cut(word, "@")
	i := s.channels.index(name)
	switch {
	case name == litAll || name == litNone:
		fail(fmt.Sprintf("%q cannot stand with other words", name), "write all for every channel at full output, none for the light of the room, or name the channels", "")
	case i < 0 && s.channels.quiet:
	case i < 0:
		fail(fmt.Sprintf("no channel is called %q", shorten(name)), s.channels.allowed("channel"), s.channels.near(name))
	case s.plan.Channels[i].Tank != got.Tank && got.Tank >= 0 && s.plan.Channels[i].Tank >= 0:
		in := s.plan.TankAt(got.Tank).Name
		fail(fmt.Sprintf("%s lights the tank %s, and the place is in %s", name, s.plan.TankAt(s.plan.Channels[i].Tank).Name, in), "a channel lights its own tank only", "leave it out, or correct the place")
	case strings.HasSuffix(word, "@"):
		fail(fmt.Sprintf("%q has nothing after the @", word), "write the command, such as bar-blue@100%, or leave the @ out for full", "")
	case slices.ContainsFunc(got.lit, func(l litText) bool { return l.channel == i }):
		fail(fmt.Sprintf("%q is lit twice", name), "name each channel once", "")
	default:
		got.lit = append(got.lit, litText{i, cmd, at})
	}
}

func shorten(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}
