package specs

import (
	"fmt"
)

// rulePlausible holds figures to the plausible band of their quantity.
//
// A figure outside what was ever seen is a slip until shown otherwise: a lost
// decimal point, kΩ for Ω, a mark on the flywheel for the piston's travel. One
// that the page does print so has status doubtful. The bands are data:
// [plausible] in limits.
//
// Refused: [points_gap.x] nominal = "5 mm" where limits say 0.2 to 1 mm.
var rulePlausible = lintRule{code: "plausible", claim: func(l *linter, c claim) {
	if c.class || c.Status == Doubtful {
		return
	}
	limits, ok := l.book.Limits(c.Quantity)
	if !ok || len(limits.Plausible) == 0 {
		return
	}
	for _, v := range c.values() {
		inside, said := false, ""
		for _, p := range limits.Plausible {
			low, high := p.Band.span()
			x := v.Quantity.SI()
			inside = inside || low <= x && x <= high
			said = fmt.Sprintf("%s (%s)", p.Band, p.Source)
		}
		if !inside {
			l.claim(c, v.key, fmt.Sprintf("%s lies outside what is plausible for %s: %s", v.Text, c.info.Title, said), "look at the page again; if it prints this, give it status doubtful")
		}
	}
}}
