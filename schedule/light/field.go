package light

import (
	"fmt"

	"dayloom/photon/flux"
	"dayloom/photon/meter"
	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	"dayloom/schedule/diag"
	"dayloom/schedule/plan"
)

// Lamp is the channel as the light model sees it.
func Lamp(c plan.Channel) flux.Lamp {
	return flux.Lamp{Emitters: c.Emitters, Spectrum: c.Spectrum, HasSpectrum: c.HasSpectrum, TotalUmolS: c.Flux.TotalUmolS}
}

// modelled reports whether the light model can say anything of the channel.
func modelled(c plan.Channel) bool { return len(c.Emitters) > 0 && c.Flux.TotalUmolS > 0 }

// Predict is the model's light of one channel in one band at places, µmol m⁻² s⁻¹.
func Predict(p *plan.Plan, channel int, b spectrum.Band, places []Place) ([]float64, error) {
	l, err := predict(p, channel, b, places)
	return l.PPFD, err
}

func predict(p *plan.Plan, channel int, b spectrum.Band, places []Place) (tank.Light, error) {
	c := p.Channels[channel]
	src, ok := flux.Source(Lamp(c), p.Tank.Absorption, b)
	if !ok {
		return tank.Light{PPFD: make([]float64, len(places))}, nil
	}
	at := make([]tank.Place, len(places))
	for i, q := range places {
		at[i] = tank.Place{X: q.X, Y: q.Y, Depth: q.Depth}
	}
	return p.Tank.Box.At(src, at)
}

// Survey works out the field of a plan. The list holds an error for each coral or
// area that some used channel leaves without a number, and warnings about readings.
func Survey(p *plan.Plan) (Field, diag.List) {
	f := Field{Bands: Bands(p)}
	var problems diag.List
	places := make([]Place, len(p.Corals))
	f.Corals = make([][]Cell, len(p.Corals))
	for i, c := range p.Corals {
		places[i] = Place{c.X, c.Y, c.Depth}
		f.Corals[i] = make([]Cell, len(p.Channels))
	}
	r, warnings := single(p)
	problems = append(problems, warnings...)
	for ch := range p.Channels {
		cells, moved, err := predictCells(p, ch, f.Bands, places)
		if err != nil {
			problems = append(problems, channelProblem(p, ch, err.Error(), "make its emitters simpler or check their sizes"))
			continue
		}
		if moved > tank.Settled {
			problems = append(problems, Unsettled(p, ch, moved))
		}
		var unknown []string
		for i := range p.Corals {
			known := cells != nil
			if known {
				f.Corals[i][ch] = cells[i]
			}
			if values := r.at(ch, i); len(values) > 0 {
				f.Corals[i][ch] = fromReadings(p, ch, values, f.Corals[i][ch], f.Bands, known)
			} else if !known {
				unknown = append(unknown, p.Corals[i].Name)
			}
		}
		if unknown != nil {
			problems = append(problems, unknownAt(p, ch, unknown))
		}
	}
	areas, more := areas(p, f.Bands)
	f.Areas = areas
	problems = append(problems, more...)
	problems = append(problems, sums(p, f)...)
	return f, problems
}

// predictCells is the model's cell at each place, and how far PPFD still moved when
// the sampling was last refined; nil when the channel has no model.
func predictCells(p *plan.Plan, ch int, bands []spectrum.Band, places []Place) (cells []Cell, moved float64, err error) {
	c := p.Channels[ch]
	if !modelled(c) {
		return nil, 0, nil
	}
	cells = make([]Cell, len(places))
	for i := range cells {
		cells[i] = modelCell(c, len(bands))
	}
	for k, b := range bands {
		l, err := predict(p, ch, b, places)
		if err != nil {
			return nil, 0, err
		}
		for i, v := range l.PPFD {
			cells[i].Bands[k] = v
			if b == spectrum.PAR {
				cells[i].PPFD, moved = v, l.Moved
			}
		}
	}
	return cells, moved, nil
}

// fromReadings replaces a modelled cell by what was read there.
func fromReadings(p *plan.Plan, ch int, values []float64, model Cell, bands []spectrum.Band, known bool) Cell {
	mean, own := meter.Mean(values)
	out := Cell{PPFD: mean, Source: Reading, Meter: p.Meter.Uncertainty, Own: own, Bands: make([]float64, len(bands))}
	for k, b := range bands {
		switch {
		case known && model.PPFD > 0:
			out.Bands[k] = model.Bands[k] * mean / model.PPFD
		default:
			out.Bands[k] = mean * p.Channels[ch].Spectrum.PhotonShare(b, spectrum.PAR)
		}
	}
	return out
}

func channelProblem(p *plan.Plan, ch int, what, hint string) diag.Problem {
	c := p.Channels[ch]
	return diag.Problem{
		Place: diag.Place{File: p.File, Line: c.Pos.Line, Col: c.Pos.Col},
		Path:  "channels." + c.Name, What: fmt.Sprintf("channel %s: %s", c.Name, what), Hint: hint,
	}
}

func unknownAt(p *plan.Plan, ch int, names []string) diag.Problem {
	pr := channelProblem(p, ch, "no light is known at "+diag.Words(names), "add a reading of it lit alone at each of them")
	pr.Allowed = "a channel needs a flux with emitters, or readings at every coral"
	return pr
}

// Unsettled warns that a channel's light still moved, as a share of it, when its lines
// and panels were last split finer.
func Unsettled(p *plan.Plan, ch int, moved float64) diag.Problem {
	pr := channelProblem(p, ch, fmt.Sprintf("its light still moved by %.2g %% when its lamps were last split finer", 100*moved),
		"take its values as that much less sure; a lamp along the tank's rim does this")
	pr.Severity = diag.Warning
	return pr
}
