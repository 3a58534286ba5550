package follow

import "time"

// Session follows a timetable from one look at the clock to the next.
type Session struct {
	follower *Follower
	gap      time.Duration
	last     time.Time
	started  bool
}

// NewSession is a session that takes a step of time longer than gap, or one
// backwards, for a jump.
func NewSession(f *Follower, gap time.Duration) *Session { return &Session{follower: f, gap: gap} }

// Step is what is to be told now: at the first call and after a jump what every
// port shows now, else the changes since the last call, each with its own time.
func (s *Session) Step(now time.Time) []Change {
	now = now.Round(0) // without the monotonic reading: a jump of the wall clock must show
	passed := now.Sub(s.last)
	if !s.started || passed < 0 || passed > s.gap {
		s.started, s.last = true, now
		return s.follower.At(now)
	}
	var out []Change
	for {
		t, changed := s.follower.Next(s.last)
		if changed == nil || t.After(now) {
			s.last = now
			return out
		}
		out = append(out, changed...)
		s.last = t
	}
}
