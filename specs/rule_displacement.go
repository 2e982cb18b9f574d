package specs

import (
	"fmt"
	"math"
)

// ruleDisplacement holds a printed displacement to bore, stroke and cylinders.
//
// V = π/4 · bore² · stroke · cylinders, the definition of swept volume. Any
// one of the four with a wrong digit shows. Figures belong together that have
// the same label, or where one has none, and no models or years of their own
// that part them; one set of them that fits is enough. How far they may miss
// each other is data: the tolerance called geometry in the limits of
// displacement.
//
// Refused: bore 3 in, stroke 2.5 in, one cylinder and displacement 391 cm³
// (17.67 in³ is 289.6 cm³).
var ruleDisplacement = lintRule{code: "displacement", table: func(l *linter, t *linted) {
	e, ok := t.value.(*Engine)
	if !ok {
		return
	}
	slack, ok := l.geometrySlack()
	if !ok {
		return
	}
	of := func(key Key) (list []claim) {
		for _, c := range t.claims {
			if c.Quantity == key && !c.Band.IsZero() && c.Status != Doubtful {
				list = append(list, c)
			}
		}
		return list
	}
	bores, strokes, cylinders := of(Bore), of(Stroke), of(Cylinders)
	for _, d := range of(Displacement) {
		want, best, said := d.middle(), math.Inf(1), ""
		counts := cylinderCounts(e, cylinders, d)
		for _, bore := range bores {
			if !together(d, bore) {
				continue
			}
			for _, stroke := range strokes {
				if !together(d, stroke) || !together(bore, stroke) {
					continue
				}
				for _, n := range counts {
					b, s := bore.middle(), stroke.middle()
					volume := math.Pi / 4 * b * b * s * n
					if off := (want - volume) / volume; math.Abs(off) < math.Abs(best) {
						best = off
						said = fmt.Sprintf("bore %s, stroke %s and %g cylinders make %s, %s off", bore.Band, stroke.Band, n, show(d.info.Kind, volume, d.values()[0].Value), percent(off))
					}
				}
			}
		}
		if said != "" && math.Abs(best) > slack {
			l.claim(d, d.values()[0].key, fmt.Sprintf("the displacement is %s, but %s; %s is the most that rounding explains", d.Band, said, percent(slack)), "look at all four again; status doubtful takes a figure out of this check")
		}
	}
}}

// cylinderCounts lists how many cylinders an engine may have.
func cylinderCounts(e *Engine, claims []claim, beside claim) []float64 {
	var counts []float64
	for _, c := range claims {
		if together(c, beside) {
			counts = append(counts, c.middle())
		}
	}
	if e.Identity.Cylinders > 0 {
		counts = append(counts, float64(e.Identity.Cylinders))
	}
	return counts
}

// together reports whether two claims can speak of the same engine.
func together(a, b claim) bool {
	return (a.Label == b.Label || a.Label == "" || b.Label == "") && !modelsApart(a, b)
}

// middle is the nominal in the SI unit, or the middle of the limits.
func (c claim) middle() float64 {
	if !c.Band.Nominal.IsZero() {
		return c.Band.Nominal.Quantity.SI()
	}
	sum, n := 0.0, 0.0
	for _, v := range c.values() {
		sum, n = sum+v.Quantity.SI(), n+1
	}
	return sum / n
}
