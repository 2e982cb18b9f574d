package specs

import (
	"fmt"

	"gapbook.example/specs/gate"
)

// classQuantities are the attributes of parts that engines state as well.
var classQuantities = map[string]Key{
	"primary": Primary, "secondary": Secondary, "gap": "plug_gap", "thread": "plug_thread", "reach": "plug_reach",
	"turns_ratio": "turns_ratio", "rest": "battery_rest", "cranking": "battery_cranking", "regulated": "regulated",
}

// ruleClassFigure holds class figures of parts, and what a fault search takes
// for healthy, to the plausible bands of the quantities that engines state.
//
// A coil that can be bought has the ohms that coils have, and a healthy reading
// is one that an engine's book could print.
//
// Refused: [primary.common-practice] nominal = "375 Ω" of a coil where limits
// end at 18 Ω; usual = { battery-points = "400 Ω" } of such a quantity.
var ruleClassFigure = lintRule{code: "class-figure", table: func(l *linter, t *linted) {
	check := func(key Key, text string, si float64, n *gate.Node) {
		limits, ok := l.book.Limits(key)
		if !ok || n == nil {
			return
		}
		for _, p := range limits.Plausible {
			if p.Label == "" && !p.Band.holds(si) {
				info, _ := Quantity(key)
				l.problems = append(l.problems, n.ValueProblem(t.file, l.rule.code, fmt.Sprintf("%s lies outside what is plausible for %s: %s (%s)", text, info.Title, p.Band, p.Source), "look at it again, and at its unit"))
			}
		}
	}
	switch v := t.value.(type) {
	case *PartClass:
		for _, x := range v.Values {
			if key, ok := classQuantities[x.Attribute]; ok {
				for _, e := range x.Band.values() {
					check(key, e.Text, e.Quantity.SI(), t.nodeAt(x.At).Child(e.key))
				}
			}
		}
	case *FaultTable:
		for _, q := range v.Quantities {
			usual := t.nodeAt(q.At).Child("usual")
			if q.Figure == "" || usual == nil {
				continue
			}
			for _, u := range q.Usual {
				check(q.Figure, u.Value.String(), u.Value.SI(), usual.Child(u.System))
			}
		}
	}
}}
