package strict

import "strings"

// Nearest finds the known word that a slip of the pen most likely meant: at
// most two edits away (one for words of up to five letters, none for one or
// two letters), where an edit is a letter too many, too few or wrong, or two
// neighbours swapped. Upper and lower case count as equal. Of several equally
// near words the one with the longest common beginning wins, then the first.
// ok is false when no known word is that near.
func Nearest(word string, known []string) (nearest string, ok bool) {
	w := []rune(strings.ToLower(strings.TrimSpace(word)))
	limit := 2
	switch {
	case len(w) <= 2:
		limit = 0
	case len(w) <= 5:
		limit = 1
	}
	best, bestStart := limit+1, -1
	for _, k := range known {
		c := []rune(strings.ToLower(k))
		if n := len(c) - len(w); n > limit || -n > limit {
			continue
		}
		d, start := edits(w, c, limit), commonStart(w, c)
		if d < best || d == best && d <= limit && start > bestStart {
			nearest, best, bestStart = k, d, start
		}
	}
	return nearest, best <= limit
}

func commonStart(a, b []rune) int {
	n := 0
	for n < len(a) && n < len(b) && a[n] == b[n] {
		n++
	}
	return n
}

// Edits is how many edits, as in [Nearest], turn one word into another, as far as most:
// one more than that where it takes more.
func Edits(a, b string, most int) int { return edits([]rune(a), []rune(b), most) }

// edits is the optimal string alignment distance: insertions, deletions,
// substitutions and swaps of neighbours, no part edited twice.
func edits(a, b []rune, most int) int {
	n := commonStart(a, b)
	a, b = a[n:], b[n:]
	var few [96]int // room for the words that are met
	rows, width := few[:], len(b)+1
	if 3*width > len(rows) {
		rows = make([]int, 3*width)
	}
	before, prev, cur := rows[:width], rows[width:2*width], rows[2*width:3*width]
	for j := range prev {
		prev[j] = j
	}
	least := 0 // of the row before
	for i := 1; i <= len(a); i++ {
		cur[0] = i
		was := least
		least = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			cur[j] = min(prev[j]+1, cur[j-1]+1, prev[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				cur[j] = min(cur[j], before[j-2]+1)
			}
			least = min(least, cur[j])
		}
		if least > most && was >= most { // a swap costs one over the row before
			return most + 1
		}
		before, prev, cur = prev, cur, before
	}
	return min(prev[len(b)], most+1)
}
