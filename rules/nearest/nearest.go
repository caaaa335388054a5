// Package nearest finds the word that a person most likely meant.
//
// It serves "did you mean" hints and nothing else: no decision may rest on its answer.
package nearest

// longest bounds the words compared, so that a hostile word costs a bounded time.
const longest = 64

// Word is the candidate that takes the fewest keystrokes to reach from word (one letter added,
// dropped, changed, or two neighbours swapped), if it takes few enough to be a slip: one for words
// of up to four letters, two up to eight, a third of the letters above, and never every letter of
// the word. The earlier candidate wins a tie.
func Word(word string, candidates []string) (string, bool) {
	best, bestCost := "", len(word)
	w := []rune(word)
	if len(w) == 0 || len(w) > longest {
		return "", false
	}
	for _, c := range candidates {
		r := []rune(c)
		if len(r) > longest {
			continue
		}
		n := max(len(w), len(r))
		allowed := 1
		switch {
		case n > 8:
			allowed = n / 3
		case n > 4:
			allowed = 2
		}
		if cost := distance(w, r); cost <= allowed && cost < len(w) && (best == "" || cost < bestCost) {
			best, bestCost = c, cost
		}
	}
	return best, best != ""
}

// distance is the restricted Damerau-Levenshtein (optimal string alignment) distance.
func distance(a, b []rune) int {
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := 1
			if a[i-1] == b[j-1] {
				change = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
