package specs

import (
	"fmt"
	"slices"
	"strings"

	"gapbook.example/specs/gate"
	"gapbook.example/units"
)

// ruleSpelling wants one spelling of every value.
//
// The parser of the book takes "0.020 inch" as well as "0.020 in". Tables use
// one of them, so that a search for a figure finds all of them and a change
// shows as a change: the number plain with the zeros that the page prints, one
// space, the unit in its usual short form.
//
// Refused: nominal = "0.020 inch", "3 kohm", "20 deg BTDC".
var ruleSpelling = lintRule{code: "spelling", table: func(l *linter, t *linted) {
	value := func(k units.Kind, n *gate.Node) {
		s, _ := n.Value.(string)
		if want := canonical(k, s); want != "" && want != s {
			if l.fixes != nil {
				l.fixes.spellings = append(l.fixes.spellings, respelling{n, want})
				return
			}
			l.problems = append(l.problems, n.ValueProblem(t.file, l.rule.code, fmt.Sprintf("%q is not the book's spelling", s), fmt.Sprintf("write %q", want)))
		}
	}
	of := func(n *gate.Node, k units.Kind, keys ...string) {
		for _, key := range keys {
			if v := n.Child(key); v != nil {
				value(k, v)
			}
		}
	}
	for _, c := range t.claims {
		of(c.node, c.info.Kind, "min", "nominal", "max")
		of(c.node, units.KindTemperature, "temperature")
		of(c.node, units.KindSpeed, "rpm")
		of(c.node, units.KindVoltage, "volts")
		if also := c.node.Child("also"); also != nil {
			for i, b := range c.Also {
				want := Band{}
				for _, e := range []struct{ to, from *Value }{{&want.Min, &b.Min}, {&want.Nominal, &b.Nominal}, {&want.Max, &b.Max}} {
					if !e.from.IsZero() {
						*e.to = Value{Quantity: e.from.Quantity, Text: canonical(c.info.Kind, e.from.Text)}
					}
				}
				item := also.Items[i]
				// "0.6 to 0.7 mm" and "0.6 mm to 0.7 mm" are both good.
				long := want.Min.Text + " to " + want.Max.Text
				if s := item.Value.(string); s != want.String() && s != long {
					if l.fixes != nil {
						l.fixes.spellings = append(l.fixes.spellings, respelling{item, want.String()})
						continue
					}
					l.problems = append(l.problems, item.ValueProblem(t.file, l.rule.code, fmt.Sprintf("%q is not the book's spelling", s), fmt.Sprintf("write %q", want)))
				}
			}
		}
	}
	switch v := t.value.(type) {
	case *Limits:
		info, _ := Quantity(v.Quantity)
		for _, x := range v.Tolerances {
			of(t.nodeAt(x.At), info.Kind, "absolute", "plus", "minus")
			of(t.nodeAt(x.At), units.KindRatio, "relative")
		}
	case *Meter:
		for _, r := range v.Ranges {
			k, _ := kindNamed(r.Kind)
			of(t.nodeAt(r.At), k, "absolute")
			of(t.nodeAt(r.At), units.KindRatio, "percent")
		}
	case *PartClass:
		for _, x := range v.Values {
			i := slices.IndexFunc(partAttributes, func(a PartAttribute) bool { return a.Key == x.Attribute })
			of(t.nodeAt(x.At), partAttributes[i].Kind, "min", "nominal", "max")
			of(t.nodeAt(x.At), units.KindRatio, "spread")
			of(t.nodeAt(x.At), units.KindVoltage, "volts")
		}
	case *WireTable:
		if gauges := t.doc.Root.Child("gauges"); gauges != nil {
			for _, n := range gauges.Items {
				value(units.KindWireSize, n)
			}
		}
		for _, c := range v.Columns {
			of(t.nodeAt(c.At), units.KindTemperature, "insulation")
			if list := t.nodeAt(c.At).Child("amperes"); list != nil {
				for _, n := range list.Items {
					value(units.KindCurrent, n)
				}
			}
		}
	}
}}

// canonical spells a value as the book does, or returns "" for what is none.
func canonical(k units.Kind, s string) string {
	if k == 0 {
		return ""
	}
	w, err := units.ParseWritten(k, s, true)
	if err != nil {
		return ""
	}
	if w.Unit == "" {
		return w.Number
	}
	if like, ok := w.Quantity.In(w.Unit); ok && !strings.Contains(like, " "+w.Unit) {
		return w.Number + w.Unit // degrees stand close
	}
	return w.Number + " " + w.Unit
}
