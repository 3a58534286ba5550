package readings

import (
	"fmt"
	"math"
	"slices"

	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

const (
	explains    = 2.5  // standard deviations within which a slip explains a reading
	usualFactor = 1.32 // of meters that are not made for water, where the plan has none (common practice)
)

// try is a reading as it would be without one slip.
type try struct {
	kind    string
	words   string
	reading plan.Reading
}

// slip is the likeliest slip in a doubtful line.
func slip(p *plan.Plan, f light.Field, all []Judged, i int) string {
	tries := slices.Concat(tens(all[i]), immersion(p, all[i]), channels(p, all[i]), places(p, all, i), commands(p, all, i))
	count := map[string]int{}
	for _, t := range tries {
		count[t.kind]++
	}
	best, words := math.Inf(-1), ""
	for _, t := range tries {
		e, err := f.Expect(t.reading, i)
		if err != nil || math.Abs(e.Z) > explains {
			continue
		}
		if score := -e.Z*e.Z/2 - math.Log(float64(count[t.kind])); score > best {
			best, words = score, t.words
		}
	}
	return words
}

func tens(j Judged) (out []try) {
	for _, k := range []float64{10, 0.1} {
		r := j.Reading
		r.PPFD *= k
		out = append(out, try{"ten", fmt.Sprintf("a factor of ten: %.4g was meant", r.PPFD), r})
	}
	return out
}

func immersion(p *plan.Plan, j Judged) (out []try) {
	factor := p.Meters[j.Meter].InWaterFactor
	if factor <= 1 {
		factor = usualFactor
	}
	low, high := j.Reading, j.Reading
	low.PPFD *= factor
	high.PPFD /= factor
	return []try{
		{"water", fmt.Sprintf("no immersion factor: times %.2f it agrees", factor), low},
		{"water", fmt.Sprintf("the immersion factor is in it already: over %.2f it agrees", factor), high},
	}
}

func channels(p *plan.Plan, j Judged) (out []try) {
	if len(j.Lit) != 1 {
		return nil
	}
	for ch, c := range p.Channels {
		if ch == j.Lit[0].Channel {
			continue
		}
		r := j.Reading
		r.Lit = []plan.Lit{{Channel: ch, Fraction: j.Lit[0].Fraction}}
		out = append(out, try{"channel", "the wrong channel: " + c.Name + " was lit", r})
	}
	return out
}

// places are the other corals and places that were read; with one whose own line is
// doubtful too they may have been exchanged.
func places(p *plan.Plan, all []Judged, i int) (out []try) {
	add := func(words string, x, y, depth float64) {
		r := all[i].Reading
		if r.X, r.Y, r.Depth = x, y, depth; math.Hypot(math.Hypot(r.X-all[i].X, r.Y-all[i].Y), r.Depth-all[i].Depth) > 0.01 {
			out = append(out, try{"place", words, r})
		}
	}
	for n, c := range p.Corals {
		words := "another place: it was read at " + c.Name
		for _, other := range all {
			if other.Line != all[i].Line && other.Outlier && other.Coral == n && sameLit(other.Lit, all[i].Lit) {
				words = fmt.Sprintf("swapped with line %d: it was read at %s", other.Line, c.Name)
			}
		}
		add(words, c.X, c.Y, c.Depth)
	}
	seen := map[[3]float64]bool{}
	for _, other := range all {
		key := [3]float64{other.X, other.Y, other.Depth}
		if other.Coral >= 0 || seen[key] {
			continue
		}
		seen[key] = true
		words := fmt.Sprintf("another place: it was read where line %d was", other.Line)
		if other.Outlier && sameLit(other.Lit, all[i].Lit) {
			words = fmt.Sprintf("swapped with line %d", other.Line)
		}
		add(words, other.X, other.Y, other.Depth)
	}
	return out
}

// commands are those at which the same lamp was read elsewhere in the file; a line at
// the same place with the same lamp is named as contradicting.
func commands(p *plan.Plan, all []Judged, i int) (out []try) {
	if len(all[i].Lit) != 1 || !p.Channels[all[i].Lit[0].Channel].Dimmable {
		return nil
	}
	lit := all[i].Lit[0]
	seen := map[float64]bool{lit.Fraction: true}
	for _, other := range all {
		if len(other.Lit) != 1 || other.Lit[0].Channel != lit.Channel || seen[other.Lit[0].Fraction] {
			continue
		}
		seen[other.Lit[0].Fraction] = true
		r := all[i].Reading
		r.Lit = []plan.Lit{other.Lit[0]}
		words := "another command: the lamp stood at " + command(other.Lit[0])
		if other.X == r.X && other.Y == r.Y && other.Depth == r.Depth {
			words += fmt.Sprintf("; it contradicts line %d", other.Line)
		}
		out = append(out, try{"command", words, r})
	}
	return out
}

func command(l plan.Lit) string {
	if l.Command == "" {
		return "full output"
	}
	return l.Command
}

func sameLit(a, b []plan.Lit) bool {
	return slices.EqualFunc(a, b, func(x, y plan.Lit) bool { return x.Channel == y.Channel })
}
