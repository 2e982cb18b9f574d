package specs

import (
	"fmt"
	"regexp"
)

// ruleDamage holds the status of a figure to what its note says of the page.
//
// A note that tells of a damaged, lost or cut figure is no use to a check that
// reads only the status. Such a figure is doubtful; where the page contradicts
// itself units_disagree or disputed says so.
//
// Refused: note = "the last digit is damaged" with status = "single-source".
var ruleDamage = lintRule{code: "damage", claim: func(l *linter, c claim) {
	if c.Status == Doubtful || c.Status == Disputed || c.UnitsDisagree != "" {
		return
	}
	if word := damageWord(c.Note); word != "" {
		l.claim(c, "note", fmt.Sprintf("the note says %q, the status is %s", word, c.Status), "write status doubtful, or say in the note why the figure is certain without that word")
	}
}}

var (
	damageWords = regexp.MustCompile(`(?i)\b(damaged?|lost|mismatch(es)?|disagrees?|cut)\b`)
	// cutting finds what is cut by design: cut-out, cut off, cut in.
	cutting = regexp.MustCompile(`(?i)^cut[ -](in|out|off|away)`)
)

// damageWord returns the first word of damage in a note.
func damageWord(note string) string {
	for _, at := range damageWords.FindAllStringIndex(note, -1) {
		if !cutting.MatchString(note[at[0]:]) {
			return note[at[0]:at[1]]
		}
	}
	return ""
}
