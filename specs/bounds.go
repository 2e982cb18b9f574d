package specs

import (
	"strconv"
	"strings"

	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
	"gapbook.example/units"
)

// Bounds say what figures of tables other than engines' can be at all: class
// figures of parts, minutes, weights, shares, which no page prints side by side.
// What the limits of a quantity are for engines, these are for such figures. The
// zero Bounds say nothing.
type Bounds struct {
	// ID is the table's name.
	ID string
	// Label says in words what the table is about.
	Label string
	// List holds the bounds, in the order of the file.
	List []Bound
	// At is the table's place in the book.
	At Position
}

// A Bound is the band outside which a figure of one sort is a slip until shown
// otherwise. An absent end bounds nothing.
type Bound struct {
	// Name is the bound's own key.
	Name string
	// Of names the figures: the folder of their tables and the keys that lead to
	// them, without ids, such as "parts.inductance", "faults.fault.cure_minutes".
	Of string
	// Kind is the kind of the figures; a bare number is a ratio.
	Kind units.Kind
	// Min and Max are the ends.
	Min, Max Value
	// Source is the id of the source, Place the place in it.
	Source, Place string
	// Basis is what kind of word the bound rests on.
	Basis Basis
	// Note says what the bound was taken from.
	Note string
	// At is the bound's place in the book.
	At Position
}

var boundsFields = []table.Field[Bounds]{
	table.Required(schemaField[Bounds]()),
	table.Required(table.ID("id", "the table's name, same as the file's", "parts", func(b *Bounds) *string { return &b.ID })),
	table.Required(table.Text("label", "what the table is about, in words", "class figures of parts", func(b *Bounds) *string { return &b.Label })),
}

// bound is a bound before its ends are parsed.
type bound struct {
	Bound
	min, max string
}

var boundFields = []table.Field[bound]{
	table.Required(table.Text("of", "the figures: folder and keys, without ids", "parts.inductance", func(b *bound) *string { return &b.Of })),
	table.Required(table.Word("kind", "kind of the figures", "ratio", kindWords(), func(b *bound, s string) { b.Kind = kindOf(s) })),
	table.Text("min", "the least that is plausible", "0.5", func(b *bound) *string { return &b.min }),
	table.Text("max", "the most that is plausible", "20", func(b *bound) *string { return &b.max }),
	table.Required(table.ID("source", "id of the source", "house-spread", func(b *bound) *string { return &b.Source })),
	table.Text("place", "place in the source", "spread of the collected rows", func(b *bound) *string { return &b.Place }),
	table.Required(table.Word("basis", "what kind of word it rests on", "derived", basisWords, func(b *bound, s string) { b.Basis = Basis(s) })),
	table.Text("note", "what it was taken from", "30 figures run 1 to 12; room on both sides", func(b *bound) *string { return &b.Note }),
}

func decodeBounds(doc *gate.Doc) (*Bounds, gate.Problems) {
	w := &table.Walker{File: doc.File}
	b := &Bounds{At: Position{File: doc.File, Line: 1, Col: 1}}
	table.Walk(w, doc.Root, boundsFields, b, func(n *gate.Node) bool { return n.Key == "bound" })
	if n := doc.Root.Child("bound"); n != nil {
		entries(w, n, func(name string, leaf *gate.Node) {
			x := bound{Bound: Bound{Name: name, At: position(w, leaf)}}
			table.Walk(w, leaf, boundFields, &x, nil)
			if x.Kind == 0 {
				return // reported
			}
			for _, end := range []struct {
				key, text string
				into      *Value
			}{{"min", x.min, &x.Min}, {"max", x.max, &x.Max}} {
				if end.text == "" {
					continue
				}
				v, err := parseValue(x.Kind, end.text)
				if err != nil {
					w.UnitProblem(leaf.Child(end.key), err)
				}
				*end.into = v
			}
			switch {
			case x.Min.IsZero() && x.Max.IsZero():
				w.Problem(leaf, "no-figure", "the bound holds no figure", "write min, max or both")
			case !x.Min.IsZero() && !x.Max.IsZero() && x.Min.Quantity.Cmp(x.Max.Quantity) > 0:
				w.Problem(leaf, "limits-order", x.Min.Text+" stands above "+x.Max.Text, "swap them")
			}
			b.List = append(b.List, x.Bound)
		})
	}
	return table.Finish(w, b)
}

