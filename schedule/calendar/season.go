package calendar

import (
	"sync"
	"time"

	"dayloom/schedule/day"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/sky"
)

// season is the layer that lets the lit day follow the sun's.
func (b *Book) season(date plan.Date) Change {
	return Change{Day: day.Change{Stretch: b.suns.stretch(date)}}
}

// Stretch is what the season adds to the lit day of a date, s.
func (b *Book) Stretch(date plan.Date) float64 { return b.suns.stretch(date) }

// suns remembers the lengths of some days at one latitude, since each is asked for by several layers.
type suns struct {
	season *plan.Season
	mu     sync.Mutex
	days   [512]struct {
		date  plan.Date
		hours float64
	}
	mean map[int]float64 // by year, h
}

func newSuns(s *plan.Season) *suns { return &suns{season: s, mean: map[int]float64{}} }

// stretch is what the season adds to the lit day of a date, s.
func (s *suns) stretch(date plan.Date) float64 {
	if s.season == nil || s.season.Share == 0 {
		return 0
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.season.Share * (s.length(date) - s.yearly(date.Year)) * 3600
}

func (s *suns) length(date plan.Date) float64 {
	kept := &s.days[(date.Year*372+int(date.Month)*31+date.Day)%len(s.days)]
	if kept.date != date {
		kept.date, kept.hours = date, sky.DayLength(s.season.LatitudeDeg, date.UTC())
	}
	return kept.hours
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
