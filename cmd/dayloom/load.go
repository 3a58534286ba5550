package main

import (
	"os"

	"dayloom/exporters/files"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
	"dayloom/schedule/text/diag"
)

// readFile reads a plan, or a file that one names.
func readFile(path string) ([]byte, error) { return files.Read(path, planfile.MaxFile) }

// source gives the text of a file for quoting it under a message, nil when it is gone.
func source(path string) []byte {
	b, _ := readFile(path)
	return b
}

// load reads and checks a plan, prints its errors, and fails when it cannot be used.
func (w world) load(file string) (*plan.Plan, error) {
	if _, err := os.Stat(file); err != nil {
		return nil, fileError(err, "a plan is made by: dayloom new DIR")
	}
	p, problems := planfile.Load(readFile, file)
	w.problems(only(diag.Error, problems), source)
	if n := problems.Count(diag.Warning); n > 0 {
		w.note("%s: %s; see them with: dayloom check %s", file, count(n, "warning"), file)
	}
	if p == nil {
		return nil, &failure{code: exitFile, message: file + ": " + count(problems.Count(diag.Error), "error") + "; nothing was done"}
	}
	return w.moved(p)
}

// survey works out the light at every coral, printing what is doubtful.
func (w world) survey(p *plan.Plan) (light.Field, error) {
	read := p
	if p.AsRead != nil {
		read = p.AsRead
	}
	f, problems := light.Dated(read, func(d plan.Date) []float64 { return ageOn(read, d) })
	if p.AsRead != nil && !problems.HasErrors() {
		f, problems = f.Carried(p)
	}
	w.problems(problems, source)
	if problems.HasErrors() {
		return f, &failure{code: exitFile, message: p.File + ": the light at the corals is not known; nothing was done"}
	}
	return f, nil
}
