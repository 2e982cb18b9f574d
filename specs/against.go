package specs

import (
	"cmp"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"

	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
)

// A Change is one difference between two books.
type Change struct {
	// Kind says what happened.
	Kind ChangeKind
	// Table is the table it happened to, "engines/orchard-pump-6".
	Table string
	// Path is the key within the table, "points_gap.orchard-manual.nominal";
	// empty where it is about the whole table.
	Path string
	// From and To are what stood there and what stands there now; From is empty
	// for what is new, To for what is gone.
	From, To string
	// Why says, of something gone, why it went; empty where nobody said so.
	Why string
}

// A ChangeKind says what happened.
type ChangeKind string

// The kinds of change.
const (
	Added   ChangeKind = "added"   // a table, a claim or a key is new
	Changed ChangeKind = "changed" // a value is another
	Moved   ChangeKind = "status"  // the status of a claim is another
	Renamed ChangeKind = "renamed" // a table has a new id and keeps the old one as an alias
	Removed ChangeKind = "removed" // a table or a claim is gone
)

// Refused reports whether the change may not be made: a table or a claim that
// somebody may cite is gone, it is not set aside in its table, and the book's list
// of what went (frozen/gone.toml) does not say why.
func (c Change) Refused() bool {
	return c.Kind == Removed && c.Why == "" && (c.Path == "" || strings.Contains(c.Path, "."))
}

// Compare returns every difference between two books, in the order of tables
// and keys. The layout of tables, their comments and the order of keys count
// for nothing.
func Compare(before, after *Book) ([]Change, error) {
	gone, err := after.gone()
	if err != nil {
		return nil, err
	}
	old, now := before.tableFiles(), after.tableFiles()
	all := slices.Concat(old, now)
	slices.Sort(all)
	var list []Change
	for _, file := range slices.Compact(all) {
		name := path.Join(path.Dir(file), strings.TrimSuffix(path.Base(file), ".toml"))
		if path.Dir(file) == "." {
			name = "engines/" + name // at the top of a shop's folder
		}
		was, is := slices.Contains(old, file), slices.Contains(now, file)
		switch {
		case !was:
			list = append(list, Change{Kind: Added, Table: name, To: label(after.document(file).Root)})
		case !is:
			c := Change{Kind: Removed, Table: name, From: label(before.document(file).Root), Why: gone[[2]string{name, ""}]}
			if e, err := after.Engine(path.Base(name)); err == nil && path.Dir(name) == "engines" {
				c = Change{Kind: Renamed, Table: name, From: name, To: "engines/" + e.ID}
			}
			list = append(list, c)
		default:
			d := differ{table: name, gone: gone, now: after.document(file).Root}
			d.compare(before.document(file).Root, d.now)
			list = append(list, d.list...)
		}
	}
	return list, nil
}

// A differ gathers the differences between two versions of one table.
type differ struct {
	table string
	gone  map[[2]string]string
	now   *gate.Node
	list  []Change
}

func (d *differ) compare(before, after *gate.Node) {
	var keys []string
	for _, n := range slices.Concat(before.Children, after.Children) {
		if !slices.Contains(keys, n.Key) {
			keys = append(keys, n.Key)
		}
	}
	for _, key := range keys {
		was, is := before.Child(key), after.Child(key)
		switch {
		case was == nil:
			d.each(is, func(n *gate.Node) {
				d.list = append(d.list, Change{Kind: Added, Table: d.table, Path: n.Path, To: said(n)})
			})
		case is == nil:
			d.each(was, func(n *gate.Node) {
				why := d.gone[[2]string{d.table, n.Path}]
				if why == "" {
					why = d.setAside(n.Path)
				}
				d.list = append(d.list, Change{Kind: Removed, Table: d.table, Path: n.Path, From: said(n), Why: why})
			})
		case was.IsTable && is.IsTable:
			d.compare(was, is)
		default:
			if from, to := said(was), said(is); from != to {
				kind := Changed
				if key == "status" {
					kind = Moved
				}
				d.list = append(d.list, Change{Kind: kind, Table: d.table, Path: is.Path, From: from, To: to})
			}
		}
	}
}

// setAside says why a claim that went was set aside in its own table; it is
// kept there, so that nothing vanished. A label may be dropped on the way.
func (d *differ) setAside(claim string) string {
	keys := strings.Split(claim, ".")
	for _, keys := range [][]string{keys, {keys[0], keys[len(keys)-1]}} {
		n := d.now.Child("set_aside")
		for _, key := range keys {
			if n != nil {
				n = n.Child(key)
			}
		}
		if n != nil && n.Child("why") != nil {
			return "set aside: " + said(n.Child("why"))
		}
	}
	return ""
}

// each calls f for a key, or for every claim below it.
func (d *differ) each(n *gate.Node, f func(*gate.Node)) {
	if n.IsTable && len(n.Children) > 0 && allTables(n) {
		for _, c := range n.Children {
			d.each(c, f)
		}
		return
	}
	f(n)
}

