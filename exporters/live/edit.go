package live

import (
	"fmt"
	"math"
	"net/http"
	"slices"
	"strconv"

	"dayloom/schedule/plan"
	"dayloom/schedule/text/planedit"
	"dayloom/schedule/text/quantity"

	"dayloom/exporters/job"
)

// Edit is one change that the page asks for. Kind tells which fields count.
type Edit struct {
	Kind string `json:"kind"` // level | time | coral | lamp
	More bool   `json:"more"` // it goes on with the edit before, as while a key is held: one undo for both
	// level and time: which entry of the usual day, and a channel of it; where others were split
	// meanwhile, the next entry that has the channel. Alone: the level of this channel alone.
	Entry   int     `json:"entry"`
	Alone   bool    `json:"alone"`
	Percent float64 `json:"percent"` // level: of full output
	Key     string  `json:"key"`     // time: such as sunrise.from
	Time    string  `json:"time"`    // time: such as 08:30
	// coral and lamp: where to, m; of a lamp its middle.
	Coral   int     `json:"coral"`
	Channel int     `json:"channel"` // level and time as well
	Emitter int     `json:"emitter"`
	X       float64 `json:"x"`
	Y       float64 `json:"y"`
	Depth   float64 `json:"depth"`
	Height  float64 `json:"height"`
}

// set is one value of a plan's text.
type set struct{ path, value string }

// text is the plan's text with the edit made, and what was edited.
func (e Edit) text(src []byte, j *job.Job) (out []byte, name string, err error) {
	var sets []set
	switch e.Kind {
	case "level":
		if src, sets, err = e.apart(src, j.Read); sets == nil && err == nil {
			sets, err = e.level(j.Read)
		}
	case "time":
		sets, err = e.time(j.Read)
	case "coral":
		sets, err = e.coral(j.Read)
	case "lamp":
		sets, err = e.lamp(src, j.Read)
	default:
		err = &trouble{http.StatusBadRequest, "there is no such edit"}
	}
	if err != nil {
		return nil, "", err
	}
	for _, s := range sets {
		if src, err = planedit.Replace(src, s.path, s.value); err != nil {
			return nil, "", err
		}
	}
	return src, sets[0].path, nil
}

func absent(what string) error {
	return &trouble{http.StatusUnprocessableEntity, "the plan has no such " + what}
}

// entry is an entry of the usual day.
func (e Edit) entry(p *plan.Plan) (part plan.DayPart, index int, err error) {
	for i := max(e.Entry, 0); i < len(p.Day) && e.Entry >= 0; i++ {
		if slices.Contains(p.Day[i].Channels, e.Channel) {
			return p.Day[i], i, nil
		}
	}
	return part, 0, absent("entry of the day")
}

// apart gives a channel that shares its entry of the day one of its own, with the level; the others keep
// theirs. Nothing where it has one, or is not to be alone.
func (e Edit) apart(src []byte, p *plan.Plan) ([]byte, []set, error) {
	part, entry, err := e.entry(p)
	n := len(part.Channels)
	if err != nil || !e.Alone || n < 2 || part.Daylight == nil {
		return src, nil, err
	}
	own := e
	own.Alone = false
	sets, err := own.level(p)
	if err != nil {
		return src, nil, err
	}
	src, err = planedit.Repeat(src, "day", entry, n)
	for k, c := range part.Channels {
		if err != nil {
			return src, nil, err
		}
		src, err = planedit.OnlyItem(src, fmt.Sprintf("day.%d.channels", entry+k), p.Channels[c].Name)
	}
	sets[0].path = fmt.Sprintf("day.%d.peak", entry+slices.Index(part.Channels, e.Channel))
	return src, sets, err
}

func (e Edit) level(p *plan.Plan) ([]set, error) {
	part, entry, err := e.entry(p)
	if err != nil {
		return nil, err
	}
	path := fmt.Sprintf("day.%d.", entry)
	if !(e.Percent >= 0 && e.Percent <= 100) {
		return nil, &trouble{http.StatusUnprocessableEntity, "a level is from 0 % to 100 %"}
	}
	value := decimals(e.Percent, 3) + " %"
	switch {
	case part.Daylight != nil:
		return []set{{path + "peak", value}}, nil
	case part.Moonlight != nil:
		return []set{{path + "moonlight.peak", value}}, nil
	}
	return nil, &trouble{http.StatusUnprocessableEntity, "a switched channel has no level; change its hours"}
}

// times are the keys of an entry that hold a time of day.
func times(part plan.DayPart) map[string]float64 {
	switch {
	case part.Switched != nil && !part.Switched.AutoOn && !part.Switched.AutoOff:
		return map[string]float64{"on": part.Switched.On, "off": part.Switched.Off}
	case part.Moonlight != nil:
		return map[string]float64{"moonlight.from": part.Moonlight.From, "moonlight.to": part.Moonlight.To}
	case part.Daylight != nil && part.Daylight.Points == nil:
		d := part.Daylight
		return map[string]float64{"sunrise.from": d.Sunrise.From, "sunrise.to": d.Sunrise.To, "sunset.from": d.Sunset.From, "sunset.to": d.Sunset.To}
	}
	return nil
}

func (e Edit) time(p *plan.Plan) ([]set, error) {
	part, entry, err := e.entry(p)
	if err != nil {
		return nil, err
	}
	path := fmt.Sprintf("day.%d.", entry)
	if _, ok := times(part)[e.Key]; !ok {
		return nil, absent("time in this entry of the day")
	}
	at, err := quantity.TimeOfDay(e.Time)
	if err != nil {
		return nil, err
	}
	return []set{{path + e.Key, quantity.FormatTime(at)}}, nil
}

func (e Edit) coral(p *plan.Plan) ([]set, error) {
	if e.Coral < 0 || e.Coral >= len(p.Corals) {
		return nil, absent("coral")
	}
	b := p.TankAt(p.TankOf(e.Coral)).Box
	if !within(e.X, 0, b.Length) || !within(e.Y, 0, b.Width) || !within(e.Depth, 0, b.Depth) {
		return nil, &trouble{http.StatusUnprocessableEntity, "a coral stands in the water"}
	}
	c := p.Corals[e.Coral]
	path := "zones." + p.Zones[c.Zone].Name + ".corals." + c.Name + "."
	var out []set
	for _, v := range []struct {
		key     string
		was, is float64
	}{{"x", c.X, e.X}, {"y", c.Y, e.Y}, {"depth", c.Depth, e.Depth}} {
		if math.Abs(v.was-v.is) > 1e-6 {
			out = append(out, set{path + v.key, cm(v.is)})
		}
	}
	if out == nil {
		out = []set{{path + "x", cm(c.X)}}
	}
	return out, nil
}

func within(v, lo, hi float64) bool { return v >= lo-1e-9 && v <= hi+1e-9 }

// cm writes a length [m] for the plan, to a tenth of a millimetre.
func cm(m float64) string { return decimals(100*m, 2) + " cm" }

// decimals writes a number with at most so many digits behind the point.
func decimals(v float64, most int) string {
	scale := math.Pow(10, float64(most))
	return strconv.FormatFloat(math.Round(v*scale)/scale+0, 'f', -1, 64)
}
