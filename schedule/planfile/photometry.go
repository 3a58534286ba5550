package planfile

import (
	"bytes"
	"errors"

	"dayloom/photon/emitter"
	"dayloom/photon/ies"
	"dayloom/schedule/source"
)

// photometry reads an IES file; what is wrong in it is reported at its own line.
func (r *reader) photometry(v source.Value) emitter.Distribution {
	path, data, ok := r.files.named(v, maxTable)
	if !ok {
		return nil
	}
	p, err := ies.Read(bytes.NewReader(data))
	var e *ies.FileError
	switch {
	case errors.As(err, &e):
		r.files.add(path, e.Line, 1, e.Problem, "", "")
	case err != nil:
		r.files.add(path, 1, 1, err.Error(), "", "")
	default:
		return p
	}
	return nil
}