// label is how a table names itself.
func label(root *gate.Node) string {
	for _, n := range []*gate.Node{root.Child("identity"), root} {
		if n == nil {
			continue
		}
		for _, key := range []string{"label", "title", "text", "quantity"} {
			if c := n.Child(key); c != nil {
				return said(c)
			}
		}
	}
	return "a table"
}

// said is what a key holds, on one line: of a claim its figure or its words.
func said(n *gate.Node) string {
	if n.IsTable {
		var parts []string
		for _, key := range []string{"min", "nominal", "max", "text", "why"} {
			if c := n.Child(key); c != nil {
				parts = append(parts, key+" "+said(c))
			}
		}
		if len(parts) == 0 {
			return fmt.Sprintf("%d keys", len(n.Children))
		}
		return strings.Join(parts, ", ")
	}
	if n.Items != nil {
		parts := make([]string, len(n.Items))
		for i, item := range n.Items {
			parts[i] = said(item)
		}
		return strings.Join(parts, "; ")
	}
	return strings.Join(strings.Fields(fmt.Sprint(n.Value)), " ")
}

// gone reads the book's list of what went: the reason by table and figure.
func (b *Book) gone() (map[[2]string]string, error) {
	list := make(map[[2]string]string)
	for _, l := range b.layers {
		src, err := fs.ReadFile(l.fsys, goneFile)
		if err != nil {
			continue // most folders have none
		}
		entries, problems := decodeGone(l.prefix+goneFile, src)
		if problems != nil {
			return nil, problems
		}
		for _, g := range entries {
			list[[2]string{g.table, g.figure}] = g.why
		}
	}
	return list, nil
}

const goneFile = "frozen/gone.toml"

// goneEntry is one thing that the book held and holds no more.
type goneEntry struct{ table, figure, why, instead string }

var goneFields = []table.Field[goneEntry]{
	table.Required(table.Text("table", "the table that went, or that the figure stood in", "engines/orchard-pump-6", func(g *goneEntry) *string { return &g.table })),
	table.Text("figure", "the figure that went, where the table stays", "points_gap.orchard-manual", func(g *goneEntry) *string { return &g.figure }),
	table.Required(table.Text("why", "why it went", "the page is about another engine", func(g *goneEntry) *string { return &g.why })),
	table.Text("instead", "what to use instead", "engines/orchard-pump-8", func(g *goneEntry) *string { return &g.instead }),
}

func decodeGone(file string, src []byte) ([]goneEntry, gate.Problems) {
	doc, problems := gate.Read(file, src)
	if problems != nil {
		return nil, problems
	}
	w := &table.Walker{File: file}
	var list []goneEntry
	table.Walk(w, doc.Root, []table.Field[goneEntry]{table.Required(schemaField[goneEntry]())}, &goneEntry{}, func(n *gate.Node) bool { return n.Key == "gone" })
	if n := doc.Root.Child("gone"); n != nil {
		for _, c := range n.Children {
			var g goneEntry
			table.Walk(w, c, goneFields, &g, nil)
			list = append(list, g)
		}
	}
	if len(w.Problems) > 0 {
		w.Problems.Sort()
		return nil, w.Problems
	}
	return list, nil
}

// CheckFrozen holds a book to a list of every id it ever had, one a line such
// as "engines/orchard-pump-6": an id still names a table, is the alias of an
// engine, or stands in the list of what went (frozen/gone.toml), and none in
// that list is used again. missing are the ids that the list lacks, for
// whoever keeps it.
func (b *Book) CheckFrozen(list []byte) (missing []string, problems gate.Problems) {
	const file = "frozen/ids.txt"
	gone, err := b.gone()
	if err != nil {
		problems, _ = err.(gate.Problems)
		return nil, problems
	}
	have := make(map[string]bool)
	for _, f := range b.tableFiles() {
		if path.Dir(f) == "." {
			f = "engines/" + f
		}
		have[strings.TrimSuffix(f, ".toml")] = true
	}
	left := maps.Clone(have)
	line := 0
	for id := range strings.Lines(string(list)) {
		line++
		id = strings.TrimSpace(id)
		if id == "" || id[0] == '#' {
			continue
		}
		delete(left, id)
		dir, name := path.Split(id)
		_, found := slices.BinarySearchFunc(b.aliases, name, func(a alias, s string) int { return cmp.Compare(a.name, s) })
		if have[id] || dir == "engines/" && found || gone[[2]string{id, ""}] != "" {
			continue
		}
		problems = append(problems, gate.Problem{File: file, Line: line, Col: 1, Code: "frozen-id", Message: fmt.Sprintf("the book no longer has %s", id),
			Hint: "give the engine that has it now aliases = [\"" + name + "\"], or say in " + goneFile + " why it went"})
	}
	for key := range gone {
		if key[1] == "" && have[key[0]] {
			problems = append(problems, gate.Problem{File: goneFile, Line: 1, Col: 1, Code: "frozen-id", Message: fmt.Sprintf("%s is in the book and in the list of what went", key[0]), Hint: "an id is never used again: take another"})
		}
	}
	problems.Sort()
	return slices.Sorted(maps.Keys(left)), problems
}
