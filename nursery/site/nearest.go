package site

import "strings"

// nearest returns the word of the list that a misspelt one most likely means, or "".
func nearest(word string, list []string) string {
	if len(word) > 80 { // longer than any name: no slip of the pen, and slow to compare
		return ""
	}
	w := []rune(fold(word))
	best, bestAt := "", len(w)/3+1
	for _, c := range list {
		if d := distance(w, []rune(fold(c))); d < bestAt {
			best, bestAt = c, d
		}
	}
	return best
}

// fold makes hyphens, underscores and spaces the same, and the two ways to write a micrometre.
func fold(s string) string {
	return strings.NewReplacer("_", " ", "-", " ", "µ", "u", "μ", "u").Replace(plain(s))
}

// containing returns the names of the list that have the word in them, or all the words of it.
func containing(word string, list []string) (out []string) {
	words := strings.Fields(fold(word))
	for _, c := range list {
		all := len(words) > 0
		for _, w := range words {
			all = all && len(w) > 2 && strings.Contains(fold(c), w)
		}
		if all {
			out = append(out, c)
		}
	}
	return out
}

// distance counts insertions, deletions, replacements and swaps of neighbours (optimal string alignment).
func distance(a, b []rune) int {
	rows := [3][]int{make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)}
	for j := range rows[1] {
		rows[1][j] = j
	}
	for i := 1; i <= len(a); i++ {
		last, prev, now := rows[(i+2)%3], rows[i%3], rows[(i+1)%3]
		now[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			now[j] = min(prev[j]+1, now[j-1]+1, prev[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				now[j] = min(now[j], last[j-2]+1)
			}
		}
	}
	return rows[(len(a)+1)%3][len(b)]
}
