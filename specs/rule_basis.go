package specs

import (
	"fmt"

	"gapbook.example/specs/gate"
)

// ruleBasis holds the basis of a figure to the grade of its source.
//
// Whether a figure may condemn a part hangs on its basis, and the basis on the
// kind of document: a maker's book is published, a forum is reported even when
// it quotes one. See [Grades]. A figure worked out from a source's other
// figures is derived, whatever the grade.
//
// Refused: basis = "published" from a source of grade "forum".
var ruleBasis = lintRule{code: "basis-grade", table: func(l *linter, t *linted) {
	check := func(source string, basis Basis, n *gate.Node) {
		s, ok := l.book.Source(source)
		if !ok || basis == Derived || basis == gradeBasis(s.Grade) || n == nil {
			return
		}
		l.problems = append(l.problems, n.ValueProblem(t.file, l.rule.code,
			fmt.Sprintf("the basis is %s, and source %s is of grade %s", basis, source, s.Grade), fmt.Sprintf("write %s, or correct the grade of the source", gradeBasis(s.Grade))))
	}
	for _, c := range t.claims {
		check(c.Source, c.Basis, c.node.Child("basis"))
	}
	switch v := t.value.(type) {
	case *Limits:
		for _, x := range v.Tolerances {
			check(x.Source, x.Basis, t.nodeAt(x.At).Child("basis"))
		}
	case *Meter:
		for _, r := range v.Ranges {
			check(r.Source, r.Basis, t.nodeAt(r.At).Child("basis"))
		}
	case *PartClass:
		for _, x := range v.Values {
			check(x.Source, x.Basis, t.nodeAt(x.At).Child("basis"))
		}
	case *SwitchTable:
		for _, s := range v.Sources {
			check(s.Source, s.Basis, t.nodeAt(s.At).Child("basis"))
		}
	case *Bounds:
		for _, x := range v.List {
			check(x.Source, x.Basis, t.nodeAt(x.At).Child("basis"))
		}
	case *WireTable:
		for _, c := range v.Columns {
			check(c.Source, c.Basis, t.nodeAt(c.At).Child("basis"))
		}
	}
}}
