package specs

import (
	"strconv"
	"strings"

	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
	"gapbook.example/units"
)

var limitsFields = []table.Field[Limits]{
	table.Required(schemaField[Limits]()),
	table.Required(table.ID("id", "the quantity with dashes, same as the file's", "points-gap", func(l *Limits) *string { return &l.ID })),
	table.Required(table.Field[Limits]{Key: "quantity", Title: "key of the quantity", Example: "points_gap", Form: table.FormText,
		Set: func(w *table.Walker, n *gate.Node, l *Limits) {
			if s, ok := w.ReadText(n); ok {
				l.Quantity = Key(s)
			}
		}}),
	table.Bool("copper", "true for copper windings, whose resistance follows temperature", "true", func(l *Limits) *bool { return &l.Copper }),
}

var toleranceFields = []table.Field[Tolerance]{
	table.Share("relative", "tolerance as a share of the nominal, both ways", "10 %", func(t *Tolerance) *float64 { return &t.Relative }),
	table.Text("absolute", "tolerance as a distance, both ways", "0.002 in", func(t *Tolerance) *string { return &t.Text }),
	table.Text("plus", "distance above the nominal, where the two differ", "0.002 in", func(t *Tolerance) *string { return &t.Plus.Text }),
	table.Text("minus", "distance below the nominal, where the two differ", "0.002 in", func(t *Tolerance) *string { return &t.Minus.Text }),
	table.Bool("at_least", "true where more than the nominal is never a fault", "true", func(t *Tolerance) *bool { return &t.AtLeast }),
	table.Text("place", "place in the source", "page 12", func(t *Tolerance) *string { return &t.Place }),
	table.Required(table.Word("basis", "what kind of word the tolerance rests on", "common-practice", basisWords, func(t *Tolerance, s string) { t.Basis = Basis(s) })),
	table.Text("note", "why this tolerance", "half of what the tables print", func(t *Tolerance) *string { return &t.Note }),
}

type gross struct {
	low, high   float64
	place, note string
	basis       Basis
}

var grossFields = []table.Field[gross]{
	table.Number("low", "a reading under this many times the limit condemns", "0.33", func(g *gross) *float64 { return &g.low }),
	table.Number("high", "a reading over this many times the limit condemns", "3", func(g *gross) *float64 { return &g.high }),
	table.Text("place", "place in the source", "page 12", func(g *gross) *string { return &g.place }),
	table.Word("basis", "what kind of word it rests on", "common-practice", basisWords, func(g *gross, s string) { g.basis = Basis(s) }),
	table.Text("note", "why these factors", "an open or shorted winding is far outside", func(g *gross) *string { return &g.note }),
}

var adviceFields = []table.Field[Advice]{
	table.Text("how", "how to take the reading", "turn the engine to the widest opening", func(a *Advice) *string { return &a.How }),
	table.Text("low", "what to do about a reading under its limits", "open the gap and check the timing again", func(a *Advice) *string { return &a.Low }),
	table.Text("high", "what to do about a reading over its limits", "close the gap and check the timing again", func(a *Advice) *string { return &a.High }),
	table.Text("open", "what to do about an open circuit", "look for a broken wire first", func(a *Advice) *string { return &a.Open }),
	table.Text("good", "what a good reading does not prove", "an ohmmeter does not see insulation that fails under high volts", func(a *Advice) *string { return &a.Good }),
}

func decodeLimits(doc *gate.Doc) (*Limits, gate.Problems) {
	w := &table.Walker{File: doc.File}
	l := &Limits{At: Position{File: doc.File, Line: 1, Col: 1}}
	sections := []string{"plausible", "tolerance", "band", "gross", "advice"}
	table.Walk(w, doc.Root, limitsFields, l, func(n *gate.Node) bool {
		for _, s := range sections {
			if n.Key == s {
				return true
			}
		}
		if n.IsTable {
			hint := "known here: [plausible], [tolerance], [band], [gross], [advice]"
			if near, ok := gate.Nearest(n.Key, sections); ok {
				hint = "did you mean " + strconv.Quote(near) + "?"
			}
			w.Problem(n, "unknown-key", "this table is not known here", hint)
			return true
		}
		return false
	})
	info, ok := Quantity(l.Quantity)
	if !ok {
		if l.Quantity != "" {
			hint := ""
			if near, found := gate.Nearest(string(l.Quantity), quantityKeys()); found {
				hint = "did you mean " + strconv.Quote(near) + "?"
			}
			w.Problem(doc.Root.Child("quantity"), "unknown-quantity", "the book has no quantity of this name", hint)
		}
		return table.Finish(w, l)
	}
	for _, n := range doc.Root.Children {
		switch n.Key {
		case "plausible":
			claims(w, n, func(label, source string, leaf *gate.Node) {
				l.Plausible = append(l.Plausible, figure(w, l.Quantity, label, source, leaf, classFigureFields))
			})
		case "band":
			claims(w, n, func(label, source string, leaf *gate.Node) {
				l.Bands = append(l.Bands, figure(w, l.Quantity, label, source, leaf, classFigureFields))
			})
		case "tolerance":
			claims(w, n, func(label, source string, leaf *gate.Node) {
				l.Tolerances = append(l.Tolerances, tolerance(w, info, label, source, leaf))
			})
		case "gross":
			claims(w, n, func(_, source string, leaf *gate.Node) {
				var g gross
				table.Walk(w, leaf, grossFields, &g, nil)
				l.GrossLow, l.GrossHigh, l.GrossSource = g.low, g.high, source
			})
		case "advice":
			table.Walk(w, n, adviceFields, &l.Advice, nil)
		}
	}
	return table.Finish(w, l)
}

