package report

import (
	"fmt"
	"strings"

	"dayloom/schedule/day"
	"dayloom/schedule/day/mix"
)

// ColourDrift is how far colours come over several dates, in u′, v′.
type ColourDrift struct {
	Day       float64 `json:"day_greatest_u_v"` // over a day's ramps, from that day's noon
	DayCoral  string  `json:"day_greatest_coral"`
	DayDate   string  `json:"day_greatest_date"`
	DayAt     string  `json:"day_greatest_at"`
	Noon      float64 `json:"noon_greatest_u_v"` // noon's, from that of the first date
	NoonCoral string  `json:"noon_greatest_coral"`
	NoonDate  string  `json:"noon_greatest_date"`

	Left []string `json:"racks_aside_on,omitempty"` // dates of which the part with racks elsewhere is not looked at
}

// NewColourDrift makes the report of drifts; nil where all is dark.
func NewColourDrift(d mix.Drifts) *ColourDrift {
	if d.Day.Place == "" {
		return nil
	}
	out := &ColourDrift{Day: d.Day.Distance, DayCoral: d.Day.Place, DayDate: d.Day.Date.String(), DayAt: Clock(d.Day.T),
		Noon: d.Noon.Distance, NoonCoral: d.Noon.Place, NoonDate: d.Noon.Date.String()}
	for _, date := range d.Left {
		out.Left = append(out.Left, date.String())
	}
	return out
}

// steady is the distance in u′, v′ below which colour counts as unchanged, well under the
// 0.002 or so that an eye tells side by side (from memory).
const steady = 5e-4

// Text is the drift in a sentence or two. The day is looked at minute by minute, so
// its distance is the greatest found.
func (c *ColourDrift) Text() string {
	text := c.text()
	if len(c.Left) > 0 {
		text += " Not looked at: the hours with a rack parked aside, on " + strings.Join(c.Left, ", ") + "."
	}
	return text
}

func (c *ColourDrift) text() string {
	if max(c.Day, c.Noon) < steady {
		return "Colour: nowhere found to leave noon's."
	}
	text := fmt.Sprintf("Colour: the farthest found from noon's is %.4f (u′v′), at %s on %s at %s", c.Day, c.DayCoral, c.DayDate, c.DayAt)
	if c.Noon >= 5e-5 {
		return text + fmt.Sprintf("; noon's own moves by %.4f, at %s by %s.", c.Noon, c.NoonCoral, c.NoonDate)
	}
	return text + "; noon's own stays as it is."
}

// PlayedColour is how far the colour of one day's light comes from noon's, in u′, v′, at the coral where that is farthest.
type PlayedColour struct {
	Coral     string  `json:"coral"`
	Asked     float64 `json:"day_greatest_asked_u_v"`
	Delivered float64 `json:"day_greatest_delivered_u_v"`
	Left      bool    `json:"racks_aside_left_out,omitempty"` // the hours with a rack parked aside are not looked at
}

// Without is the same where the hours with a rack parked aside are not looked at.
func (c *PlayedColour) Without(aside bool) *PlayedColour {
	if c != nil {
		c.Left = aside
	}
	return c
}

// NewPlayedColour looks at all places under the levels of a played day; nil where all is dark.
func NewPlayedColour(places []mix.Place, d day.Day, age []float64, played [][]float64) *PlayedColour {
	var out *PlayedColour
	for _, pl := range places {
		got, lit := pl.OverLevels(played, age)
		if asked, ok := pl.OverDay(d, age); ok && lit && (out == nil || got > out.Delivered) {
			out = &PlayedColour{Coral: pl.Name, Asked: asked.Distance, Delivered: got}
		}
	}
	return out
}

func (c *PlayedColour) text() string {
	text := fmt.Sprintf("Colour: as played, the farthest found from noon's is %.4f (u′v′), at %s; the plan asks for %.4f there.", c.Delivered, c.Coral, c.Asked)
	if max(c.Delivered, c.Asked) < steady {
		text = "Colour: nowhere found to leave noon's."
	}
	if c.Left {
		text += " Not looked at: the hours with a rack parked aside."
	}
	return text
}
