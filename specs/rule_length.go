package specs

import (
	"fmt"
	"unicode/utf8"

	"gapbook.example/specs/gate"
)

// textLimits are the greatest lengths of texts, in characters. They are this
// book's own: a report is read on a phone, where 200 characters are six lines.
var textLimits = map[string]int{
	"note": 200, "why": 200, "condition": 200, "prefer": 200, "units_disagree": 200, "test_points": 200, "years": 80,
	"place": 160, "as_printed": 200, "reason": 200, "text": 240, "label": 110, "class": 110, "when": 80,
	"how": 200, "low": 200, "high": 200, "open": 200, "good": 200,
}

// ruleLength keeps texts short enough to be read at the bench.
//
// Texts of the book print beside findings. What needs more than a few lines is
// a story about the source and belongs in nobody's report.
//
// Refused: a note of 201 characters.
var ruleLength = lintRule{code: "length", table: func(l *linter, t *linted) {
	eachText(t.doc.Root, func(n *gate.Node, key, s string) {
		limit, ok := textLimits[key]
		if !ok {
			return
		}
		if _, isCaution := t.value.(*Caution); isCaution {
			limit = 200
		}
		if have := utf8.RuneCountInString(s); have > limit {
			l.problems = append(l.problems, n.ValueProblem(t.file, l.rule.code, fmt.Sprintf("%s has %d characters, %d more than the %d it may have", key, have, have-limit, limit), "say it shorter"))
		}
	})
}}

// eachText calls do for every string of a document with the key it stands
// under; the strings of a list stand under the list's key.
func eachText(n *gate.Node, do func(n *gate.Node, key, s string)) {
	for _, c := range n.Children {
		if s, ok := c.Value.(string); ok {
			do(c, c.Key, s)
		}
		for _, item := range c.Items {
			if s, ok := item.Value.(string); ok {
				do(item, c.Key, s)
			}
		}
		eachText(c, do)
	}
}
