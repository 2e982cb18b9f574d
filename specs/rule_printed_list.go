package specs

import (
	"fmt"
	"regexp"
)

// rulePrintedList refuses a printed list taken for limits.
//
// "10/20/30" on a page is three figures, for three speeds or three models, and
// each is a claim of its own. Taken as min and max it passes everything
// between. Three columns of one figure (least, nominal, most) are no list:
// there every number of the text is one of the three.
//
// Refused: min = "10°", max = "30°" with as_printed = "10/20/30".
var rulePrintedList = lintRule{code: "printed-list", claim: func(l *linter, c claim) {
	if c.Band.Min.IsZero() || c.Band.Max.IsZero() {
		return
	}
	list := slashList.FindString(c.printed())
	if list == "" {
		return
	}
	p := readPrinted(c.info.Kind, list)
	for i, n := range p.numbers {
		figure := false
		for _, b := range c.bands() {
			for _, v := range b.values() {
				figure = figure || p.reads(n, i, v.Value)
			}
		}
		if !figure && !n.fraction && !n.scan && !n.thousands {
			l.claim(c, "as_printed", fmt.Sprintf("the page prints a list, %q, and %s of it is neither min nor max", list, n.text), "write one claim for each, parted by label and condition")
			return
		}
	}
}}

var slashList = regexp.MustCompile(`\d*[.,]?\d+ ?/ ?\d*[.,]?\d+ ?/ ?\d*[.,]?\d+`)
