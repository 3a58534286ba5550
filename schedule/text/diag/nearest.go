package diag

import (
	"fmt"
	"strings"
)

// Nearest is the word that was probably meant: the one at the least edit distance,
// the first among equals, and "" when none is near (more than a third of its
// letters, at least one, would have to change). An edit is a letter put in, left
// out or changed, or two neighbours swapped (Damerau 1964, CACM 7, 171). Case and
// the difference between - and _ do not count. Where none is near, it is the first that the
// word of five letters or more begins or ends, or that begins or ends the word.
func Nearest(word string, words []string) string {
	best, least := "", 1<<30
	for _, w := range words {
		allowed := max(1, len([]rune(w))/3)
		if abs(len(w)-len(word)) > 4*allowed { // a character has at most four bytes
			continue
		}
		if d := distance(fold(word), fold(w)); d < least && d <= allowed && d < len([]rune(w)) {
			best, least = w, d
		}
	}
	if best == "" && len(word) >= 5 {
		for _, w := range words { // one that begins or ends with the word, or the other way round
			long, short := string(fold(w)), string(fold(word))
			if len(long) < len(short) {
				long, short = short, long
			}
			if len(short) >= 4 && (strings.HasPrefix(long, short) || strings.HasSuffix(long, short)) {
				return w
			}
		}
	}
	return best
}

// DidYouMean is the hint with the nearest word, or "".
func DidYouMean(word string, words []string) string {
	if near := Nearest(word, words); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return ""
}

// Words lists words for a message, at most twenty of them.
func Words(words []string) string {
	const most = 20
	if len(words) > most {
		return fmt.Sprintf("%s, … (%d in all)", strings.Join(words[:most], ", "), len(words))
	}
	return strings.Join(words, ", ")
}

func abs(n int) int { return max(n, -n) }

func fold(s string) []rune { return []rune(strings.ReplaceAll(strings.ToLower(s), "_", "-")) }

// distance is the optimal string alignment distance: Levenshtein's with swaps of
// neighbours, no part edited twice.
func distance(a, b []rune) int {
	if len(a) > 64 || len(b) > 64 {
		return 1 << 29 // no word of a plan is that long; keeps the work bounded
	}
	two, one := make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range one {
		one[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row := make([]int, len(b)+1)
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(row[j-1]+1, one[j]+1, one[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], two[j-2]+1)
			}
		}
		two, one = one, row
	}
	return one[len(b)]
}
