package specs

import "fmt"

// mostTimingTolerance is, in crank degrees, the widest pair of limits taken
// for a tolerance of one setting. It is this book's own bound: the widest
// printed tolerance of a setting that was met while the figures were collected
// is 6°, the narrowest span of an advance mechanism stored as one was 20°.
const mostTimingTolerance = 15

// ruleTimingSpan refuses a timing whose limits are as far apart as an advance
// mechanism moves.
//
// "5° to 30° BTDC" on a page is what the mechanism covers from idle to full
// speed. As limits of one setting it would pass any timing at all. It is two
// figures with two conditions, or advance_range.
//
// Refused: [timing.x] min = "5° BTDC", max = "30° BTDC".
var ruleTimingSpan = lintRule{code: "timing-span", claim: func(l *linter, c claim) {
	if c.class || c.Quantity != Timing || c.Band.Min.IsZero() || c.Band.Max.IsZero() {
		return
	}
	if d := c.Band.Max.Quantity.SI() - c.Band.Min.Quantity.SI(); d > mostTimingTolerance {
		l.claim(c, "max", fmt.Sprintf("%s and %s are %.4g° apart; more than %d° is a span, not a tolerance", c.Band.Min.Text, c.Band.Max.Text, d, mostTimingTolerance),
			"write two figures, such as [timing.least-advance...] and [timing.full-advance...], or advance_range")
	}
}}
