package specs

import (
	"fmt"
	"slices"
	"strings"

	"gapbook.example/specs/gate"
)

// ruleOrder wants every table written in one order.
//
// First the line for editors (#:schema), then schema, id and aliases, then
// identity, the quantities in the order of the closed list, other, set_aside;
// inside a table the keys in the order of the book's own list. A reader finds
// his figure at the same place in every file, and two editions of a file
// compare line by line.
//
// Refused: [plug_gap.x] before [points_gap.x]; basis before place.
var ruleOrder = lintRule{code: "order", table: func(l *linter, t *linted) {
	kind := "engine"
	switch v := t.value.(type) {
	case *Engine:
		l.inOrder(t, t.doc.Root, append(fieldKeys(engineFields), "identity"))
		if n := t.doc.Root.Child("identity"); n != nil {
			l.inOrder(t, n, fieldKeys(identityFields))
		}
		for _, c := range t.claims {
			l.inOrder(t, c.node, fieldKeys(figureFields))
		}
		for _, s := range v.SetAside {
			l.inOrder(t, t.nodeAt(s.At), fieldKeys(setAsideFields))
		}
		l.quantitiesInOrder(t, v)
	case *Source:
		kind = "source"
		l.inOrder(t, t.doc.Root, fieldKeys(sourceFields))
	case *Limits:
		kind = "limit"
		l.inOrder(t, t.doc.Root, append(fieldKeys(limitsFields), "plausible", "tolerance", "band", "gross", "advice"))
		for _, c := range t.claims {
			l.inOrder(t, c.node, classOrder())
		}
		for _, x := range v.Tolerances {
			l.inOrder(t, t.nodeAt(x.At), fieldKeys(toleranceFields))
		}
		if n := t.doc.Root.Child("advice"); n != nil {
			l.inOrder(t, n, fieldKeys(adviceFields))
		}
	case *Meter:
		kind = "meter"
		l.inOrder(t, t.doc.Root, append(fieldKeys(meterFields), "accuracy"))
		for _, r := range v.Ranges {
			l.inOrder(t, t.nodeAt(r.At), fieldKeys(rangeFields))
		}
	case *FaultTable:
		kind = "fault"
		l.faultsInOrder(t, v)
	case *Conversion:
		kind = "conversion"
		l.conversionInOrder(t)
	case *Finish:
		kind = "finish"
		l.finishInOrder(t)
	case *Caution:
		kind = "caution"
		l.inOrder(t, t.doc.Root, append(fieldKeys(cautionFields), "source"))
	case *PartClass:
		kind = "part"
		l.inOrder(t, t.doc.Root, fieldKeys(partFields))
		for _, x := range v.Values {
			l.inOrder(t, t.nodeAt(x.At), fieldKeys(classValueFields))
		}
	case *SwitchTable:
		kind = "switch"
		l.inOrder(t, t.doc.Root, append(fieldKeys(switchFields), "positions", "roles", "source"))
		for _, s := range v.Sources {
			l.inOrder(t, t.nodeAt(s.At), fieldKeys(switchSourceFields))
		}
	case *Bounds:
		kind = "bound"
		l.inOrder(t, t.doc.Root, append(fieldKeys(boundsFields), "bound"))
		for _, x := range v.List {
			l.inOrder(t, t.nodeAt(x.At), fieldKeys(boundFields))
		}
	case *Exceptions:
		kind = "exception"
		l.inOrder(t, t.doc.Root, append(fieldKeys(exceptionsFields), "exception"))
		for _, x := range v.List {
			l.inOrder(t, t.nodeAt(x.At), fieldKeys(exceptionFields))
		}
	case *WireTable:
		kind = "wire"
		l.inOrder(t, t.doc.Root, append(fieldKeys(wireFields), "column"))
		for _, c := range v.Columns {
			l.inOrder(t, t.nodeAt(c.At), fieldKeys(wireColumnFields))
		}
	}
	if want := "../schema/" + kind + ".json"; t.doc.Schema != want {
		l.problems = append(l.problems, gate.Problem{File: t.file, Line: 1, Col: 1, Code: l.rule.code,
			Message: fmt.Sprintf("the first line names the schema %q", t.doc.Schema), Hint: "write #:schema " + want})
	}
}}

// classOrder is the order of keys in a class figure: what class it is about
// stands before the condition.
func classOrder() []string {
	keys := fieldKeys(figureFields)
	own := fieldKeys(classFigureFields)[len(keys):]
	return slices.Insert(keys, slices.Index(keys, "status")+1, own...)
}

// inOrder reports the first key of a table that stands before one it should
// follow. Keys that are not listed are somebody else's.
func (l *linter) inOrder(t *linted, n *gate.Node, keys []string) {
	if l.fixes != nil {
		l.fixes.orders[n.Path] = keys
		return
	}
	highest := -1
	for _, c := range n.Children {
		at := slices.Index(keys, c.Key)
		if at < 0 {
			continue
		}
		if at < highest {
			l.at(t, c, fmt.Sprintf("%s stands after %s", c.Key, keys[highest]), "the order is "+strings.Join(present(n, keys), ", "))
			return
		}
		highest = at
	}
}

// present lists those of the keys that a table has.
func present(n *gate.Node, keys []string) []string {
	return slices.DeleteFunc(slices.Clone(keys), func(k string) bool { return n.Child(k) == nil })
}

// quantitiesInOrder reports the first claim that stands after a later one.
func (l *linter) quantitiesInOrder(t *linted, e *Engine) {
	type part struct {
		at   Position
		name string
		rank int
	}
	parts := make([]part, 0, 1+len(e.Figures)+len(e.SetAside))
	if n := t.doc.Root.Child("identity"); n != nil {
		parts = append(parts, part{Position{File: t.doc.File, Line: n.Line, Col: n.Col}, "identity", -1})
	}
	for _, f := range e.Figures {
		parts = append(parts, part{f.At, f.Path(), order(f.Quantity)})
	}
	for _, s := range e.SetAside {
		parts = append(parts, part{s.At, "set_aside", len(quantities) + 1 + order(s.Quantity)})
	}
	slices.SortStableFunc(parts, func(a, b part) int { return a.at.Line - b.at.Line })
	for i := 1; i < len(parts); i++ {
		if parts[i].rank < parts[i-1].rank {
			l.at(t, t.nodeAt(parts[i].at), fmt.Sprintf("this stands after %s", parts[i-1].name), "the order is that of the list of quantities, then other, then set_aside")
			return
		}
	}
}
