package specs

import (
	"cmp"
	"slices"
	"strings"
	"unicode"
)

// A Match is an engine that a query found.
type Match struct {
	Entry Entry
	// Score orders matches; it has no unit, and higher is nearer.
	Score float64
	// Sure is true when every word of the query stands in the record as
	// written, and false when a slip of the pen was forgiven.
	Sure bool
}

// Find returns the engines that fit a query of any words: maker, model, class,
// id. Every word must be found; letters may be one slip off in words of four
// letters and two in words of eight, numbers may not. The best match comes
// first, equal ones in the order of their ids. An empty query finds nothing.
func (b *Book) Find(query string) []Match {
	want, compounds := queryWords(query), compoundWords(query)
	if len(want) == 0 {
		return nil
	}
	for i, w := range want {
		if other, ok := sameWord[w]; ok {
			want[i] = other
		}
	}
	var out []Match
	for _, e := range b.entries {
		if !holdsCompounds(e, compounds) {
			continue
		}
		if m, ok := match(e, want); ok {
			out = append(out, m)
		}
	}
	slices.SortStableFunc(out, func(x, y Match) int { return cmp.Compare(y.Score, x.Score) })
	return out
}

// sameWord maps what people call a machine to the word the book uses.
var sameWord = map[string]string{
	"chainsaw": "saw", "motorbike": "motorcycle", "bike": "motorcycle", "genset": "generator", "lawnmower": "mower",
}

// compoundWords are the words of two parts in a query, such as "two-stroke".
// Strokes are kept together: two-stroke is not two-cylinder four-stroke.
func compoundWords(query string) []string {
	var out []string
	for word := range strings.FieldsSeq(strings.ToLower(query)) {
		first, second, ok := strings.Cut(word, "-")
		if ok && len(first) > 1 && len(second) > 1 && !hasDigit(word) {
			out = append(out, word)
		}
	}
	return out
}

// holdsCompounds reports whether the strokes asked for are this engine's.
func holdsCompounds(e Entry, compounds []string) bool {
	for _, c := range compounds {
		if (c == "two-stroke" || c == "four-stroke") && !strings.Contains(strings.ToLower(e.Class+" "+e.Label), c) {
			return false
		}
	}
	return true
}

func match(e Entry, want []string) (Match, bool) {
	m := Match{Entry: e, Sure: true}
	maker, label, class := queryWords(e.Maker), queryWords(e.Label), queryWords(e.Class)
	var models []string
	for _, s := range e.Models {
		models = append(models, queryWords(s)...)
	}
	id := queryWords(e.ID)
	for _, a := range e.Aliases {
		id = append(id, queryWords(a)...)
	}
	system := queryWords(e.System)
	for _, w := range want {
		best, sure := 0.0, false
		for _, field := range []struct {
			words  []string
			weight float64
		}{{models, 4}, {maker, 3}, {id, 2.5}, {label, 2}, {class, 1}, {system, 1}} {
			for _, have := range field.words {
				fit, exact := fits(w, have)
				if !exact && slices.Contains(linkingWords, have) {
					continue // "withy" is no slip of "with"
				}
				if fit*field.weight > best {
					best, sure = fit*field.weight, exact
				}
			}
		}
		if best == 0 {
			return Match{}, false
		}
		m.Score += best
		m.Sure = m.Sure && sure
	}
	// Among records that hold all the words, the one with least else is meant.
	m.Score -= 0.01 * float64(len(models)+len(label))
	return m, true
}

// linkingWords are words of records that name nothing.
var linkingWords = []string{"and", "for", "from", "of", "on", "the", "with", "without"}

// fits says how well a word of the query fits a word of the record, from 0 to
// 1, and whether it stands there as written.
func fits(want, have string) (fit float64, exact bool) {
	switch {
	case want == have:
		return 1, true
	case strings.HasPrefix(have, want) && (len(want) >= 3 || allDigits(want) && len(want) >= 2):
		return 0.7, true
	case allDigits(want):
		return 0, false
	}
	allowed := 0
	switch n := len(want); {
	case n >= 8:
		allowed = 2
	case n >= 4 && !hasDigit(want):
		allowed = 1
	}
	if d := slips(want, have, allowed); d <= allowed && d > 0 {
		return 0.6 - 0.15*float64(d), false
	}
	return 0, false
}

// queryWords splits a text into lower-case words of letters or digits; where
// letters meet digits the parts are words too, so that "TR-10D", "TR10D" and
// "tr 10 d" meet.
func queryWords(text string) []string {
	var out []string
	add := func(w string) {
		if w != "" && !slices.Contains(out, w) {
			out = append(out, w)
		}
	}
	for _, word := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r)
	}) {
		start := 0
		for i := 1; i < len(word); i++ {
			if isDigit(word[i]) != isDigit(word[i-1]) {
				add(word[start:i])
				start = i
			}
		}
		add(word[start:])
	}
	return out
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

func allDigits(s string) bool {
	for i := 0; i < len(s); i++ {
		if !isDigit(s[i]) {
			return false
		}
	}
	return s != ""
}

func hasDigit(s string) bool { return strings.ContainsAny(s, "0123456789") }

// slips counts the edits between two words: a letter more, less, other, or two
// neighbours swapped. Past the limit it stops counting.
func slips(a, b string, limit int) int {
	if d := len(a) - len(b); d > limit || -d > limit {
		return limit + 1
	}
	var rows [3][]int
	for i := range rows {
		rows[i] = make([]int, len(b)+1)
	}
	for j := range rows[1] {
		rows[1][j] = j
	}
	for i := 1; i <= len(a); i++ {
		two, prev, cur := rows[0], rows[1], rows[2]
		cur[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			cur[j] = min(prev[j]+1, cur[j-1]+1, prev[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				cur[j] = min(cur[j], two[j-2]+1)
			}
		}
		rows[0], rows[1], rows[2] = prev, cur, two
	}
	return rows[1][len(b)]
}
