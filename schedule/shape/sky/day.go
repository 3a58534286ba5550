package sky

import "time"

// State says what the sun does on a day.
type State int

// The three kinds of day.
const (
	RisesAndSets State = iota // it crosses the horizon
	PolarDay                  // it stays above the horizon
	PolarNight                // it stays below
)

// Day is the sun's day at a place, from one solar midnight to the next.
type Day struct {
	State State
	Noon  time.Time // the sun in the meridian, whatever the state

	// Rise and Set are when the upper limb is seen on a sea horizon. Both are
	// the zero time unless State is RisesAndSets; then one alone is zero on
	// the day on which polar day begins or ends, when the sun is up already at
	// the first midnight or still at the second.
	Rise, Set time.Time

	up time.Duration
}

// Length is how long the sun is up between the two solar midnights: 24 h on a
// polar day, 0 in polar night.
func (d Day) Length() time.Duration { return d.up }

const halfDay = 12 * time.Hour

// SunDay gives the sun's day at a place for the year, month and day of date in
// date's own location, which the results keep. It is the day whose noon falls
// on that calendar date, so Rise may be on the date before, and Set on the one
// after, when the location is far from the place's own zone. Times are whole
// seconds, within 5 s of a full solar theory at mid latitudes; where the sun
// only grazes the horizon the time is uncertain by minutes, as refraction is.
func SunDay(date time.Time, latDeg, lonDeg float64) Day {
	noon := solarNoon(date, lonDeg)
	from, to := noon.Add(-halfDay), noon.Add(halfDay)
	day := Day{Noon: noon.Round(time.Second)}
	up := above(func(t time.Time) float64 {
		height, _ := sun(centuries(t)).horizontal(t, latDeg, lonDeg)
		return height - sunrise
	}, from, to)
	if len(up) == 0 {
		day.State = PolarNight
		return day
	}
	main := up[0] // a second one is a sliver at a midnight in which polar day begins or ends
	for _, i := range up {
		day.up += i.To.Sub(i.From)
		if i.To.Sub(i.From) > main.To.Sub(main.From) {
			main = i
		}
	}
	if day.up == to.Sub(from) {
		day.State = PolarDay
		return day
	}
	if main.From.After(from) {
		day.Rise = main.From
	}
	if main.To.Before(to) {
		day.Set = main.To
	}
	return day
}

// solarNoon is when the sun is in the meridian on the calendar date: from the
// clock's noon the next or last passage, whichever is nearer.
func solarNoon(date time.Time, lonDeg float64) time.Time {
	year, month, day := date.Date()
	noon := time.Date(year, month, day, 12, 0, 0, 0, date.Location())
	for range 3 { // the equation of time moves by 30 s a day at most: each pass gains a factor 3000
		H, _ := sun(centuries(noon)).hourAngle(noon, lonDeg)
		noon = noon.Add(-time.Duration(H / 360 * float64(24*time.Hour)))
	}
	return noon
}

// DayLength is how long the sun's upper limb is above a sea horizon on a date
// at a latitude, hours, 0..24: the day as it is at longitude 0, from which no
// other longitude differs by more than the change from one day to the next.
func DayLength(latDeg float64, date time.Time) (hours float64) {
	year, month, day := date.Date()
	return SunDay(time.Date(year, month, day, 0, 0, 0, 0, time.UTC), latDeg, 0).Length().Hours()
}
