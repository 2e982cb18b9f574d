package specs

// ruleInvented keeps invented figures out.
//
// Examples and tests need engines that nobody owns. In the book one would be
// taken for a figure. They live under examples and testdata.
//
// Refused: basis = "invented" in any table, and grade = "invented" in a source.
var ruleInvented = lintRule{code: "invented", table: func(l *linter, t *linted) {
	for _, c := range t.claims {
		if c.Basis == Invented {
			l.claim(c, "basis", "an invented figure stands in the book", "take it out; examples have their own tables")
		}
	}
	if s, ok := t.value.(*Source); ok && gradeBasis(s.Grade) == Invented {
		l.at(t, t.doc.Root.Child("grade"), "an invented source stands in the book", "take it out; examples have their own tables")
	}
}}
