package specs

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"gapbook.example/specs/gate"
)

// ruleNames keeps out names that are not an engine's or a document's.
//
// The book names makers and models of engines as identity, governments and the
// engine's maker as publishers, and nobody else: no people, no handles, no
// shops, no makers of plugs or parts and none of their codes. A part is told by
// its attributes, which anybody can buy by. Titles are left alone.
//
// Refused: note = "thanks to Mr Example"; note = "ask info@example.org"; a text
// with a registered mark; plug_type text = "XY7HS"; note = "part no. 12-345"; note =
// "see pump-people.com"; ask = "a coil like XY-12345"; note = "ring +99 123 456 789".
var ruleNames = lintRule{code: "names", table: func(l *linter, t *linted) {
	eachText(t.doc.Root, func(n *gate.Node, key, s string) {
		if key == "title" || key == "link" || key == "number" {
			return
		}
		s = address.ReplaceAllString(s, "") // that is the rule link's to say
		for _, p := range namePatterns {
			if !slices.ContainsFunc(p.needs, func(w string) bool { return strings.Contains(s, w) }) {
				continue // cheaper than the pattern
			}
			if found := p.pattern.FindString(s); found != "" {
				l.problems = append(l.problems, n.ValueProblem(t.file, l.rule.code, fmt.Sprintf("%q is %s", found, p.what), p.hint))
				return
			}
		}
	})
	eachText(t.doc.Root, func(n *gate.Node, key, s string) {
		if !slices.Contains(partWords, key) {
			return
		}
		if found := partCode.FindString(s); found != "" {
			l.problems = append(l.problems, n.ValueProblem(t.file, l.rule.code, fmt.Sprintf("%q looks like a maker's code for a part", found), "say the part by what it measures"))
		}
	})
	for _, c := range t.claims {
		if c.Quantity != "plug_type" {
			continue
		}
		for _, field := range []struct{ key, text string }{{"text", c.Text}, {"as_printed", c.AsPrinted}, {"note", c.Note}} {
			if found := plugCode.FindString(field.text); found != "" && !threadSize.MatchString(found) {
				l.claim(c, field.key, fmt.Sprintf("%q looks like a maker's code for a plug", found), "say the plug by thread, reach, seat, resistor and heat range")
			}
		}
	}
}}

var namePatterns = []struct {
	pattern    *regexp.Regexp
	needs      []string // one of these stands in every text that the pattern finds
	what, hint string
}{
	{regexp.MustCompile(`[^\s@]+@[^\s@]+\.[A-Za-z]{2,}`), []string{"@"}, "somebody's address", "take it out"},
	{regexp.MustCompile(`(?:^|\s)@[A-Za-z]\w+`), []string{"@"}, "somebody's handle", "take it out"},
	{regexp.MustCompile(`\b(?:Mr|Mrs|Ms|Dr|Prof|Herr|Frau|Monsieur|Madame|Signor|Señor)\b\.? [A-Z][a-z]+`), []string{"Mr", "Ms", "Dr", "Prof", "Herr", "Frau", "Monsieur", "Madame", "Signor", "Señor"}, "a person's name", "take it out; no person is named"},
	{regexp.MustCompile(`\b(?i:posted by|thanks to|courtesy of|according to|user) [A-Z][a-z]+\b`), []string{" by ", " to ", " of ", "ser "}, "a person's or a shop's name", "say what kind of source it is, in the source's table"},
	{regexp.MustCompile(`[®™©℠]`), []string{"®", "™", "©", "℠"}, "a mark of trade", "take it out"},
	{regexp.MustCompile(`(?i)\b(?:tel|phone|fax)\b[.:]? ?\+?\d[\d ()-]{5,}`), []string{"el", "EL", "hone", "HONE", "ax", "AX"}, "a telephone number", "take it out"},
	{regexp.MustCompile(`(?:^|[^\d.])\+\d{1,3}[ -]\(?\d[\d ()-]{6,}|\(0\d{2,5}\) ?\d{3,}|\b\d{3}-\d{3}-\d{4}\b|\b0\d{2,4}[ /-]\d{5,}\b`), []string{"+", "(0", "-", "/", "0"}, "a telephone number", "take it out"},
	{regexp.MustCompile(`\b[A-Za-z0-9-]+\.(?:com|org|net|info|co\.uk|de|fr|it|nl|eu)\b`), []string{".com", ".org", ".net", ".info", ".co.uk", ".de", ".fr", ".it", ".nl", ".eu"}, "the name of a page", "describe it in the source's table; an address stands under link"},
	{regexp.MustCompile(`(?i)\b(?:part|item|stock|order|cat(?:alogue)?)s? ?(?:no|number|nr)\b\.? ?[A-Z0-9-]*\d`), []string{"art", "ART", "tem", "TEM", "tock", "TOCK", "rder", "RDER", "at"}, "a code of parts", "say the part by what it measures"},
}

// partWords are the keys in which people say what to buy; models and labels of
// engines have letters and digits of their own.
var partWords = []string{"note", "text", "condition", "test_points", "ask", "enough", "test", "cure", "how", "do", "tool", "tools"}

var (
	partCode   = regexp.MustCompile(`\b[A-Z]{2,4}-?\d{4,}[A-Z]?\b`)
	plugCode   = regexp.MustCompile(`\b[A-Z]{1,3}\d{1,2}[A-Z]{1,4}(?:-\d{1,2})?\b`)
	threadSize = regexp.MustCompile(`^M\d+X`)
)
