package specs

import (
	"fmt"
	"strings"
	"unicode"

	"gapbook.example/specs/gate"
)

// signs are the characters beyond ASCII, letters apart, that texts may hold.
const signs = "°·×±²³½¼¾⅛⅜⅝⅞⅓⅔«»„“”‘’–—…−′″≥≤≈√§→"

// markupSigns begin what a page could take for more than text.
const markupSigns = "<>`\\"

// ruleCharacters keeps letters of other scripts out of words, and strange
// signs out of texts.
//
// A Cyrillic "а" in a maker's name looks right and is never found. Texts hold
// letters of the Latin script with any accent, digits and the usual signs; a
// word is all in one script. Whole words of another script stand only in
// as_printed and in titles, where a page of that language has them. Ω and µ
// belong to units.
//
// Letters that only look like plain ones are refused everywhere: full-width and
// circled ones, ligatures, the kelvin and ångström signs, the ordinal signs, an
// accent set as a mark of its own. So are marks that turn the direction of
// reading, control characters, which a string can spell as \u001b, and the
// signs of markup, save where a page prints them.
//
// Refused: maker = "Orсhard" with a Cyrillic "с"; a note with an emoji; "ﬁrst"
// with a ligature; "20 º".
var ruleCharacters = lintRule{code: "characters", table: func(l *linter, t *linted) {
	eachText(t.doc.Root, func(n *gate.Node, key, s string) {
		if message, hint := strangeCharacter(s, key == "as_printed" || key == "title"); message != "" {
			l.problems = append(l.problems, n.ValueProblem(t.file, l.rule.code, message, hint))
		}
	})
}}

func strangeCharacter(s string, otherScripts bool) (message, hint string) {
	for _, r := range s {
		if strings.ContainsRune(markupSigns, r) && !otherScripts {
			return fmt.Sprintf("the text holds %q, a sign of markup", r), "say it in words; texts are plain"
		}
		if plain := lookalike(r); plain != "" {
			return fmt.Sprintf("the text holds %q (U+%04X), which only looks like %s", r, r, plain), "type " + plain
		}
	}
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

// lookalike names what a letter of the Latin script, or a mark, only looks like.
// It returns nothing for letters that languages are written with.
func lookalike(r rune) string {
	switch {
	case r < 0x80, r == 'Ω', r == 'µ', r == 'μ':
		return ""
	case r == 'º' || r == 'ª':
		return "the degree sign or a plain letter"
	case r == 'K': // kelvin sign
		return "K"
	case r == 'Å': // ångström sign
		return "Å"
	case r == 'ſ':
		return "s"
	case r >= 0x0250 && r <= 0x02AF, r >= 0x1D00 && r <= 0x1DBF:
		return "a plain letter (it is one of phonetics)"
	case r >= 0x02B0 && r <= 0x02FF:
		return "a sign (it is a modifier letter)"
	case r >= 0x0300 && r <= 0x036F:
		return "a letter with its accent (it is the accent alone)"
	case r >= 0x2071 && r <= 0x209C:
		return "a raised or lowered plain character"
	case r >= 0x2100 && r <= 0x214F, r >= 0x2460 && r <= 0x24FF, r >= 0x1F100 && r <= 0x1F1FF:
		return "a plain letter or number"
	case r >= 0x2160 && r <= 0x2188:
		return "a plain letter (it is a Roman numeral of its own)"
	case r >= 0xA720 && r <= 0xA7FF, r >= 0xAB30 && r <= 0xAB6F:
		return "a plain letter"
	case r >= 0xFB00 && r <= 0xFB06:
		return "two plain letters (it is a ligature)"
	case r >= 0xFF00 && r <= 0xFFEF:
		return "a plain character (it is full-width)"
	case r >= 0x1D400 && r <= 0x1D7FF:
		return "a plain letter (it is one of mathematics)"
	}
	return ""
}
