package live

import (
	"context"
	"encoding/binary"
	"net/http"
	"sync"
	"sync/atomic"

	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	"dayloom/schedule/light"
	"dayloom/schedule/maps"
)

// mapAsk is what the page wants a map of.
type mapAsk struct {
	Number   int64   `json:"number"` // rising; an ask that a later one has overtaken is not answered
	Depth    float64 `json:"depth"`  // m
	Channels []int   `json:"channels"`
	Lamp     *Edit   `json:"lamp"` // with this lamp moved: the channels are then those that hang on it
}

// queue lets one ask be worked out at a time, and of those that wait the newest.
type queue struct {
	newest atomic.Int64
	one    sync.Mutex
}

// turn waits; ok is false for one who was overtaken.
func (q *queue) turn(number int64) (done func(), ok bool) {
	for {
		n := q.newest.Load()
		if number < n {
			return nil, false
		}
		if q.newest.CompareAndSwap(n, number) {
			break
		}
	}
	q.one.Lock()
	if number < q.newest.Load() {
		q.one.Unlock()
		return nil, false
	}
	return q.one.Unlock, true
}

// light answers with maps as numbers of 4 bytes, little end first: columns, rows, how many maps, the
// channel of each; then PPFD of new lamps at full output, float32, row by row from the front glass, map by map.
func (s *server) light(w http.ResponseWriter, r *http.Request) {
	var ask mapAsk
	if err := body(w, r, &ask); err != nil {
		reply(w, nil, err)
		return
	}
	done, ok := s.queue.turn(ask.Number)
	if !ok {
		w.WriteHeader(http.StatusNoContent)
		return
	}
	defer done()
	out, err := s.doc.maps(r.Context(), ask)
	if err != nil {
		reply(w, nil, err)
		return
	}
	w.Header().Set("Content-Type", "application/octet-stream")
	_, _ = w.Write(out) // whoever left does not see it
}

// maps works out the maps of an ask.
func (d *Document) maps(ctx context.Context, ask mapAsk) ([]byte, error) {
	d.mu.Lock()
	now, src := d.now, d.texts[d.at].is
	d.mu.Unlock()
	p, field := now.Read, now.Field
	channels := ask.Channels
	for _, c := range channels {
		if c < 0 || c >= len(p.Channels) {
			return nil, absent("channel")
		}
	}
	if ask.Lamp != nil {
		q, hung, err := ask.Lamp.moved(src, p)
		if err != nil {
			return nil, err
		}
		channels = hung
		q.Corals, q.Zones = nil, nil // only the plane is asked for
		moved, problems := field.Carried(q)
		if problems.HasErrors() {
			return nil, &trouble{http.StatusUnprocessableEntity, "the light of this lamp is not known there"}
		}
		field = moved
	}
	if len(channels) == 0 || len(channels) > len(p.Channels) {
		return nil, absent("channel")
	}
	over := p.Channels[channels[0]].Tank
	for _, c := range channels {
		if p.Channels[c].Tank != over {
			return nil, &trouble{http.StatusUnprocessableEntity, "these channels are over several tanks"}
		}
	}
	g, err := plane(p.TankAt(over).Box, ask.Depth)
	if err != nil {
		return nil, err
	}
	return drawn(ctx, field.In(over), channels, g)
}

func drawn(ctx context.Context, field light.Field, channels []int, g tank.Grid) ([]byte, error) {
	l, err := field.Grid(ctx, channels, spectrum.PAR, g, tank.Options{})
	if err != nil {
		return nil, err
	}
	out := binary.LittleEndian.AppendUint32(nil, uint32(g.Nx))
	out = binary.LittleEndian.AppendUint32(out, uint32(g.Ny))
	out = binary.LittleEndian.AppendUint32(out, uint32(len(channels)))
	for _, c := range channels {
		out = binary.LittleEndian.AppendUint32(out, uint32(c))
	}
	for _, m := range l.PPFD {
		if out, err = binary.Append(out, binary.LittleEndian, m); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// plane is the grid that the page draws at a depth, from wall to wall, some 120 steps along.
func plane(b tank.Box, depth float64) (tank.Grid, error) {
	if !within(depth, 0, b.Depth) {
		return tank.Grid{}, &trouble{http.StatusUnprocessableEntity, "the plane lies in the water"}
	}
	r := maps.Region{Box: b, Depth: &depth}
	return r.Nodes(r.Spacing())
}
