package light

import (
	"errors"
	"fmt"
	"math"

	"dayloom/photon/spectrum"
)

// errElsewhere is returned by a field that was made by hand.
var errElsewhere = errors.New("the light is known at the corals alone")

// At is the light at any places in the water: [place][channel], with the bands of the
// field. It is the one answer that everything else is made of.
func (f Field) At(places []Place) ([][]Cell, error) { return f.InBands(places, f.Bands) }

// InBands is At with other bands.
func (f Field) InBands(places []Place, bands []spectrum.Band) ([][]Cell, error) {
	if f.lesson == nil {
		return nil, errElsewhere
	}
	cells, _, err := f.lesson.at(places, bands)
	return f.of.wide(cells, len(bands)), err
}

// at also tells, by channel, how far PPFD still moved when sampling was last refined.
func (s *lesson) at(places []Place, bands []spectrum.Band) (cells [][]Cell, moved []float64, err error) {
	cells = make([][]Cell, len(places))
	for i := range cells {
		cells[i] = make([]Cell, len(s.p.Channels))
		for ch := range cells[i] {
			cells[i][ch].Bands = make([]float64, len(bands))
		}
	}
	moved = make([]float64, len(s.p.Channels))
	for ch, c := range s.p.Channels {
		if !Modelled(c) {
			continue
		}
		if moved[ch], err = s.predicted(ch, places, bands, cells); err != nil {
			return nil, nil, fmt.Errorf("channel %s: %w", c.Name, err)
		}
	}
	for i, at := range places {
		s.correct(cells[i], s.fit.Mean(at), bands)
		s.sure(at, cells[i])
		for ch := range cells[i] {
			cells[i][ch].Source = s.source(ch, at)
		}
	}
	return cells, moved, nil
}

// predicted fills in the model's light of a channel.
func (s *lesson) predicted(ch int, places []Place, bands []spectrum.Band, cells [][]Cell) (moved float64, err error) {
	par, err := s.sources.light(ch, spectrum.PAR, places)
	if err != nil {
		return 0, err
	}
	for i, v := range par.PPFD {
		cells[i][ch].PPFD = v
	}
	for k, b := range bands {
		l := par
		if b != spectrum.PAR {
			if l, err = s.sources.light(ch, b, places); err != nil {
				return 0, err
			}
		}
		for i, v := range l.PPFD {
			cells[i][ch].Bands[k] = v
		}
	}
	return par.Moved, nil
}

// correct makes the model's cells what the readings say; mean is ln of the factor, or
// of the light itself where a channel has no model.
func (s *lesson) correct(cells []Cell, mean []float64, bands []spectrum.Band) {
	for ch := range cells {
		c, k := &cells[ch], math.Exp(mean[ch])
		if !Modelled(s.p.Channels[ch]) {
			if !s.taught[ch] {
				continue
			}
			c.PPFD = k
			for b, band := range bands {
				c.Bands[b] = k * s.p.Channels[ch].Spectrum.PhotonShare(band, spectrum.PAR)
			}
			continue
		}
		c.PPFD *= k
		for b := range c.Bands {
			c.Bands[b] *= k
		}
	}
}

// source is what a channel's number at a place rests on.
func (s *lesson) source(ch int, at Place) Source {
	if len(s.rows) == 0 {
		return Model
	}
	for _, x := range s.alone[ch] {
		if apart(x, at) <= samePlace {
			return Reading
		}
	}
	return Fitted
}

func apart(a, b Place) float64 { return math.Hypot(math.Hypot(a.X-b.X, a.Y-b.Y), a.Depth-b.Depth) }