func tolerance(w *table.Walker, info QuantityInfo, label, source string, n *gate.Node) Tolerance {
	t := Tolerance{Label: label, Source: source, At: position(w, n)}
	table.Walk(w, n, toleranceFields, &t, nil)
	distance := func(key, text string) Value {
		if text == "" {
			return Value{}
		}
		v, err := parseValue(info.Kind, text)
		if err != nil {
			w.UnitProblem(n.Child(key), err)
		}
		return v
	}
	both := distance("absolute", t.Text)
	t.Plus, t.Minus = distance("plus", t.Plus.Text), distance("minus", t.Minus.Text)
	switch {
	case !both.IsZero():
		t.Plus, t.Minus, t.Text = both, both, "±"+both.Text
	case t.Relative > 0:
		t.Text = "±" + n.Child("relative").Value.(string)
	case !t.Plus.IsZero() && !t.Minus.IsZero():
		t.Text = "+" + t.Plus.Text + " -" + t.Minus.Text
	case !t.Plus.IsZero():
		t.Text = "+" + t.Plus.Text
	case !t.Minus.IsZero():
		t.Text = "-" + t.Minus.Text
	default:
		w.Problem(n, "no-figure", "the tolerance holds no figure", "write relative, absolute, or plus and minus")
	}
	if t.AtLeast {
		t.Text = "-" + strings.TrimLeft(t.Text, "±-")
	}
	return t
}

var meterFields = []table.Field[Meter]{
	table.Required(schemaField[Meter]()),
	table.Required(table.ID("id", "the meter class, same as the file's", "meter-hand", func(m *Meter) *string { return &m.ID })),
	table.Required(table.Word("kind", "what kind of table this is", "meter", []string{"meter"}, func(*Meter, string) {})),
	table.Required(table.Text("label", "the class in words", "hand-held digital multimeter", func(m *Meter) *string { return &m.Label })),
	table.Field[Meter]{Key: "usual", Title: "kinds of quantity it is taken for where a job names no meter", Example: "[\"resistance\"]", Form: table.FormTexts,
		Set: func(w *table.Walker, n *gate.Node, m *Meter) {
			list, ok := w.ReadTexts(n)
			if !ok {
				return
			}
			for _, s := range list {
				w.OneOf(n, s, kindNames())
			}
			m.Usual = list
		}},
}

var rangeFields = []table.Field[MeterRange]{
	table.Share("percent", "share of the reading", "1.2 %", func(r *MeterRange) *float64 { return &r.Percent }),
	table.Number("counts", "steps of the last digit shown", "3", func(r *MeterRange) *float64 { return &r.Counts }),
	table.Text("absolute", "a fixed distance", "0.0005 in", func(r *MeterRange) *string { return &r.Absolute.Text }),
	table.Text("reach", "the most that any such meter shows", "1 MΩ", func(r *MeterRange) *string { return &r.Reach.Text }),
	table.Text("place", "place in the source", "page 12", func(r *MeterRange) *string { return &r.Place }),
	table.Required(table.Word("basis", "what kind of word it rests on", "common-practice", basisWords, func(r *MeterRange, s string) { r.Basis = Basis(s) })),
	table.Text("note", "a remark", "what such meters usually claim", func(r *MeterRange) *string { return &r.Note }),
}

