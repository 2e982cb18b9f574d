package specs

import (
	"fmt"
	"math"
)

// ruleCrank holds crank and connecting rod to the stroke.
//
// The stroke is twice the crank's radius, by definition, and rods have lengths
// within bounds that the class figures of crank and rod name (label extreme).
// Crank and stroke may miss each other by as much as bore, stroke and
// displacement may.
//
// Refused: stroke 58 mm and crank_radius 58 mm; stroke 58 mm and rod_length
// 40 mm.
var ruleCrank = lintRule{code: "crank", claim: func(l *linter, c claim) {
	if c.class || c.Status == Doubtful || c.Quantity != "crank_radius" && c.Quantity != "rod_length" {
		return
	}
	for _, s := range c.table.claims {
		if s.Quantity != Stroke || s.Status == Doubtful || !together(c, s) {
			continue
		}
		field, stroke := c.values()[0].key, s.middle()
		if c.Quantity == "crank_radius" {
			slack, ok := l.geometrySlack()
			if off := 2*c.middle()/stroke - 1; ok && math.Abs(off) > slack {
				l.claim(c, field, fmt.Sprintf("twice the crank's radius of %s is %s off the stroke of %s", c.Band, percent(off), s.Band), "look at both again")
			}
			continue
		}
		if least, most, ok := l.rodRatio(); ok && (c.middle() < least*stroke || c.middle() > most*stroke) {
			l.claim(c, field, fmt.Sprintf("a rod of %s is %.2f strokes of %s long; rods have %g to %g", c.Band, c.middle()/stroke, s.Band, least, most), "look at both again; is it from centre to centre?")
		}
	}
}}

// geometrySlack is how far bore, stroke and displacement of one engine may miss
// each other; ok is false where the limits of displacement do not say.
func (l *linter) geometrySlack() (share float64, ok bool) {
	limits, ok := l.book.Limits(Displacement)
	if !ok {
		return 0, false
	}
	for _, t := range limits.Tolerances {
		if t.Label == "geometry" && t.Relative > 0 {
			return t.Relative, true
		}
	}
	return 0, false
}

// rodRatio is the least and the greatest length of a rod in strokes; ok is
// false where the class figures of cranks do not say.
func (l *linter) rodRatio() (least, most float64, ok bool) {
	class, ok := l.book.PartClass("crank")
	if !ok {
		return 0, 0, false
	}
	for _, v := range class.Values {
		if v.Attribute == "rod_ratio" && v.Label == "extreme" && !v.Band.Min.IsZero() && !v.Band.Max.IsZero() {
			return v.Band.Min.Quantity.SI(), v.Band.Max.Quantity.SI(), true
		}
	}
	return 0, 0, false
}
