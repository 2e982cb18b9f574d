package gate

import (
	"strings"
	"unicode/utf8"
)

// Nearest returns the word of a list that the given one was most likely meant
// to be, for the hint of a problem. It forgives one slip in every three
// letters, at least one: a letter too many, too few, wrong, or two neighbours
// swapped (the optimal string alignment form of the Damerau-Levenshtein
// distance). Case and the difference between "-", "_" and " " cost nothing. Of
// words that are equally near the first in the list wins. ok is false if no
// word is near enough.
func Nearest(word string, from []string) (nearest string, ok bool) {
	const longest = 64 // longer words are not slips of a key or name
	a := []rune(fold(word))
	if len(a) == 0 || len(a) > longest {
		return "", false
	}
	best := max(1, len(a)/3) + 1
	for _, candidate := range from {
		if d := utf8.RuneCountInString(candidate) - len(a); d >= best || -d >= best {
			continue
		}
		if d := distance(a, []rune(fold(candidate)), best); d < best {
			nearest, best, ok = candidate, d, true
		}
	}
	return nearest, ok
}

func fold(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		case r == '-' || r == ' ':
			return '_'
		}
		return r
	}, s)
}

// distance returns the number of slips between two words, or most if there are
// at least that many.
func distance(a, b []rune, most int) int {
	// Three rows of the usual table: two back, previous, current.
	back, prev, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range prev {
		prev[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		least := i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			d := min(prev[j]+1, row[j-1]+1, prev[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d = min(d, back[j-2]+1)
			}
			row[j] = d
			least = min(least, d)
		}
		// No later value is less: a swap reaches two rows back, but costs one
		// slip, and the least of two neighbouring rows differs by one at most.
		if least >= most {
			return most
		}
		back, prev, row = prev, row, back
	}
	return min(prev[len(b)], most)
}
