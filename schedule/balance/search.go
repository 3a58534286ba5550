package balance

import (
	"math"
	"slices"
)

// found is one box solved.
type found struct {
	sys *system
	res result
}

// solve is the answer of one box with the limits facing one end of it; nil when constants break a limit.
func (t *task) solve(b box, lit int, d depth) (*found, error) {
	s := t.system(b, lit)
	if len(s.brokenByConstants()) > 0 {
		return nil, nil
	}
	res, err := s.solve(d)
	if err != nil {
		return nil, err
	}
	return &found{s, res}, nil
}

// search is the branch and bound over boxes.
type search struct {
	*task
	depth  depth
	best   *found
	open   []box
	looked int
	// bound is the least sum of excesses that what was left open may have; left says that something was.
	bound float64
	left  bool
	// unsure says that straight lines in place of bent drivers are not right at the answer.
	unsure bool
}

// search looks for the best box. Its best is nil if every box breaks a limit.
func (t *task) search(d depth) (*search, error) {
	k := &search{task: t, depth: d, open: t.boxes(), bound: math.Inf(1)}
	for len(k.open) > 0 {
		b := k.next()
		if b.bound != nil && k.best != nil && !better(b.bound, k.best.res.key) {
			k.bound = min(k.bound, b.bound[0])
			continue
		}
		if b.bound != nil && (k.looked >= k.o.Boxes || t.ctx.Err() != nil) {
			k.bound, k.left = min(k.bound, b.bound[0]), true
			continue
		}
		k.looked++
		if err := k.look(b); err != nil {
			if t.ctx.Err() == nil || k.best == nil {
				return nil, err
			}
			k.bound, k.left = 0, true
		}
		if d == quick && k.best != nil && k.best.res.met {
			return k, nil
		}
	}
	return k, nil
}

// next takes the open box with the best hope.
func (k *search) next() box {
	at := 0
	for i, b := range k.open {
		if b.bound == nil {
			at = i
			break
		}
		if better(b.bound, k.open[at].bound) {
			at = i
		}
	}
	b := k.open[at]
	k.open = slices.Delete(k.open, at, at+1)
	return b
}

// look finds what a box can hope for, offers an answer in it, and opens its halves while there is hope left. Hours are
// divided for the sake of targets and shares alone; the later ranks take what the box leaves them.
func (k *search) look(b box) error {
	d := k.depth
	if b.bound != nil && k.hasHours(b) {
		d = min(d, firmly)
	}
	hope, err := k.task.solve(b, 0, d)
	if err != nil || hope == nil || k.depth == quick && !hope.res.met {
		return err
	}
	key := hope.res.key
	if k.best != nil && !better(key, k.best.res.key) {
		k.bound = min(k.bound, key[0])
		return nil
	}
	if c := hope.sys.unshown(hope.res.x); c >= 0 {
		if err := k.guess(b, hope); err != nil {
			return err
		}
		for _, s := range [2]showing{lit, dark} {
			half := b.clone()
			half.shown[c], half.bound = s, key
			if s == lit && k.least[c] <= hope.sys.upper[hope.sys.varOf[c]] || s == dark && k.autos[c].from == 0 {
				k.open = append(k.open, half)
			}
		}
		return nil
	}
	if !k.hasHours(b) {
		k.offer(hope)
		return nil
	}
	if err := k.places(b); err != nil {
		return err
	}
	halves, ok := b.split(k.o.Centred)
	if !ok || k.best != nil && differs(key, k.best.res.key, k.best.res.firm, worth) >= 0 {
		k.bound = min(k.bound, key[0])
		return nil
	}
	for _, half := range halves {
		half.bound = key
		k.open = append(k.open, half)
	}
	return nil
}

func (k *search) offer(f *found) {
	if f != nil && f.sys.unshown(f.res.x) < 0 && (k.best == nil || better(f.res.key, k.best.res.key)) {
		k.best = f
	}
}

// places offers the hours of a box in the middle of where they may be, then early and late.
func (k *search) places(b box) error {
	moved := false
	for _, at := range [3]float64{0.5, 0, 1} {
		one := b.clone()
		for c, a := range k.autos {
			if !a.hours || b.off[c] || k.o.Centred {
				continue
			}
			latest := max(min(b.late[c], slackOf(a.switched, b.hi[c])), min(b.early[c], slackOf(a.switched, b.hi[c])))
			moved = moved || latest > b.early[c]
			one.early[c] = b.early[c] + at*(latest-b.early[c])
		}
		f, err := k.task.solve(one, 1, min(k.depth, firmly))
		if err == nil && f != nil && k.depth == whole && (k.best == nil || differs(f.res.key, k.best.res.key, f.res.firm, equal) < 0 || b.bound == nil) {
			f, err = k.task.solve(one, 1, whole)
		}
		if err != nil {
			return err
		}
		if f != nil && f.res.depth == k.depth {
			k.offer(f)
		}
		if !moved {
			break
		}
	}
	return nil
}

// guess offers the answer that has each level which no port shows at the nearer end of what can be shown.
func (k *search) guess(b box, hope *found) error {
	one := b.clone()
	for _, v := range hope.sys.vars {
		if least := k.least[v.channel]; !v.switched && one.shown[v.channel] == either {
			one.shown[v.channel] = lit
			if x := hope.res.x[hope.sys.varOf[v.channel]]; x < least/2 && k.autos[v.channel].from == 0 {
				one.shown[v.channel] = dark
			}
		}
	}
	f, err := k.task.solve(one, 1, k.depth)
	if err == nil {
		k.offer(f)
	}
	return err
}

// unshown is the channel whose level its port can show least of all, −1 when all can be shown.
func (s *system) unshown(x []float64) int {
	worst, by := -1, 0.0
	for j, v := range s.vars {
		if v.switched || x == nil {
			continue
		}
		least := s.least[v.channel]
		if off := min(x[j], least-x[j]); x[j] > 0 && off > max(by, hair*least) {
			worst, by = v.channel, off
		}
	}
	return worst
}

func (t *task) hasHours(b box) bool {
	for c, a := range t.autos {
		if a.hours && !b.off[c] {
			return true
		}
	}
	return false
}
