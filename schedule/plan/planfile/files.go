package planfile

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"slices"

	"dayloom/photon/spectrum"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/yamltree"
)

// How large the files that a plan names may be, bytes.
const (
	MaxFile  = 16 << 20  // readings; nothing that a plan names is larger
	maxAll   = 128 << 20 // together, with the plan
	maxTable = 4 << 20   // spectra, absorption and photometry: far above what an instrument gives
)

// files are the plan and what it names, each read once.
type files struct {
	read     func(string) ([]byte, error)
	main     string
	problems *diag.List
	opened   []opened
	size     int // of all that was opened
}

type opened struct {
	name, path string // as the plan names it, and as it is opened
	data       []byte
	ok         bool
}

// open reads the plan itself.
func (f *files) open(path string) ([]byte, bool) {
	data, why := f.get(path, path, MaxFile)
	if why == "" && compiled(data) {
		why = "this is a timetable, which compile writes from a plan"
	}
	if why != "" {
		*f.problems = append(*f.problems, diag.Problem{Place: diag.Place{File: path, Line: 1, Col: 1}, What: why, Allowed: "name a plan file that can be read"})
	}
	return data, why == ""
}

// compiled reports whether a file is one of those that are written from a plan.
func compiled(data []byte) bool {
	return bytes.HasPrefix(data, []byte("{")) && bytes.Contains(data[:min(len(data), 512)], []byte(`"plan_hash"`)) ||
		bytes.HasPrefix(data, []byte("valid_from,")) || bytes.HasPrefix(data, []byte("date,time,"))
}

// named reads the file that a value of the plan names.
func (f *files) named(v yamltree.Value, most int) (path string, data []byte, ok bool) {
	name, ok := v.Text("write the name of a file beside the plan")
	if !ok {
		return "", nil, false
	}
	path = filepath.FromSlash(name)
	if !filepath.IsAbs(path) {
		path = filepath.Join(filepath.Dir(f.main), path)
	}
	data, why := f.get(name, path, most)
	if why != "" {
		v.Error(why, "files are named relative to the plan's folder", "")
	}
	return path, data, why == ""
}

func (f *files) get(name, path string, most int) (data []byte, why string) {
	i := slices.IndexFunc(f.opened, func(o opened) bool { return o.path == path })
	if i >= 0 && f.opened[i].ok {
		return f.opened[i].data, ""
	}
	data, err := f.read(path)
	var reason *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Sprintf("there is no file %q", name)
	case errors.Is(err, fs.ErrPermission):
		return nil, fmt.Sprintf("the file %q may not be read", name)
	case errors.As(err, &reason):
		return nil, fmt.Sprintf("the file %q cannot be read: %v", name, reason.Err)
	case err != nil:
		return nil, fmt.Sprintf("the file %q cannot be read", name)
	case len(data) > most:
		return nil, fmt.Sprintf("the file %q is larger than %d MiB, the most that is read of such a file", name, most>>20)
	}
	if f.size += len(data); f.size > maxAll {
		return nil, fmt.Sprintf("with the file %q the files of the plan are larger than %d MiB together, the most that is read", name, maxAll>>20)
	}
	f.opened = append(f.opened, opened{name, path, data, true})
	return data, ""
}

// add reports a problem inside a named file.
func (f *files) add(path string, line, col int, what, allowed, hint string) {
	*f.problems = append(*f.problems, diag.Problem{
		Place: diag.Place{File: path, Line: max(line, 1), Col: max(col, 1)}, What: what, Allowed: allowed, Hint: hint})
}

// table reads a file of two columns, nm and one other, and makes something of it;
// what is wrong in it is reported at its own line.
func (f *files) table(v yamltree.Value, use func(*bytes.Reader) error) bool {
	path, data, ok := f.named(v, maxTable)
	if !ok {
		return false
	}
	err := use(bytes.NewReader(data))
	if err == nil {
		return true
	}
	var e *spectrum.TableError
	if errors.As(err, &e) {
		f.add(path, e.Line, 1, e.Problem, "", "")
	} else {
		f.add(path, 1, 1, err.Error(), "", "")
	}
	return false
}

// hash is over the plan and then the named files in the order of their names, each
// as its name as written in the plan, its length and its bytes. The plan's own name
// does not count: the same plan has the same hash in any folder.
func (f *files) hash() string {
	named := slices.Clone(f.opened[1:])
	slices.SortFunc(named, func(a, b opened) int { return bytes.Compare([]byte(a.name), []byte(b.name)) })
	h := sha256.New()
	for _, o := range append([]opened{{data: f.opened[0].data}}, named...) {
		fmt.Fprintf(h, "%q %d\n", o.name, len(o.data))
		h.Write(o.data)
	}
	return fmt.Sprintf("sha256:%x", h.Sum(nil))
}
