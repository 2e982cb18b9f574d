package specs

import (
	"fmt"
	"math"
	"strings"
)

// rulePlugThread holds a plug's thread to the sizes that exist.
//
// Threads come in a set, and a figure between two of them is a slip. The set is
// data: the class figures of plug_thread in limits.
//
// Refused: plug_thread 16 mm.
var rulePlugThread = lintRule{code: "plug-thread", claim: func(l *linter, c claim) {
	if c.class || c.Quantity != "plug_thread" || c.Status == Doubtful {
		return
	}
	limits, ok := l.book.Limits(c.Quantity)
	if !ok || len(limits.Bands) == 0 {
		return
	}
	slack := 0.0
	for _, t := range limits.Tolerances {
		if t.Label == "usual" && !t.Plus.IsZero() {
			slack = t.Plus.Quantity.SI()
		}
	}
	for _, v := range c.values() {
		var sizes []string
		fits := false
		for _, b := range limits.Bands {
			sizes = append(sizes, b.Band.String())
			fits = fits || math.Abs(b.Band.Nominal.Quantity.SI()-v.Quantity.SI()) <= slack
		}
		if !fits {
			l.claim(c, v.key, fmt.Sprintf("%s is not the size of any plug: %s", v.Text, strings.Join(sizes, ", ")), "look at the page again; status doubtful takes a figure out of this check")
		}
	}
}}