// bounds lists the bounds of all tables by what they are of.
func (l *linter) bounds() map[string]Bound {
	if l.bounded == nil {
		l.bounded = make(map[string]Bound)
		for _, id := range l.book.bounds {
			for _, b := range read(l.book, "bounds/"+id+".toml", decodeBounds).List {
				l.bounded[b.Of] = b
			}
		}
	}
	return l.bounded
}

// A number is a figure of a table as it stands in the document, of whatever
// kind: 0.5, "20 min", "45 mΩ".
type number struct {
	node *gate.Node
	// of names its sort: folder and keys, without ids.
	of string
	// value is a string or, for a bare number, nil with x set.
	text string
	x    float64
}

// in reads the number as a quantity of kind k; ok is false where it is none.
func (n number) in(k units.Kind) (v Value, ok bool) {
	if n.text == "" {
		return Value{Quantity: units.FromSI(k, n.x), Text: strconv.FormatFloat(n.x, 'f', -1, 64)}, true
	}
	v, err := parseValue(k, n.text)
	return v, err == nil
}

// sortDepths says how many parts of a path are ids, after the section's name:
// [fault.ID], [sign.TEST.LABEL], [quantity.ID].
var sortDepths = map[string]int{
	"fault": 1, "unit": 1, "test": 1, "quantity": 1, "opening": 2, "complaint": 1, "sign": 2, "together": 1, "fitted": 1, "shares": 1, "tracing": 1,
	"fact": 1, "step": 1, "outcome": 1, "route": 1, "column": 1,
}

// numbers calls do for every figure of a table with its sort. Words, places and
// what a page prints are no figures.
func (t *linted) numbers(do func(number)) {
	folder, _, _ := strings.Cut(placeOf(t.file, t.doc), "/")
	if _, ok := t.value.(*Meter); ok {
		folder = "meters"
	}
	var walk func(n *gate.Node, of string)
	leaf := func(n *gate.Node, of string) {
		switch v := n.Value.(type) {
		case int64:
			do(number{node: n, of: of, x: float64(v)})
		case float64:
			do(number{node: n, of: of, x: v})
		case string:
			if v != "" && (v[0] >= '0' && v[0] <= '9' || v[0] == '-') {
				do(number{node: n, of: of, text: v})
			}
		}
	}
	walk = func(n *gate.Node, of string) {
		for _, c := range n.Children {
			switch {
			case c.IsTable:
				walk(c, of)
			case c.Items != nil:
				for _, item := range c.Items {
					leaf(item, sortOf(folder, c.Path))
				}
			default:
				leaf(c, sortOf(folder, c.Path))
			}
		}
	}
	walk(t.doc.Root, folder)
}

// sortOf is a path without ids, behind its folder.
func sortOf(folder, path string) string {
	parts := strings.Split(path, ".")
	last := parts[len(parts)-1]
	switch folder {
	case "parts": // attribute, perhaps a label, source, key
		switch last {
		case "min", "nominal", "max":
			return folder + "." + parts[0]
		}
		return folder + "." + parts[0] + "." + last
	case "limits": // section, label, source, key
		return folder + "." + parts[0] + "." + last
	case "meters":
		if len(parts) > 2 && last != "percent" && last != "counts" {
			return folder + "." + parts[1] + "." + last
		}
		return folder + "." + last
	}
	if n, ok := sortDepths[parts[0]]; ok && len(parts) > n+1 {
		name := folder + "." + parts[0] + "." + parts[n+1]
		if parts[n+1] == "changes" && len(parts) > n+3 {
			name += "." + last // times, shift or spread of a quantity
		}
		return name
	}
	return folder + "." + last
}
