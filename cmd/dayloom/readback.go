package main

import (
	"bytes"
	"path/filepath"

	"dayloom/exporters/crontab"
	"dayloom/exporters/files"
	"dayloom/exporters/grid"
	"dayloom/exporters/timetable"
	"dayloom/schedule/plan"
)

// kind is what a file that can be played is, told by how it begins, or its name.
type kind int

const (
	timetableFile kind = iota // json or csv
	gridFile
	crontabFile
)

func kindOf(path string, data []byte) kind {
	switch text := bytes.TrimPrefix(data, []byte("\ufeff")); {
	case bytes.HasPrefix(text, []byte("date,time,")), bytes.HasPrefix(text, []byte("date;time;")):
		return gridFile
	case bytes.HasPrefix(data, []byte("#")) || filepath.Ext(path) == ".cron":
		return crontabFile
	}
	return timetableFile
}

// mostTimetable is how large a file that is read back may be, bytes: a grid of a year
// at every minute has some 100 MiB for forty ports.
const mostTimetable = 256 << 20

// written is a file that compile wrote, read as far as that goes without its plan.
type written struct {
	path string
	kind kind
	data []byte
	file timetable.File // but for a crontab
}

func readBack(path string) (written, error) {
	b, err := files.Read(path, mostTimetable)
	if err != nil {
		return written{}, fileError(err, "a timetable is made by: dayloom compile PLAN -o DIR")
	}
	out, err := parsed(path, b)
	if err != nil {
		return out, fileError(err, "")
	}
	return out, nil
}

// parsed is the content of a file, read as far as that goes without its plan.
func parsed(path string, b []byte) (out written, err error) {
	out = written{path: path, kind: kindOf(path, b), data: b}
	switch out.kind {
	case gridFile:
		out.file, err = grid.Timetable(path, bytes.NewReader(b))
	case timetableFile:
		out.file, err = timetable.Read(path, b)
	}
	return out, err
}

// timetable is the file through the ports of its plan, and where it says other things of them.
func (o written) timetable(p *plan.Plan) (f timetable.File, differences []string, err error) {
	switch {
	case o.kind == crontabFile:
		f, err = crontab.Timetable(o.path, o.data, p)
		if err != nil {
			return f, nil, fileError(err, "")
		}
		return f, nil, nil
	}
	if f, differences = o.file.Through(p); o.file.NeedsPlan() && len(o.file.Tables[0].Ports) < len(p.Ports()) {
		return f, nil, &failure{code: exitFile, message: o.path + ": " + differences[0], hint: "the file was cut, or the plan has changed: compile the plan again"}
	}
	if o.file.NeedsPlan() && len(differences) == len(f.Doubts) {
		if err := f.Check(); err != nil { // now that ranges are known
			return f, nil, &failure{code: exitFile, message: o.path + ": " + err.Error()}
		}
	}
	if o.kind == gridFile { // whatever the controllers do between points, rows are kept
		for _, t := range f.Tables {
			for i := range t.Ports {
				t.Ports[i].Hold = true
			}
		}
	}
	return f, differences, nil
}

// readTimetable reads timetable.json or timetable.csv.
func readTimetable(path string) (timetable.File, error) {
	o, err := readBack(path)
	if err == nil && o.kind != timetableFile {
		err = &failure{code: exitFile, message: path + ": this is not a timetable.json", hint: "name the timetable.json beside it"}
	}
	if err == nil && len(o.file.Doubts) > 0 {
		err = &failure{code: exitFile, message: o.file.Doubts[0], hint: "the file was edited; compile the plan again"}
	}
	return o.file, err
}
