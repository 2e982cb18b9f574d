package specs

import (
	"fmt"

	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
	"gapbook.example/units"
)

var wireFields = []table.Field[WireTable]{
	table.Required(schemaField[WireTable]()),
	table.Required(table.ID("id", "the table's name, same as the file's", "ampacity", func(t *WireTable) *string { return &t.ID })),
	table.Required(table.Text("label", "what the table says", "allowable amperes by gauge", func(t *WireTable) *string { return &t.Label })),
	table.Field[WireTable]{Key: "gauges", Title: "the rows", Example: "[\"18 AWG\", \"16 AWG\"]", Form: table.FormTexts,
		Set: func(w *table.Walker, n *gate.Node, t *WireTable) {
			list, _ := w.ReadTexts(n)
			for _, s := range list {
				g, err := units.ParseWireSizeStrict(s)
				if err != nil {
					w.UnitProblem(n, err)
				}
				t.Gauges = append(t.Gauges, g)
			}
		}},
	table.Text("note", "a remark for the reader", "conservative: wires in bundles", func(t *WireTable) *string { return &t.Note }),
}

var wireColumnFields = []table.Field[WireColumn]{
	table.OfKind("insulation", "temperature the insulation bears", "105 °C", units.KindTemperature, func(c *WireColumn, q units.Quantity) { c.Insulation, _ = q.Temperature() }),
	table.Field[WireColumn]{Key: "amperes", Title: "one figure a row, or a list", Example: "[\"20 A\", \"25 A\"]", Form: table.FormTexts,
		Set: func(w *table.Walker, n *gate.Node, c *WireColumn) {
			list, _ := w.ReadTexts(n)
			for _, s := range list {
				i, err := units.ParseCurrentStrict(s)
				if err != nil {
					w.UnitProblem(n, err)
				}
				c.Amperes = append(c.Amperes, i)
			}
		}},
	table.Number("factor", "what amperes are multiplied by", "0.85", func(c *WireColumn) *float64 { return &c.Factor }),
	table.Integer("live_from", "least number of live wires in the bundle", "4", 1, 1000, func(c *WireColumn) *int { return &c.LiveFrom }),
	table.Integer("live_to", "greatest number of live wires in the bundle", "6", 1, 1000, func(c *WireColumn) *int { return &c.LiveTo }),
	table.Required(table.ID("source", "id of the source", "cfr-33-183", func(c *WireColumn) *string { return &c.Source })),
	table.Text("place", "place in the source", "table 5", func(c *WireColumn) *string { return &c.Place }),
	table.Required(table.Word("basis", "what kind of word the column rests on", "published", basisWords, func(c *WireColumn, s string) { c.Basis = Basis(s) })),
	table.Text("note", "a remark for the reader", "worked out from the printed rows", func(c *WireColumn) *string { return &c.Note }),
}

func decodeWire(doc *gate.Doc) (*WireTable, gate.Problems) {
	w := &table.Walker{File: doc.File}
	t := &WireTable{At: Position{File: doc.File, Line: 1, Col: 1}}
	table.Walk(w, doc.Root, wireFields, t, func(n *gate.Node) bool { return n.Key == "column" })
	n := doc.Root.Child("column")
	if n == nil || !n.IsTable {
		w.Problem(doc.Root, "missing-key", "the table has no columns", "write [column.name]")
		return table.Finish(w, t)
	}
	for _, leaf := range n.Children {
		slug(w, leaf)
		c := WireColumn{Name: leaf.Key, At: position(w, leaf)}
		if !leaf.IsTable {
			w.Problem(leaf, "wrong-type", "a column is a table", "write [column."+leaf.Key+"]")
			continue
		}
		table.Walk(w, leaf, wireColumnFields, &c, nil)
		if len(t.Gauges) > 0 && len(c.Amperes) > 0 && len(c.Amperes) != len(t.Gauges) {
			w.Problem(leaf, "row-count", fmt.Sprintf("%d figures for %d gauges", len(c.Amperes), len(t.Gauges)), "write one figure for each gauge")
		}
		t.Columns = append(t.Columns, c)
	}
	return table.Finish(w, t)
}
