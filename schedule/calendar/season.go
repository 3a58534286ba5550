package calendar

import (
	"time"

	"dayloom/schedule/plan"
	"dayloom/schedule/sky"
)

// suns keeps the lengths of days already worked out at one latitude.
type suns struct {
	season *plan.Season
	hours  map[plan.Date]float64
	mean   map[int]float64 // by year, h
}

func newSuns(s *plan.Season) *suns {
	return &suns{season: s, hours: map[plan.Date]float64{}, mean: map[int]float64{}}
}

// stretch is what the season adds to the lit day of a date, s.
func (s *suns) stretch(date plan.Date) float64 {
	if s.season == nil || s.season.Share == 0 {
		return 0
	}
	return s.season.Share * (s.length(date) - s.yearly(date.Year)) * 3600
}

func (s *suns) length(date plan.Date) float64 {
	h, ok := s.hours[date]
	if !ok {
		h = sky.DayLength(s.season.LatitudeDeg, date.UTC())
		s.hours[date] = h
	}
	return h
}

// yearly is the mean length of day of a calendar year, h.
func (s *suns) yearly(year int) float64 {
	if m, ok := s.mean[year]; ok {
		return m
	}
	sum, n := 0.0, 0
	for d := (plan.Date{Year: year, Month: time.January, Day: 1}); d.Year == year; d = d.AddDays(1) {
		sum += s.length(d)
		n++
	}
	s.mean[year] = sum / float64(n)
	return s.mean[year]
}

// Stretch is what the season adds to the lit day of a date, s.
func (b *Book) Stretch(date plan.Date) float64 {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.suns.stretch(date)
}
