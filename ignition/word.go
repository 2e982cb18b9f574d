package ignition

import (
	"fmt"
	"strings"
)

// WordError says that a text is not one of the words of a closed list.
type WordError struct {
	What string   // what was asked for: "ignition system"
	Word string   // what was written
	Want []string // the words there are, in their order
}

// Error returns one line: what, the word written, and the words there are.
func (e *WordError) Error() string {
	return fmt.Sprintf("unknown %s %q; write one of %s", e.What, e.Word, strings.Join(e.Want, ", "))
}

// wordOf returns the word of a value of a closed list, "unknown" outside it.
func wordOf(words []string, i int) string {
	if i < 0 || i >= len(words) {
		return "unknown"
	}
	return words[i]
}

// parseWord returns the place of text in the list. Letter case and space
// around it do not count.
func parseWord(what string, words []string, text string) (int, error) {
	clean := strings.ToLower(strings.TrimSpace(text))
	for i, w := range words {
		if w == clean {
			return i, nil
		}
	}
	return 0, &WordError{What: what, Word: text, Want: append([]string(nil), words...)}
}
