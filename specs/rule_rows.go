package specs

import (
	"fmt"

	"gapbook.example/specs/gate"
)

// ruleRows holds the rows and columns of wire tables to their order.
//
// Gauges stand from thin to thick, a thicker wire bears no less, nor does one
// whose insulation bears more heat, and a list of ratings rises. More live
// wires in a bundle never let each carry more. One digit that is wrong mostly
// breaks such an order.
//
// Refused: amperes = ["10 A", "51 A", "20 A"] for 18, 16 and 14 AWG.
var ruleRows = lintRule{code: "rows", table: func(l *linter, t *linted) {
	w, ok := t.value.(*WireTable)
	if !ok {
		return
	}
	for i := 1; i < len(w.Gauges); i++ {
		if w.Gauges[i].Cmp(w.Gauges[i-1]) <= 0 {
			l.rows(t, t.doc.Root.Child("gauges").Items[i], fmt.Sprintf("%s is no thicker than %s before it", w.Gauges[i], w.Gauges[i-1]), "write the gauges from thin to thick")
		}
	}
	for k, c := range w.Columns {
		n := t.nodeAt(c.At)
		for i := 1; i < len(c.Amperes); i++ {
			a, b := c.Amperes[i-1], c.Amperes[i]
			switch {
			case len(w.Gauges) > 0 && b.Cmp(a) < 0:
				l.rows(t, n.Child("amperes").Items[i], fmt.Sprintf("%s for %s is less than %s for the thinner wire before it", b, w.Gauges[i], a), "look at both again")
			case len(w.Gauges) == 0 && b.Cmp(a) <= 0:
				l.rows(t, n.Child("amperes").Items[i], fmt.Sprintf("%s does not rise from %s before it", b, a), "look at both again")
			}
		}
		if c.LiveFrom > c.LiveTo {
			l.rows(t, n, fmt.Sprintf("the bundle runs from %d to %d live wires", c.LiveFrom, c.LiveTo), "swap them, or look again")
		}
		if k == 0 {
			continue
		}
		before := w.Columns[k-1]
		if c.LiveFrom > 0 && (c.LiveFrom != before.LiveTo+1 || c.Factor > before.Factor) {
			l.rows(t, n, fmt.Sprintf("%d to %d live wires at %g does not follow on %d to %d at %g", c.LiveFrom, c.LiveTo, c.Factor, before.LiveFrom, before.LiveTo, before.Factor), "numbers go on without a gap and factors fall")
		}
		if c.Insulation.Cmp(before.Insulation) <= 0 {
			if c.LiveFrom == 0 && !c.Insulation.IsZero() {
				l.rows(t, n.Child("insulation"), fmt.Sprintf("%s is no more than %s of the column before", c.Insulation, before.Insulation), "write the columns from the least heat on")
			}
			continue
		}
		if c.Factor > 0 && c.Factor < before.Factor {
			l.rows(t, n.Child("factor"), fmt.Sprintf("%g is less than %g of an insulation that bears less heat", c.Factor, before.Factor), "look at both again")
		}
		for i := range min(len(c.Amperes), len(before.Amperes)) {
			if c.Amperes[i].Cmp(before.Amperes[i]) < 0 {
				l.rows(t, n.Child("amperes").Items[i], fmt.Sprintf("%s is less than %s of an insulation that bears less heat", c.Amperes[i], before.Amperes[i]), "look at both again")
			}
		}
	}
}}

func (l *linter) rows(t *linted, n *gate.Node, message, hint string) {
	l.problems = append(l.problems, n.ValueProblem(t.file, l.rule.code, message, hint))
}
