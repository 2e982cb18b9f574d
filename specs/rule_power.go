package specs

import "fmt"

// litre is a litre in cubic metres.
const litre = 1e-3

// rulePower holds power to the swept volume.
//
// What an engine gives for each litre follows from its speed and pressure and
// differs far less than engines do. The band is data: [plausible.per-litre] in
// the limits of power.
//
// Refused: 80 hp of 200 cm³ where limits end at 150 hp a litre.
var rulePower = lintRule{code: "power", table: func(l *linter, t *linted) {
	limits, ok := l.book.Limits("power")
	if !ok {
		return
	}
	for _, p := range limits.Plausible {
		if p.Label != "per-litre" {
			continue
		}
		for _, c := range t.claims {
			if c.class || c.Quantity != "power" || c.Status == Doubtful || c.Band.IsZero() {
				continue
			}
			for _, d := range t.claims {
				if d.Quantity != Displacement || d.Status == Doubtful || d.Band.IsZero() || !together(c, d) {
					continue
				}
				each := c.middle() / (d.middle() / litre)
				if p.Band.holds(each) {
					continue
				}
				like := c.values()[0]
				l.claim(c, like.key, fmt.Sprintf("%s of %s is %s for each litre; plausible is %s (%s)", c.Band, d.Band, show(c.info.Kind, each, like.Value), p.Band, p.Source),
					"look at power and displacement again; status doubtful takes a figure out of this check")
			}
		}
	}
}}
