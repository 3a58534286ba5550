package maps

import (
	"fmt"
	"regexp"

	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/planedit"
)

// Edited loads a plan with the value of the sweep in the place of the file's own;
// the file itself stays as it is. The error is what the reader says of that value.
func (s Sweep) Edited(read func(path string) ([]byte, error), file string) func(value string) (*plan.Plan, error) {
	return func(value string) (*plan.Plan, error) {
		text, err := read(file)
		if err != nil {
			return nil, err
		}
		if text, err = set(text, s.Path, value); err != nil {
			return nil, err
		}
		p, problems := planfile.Load(func(path string) ([]byte, error) {
			if path == file {
				return text, nil
			}
			return read(path)
		}, file)
		for _, pr := range problems {
			if p == nil && pr.Severity == diag.Error {
				return nil, pr
			}
		}
		if p == nil {
			return nil, fmt.Errorf("%s cannot be read with this value", file)
		}
		return p, nil
	}
}

// An emitter's own values stand under its shape; a builder who changes the height
// of a channel means all of its emitters.
var shapeless = regexp.MustCompile(`^(channels\.[^.]+\.emitters(?:\.\d+)?)\.((?:height|at|from|to|size)(?:\.[xyz])?)$`)

// Where a rack hangs is a pair in the plan.
var rackAxis = regexp.MustCompile(`^(racks\.[^.]+)\.([xy])$`)

func set(text []byte, path, value string) ([]byte, error) {
	path = rackAxis.ReplaceAllString(path, "$1.at.$2")
	out, err := planedit.Set(text, path, value)
	m := shapeless.FindStringSubmatch(path)
	if err == nil || m == nil {
		return out, err
	}
	found := false
	for _, shape := range []string{"point", "line", "panel"} {
		if next, bad := planedit.Set(text, m[1]+"."+shape+"."+m[2], value); bad == nil {
			text, found = next, true
		}
	}
	if !found {
		return nil, err
	}
	return text, nil
}
