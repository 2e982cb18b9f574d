package specs

import (
	"fmt"
	"strconv"

	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
)

var engineFields = []table.Field[Engine]{
	table.Required(schemaField[Engine]()),
	table.Required(table.ID("id", "the record's name for ever, same as the file's", "orchard-pump-6", func(e *Engine) *string { return &e.ID })),
	table.IDs("aliases", "ids the record had before", "[\"orchard-pump\"]", func(e *Engine) *[]string { return &e.Aliases }),
}

var identityFields = []table.Field[Identity]{
	table.Text("maker", "who made the engine", "Orchard", func(i *Identity) *string { return &i.Maker }),
	table.Texts("models", "models and type numbers", "[\"Pump 6\"]", func(i *Identity) *[]string { return &i.Models }),
	table.Required(table.Text("label", "the engine in one line", "Orchard Pump 6, single", func(i *Identity) *string { return &i.Label })),
	table.Text("class", "what the engine drives, its cycle and cylinders", "pump, four-stroke single", func(i *Identity) *string { return &i.Class }),
	table.Required(table.Word("system", "kind of ignition", "battery-points", systems, func(i *Identity, s string) { i.System = s })),
	table.Texts("systems", "further kinds fitted over the years", "[\"magneto-breakerless\"]", func(i *Identity) *[]string { return &i.Systems }),
	table.Word("size", "small, or industrial", "small", []string{"small", "industrial"}, func(i *Identity, s string) { i.Size = s }),
	table.Integer("cycle", "strokes a cycle", "4", 2, 4, func(i *Identity) *int { return &i.Cycle }),
	table.Integer("cylinders", "number of cylinders", "1", 1, 4, func(i *Identity) *int { return &i.Cylinders }),
	table.IDs("related", "ids of records of the same engine or a sister", "[\"orchard-pump-8\"]", func(i *Identity) *[]string { return &i.Related }),
	table.Text("note", "a remark for the reader", "sold under two names", func(i *Identity) *string { return &i.Note }),
}

// schemaNumber is the newest schema number this package reads.
const schemaNumber = 1

func schemaField[T any]() table.Field[T] {
	return table.Field[T]{Key: "schema", Title: "schema number", Example: "1", Form: table.FormInteger,
		Set: func(w *table.Walker, n *gate.Node, _ *T) { schema(w, n) }}
}

func schema(w *table.Walker, n *gate.Node) {
	v, ok := n.Value.(int64)
	switch {
	case !ok:
		w.AtValue(n, "wrong-type", "the schema number is a bare whole number", "write schema = 1")
	case v > schemaNumber:
		w.AtValue(n, "newer-schema", fmt.Sprintf("this table is written in schema %d; this copy of Gapbook reads up to %d", v, schemaNumber), "use a newer copy of Gapbook")
	case v < 1:
		w.AtValue(n, "bad-schema", fmt.Sprintf("there is no schema %d", v), "write schema = 1")
	}
}

// DecodeEngine reads one engine table through the gate and the walk. It
// returns every problem found, in the order of the document; the engine is nil
// when there is any.
func DecodeEngine(file string, src []byte) (*Engine, gate.Problems) {
	doc, problems := gate.Read(file, src)
	if problems != nil {
		return nil, problems
	}
	return decodeEngine(doc)
}

func decodeEngine(doc *gate.Doc) (*Engine, gate.Problems) {
	w := &table.Walker{File: doc.File}
	e := &Engine{At: Position{File: doc.File, Line: 1, Col: 1}}
	if n := doc.Root.Child("id"); n != nil {
		e.At = position(w, n)
	}
	table.Walk(w, doc.Root, engineFields, e, func(n *gate.Node) bool {
		if n.Key == "identity" || n.Key == "set_aside" || n.Key == "other" {
			return true
		}
		_, ok := Quantity(Key(n.Key))
		if !ok && n.IsTable {
			hint := "a fact that no quantity fits goes to [other." + slugOf(n.Key) + ".source-id]"
			if own, found := gate.Nearest(n.Key, []string{"identity", "set_aside", "other"}); found {
				hint = "write [" + own + "], in small letters"
			} else if q, named := QuantityByName(n.Key); named {
				hint = "its key is " + strconv.Quote(string(q.Key))
			} else if near, found := gate.Nearest(n.Key, quantityKeys()); found {
				hint = "did you mean " + strconv.Quote(near) + "?"
			}
			w.Problem(n, "unknown-quantity", "the book has no quantity of this name", hint)
			return true
		}
		return ok
	})
	for _, n := range doc.Root.Children {
		switch n.Key {
		case "identity":
			table.Walk(w, n, identityFields, &e.Identity, nil)
			for _, s := range e.Identity.Systems {
				w.OneOf(n, s, systems)
			}
		case "set_aside":
			setAside(w, n, e)
		case "other":
			for _, q := range n.Children {
				quantityClaims(w, Key(otherPrefix+q.Key), q, e)
			}
		default:
			if _, ok := Quantity(Key(n.Key)); ok {
				quantityClaims(w, Key(n.Key), n, e)
			}
		}
	}
	if doc.Root.Child("identity") == nil {
		w.Problem(doc.Root, "missing-key", "the table [identity] is missing (which engine this is)", "write [identity] with label and system")
	}
	return table.Finish(w, e)
}

func quantityClaims(w *table.Walker, key Key, n *gate.Node, e *Engine) {
	if _, ok := Quantity(key); !ok {
		w.Problem(n, "bad-id", fmt.Sprintf("%q is not a label", n.Key), "use lower-case letters, digits and single dashes")
		return
	}
	claims(w, n, func(label, source string, leaf *gate.Node) {
		e.Figures = append(e.Figures, figure(w, key, label, source, leaf, figureFields))
	})
}

func setAside(w *table.Walker, n *gate.Node, e *Engine) {
	add := func(key Key, q *gate.Node) {
		claims(w, q, func(label, source string, leaf *gate.Node) {
			s := SetAside{Quantity: key, Label: label, Source: source, At: position(w, leaf)}
			table.Walk(w, leaf, setAsideFields, &s, nil)
			e.SetAside = append(e.SetAside, s)
		})
	}
	for _, q := range n.Children {
		if q.Key == "other" {
			for _, m := range q.Children {
				add(Key(otherPrefix+m.Key), m)
			}
			continue
		}
		if _, ok := Quantity(Key(q.Key)); !ok {
			hint := ""
			if near, found := gate.Nearest(q.Key, quantityKeys()); found {
				hint = "did you mean " + strconv.Quote(near) + "?"
			}
			w.Problem(q, "unknown-quantity", "the book has no quantity of this name", hint)
			continue
		}
		add(Key(q.Key), q)
	}
}

func quantityKeys() []string {
	keys := make([]string, len(quantities))
	for i, q := range quantities {
		keys[i] = string(q.Key)
	}
	return keys
}

// slugOf makes the nearest label of a key, for hints.
func slugOf(key string) string {
	b := []byte(key)
	for i, c := range b {
		if c == '_' || c == ' ' {
			b[i] = '-'
		}
	}
	return string(b)
}

func position(w *table.Walker, n *gate.Node) Position {
	return Position{File: w.File, Line: n.Line, Col: n.Col}
}
