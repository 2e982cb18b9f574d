package specs

import "fmt"

// ruleBoreStroke holds bore and stroke to each other.
//
// Makers build engines a little longer or a little wider than square, within
// bounds: a stroke of 26 mm under a bore of 58 mm is a digit misread, though
// each of the two has been seen by itself. The band is data:
// [plausible.per-bore] in the limits of stroke, in millimetres of stroke for
// each millimetre of bore.
//
// Refused: bore 65 mm and stroke 200 mm where limits end at 2 mm of stroke for
// each millimetre of bore.
var ruleBoreStroke = lintRule{code: "bore-stroke", table: func(l *linter, t *linted) {
	limits, ok := l.book.Limits(Stroke)
	if !ok {
		return
	}
	for _, p := range limits.Plausible {
		if p.Label != "per-bore" {
			continue
		}
		for _, s := range t.claims {
			if s.class || s.Quantity != Stroke || s.Status == Doubtful || s.Band.IsZero() {
				continue
			}
			for _, b := range t.claims {
				if b.Quantity != Bore || b.Status == Doubtful || b.Band.IsZero() || !together(s, b) || b.middle() <= 0 {
					continue
				}
				each := s.middle() / b.middle() / 1000 // metres of stroke for each millimetre of bore
				if p.Band.holds(each) {
					continue
				}
				for _, c := range []claim{b, s} {
					l.claim(c, c.values()[0].key, fmt.Sprintf("a stroke of %s under a bore of %s is %.2f mm for each millimetre; plausible is %s (%s)", s.Band, b.Band, 1000*each, p.Band, p.Source),
						"look at both again; status doubtful takes a figure out of this check")
				}
			}
		}
	}
}}
