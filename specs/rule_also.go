package specs

import (
	"fmt"
	"math"
)

// ruleAlso holds the units of one page against each other.
//
// Where a page prints a figure in two units, each is rounded to its last place,
// so the two may differ by half a last place of both. More means that the page
// contradicts itself: both figures stay, and units_disagree says so. The last
// place is taken from as_printed where that shows more of them. A fraction
// counts as exact.
//
// Refused: nominal = "0.030 in", also = ["0.85 mm"] without units_disagree
// (0.030 in is 0.762 mm); and units_disagree beside 0.76 mm.
var ruleAlso = lintRule{code: "also", claim: func(l *linter, c claim) {
	if len(c.Also) == 0 {
		if c.UnitsDisagree != "" {
			l.claim(c, "units_disagree", "there is no figure in another unit to disagree with", "write the page's other figure under also")
		}
		return
	}
	var page *printedText
	if c.AsPrinted != "" {
		page = readPrinted(c.info.Kind, c.AsPrinted)
	}
	agree, paired := true, true
	for _, b := range c.Also {
		if !c.Band.HasLimits() && b.Nominal.IsZero() {
			// A page may round one figure to a range in the other unit.
			x := Band{Nominal: page.atStep(c.Band.Nominal)}
			if !meet(x, b) {
				agree = false
				if c.UnitsDisagree == "" {
					l.claim(c, "also", fmt.Sprintf("%s is %s, outside the page's %s", c.Band, show(c.info.Kind, c.Band.Nominal.Quantity.SI(), b.values()[0].Value), b), "look at the page again; if it prints both, write units_disagree")
				}
			}
			continue
		}
		for _, end := range []struct {
			key        string
			here, also Value
		}{{"min", c.Band.Min, b.Min}, {"nominal", c.Band.Nominal, b.Nominal}, {"max", c.Band.Max, b.Max}} {
			switch {
			case end.also.IsZero() && end.here.IsZero():
			case end.also.IsZero():
				// A page may repeat only the nominal, or only the limits.
				if c.Band.Nominal.IsZero() {
					l.claim(c, "also", fmt.Sprintf("%q has no %s, the figure has %s", b, end.key, end.here.Text), "write the same ends in both units")
					paired = false
				}
			case end.here.IsZero():
				l.claim(c, "also", fmt.Sprintf("%q has a %s, the figure has none", b, end.key), "write the same ends in both units")
				paired = false
			default:
				here, other := page.atStep(end.here), page.atStep(end.also)
				hl, hh := here.within(1)
				ol, oh := other.within(1)
				if hl <= oh && ol <= hh {
					continue
				}
				agree = false
				if c.UnitsDisagree == "" {
					a, b := end.here.Quantity.SI(), end.also.Quantity.SI()
					l.claim(c, "also", fmt.Sprintf("%s is %s, the page prints %s: %s off, more than half a last place of each", end.here.Text, show(c.info.Kind, a, end.also), end.also.Text, percent((b-a)/math.Max(math.Abs(a), math.Abs(b)))),
						"look at the page again; if it prints both, write units_disagree")
				}
			}
		}
	}
	if c.UnitsDisagree != "" && agree && paired {
		l.claim(c, "units_disagree", "the units agree within half a last place of each figure", "take units_disagree out")
	}
}}

// atStep gives a value the step at which the page prints it, which may be finer
// than that of the table.
func (p *printedText) atStep(v Value) Value {
	if p != nil && v.Quantity.Kind() == p.kind {
		v.Step = p.step(v)
	}
	return v
}
