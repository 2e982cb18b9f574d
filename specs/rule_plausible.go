package specs

import (
	"fmt"
	"slices"
)

// rulePlausible holds figures to the plausible band of their quantity.
//
// A figure outside what was ever seen is a slip until shown otherwise: a lost
// decimal point, kΩ for Ω, a mark on the flywheel for the piston's travel. The
// hint names the slip where one explains the figure. One that the page does
// print so has status doubtful. The bands are data: [plausible] in limits.
//
// Refused: [points_gap.x] nominal = "5 mm" where limits say 0.2 to 1 mm.
var rulePlausible = lintRule{code: "plausible", claim: func(l *linter, c claim) {
	// Bands with a label are for readings, or for some engines only.
	l.within(c, func(p *Figure) bool { return p.Label == "" }, "plausible for "+c.info.Title)
}}

// within holds a claim to those plausible bands of its quantity that apply.
// A value inside one of them will do.
func (l *linter) within(c claim, applies func(p *Figure) bool, what string) {
	if c.class || c.Status == Doubtful {
		return
	}
	limits, ok := l.book.Limits(c.Quantity)
	if !ok {
		return
	}
	var bands []*Figure
	for i := range limits.Plausible {
		if applies(&limits.Plausible[i]) {
			bands = append(bands, &limits.Plausible[i])
		}
	}
	if len(bands) == 0 {
		return
	}
	fits := func(si float64) bool {
		return slices.ContainsFunc(bands, func(p *Figure) bool { return p.Band.holds(si) })
	}
	for _, v := range c.values() {
		if fits(v.Quantity.SI()) {
			continue
		}
		last := bands[len(bands)-1]
		l.claim(c, v.key, fmt.Sprintf("%s lies outside what is %s: %s (%s)", v.Text, what, last.Band, last.Source),
			lookAgain(likelySlip(c.info.Kind, v.Value, fits), "look at the page again; if it prints this, give it status doubtful"))
	}
}

// holds reports whether a value lies within the limits of the band.
func (b Band) holds(si float64) bool {
	return (b.Min.IsZero() || si >= b.Min.Quantity.SI()) && (b.Max.IsZero() || si <= b.Max.Quantity.SI())
}

// kindsOfIgnition returns the engine's own kinds of ignition.
func (t *linted) kindsOfIgnition() []string {
	e, ok := t.value.(*Engine)
	if !ok || e.Identity.System == "unknown" {
		return nil
	}
	return append([]string{e.Identity.System}, e.Identity.Systems...)
}

// ofKind selects the plausible bands for an engine's kinds of ignition.
func (c claim) ofKind() func(p *Figure) bool {
	kinds := c.table.kindsOfIgnition()
	return func(p *Figure) bool {
		return slices.ContainsFunc(kinds, func(k string) bool { return slices.Contains(p.Systems, k) })
	}
}
