package live

import (
	"fmt"
	"math"
	"net/http"

	"dayloom/photon/emitter"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/planedit"
)

// handle is the path at which the plan's text holds where an emitter hangs, "" where it holds
// that in no place of its own: the channel's, or that of the one which it is like.
func handle(src []byte, p *plan.Plan, channel, number int) string {
	body := [...]string{"point", "line", "panel"}[p.Channels[channel].Emitters[number].Kind]
	first := map[string]string{"point": ".at.0", "line": ".from.0", "panel": ".at.0"}[body]
	name, seen := p.Channels[channel].Name, map[string]bool{}
	for !seen[name] {
		seen[name] = true
		path := fmt.Sprintf("channels.%s.emitters.%d.%s", name, number, body)
		if _, err := planedit.Get(src, path+first); err == nil {
			return path
		}
		next, err := planedit.Get(src, fmt.Sprintf("channels.%s.emitters.%d.like", name, number))
		if err != nil {
			next, err = planedit.Get(src, "channels."+name+".like")
		}
		if err != nil {
			return ""
		}
		name = next
	}
	return ""
}

// middle is where an emitter hangs, seen from above, m.
func middle(e emitter.Emitter) [2]float64 {
	if e.Kind == emitter.Line {
		return [2]float64{(e.From[0] + e.To[0]) / 2, (e.From[1] + e.To[1]) / 2}
	}
	return e.At
}

// emitterOf is the emitter that an edit names.
func (e Edit) emitterOf(p *plan.Plan) (emitter.Emitter, error) {
	if e.Channel < 0 || e.Channel >= len(p.Channels) || e.Emitter < 0 || e.Emitter >= len(p.Channels[e.Channel].Emitters) {
		return emitter.Emitter{}, absent("lamp")
	}
	b := p.TankAt(p.Channels[e.Channel].Tank).Box
	if !within(e.X, -b.Length, 2*b.Length) || !within(e.Y, -b.Width, 2*b.Width) || !(e.Height > 0 && e.Height <= 20) {
		return emitter.Emitter{}, &trouble{http.StatusUnprocessableEntity, "a lamp hangs over the tank or near it, above the water"}
	}
	return p.Channels[e.Channel].Emitters[e.Emitter], nil
}

// shifted is an emitter with its middle where an edit puts it.
func (e Edit) shifted(m emitter.Emitter) emitter.Emitter {
	at := middle(m)
	for k, by := range [2]float64{e.X - at[0], e.Y - at[1]} {
		m.At[k], m.From[k], m.To[k] = m.At[k]+by, m.From[k]+by, m.To[k]+by
	}
	m.Height = e.Height
	return m
}

func (e Edit) lamp(src []byte, p *plan.Plan) ([]set, error) {
	was, err := e.emitterOf(p)
	if err != nil {
		return nil, err
	}
	path := handle(src, p, e.Channel, e.Emitter)
	if path == "" {
		return nil, &trouble{http.StatusUnprocessableEntity, "the plan does not say where this lamp hangs in a place of its own"}
	}
	var rack plan.Rack
	for _, r := range p.Racks {
		for _, c := range r.Channels {
			if c == e.Channel {
				rack = r
			}
		}
	}
	is := e.shifted(was)
	var out []set
	put := func(key string, was, is, base float64) {
		if math.Abs(was-is) > 1e-6 {
			out = append(out, set{path + key, cm(is - base)})
		}
	}
	tall := false
	if was.Kind == emitter.Line {
		_, err := planedit.Get(src, path+".from.2")
		tall = err == nil
		for k := range 2 {
			put(fmt.Sprintf(".from.%d", k), was.From[k], is.From[k], rack.At[k])
			put(fmt.Sprintf(".to.%d", k), was.To[k], is.To[k], rack.At[k])
		}
	} else {
		for k := range 2 {
			put(fmt.Sprintf(".at.%d", k), was.At[k], is.At[k], rack.At[k])
		}
	}
	if tall {
		put(".from.2", was.Height, is.Height, rack.Height)
		put(".to.2", was.Height+was.Rise, is.Height+is.Rise, rack.Height)
	} else {
		put(".height", was.Height, is.Height, rack.Height)
	}
	if out == nil {
		return nil, &trouble{http.StatusUnprocessableEntity, "the lamp hangs there already"}
	}
	return out, nil
}

// moved is a plan with a lamp where an edit puts it, without its text, and which channels hang on it: all
// whose light the text holds at the same place.
func (e Edit) moved(src []byte, p *plan.Plan) (*plan.Plan, []int, error) {
	if _, err := e.emitterOf(p); err != nil {
		return nil, nil, err
	}
	path := handle(src, p, e.Channel, e.Emitter)
	q, hung := *p, []int(nil)
	q.Channels = append([]plan.Channel(nil), p.Channels...)
	for i, c := range p.Channels {
		for k := range c.Emitters {
			if i == e.Channel && k == e.Emitter || path != "" && k == e.Emitter && handle(src, p, i, k) == path {
				list := append([]emitter.Emitter(nil), c.Emitters...)
				list[k] = e.shifted(list[k])
				q.Channels[i].Emitters, hung = list, append(hung, i)
			}
		}
	}
	return &q, hung, nil
}

// lamps are the emitters of all channels; those that the text holds at one place are one.
func (d *Document) lamps() (out []Lamp) {
	p, src := d.now.Read, d.texts[max(d.at, 0)].is
	known := map[string]int{}
	out = []Lamp{} // not null: a plan may know its light by readings alone
	for i, c := range p.Channels {
		for k, e := range c.Emitters {
			path := handle(src, p, i, k)
			if n, ok := known[path]; ok && path != "" {
				out[n].Channels = append(out[n].Channels, i)
				continue
			}
			at := middle(e)
			l := Lamp{Tank: c.Tank, Channels: []int{i}, Emitter: k, Corners: e.Above(), X: at[0], Y: at[1], Height: e.Height}
			if path == "" {
				l.Fixed = "the plan does not say where it hangs in a place of its own"
			}
			known[path] = len(out)
			out = append(out, l)
		}
	}
	for i := range out {
		l := &out[i]
		l.Name = p.Channels[l.Channels[0]].Name
		if more := len(l.Channels) - 1; more > 0 {
			l.Name += fmt.Sprintf(" and %d more on it", more)
		}
		if len(p.Channels[l.Channels[0]].Emitters) > 1 {
			l.Name += fmt.Sprintf(", lamp %d", l.Emitter+1)
		}
		l.Position = fmt.Sprintf("x %s, y %s, height %s", cm(l.X), cm(l.Y), cm(l.Height))
	}
	return out
}
