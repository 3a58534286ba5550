package table

import (
	"io"
	"slices"
	"strings"
	"unicode/utf8"
)

// foldable is the least width that words are folded to.
const foldable = 28

// Text writes the table aligned, two spaces between columns, no trailing blanks. On a
// Page that is too narrow for it the last column is folded, where it may be; then columns
// give way, and a line below names them; what is still too wide goes on in a
// further block that begins with the first column again.
func (t Table) Text(w io.Writer) error {
	to, room := w, edge(w)
	if p, ok := w.(*Page); ok {
		to = p.to // rows are not folded
	}
	all := t.pick(CSVOnly)
	if err := t.finite(all, func(c Column) string { return c.Head }); err != nil {
		return err
	}
	s := set{t, t.widths()}
	cols, gone := s.fitting(all, room)
	var b strings.Builder
	for n, block := range s.blocks(cols, room) {
		if n > 0 {
			b.WriteByte('\n')
		}
		s.block(&b, block, room)
	}
	if len(gone) > 0 {
		b.WriteString(Fold("not shown for want of room: "+strings.Join(gone, ", ")+" (--wide shows all)\n", room))
	}
	_, err := io.WriteString(to, b.String())
	return err
}

// Fits reports whether a table needs nothing to give way on a writer.
func (t Table) Fits(w io.Writer) bool {
	s, room := set{t, t.widths()}, edge(w)
	return room <= 0 || s.width(t.pick(CSVOnly), whole) <= room
}

// fitting is the columns that stay so that a table fits into room, and the names of the others.
func (t set) fitting(cols []int, room int) (stay []int, gone []string) {
	stay = slices.Clone(cols)
	for room > 0 && t.width(stay, preferred) > room {
		at := -1
		for n, i := range stay {
			if last := t.Columns[i].Last; last > 0 && (at < 0 || last > t.Columns[stay[at]].Last) {
				at = n
			}
		}
		if at < 0 {
			break
		}
		gone = append(gone, t.Columns[stay[at]].Head)
		stay = slices.Delete(stay, at, at+1)
	}
	return stay, gone
}

// blocks cuts columns into as many tables as are needed to fit; each begins with the first.
func (t set) blocks(cols []int, room int) (out [][]int) {
	if room <= 0 || t.width(cols, least) <= room || len(cols) < 3 {
		return [][]int{cols}
	}
	block := cols[:1:1]
	for _, i := range cols[1:] {
		if len(block) > 1 && t.width(append(block[:len(block):len(block)], i), least) > room {
			out, block = append(out, block), cols[:1:1]
		}
		block = append(block, i)
	}
	return append(out, block)
}

// set is a table with the width of each column.
type set struct {
	Table
	widths []int
}

func (t Table) widths() []int {
	out := make([]int, len(t.Columns))
	for i, c := range t.Columns {
		out[i] = max(utf8.RuneCountInString(c.Head), utf8.RuneCountInString(c.Unit))
		for _, r := range t.Rows {
			out[i] = max(out[i], utf8.RuneCountInString(r[i]))
		}
	}
	return out
}

// How far words are folded when widths are asked for.
const (
	whole = iota
	preferred
	least
)

// width is how wide some columns are together, the last one folded so far.
func (t set) width(cols []int, fold int) int {
	n := -2
	for k, i := range cols {
		w := t.widths[i]
		if to := t.Columns[i].Fold; to > 0 && k == len(cols)-1 {
			switch fold {
			case preferred:
				w = min(w, to)
			case least:
				w = min(w, foldable)
			}
		}
		n += w + 2
	}
	return n
}

// block writes some columns, headings first.
func (t set) block(b *strings.Builder, cols []int, room int) {
	heads, units := make([]string, len(t.Columns)), make([]string, len(t.Columns))
	hasUnits := false
	for _, i := range cols {
		heads[i], units[i] = t.Columns[i].Head, t.Columns[i].Unit
		hasUnits = hasUnits || units[i] != ""
	}
	rows := [][]string{heads}
	if hasUnits {
		rows = append(rows, units)
	}
	end := cols[len(cols)-1]
	space := 0
	if t.Columns[end].Fold > 0 && room > 0 && t.width(cols, whole) > room {
		space = max(room-t.width(cols[:len(cols)-1], whole)-2, foldable)
	}
	for _, r := range append(rows, t.Rows...) {
		var more []string
		if space > 0 && utf8.RuneCountInString(r[end]) > space {
			lines := wrap(r[end], space, space)
			r = slices.Clone(r)
			r[end], more = lines[0], lines[1:]
		}
		t.row(b, cols, r)
		for _, l := range more { // the folded words, below
			next := make([]string, len(t.Columns))
			next[end] = l
			t.row(b, cols, next)
		}
	}
}

// row writes one line.
func (t set) row(b *strings.Builder, cols []int, cells []string) {
	var line strings.Builder
	for n, i := range cols {
		pad := strings.Repeat(" ", max(0, t.widths[i]-utf8.RuneCountInString(cells[i])))
		if n > 0 {
			line.WriteString("  ")
		}
		if t.Columns[i].Left {
			line.WriteString(cells[i] + pad)
		} else {
			line.WriteString(pad + cells[i])
		}
	}
	b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
}
