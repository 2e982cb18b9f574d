package specs

import "fmt"

// ruleTimingSpan refuses a timing whose limits are as far apart as an advance
// mechanism moves.
//
// "5° to 30° BTDC" on a page is what the mechanism covers from idle to full
// speed. As limits of one setting it would pass any timing at all. It is two
// figures with two conditions, or advance_range. How far apart is too far is
// data: the tolerance called span in the limits of timing.
//
// Refused: [timing.x] min = "5° BTDC", max = "30° BTDC".
var ruleTimingSpan = lintRule{code: "timing-span", claim: func(l *linter, c claim) {
	if c.class || c.Quantity != Timing || c.Band.Min.IsZero() || c.Band.Max.IsZero() {
		return
	}
	limits, ok := l.book.Limits(Timing)
	if !ok {
		return
	}
	for _, t := range limits.Tolerances {
		if t.Label != "span" || t.Plus.IsZero() {
			continue
		}
		if d := c.Band.Max.Quantity.SI() - c.Band.Min.Quantity.SI(); d > t.Plus.Quantity.SI() {
			l.claim(c, "max", fmt.Sprintf("%s and %s are %.4g° apart; more than %s is a span, not a tolerance", c.Band.Min.Text, c.Band.Max.Text, d, t.Plus.Text),
				"write two figures, such as [timing.least-advance...] and [timing.full-advance...], or advance_range")
		}
	}
}}
