package specs

import (
	"fmt"
	"strings"
	"unicode"

	"gapbook.example/specs/gate"
)

// signs are the characters beyond ASCII, letters apart, that texts may hold.
const signs = "°·×±²³½¼¾⅛⅜⅝⅞⅓⅔«»„“”‘’–—…−′″≥≤≈√§→"

// ruleCharacters keeps letters of other scripts out of words, and strange
// signs out of texts.
//
// A Cyrillic "а" in a maker's name looks right and is never found. Texts hold
// letters of the Latin script with any accent, digits and the usual signs; a
// word is all in one script. Whole words of another script stand only in
// as_printed and in titles, where a page of that language has them. Ω and µ
// belong to units.
//
// Refused: maker = "Orсhard" with a Cyrillic "с"; a note with an emoji.
var ruleCharacters = lintRule{code: "characters", table: func(l *linter, t *linted) {
	eachText(t.doc.Root, func(n *gate.Node, key, s string) {
		if message, hint := strangeCharacter(s, key == "as_printed" || key == "title"); message != "" {
			l.problems = append(l.problems, n.ValueProblem(t.file, l.rule.code, message, hint))
		}
	})
}}

func strangeCharacter(s string, otherScripts bool) (message, hint string) {
	for _, word := range strings.FieldsFunc(s, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsMark(r) }) {
		word = strings.Trim(word, "Ωµμ")
		latin, other := false, rune(0)
		for _, r := range word {
			switch {
			case strings.ContainsRune("Ωµμ", r):
			case unicode.Is(unicode.Latin, r):
				latin = true
			default:
				other = r
			}
		}
		switch {
		case other == 0:
		case latin:
			return fmt.Sprintf("%q mixes the Latin script with %q (U+%04X)", word, other, other), "write the whole word in one script"
		case !otherScripts:
			return fmt.Sprintf("%q is not in the Latin script (U+%04X)", word, other), "write it in Latin letters; only as_printed and title keep the page's script"
		}
	}
	for _, r := range s {
		if r >= ' ' && r <= '~' || unicode.IsLetter(r) || unicode.IsMark(r) || strings.ContainsRune(signs, r) {
			continue
		}
		return fmt.Sprintf("the text holds %q (U+%04X)", r, r), "write it in letters, digits and the usual signs"
	}
	return "", ""
}
