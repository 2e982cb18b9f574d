package specs

import (
	"fmt"
	"regexp"
)

// ruleSecondSource wants a second source to be named where a note claims one.
//
// "Confirmed by another page" cannot be checked. The second source stands as a
// claim of its own under the same quantity and label, or as witness in another
// record.
//
// Refused: note = "a second source agrees" on a claim that stands alone.
var ruleSecondSource = lintRule{code: "second-source", claim: func(l *linter, c claim) {
	m := secondSource.FindString(c.Note)
	if m == "" || c.Witness != "" || c.class {
		return
	}
	for _, o := range c.table.group(c) {
		if o.Source != c.Source {
			return
		}
	}
	l.claim(c, "note", fmt.Sprintf("the note says %q, and no second source is named", m), "add the second claim, or witness = \"engine quantity source\"")
}}

var secondSource = regexp.MustCompile(`(?i)\b(second (source|witness)|confirmed (by|in) (another|a second|other)|other sources? agrees?|both sources)\b`)
