package specs

import "fmt"

// ruleBounds holds figures that no page prints side by side to what they can be
// at all: class figures of parts, minutes, weights, shares, wire tables.
//
// A harness, a plan and a fault search are worked out from them, and a lost
// decimal point there misleads everybody who asks. The bands are data, in
// specs/bounds, each over the figures that the book had when it was written.
//
// Refused: [inductance.common-practice] nominal = "8 H" of a coil where bounds
// say 0.2 to 20 mH.
var ruleBounds = lintRule{code: "bounds", table: func(l *linter, t *linted) {
	switch t.value.(type) {
	case *PartClass, *FaultTable, *WireTable, *Conversion, *Finish, *Limits, *Meter:
	default:
		return
	}
	t.numbers(func(n number) {
		b, ok := l.bounds()[n.of]
		if !ok {
			return
		}
		v, ok := n.in(b.Kind)
		if !ok {
			l.problems = append(l.problems, n.node.ValueProblem(t.file, l.rule.code, fmt.Sprintf("%q is no %s", n.text, b.Kind), "write it like "+b.example()))
			return
		}
		band := Band{Min: b.Min, Max: b.Max}
		if band.holds(v.Quantity.SI()) {
			return
		}
		l.problems = append(l.problems, n.node.ValueProblem(t.file, l.rule.code, fmt.Sprintf("%s lies outside what is plausible here: %s (%s)", v.Text, band, b.Source),
			lookAgain(likelySlip(b.Kind, v, band.holds), fmt.Sprintf("look again; if it is right, widen [bound.%s] in %s and say why", b.Name, b.At.File))))
	})
}}

// example is a figure as the bound wants it.
func (b Bound) example() string {
	if b.Max.IsZero() {
		return b.Min.Text
	}
	return b.Max.Text
}
