package specs

import (
	"fmt"
	"strconv"
	"strings"

	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
	"gapbook.example/units"
)

// figureFields are the keys of one claim. The kind of min, nominal, max and
// also is that of the table's quantity.
var figureFields = []table.Field[Figure]{
	valueField("min", "lower limit, as printed", func(f *Figure) *Value { return &f.Band.Min }),
	valueField("nominal", "the figure itself, as printed", func(f *Figure) *Value { return &f.Band.Nominal }),
	valueField("max", "upper limit, as printed", func(f *Figure) *Value { return &f.Band.Max }),
	table.Text("text", "the fact in words", "flywheel magneto with points", func(f *Figure) *string { return &f.Text }),
	alsoField(),
	table.Text("units_disagree", "how the page's own units contradict each other", "0.030 in is 0.76 mm, the page prints 0.80 mm", func(f *Figure) *string { return &f.UnitsDisagree }),
	table.Required(table.Text("place", "place in the source", "page 12, table 3", func(f *Figure) *string { return &f.Place })),
	table.Text("as_printed", "the figure exactly as the page prints it", ".020\" (0.51 mm)", func(f *Figure) *string { return &f.AsPrinted }),
	table.Required(table.Word("basis", "what kind of word the figure rests on", "published", basisWords, func(f *Figure, s string) { f.Basis = Basis(s) })),
	table.Required(table.Word("status", "how far the figure is confirmed", "single-source", statusWords, func(f *Figure, s string) { f.Status = Status(s) })),
	table.Text("condition", "what the figure holds for", "at full advance", func(f *Figure) *string { return &f.Condition }),
	table.Texts("models", "models the figure holds for, where not all", "[\"Model 6\"]", func(f *Figure) *[]string { return &f.Models }),
	table.Text("years", "years of manufacture the figure holds for", "1958 to 1963", func(f *Figure) *string { return &f.Years }),
	table.Text("test_points", "where the meter leads go", "plug terminal to ground", func(f *Figure) *string { return &f.TestPoints }),
	table.OfKind("temperature", "temperature the figure holds for", "20 °C", units.KindTemperature, func(f *Figure, q units.Quantity) {
		f.Temperature, _ = q.Temperature()
		f.HasTemperature = true
	}),
	table.OfKind("rpm", "speed the figure holds for", "1800 rpm", units.KindSpeed, func(f *Figure, q units.Quantity) { f.RPM, _ = q.Speed() }),
	table.Text("prefer", "why this figure is judged first where sources disagree", "the maker's own book", func(f *Figure) *string { return &f.Prefer }),
	table.Text("witness", "the figure of another record that confirms this one", "other-engine points_gap other-source", func(f *Figure) *string { return &f.Witness }),
	table.Text("note", "a remark for the reader", "the page is damaged here", func(f *Figure) *string { return &f.Note }),
	table.Link("link", "https address, for government documents and web-only pages", "https://example.org/manual/page-12", func(f *Figure) *string { return &f.Link }),
}

// classFigureFields are the further keys of class figures in limits tables.
var classFigureFields = append(figureFields[:len(figureFields):len(figureFields)],
	table.Field[Figure]{Key: "systems", Title: "kinds of ignition the figure applies to", Example: "[\"battery-points\"]", Form: table.FormTexts, Words: systems,
		Set: func(w *table.Walker, n *gate.Node, f *Figure) {
			if list, ok := w.ReadTexts(n); ok {
				for _, s := range list {
					w.OneOf(n, s, systems)
				}
				f.Systems = list
			}
		}},
	table.OfKind("volts", "system voltage the figure applies to", "12 V", units.KindVoltage, func(f *Figure, q units.Quantity) { f.Volts, _ = q.Voltage() }),
	table.Text("when", "what must be fitted for the figure to apply", "with a ballast resistor", func(f *Figure) *string { return &f.When }),
)

var (
	basisWords  = []string{string(Published), string(Reported), string(Measured), string(CommonPractice), string(Memory), string(Derived), string(Invented)}
	statusWords = []string{string(Verified), string(SingleSource), string(Disputed), string(Doubtful)}
)

func valueField(key, title string, at func(*Figure) *Value) table.Field[Figure] {
	return table.Field[Figure]{Key: key, Title: title, Example: "0.020 in", Form: table.FormValue,
		Set: func(w *table.Walker, n *gate.Node, f *Figure) {
			info, _ := Quantity(f.Quantity)
			if info.Words() {
				w.Problem(n, "words-only", fmt.Sprintf("%s is a fact in words and takes no figure", info.Title), "write text = \"...\"")
				return
			}
			s, ok := w.ReadText(n)
			if !ok {
				return
			}
			v, err := parseValue(info.Kind, s)
			if err != nil {
				w.UnitProblem(n, err)
				if other, ok := meantQuantity(info, s); ok {
					w.Problems[len(w.Problems)-1].Hint = fmt.Sprintf("a %s goes under %s (%s)", other.Kind, other.Key, other.Title)
				}
				return
			}
			if info.NeedsSense && !strings.HasSuffix(s, "BTDC") && !strings.HasSuffix(s, "ATDC") {
				w.AtValue(n, "no-sense", fmt.Sprintf("%q does not say before or after top dead centre", s), "write "+strconv.Quote(strings.TrimRight(s, "° deg")+"° BTDC")+" or ATDC")
				return
			}
			*at(f) = v
		}}
}

