package specs

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
)

// Exceptions are problems of the lint that stand for a reason: what a page
// really prints and no rule expects. The tables are exceptions/*.toml.
type Exceptions struct {
	// ID is the table's name.
	ID string
	// List holds the exceptions, in the order of the file.
	List []Exception
	// At is the table's place in the book.
	At Position
}

// An Exception lets one problem of one table stand.
type Exception struct {
	// Name is the exception's own key.
	Name string
	// Rule is the code of the rule, File the table below the folder of the
	// book, Key the dotted key at which the problem stands or one above it.
	Rule, File, Key string
	// Reason says why the rule is wrong here.
	Reason string
	// At is the exception's place in the book.
	At Position
}

var exceptionsFields = []table.Field[Exceptions]{
	table.Required(schemaField[Exceptions]()),
	table.Required(table.ID("id", "the table's name, same as the file's", "lint", func(e *Exceptions) *string { return &e.ID })),
}

var exceptionFields = []table.Field[Exception]{
	table.Required(table.ID("rule", "code of the rule", "siblings", func(e *Exception) *string { return &e.Rule })),
	table.Required(table.Text("file", "the table, below the folder of the book", "engines/orchard-pump-6.toml", func(e *Exception) *string { return &e.File })),
	table.Required(table.Text("key", "the dotted key at which the problem stands", "points_gap.orchard-manual-1958", func(e *Exception) *string { return &e.Key })),
	table.Required(table.Text("reason", "why the rule is wrong here", "the page says so twice, and the part was measured", func(e *Exception) *string { return &e.Reason })),
}

func decodeExceptions(doc *gate.Doc) (*Exceptions, gate.Problems) {
	w := &table.Walker{File: doc.File}
	e := &Exceptions{At: Position{File: doc.File, Line: 1, Col: 1}}
	table.Walk(w, doc.Root, exceptionsFields, e, func(n *gate.Node) bool { return n.Key == "exception" })
	if n := doc.Root.Child("exception"); n != nil {
		for _, c := range n.Children {
			if !c.IsTable {
				w.Problem(c, "wrong-type", "an exception is a table of its own", "write [exception.a-name]")
				continue
			}
			slug(w, c)
			x := Exception{Name: c.Key, At: position(w, c)}
			table.Walk(w, c, exceptionFields, &x, nil)
			e.List = append(e.List, x)
		}
	}
	return table.Finish(w, e)
}

// excuse takes the problems out that an exception lets stand, and reports
// exceptions that let nothing stand. files are the tables that were linted;
// nil are all.
func (l *linter) excuse(problems gate.Problems, files []string) gate.Problems {
	for _, id := range l.book.exceptions {
		t := l.open("exceptions/" + id + ".toml")
		for _, x := range t.value.(*Exceptions).List {
			if files != nil && !slices.Contains(files, x.File) {
				continue
			}
			n := t.nodeAt(x.At)
			if !slices.ContainsFunc(lintRules, func(r lintRule) bool { return r.code == x.Rule && r.code != ruleException.code }) {
				problems = append(problems, n.Child("rule").ValueProblem(t.file, ruleException.code, fmt.Sprintf("there is no rule %q", x.Rule), nearestRule(x.Rule)))
				continue
			}
			file := x.File
			for _, layer := range slices.Backward(l.book.layers) {
				if layer.has(x.File) {
					file = layer.prefix + x.File
					break
				}
			}
			before := len(problems)
			problems = slices.DeleteFunc(problems, func(p gate.Problem) bool {
				return p.Code == x.Rule && p.File == file && (p.Key == x.Key || strings.HasPrefix(p.Key, x.Key+"."))
			})
			if len(problems) == before {
				problems = append(problems, n.Problem(t.file, ruleException.code, fmt.Sprintf("rule %s says nothing of %s in %s any more", x.Rule, x.Key, x.File), "take the exception out"))
			}
		}
	}
	return problems
}

func nearestRule(code string) string {
	codes := make([]string, len(lintRules))
	for i, r := range lintRules {
		codes[i] = r.code
	}
	if near, ok := gate.Nearest(code, codes); ok {
		return "did you mean " + strconv.Quote(near) + "?"
	}
	return "the rules stand in DEVELOPERS"
}
