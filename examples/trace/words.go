package main

import (
	"slices"
	"strconv"
	"strings"

	"gapbook.example/specs"
)

// A choice is one thing that can be answered: its word, which the record keeps,
// and what the screen shows.
type choice struct{ word, text string }

func choicesOf(answers []specs.FaultAnswer) []choice {
	var list []choice
	for _, a := range answers {
		list = append(list, choice{a.Word, a.Text})
	}
	return list
}

// pick finds the choice that a person typed: by its number from first up, by its
// word or text, or by plain words that stand in one choice only. at is -1 where
// no single one is meant, and near then lists those that could be.
func pick(typed string, first int, choices []choice) (at int, near []int) {
	if n, err := strconv.Atoi(typed); err == nil {
		if n >= first && n < first+len(choices) {
			return n - first, nil
		}
		return -1, nil
	}
	for i, c := range choices {
		if strings.EqualFold(typed, c.word) || strings.EqualFold(typed, c.text) {
			return i, nil
		}
	}
	said, denied := telling(typed)
	if len(said) == 0 {
		return -1, nil
	}
	most := 0
	unsure := false
	var all, some []int // those that hold every word, and those that hold the most
	for i, c := range choices {
		words, not := telling(c.word + " " + c.text)
		hits := 0
		for _, w := range said {
			if slices.ContainsFunc(words, func(x string) bool {
				return x == w || len(w) > 2 && strings.HasPrefix(x, w) || len(x) > 3 && strings.HasPrefix(w, x)
			}) {
				hits++
			}
		}
		if hits == 0 {
			continue
		}
		if hits == len(said) && (not || !denied) {
			// Who leaves out a "no" may mean either: then it is never the only one.
			all = append(all, i)
			unsure = unsure || not != denied
		}
		if hits > most {
			most, some = hits, nil
		}
		if hits == most {
			some = append(some, i)
		}
	}
	if len(all) == 1 && !unsure {
		return all[0], nil
	}
	return -1, some
}

// telling are the words of a text that tell something, and whether it denies:
// "no spark" and "spark" are not the same answer.
func telling(text string) (words []string, denied bool) {
	text = strings.NewReplacer("n't", " not", "’", "'", "-", " ").Replace(strings.ToLower(text))
	for _, w := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" \t,.;:()/'\"!", r) }) {
		switch w {
		case "no", "not", "none", "never", "cannot":
			denied = true
		case "it", "the", "a", "an", "is", "and", "or", "i", "on", "in", "of", "to", "when", "my", "has", "have", "at", "all", "does", "do", "will", "wo", "was", "then":
		default:
			words = append(words, w)
		}
	}
	return words, denied
}