// meantQuantity finds the quantity that a value of another kind was meant for:
// the one whose key begins with this one's, as timing_piston does with timing.
func meantQuantity(info QuantityInfo, s string) (QuantityInfo, bool) {
	for _, q := range quantities {
		if q.Kind == 0 || q.Kind == info.Kind || !strings.HasPrefix(string(q.Key), string(info.Key)+"_") {
			continue
		}
		if _, err := units.Parse(q.Kind, s); err == nil {
			return q, true
		}
	}
	return QuantityInfo{}, false
}

func alsoField() table.Field[Figure] {
	return table.Field[Figure]{Key: "also", Title: "the same printed figure in the page's other units", Example: "[\"0.51 mm\"]", Form: table.FormBands,
		Set: func(w *table.Walker, n *gate.Node, f *Figure) {
			list, ok := w.ReadTexts(n)
			if !ok {
				return
			}
			info, _ := Quantity(f.Quantity)
			if info.Words() {
				w.Problem(n, "words-only", fmt.Sprintf("%s is a fact in words and takes no figure", info.Title), "write text = \"...\"")
				return
			}
			for _, s := range list {
				b, err := ParseBand(info.Kind, s)
				if err != nil {
					w.UnitProblem(n, err)
					continue
				}
				f.Also = append(f.Also, b)
			}
		}}
}

// setAsideFields are the keys of a figure that cannot be used.
var setAsideFields = []table.Field[SetAside]{
	table.Required(table.Text("place", "place in the source", "page 12", func(s *SetAside) *string { return &s.Place })),
	table.Text("as_printed", "what the page prints", "0.0?5 in", func(s *SetAside) *string { return &s.AsPrinted }),
	table.Required(table.Text("why", "why it cannot be used", "a digit is lost", func(s *SetAside) *string { return &s.Why })),
	table.Link("link", "https address, for government documents and web-only pages", "https://example.org/page", func(s *SetAside) *string { return &s.Link }),
}

// claims calls leaf for every claim below a quantity table: either
// [quantity.source] or [quantity.label.source].
func claims(w *table.Walker, quantity *gate.Node, leaf func(label, source string, n *gate.Node)) {
	if !quantity.IsTable {
		w.Problem(quantity, "wrong-type", "a table named for its source is needed here", "write ["+quantity.Path+".source-id]")
		return
	}
	for _, n := range quantity.Children {
		switch {
		case !n.IsTable:
			w.Problem(n, "no-source", "this stands outside a source's table", "put it under ["+quantity.Path+".source-id]")
		case len(n.Children) > 0 && allTables(n):
			slug(w, n)
			for _, m := range n.Children {
				slug(w, m)
				leaf(n.Key, m.Key, m)
			}
		default:
			slug(w, n)
			leaf("", n.Key, n)
		}
	}
}

func slug(w *table.Walker, n *gate.Node) {
	if !table.IsSlug(n.Key) {
		w.Problem(n, "bad-id", fmt.Sprintf("%q is not a label or source id", n.Key), "use lower-case letters, digits and single dashes")
	}
}

func allTables(n *gate.Node) bool {
	for _, c := range n.Children {
		if !c.IsTable {
			return false
		}
	}
	return true
}

// figure decodes one claim and checks what must hold inside it.
func figure(w *table.Walker, key Key, label, source string, n *gate.Node, fields []table.Field[Figure]) Figure {
	f := Figure{Quantity: key, Label: label, Source: source, At: position(w, n)}
	before := len(w.Problems)
	table.Walk(w, n, fields, &f, nil)
	for i := before; i < len(w.Problems); i++ {
		if p := &w.Problems[i]; strings.HasSuffix(p.Key, ".temperature") && p.Code == string(units.BadNumber) {
			p.Hint += "; a page that says only \"cold\" goes under condition = \"cold\""
		}
	}
	if len(w.Problems) > before {
		return f
	}
	info, _ := Quantity(key)
	switch {
	case f.Band.IsZero() && f.Text == "":
		w.Problem(n, "no-figure", "the table holds no figure", "write nominal, min, max or text")
	case info.Words() && f.Text == "":
		w.Problem(n, "words-only", info.Title+" is a fact in words", "write text = \"...\"")
	}
	inOrder(w, n, f.Band)
	return f
}

// inOrder reports ends of a band that stand the wrong way round.
func inOrder(w *table.Walker, n *gate.Node, b Band) {
	ends := []Value{b.Min, b.Nominal, b.Max}
	for i := range ends {
		for j := i + 1; j < len(ends); j++ {
			if !ends[i].IsZero() && !ends[j].IsZero() && ends[i].Quantity.Cmp(ends[j].Quantity) > 0 {
				w.Problem(n, "limits-order", fmt.Sprintf("%s stands above %s", ends[i].Text, ends[j].Text), "swap them, or look at the page again")
			}
		}
	}
}