func decodeMeter(doc *gate.Doc) (*Meter, gate.Problems) {
	w := &table.Walker{File: doc.File}
	m := &Meter{At: Position{File: doc.File, Line: 1, Col: 1}}
	table.Walk(w, doc.Root, meterFields, m, func(n *gate.Node) bool { return n.Key == "accuracy" })
	if acc := doc.Root.Child("accuracy"); acc != nil {
		for _, q := range acc.Children {
			kind, ok := kindNamed(q.Key)
			if !ok {
				hint := ""
				if near, found := gate.Nearest(q.Key, kindNames()); found {
					hint = "did you mean " + strconv.Quote(near) + "?"
				}
				w.Problem(q, "unknown-kind", "there is no kind of quantity of this name", hint)
				continue
			}
			claims(w, q, func(_, source string, leaf *gate.Node) {
				r := MeterRange{Kind: q.Key, Source: source, At: position(w, leaf)}
				table.Walk(w, leaf, rangeFields, &r, nil)
				for _, f := range []struct {
					key   string
					value *Value
				}{{"absolute", &r.Absolute}, {"reach", &r.Reach}} {
					if f.value.Text == "" {
						continue
					}
					v, err := parseValue(kind, f.value.Text)
					if err != nil {
						w.UnitProblem(leaf.Child(f.key), err)
					}
					*f.value = v
				}
				m.Ranges = append(m.Ranges, r)
			})
		}
	}
	return table.Finish(w, m)
}

var cautionFields = []table.Field[Caution]{
	table.Required(schemaField[Caution]()),
	table.Required(table.ID("id", "the caution's name, same as the file's", "spark-test", func(c *Caution) *string { return &c.ID })),
	table.Required(table.Text("text", "the caution, in plain words", "Hold nothing metal.", func(c *Caution) *string { return &c.Text })),
	table.IDs("hazards", "what can hurt", "[\"shock\"]", func(c *Caution) *[]string { return &c.Hazards }),
	table.Field[Caution]{Key: "quantities", Title: "quantities it prints with", Example: "[\"points_gap\"]", Form: table.FormTexts,
		Set: func(w *table.Walker, n *gate.Node, c *Caution) {
			list, ok := w.ReadTexts(n)
			if !ok {
				return
			}
			for _, s := range list {
				if w.OneOf(n, s, quantityKeys()) {
					c.Quantities = append(c.Quantities, Key(s))
				}
			}
		}},
	table.Field[Caution]{Key: "systems", Title: "kinds of ignition it prints with", Example: "[\"capacitor-discharge\"]", Form: table.FormTexts,
		Set: func(w *table.Walker, n *gate.Node, c *Caution) {
			list, ok := w.ReadTexts(n)
			if !ok {
				return
			}
			for _, s := range list {
				w.OneOf(n, s, systems)
			}
			c.Systems = list
		}},
	table.IDs("jobs", "jobs it prints with", "[\"wiring\"]", func(c *Caution) *[]string { return &c.Jobs }),
	powerField("states of the machine in which it can be obeyed; none for any", "[\"dead\", \"bench\"]", func(c *Caution) *[]string { return &c.Power }),
	table.Field[Caution]{Key: "when", Title: "what the machine must have for a plan to print it", Example: "[\"twin\"]", Form: table.FormTexts, Words: conversionMachine,
		Set: func(w *table.Walker, n *gate.Node, c *Caution) {
			list, ok := w.ReadTexts(n)
			for _, s := range list {
				ok = w.OneOf(n, s, conversionMachine) && ok
			}
			if ok {
				c.When = list
			}
		}},
}

// powerField is a list of what is live.
func powerField[T any](title, example string, at func(*T) *[]string) table.Field[T] {
	return table.Field[T]{Key: "power", Title: title, Example: example, Form: table.FormTexts, Words: powerStates,
		Set: func(w *table.Walker, n *gate.Node, into *T) {
			list, ok := w.ReadTexts(n)
			for _, s := range list {
				ok = w.OneOf(n, s, powerStates) && ok
			}
			if ok {
				*at(into) = list
			}
		}}
}

var cautionSourceFields = []table.Field[CautionSource]{
	table.Text("place", "place in the source", "page 12", func(s *CautionSource) *string { return &s.Place }),
}

func decodeCaution(doc *gate.Doc) (*Caution, gate.Problems) {
	w := &table.Walker{File: doc.File}
	c := &Caution{At: Position{File: doc.File, Line: 1, Col: 1}}
	table.Walk(w, doc.Root, cautionFields, c, func(n *gate.Node) bool { return n.Key == "source" })
	if n := doc.Root.Child("source"); n != nil {
		claims(w, n, func(_, source string, leaf *gate.Node) {
			s := CautionSource{Source: source, At: position(w, leaf)}
			table.Walk(w, leaf, cautionSourceFields, &s, nil)
			c.Sources = append(c.Sources, s)
		})
	} else {
		w.Problem(doc.Root, "missing-key", "the caution names no source", "write [source.common-practice]")
	}
	return table.Finish(w, c)
}

func kindNamed(key string) (units.Kind, bool) {
	for _, k := range units.Kinds() {
		if kindKey(k) == key {
			return k, true
		}
	}
	return 0, false
}

// kindKey spells a kind as a table key.
func kindKey(k units.Kind) string { return strings.ReplaceAll(k.String(), " ", "_") }

func kindNames() []string {
	var names []string
	for _, k := range units.Kinds() {
		names = append(names, kindKey(k))
	}
	return names
}
