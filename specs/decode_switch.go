package specs

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
)

var switchFields = []table.Field[SwitchTable]{
	table.Required(schemaField[SwitchTable]()),
	table.Required(table.ID("id", "the switch's name, same as the file's", "magneto-six", func(s *SwitchTable) *string { return &s.ID })),
	table.Required(table.Text("label", "the switch in words", "magneto key switch, six terminals", func(s *SwitchTable) *string { return &s.Label })),
	table.Required(table.Word("type", "what it does to an ignition", "magneto", switchTypes, func(s *SwitchTable, t string) { s.Type = t })),
	table.Required(table.Texts("terminals", "letters or numbers on the switch", "[\"G\", \"M\", \"B\", \"S\"]", func(s *SwitchTable) *[]string { return &s.Terminals })),
	table.Text("note", "a remark for the reader", "A is dropped while cranking", func(s *SwitchTable) *string { return &s.Note }),
}

var switchTypes = []string{"battery", "magneto", "other"}

var switchRoleFields = []table.Field[SwitchRoles]{
	table.Text("battery", "terminal that the battery feeds", "B", func(r *SwitchRoles) *string { return &r.Battery }),
	table.Text("feed", "terminal that feeds the ignition in run and start", "I", func(r *SwitchRoles) *string { return &r.Feed }),
	table.Text("bypass", "terminal that feeds the coil around its ballast in start", "R", func(r *SwitchRoles) *string { return &r.Bypass }),
	table.Text("starter", "terminal that works the starter", "S", func(r *SwitchRoles) *string { return &r.Starter }),
	table.Text("kill", "terminal that stops a magneto", "M", func(r *SwitchRoles) *string { return &r.Kill }),
	table.Text("ground", "terminal that is grounded", "G", func(r *SwitchRoles) *string { return &r.Ground }),
	table.Text("accessory", "terminal for accessories", "A", func(r *SwitchRoles) *string { return &r.Accessory }),
	table.Text("lights", "terminal for lights", "L", func(r *SwitchRoles) *string { return &r.Lights }),
}

var switchSourceFields = []table.Field[SwitchSource]{
	table.Text("place", "place in the source", "page 5-7", func(s *SwitchSource) *string { return &s.Place }),
	table.Text("as_printed", "the table as the page prints it", "OFF NONE", func(s *SwitchSource) *string { return &s.AsPrinted }),
	table.Required(table.Word("basis", "what kind of word the table rests on", "published", basisWords, func(s *SwitchSource, t string) { s.Basis = Basis(t) })),
	table.Required(table.Word("status", "how far the table is confirmed", "single-source", statusWords, func(s *SwitchSource, t string) { s.Status = Status(t) })),
	table.Text("note", "a remark for the reader", "disagrees on start", func(s *SwitchSource) *string { return &s.Note }),
	table.Link("link", "https address, for government documents and web-only pages", "https://example.org/page", func(s *SwitchSource) *string { return &s.Link }),
}

// DecodeSwitch reads one switch table, with every problem found.
func DecodeSwitch(file string, src []byte) (*SwitchTable, gate.Problems) {
	doc, problems := gate.Read(file, src)
	if problems != nil {
		return nil, problems
	}
	return decodeSwitch(doc)
}

func decodeSwitch(doc *gate.Doc) (*SwitchTable, gate.Problems) {
	w := &table.Walker{File: doc.File}
	s := &SwitchTable{At: Position{File: doc.File, Line: 1, Col: 1}}
	table.Walk(w, doc.Root, switchFields, s, func(n *gate.Node) bool {
		return n.Key == "positions" || n.Key == "roles" || n.Key == "source"
	})
	checkTerminals(w, doc.Root.Child("terminals"), s.Terminals)
	if n := doc.Root.Child("positions"); n == nil {
		w.Problem(doc.Root, "missing-key", "the switch has no positions", "write [positions] and one line for each, such as off = []")
	} else {
		s.Positions = ReadPositions(w, n, s.Terminals)
	}
	if n := doc.Root.Child("roles"); n != nil {
		table.Walk(w, n, switchRoleFields, &s.Roles, nil)
		for _, r := range n.Children {
			if t, ok := r.Value.(string); ok {
				w.OneOf(r, t, s.Terminals)
			}
		}
	}
	if n := doc.Root.Child("source"); n != nil {
		claims(w, n, func(_, source string, leaf *gate.Node) {
			x := SwitchSource{Source: source, At: position(w, leaf)}
			table.Walk(w, leaf, switchSourceFields, &x, nil)
			s.Sources = append(s.Sources, x)
		})
	} else {
		w.Problem(doc.Root, "missing-key", "the switch table names no source", "write [source.common-practice]")
	}
	return table.Finish(w, s)
}

func checkTerminals(w *table.Walker, n *gate.Node, terminals []string) {
	if n == nil {
		return
	}
	for i, t := range terminals {
		if strings.ContainsAny(t, " .+,") || slices.Contains(terminals[:i], t) {
			w.AtValue(n, "bad-terminal", fmt.Sprintf("%q cannot be the name of a terminal here", t), "each name once, without spaces, dots, commas or plus signs")
		}
	}
}

// ReadPositions reads a table of switch positions, each a list of groups of
// terminals that are joined there, such as run = ["B+I+A", "X+Y"]. Problems go
// to the walker.
func ReadPositions(w *table.Walker, n *gate.Node, terminals []string) []SwitchPosition {
	if !n.IsTable {
		w.Problem(n, "wrong-type", "positions are a table", "write [positions] and one line for each, such as run = [\"B+I\"]")
		return nil
	}
	var positions []SwitchPosition
	for _, c := range n.Children {
		if !table.IsSlug(c.Key) {
			w.Problem(c, "bad-id", strconv.Quote(c.Key)+" is not a name for a position", "use lower-case letters, digits and single dashes, such as run")
		}
		p := SwitchPosition{Name: c.Key, At: position(w, c)}
		groups, ok := c.Value.([]any)
		if !ok {
			w.AtValue(c, "wrong-type", "a list of groups of joined terminals is needed", "write "+c.Key+` = ["B+I"], or [] where nothing is joined`)
			continue
		}
		for _, g := range groups {
			text, ok := g.(string)
			if !ok {
				w.AtValue(c, "wrong-type", "every group is words in quotes", "write "+c.Key+` = ["B+I"]`)
				continue
			}
			group := strings.Split(text, "+")
			for _, t := range group {
				w.OneOf(c, t, terminals)
			}
			if len(group) < 2 {
				w.AtValue(c, "lone-terminal", strconv.Quote(text)+" joins nothing", "write at least two terminals with a plus sign between them")
			}
			p.Joins = append(p.Joins, group)
		}
		positions = append(positions, p)
	}
	if len(positions) == 0 {
		w.Problem(n, "missing-key", "the switch has no positions", "write one line for each, such as off = []")
	}
	return positions
}
