package specs

import (
	"fmt"
	"regexp"
)

// ruleNominalLimit refuses a nominal that is its own limit.
//
// A nominal that equals min or max is mostly one printed number stored twice.
// A page can mean it only by a tolerance with a zero side, such as
// "0.5 +0.1 -0", and then as_printed shows the zero.
//
// Refused: nominal = "0.5 mm" and max = "0.5 mm" with as_printed = "0.5 mm".
var ruleNominalLimit = lintRule{code: "nominal-limit", claim: func(l *linter, c claim) {
	if c.Band.Nominal.IsZero() || zeroSide.MatchString(c.printed()) {
		return
	}
	for _, v := range c.values() {
		if v.key != "nominal" && v.Quantity == c.Band.Nominal.Quantity {
			l.claim(c, v.key, fmt.Sprintf("the %s equals the nominal %s, and as_printed shows no tolerance with a zero side", v.key, c.Band.Nominal.Text), "keep the one that the page prints")
		}
	}
}}

// zeroSide finds "+0", "- 0.00" and the like.
var zeroSide = regexp.MustCompile(`[-+−–±] ?0?[.,]?0+([^\d.,]|[.,]?$|[.,]\D)`)
