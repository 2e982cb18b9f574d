package specs

import (
	"slices"
	"strconv"

	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
	"gapbook.example/units"
)

var partFields = []table.Field[PartClass]{
	table.Required(schemaField[PartClass]()),
	table.Required(table.ID("id", "the kind of part, same as the file's", "battery", func(c *PartClass) *string { return &c.ID })),
	table.Required(table.Text("label", "the kind of part in words", "starter battery", func(c *PartClass) *string { return &c.Label })),
	table.Word("role", "the job that it is bought for", "coil", partRoles, func(c *PartClass, s string) { c.Role = s }),
	table.Text("kind", "what it is in a harness", "key-switch", func(c *PartClass) *string { return &c.Kind }),
	table.Text("word", "what a harness calls its variety", "battery-six", func(c *PartClass) *string { return &c.Word }),
	table.Integer("towers", "high-tension towers of a coil", "2", 1, 2, func(c *PartClass) *int { return &c.Towers }),
	table.Texts("suits", "kinds of ignition it is sold for", "[\"battery-points\"]", func(c *PartClass) *[]string { return &c.Suits }),
	table.IDs("conversions", "conversions that a supply is bought for; none is all", "[\"module-to-points\"]", func(c *PartClass) *[]string { return &c.Conversions }),
	table.IDs("steps", "steps of recipes that want a supply", "[\"fit-points\"]", func(c *PartClass) *[]string { return &c.Steps }),
	table.Texts("when", "conditions under which a supply is bought", "[\"not push-rod-hole-open\"]", func(c *PartClass) *[]string { return &c.When }),
	table.Text("ask", "what to ask for at a counter", "a solid-core ignition lead", func(c *PartClass) *string { return &c.Ask }),
	table.Text("enough", "what is enough where the exact part is not known", "any lead that reads under 5 Ω", func(c *PartClass) *string { return &c.Enough }),
	table.Text("test", "how to prove one before it is fitted", "end to end under 5 Ω", func(c *PartClass) *string { return &c.Test }),
}

// partRoles are the jobs that parts can be bought for.
var partRoles = []string{"coil", "ballast", "points", "condenser", "module", "trigger", "plug", "lead", "cap", "key switch", RoleSupply}

// classValue is a class figure before its texts are parsed.
type classValue struct {
	ClassValue
	min, nominal, max string
}

var classValueFields = []table.Field[classValue]{
	table.Text("min", "least, with its unit", "12.4 V", func(v *classValue) *string { return &v.min }),
	table.Text("nominal", "the figure, with its unit", "12.6 V", func(v *classValue) *string { return &v.nominal }),
	table.Text("max", "greatest, with its unit", "12.8 V", func(v *classValue) *string { return &v.max }),
	table.Share("spread", "how far such parts differ from the figure, both ways", "20 %", func(v *classValue) *float64 { return &v.Spread }),
	table.OfKind("volts", "system voltage the figure applies to", "12 V", units.KindVoltage, func(v *classValue, q units.Quantity) { v.Volts, _ = q.Voltage() }),
	table.Text("place", "place in the source", "page 12", func(v *classValue) *string { return &v.Place }),
	table.Required(table.Word("basis", "what kind of word the figure rests on", "common-practice", basisWords, func(v *classValue, s string) { v.Basis = Basis(s) })),
	table.Text("note", "why this figure", "from the volts lost while cranking", func(v *classValue) *string { return &v.Note }),
}

func decodePart(doc *gate.Doc) (*PartClass, gate.Problems) {
	w := &table.Walker{File: doc.File}
	c := &PartClass{At: Position{File: doc.File, Line: 1, Col: 1}}
	names := make([]string, len(partAttributes))
	for i, a := range partAttributes {
		names[i] = a.Key
	}
	table.Walk(w, doc.Root, partFields, c, func(n *gate.Node) bool { return n.IsTable })
	for _, n := range doc.Root.Children {
		if !n.IsTable {
			continue
		}
		kind := units.Kind(0)
		for _, a := range partAttributes {
			if a.Key == n.Key {
				kind = a.Kind
			}
		}
		if kind == 0 {
			hint := ""
			if near, ok := gate.Nearest(n.Key, names); ok {
				hint = "did you mean " + strconv.Quote(near) + "?"
			}
			w.Problem(n, "unknown-key", "parts have no attribute of this name", hint)
			continue
		}
		claims(w, n, func(label, source string, leaf *gate.Node) {
			if label == "usual" {
				label = ""
			}
			v := classValue{ClassValue: ClassValue{Attribute: n.Key, Label: label, Source: source, At: position(w, leaf)}}
			table.Walk(w, leaf, classValueFields, &v, nil)
			switch label {
			case "six", "twelve", "twenty-four":
				v.Label = "" // keeps the figures of one source apart; volts says it
				if v.Volts.IsZero() {
					w.Problem(leaf, "missing-key", "the label names a system voltage and volts is missing", "write volts = \"12 V\"")
				}
			}
			for _, end := range []struct {
				key, text string
				into      *Value
			}{{"min", v.min, &v.Band.Min}, {"nominal", v.nominal, &v.Band.Nominal}, {"max", v.max, &v.Band.Max}} {
				if end.text == "" {
					continue
				}
				value, err := parseValue(kind, end.text)
				if err != nil {
					w.UnitProblem(leaf.Child(end.key), err)
				}
				*end.into = value
			}
			inOrder(w, leaf, v.Band)
			if v.Band.Nominal.IsZero() && v.Spread == 0 {
				w.Problem(leaf, "no-figure", "the table holds no figure", "write nominal, or spread where only that is known")
			}
			c.Values = append(c.Values, v.ClassValue)
		})
	}
	switch {
	case c.Role == RoleSupply && (c.Ask == "" || len(c.Steps) == 0):
		w.Problem(doc.Root.Child("role"), "missing-key", "a supply has ask and steps beside role", "write the words to say at a counter, and the steps of recipes that want it")
	case c.Role != RoleSupply && len(c.Conversions)+len(c.Steps)+len(c.When) > 0:
		w.Problem(doc.Root.Child("id"), "unknown-key", "conversions, steps and when belong to a supply", "write role = \"supply\", or leave them out")
	case c.Role != "" && c.Role != RoleSupply && (c.Kind == "" || c.Ask == ""):
		w.Problem(doc.Root.Child("role"), "missing-key", "a part that can be bought has kind and ask beside role", "write what it is in a harness, and the words to say at a counter")
	}
	for _, text := range []struct{ key, text string }{{"ask", c.Ask}, {"enough", c.Enough}, {"test", c.Test}} {
		for _, b := range blanks(text.text) {
			if slices.Contains(names, b) {
				continue
			}
			hint := "an attribute of parts stands in braces, such as {primary}"
			if near, ok := gate.Nearest(b, names); ok {
				hint = "did you mean {" + near + "}?"
			}
			w.AtValue(doc.Root.Child(text.key), "unknown-word", "{"+b+"} is no attribute of parts", hint)
		}
	}
	for _, s := range c.Suits {
		w.OneOf(doc.Root.Child("suits"), s, systems)
	}
	return table.Finish(w, c)
}
