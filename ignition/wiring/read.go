package wiring

import (
	"slices"
	"strconv"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
	"gapbook.example/units"
)

// Read reads a harness from TOML and builds it. The error is a [gate.Problems]
// with everything that is wrong, each at its place.
func Read(book *specs.Book, file string, src []byte) (*Harness, error) {
	doc, problems := gate.Read(file, src)
	if problems != nil {
		return nil, problems
	}
	return ReadNode(book, doc.File, doc.Root)
}

// ReadNode reads a harness from one table of a document: its root, or the table
// [harness] of a job. The error is a [gate.Problems].
func ReadNode(book *specs.Book, file string, n *gate.Node) (*Harness, error) {
	d, problems := readDraft(file, n)
	h, err := Build(book, d)
	if err == nil && len(problems) == 0 {
		return h, nil
	}
	// What Build finds is put where the key stands. A part or wire that could
	// not be read is not reported as lacking something too.
	if more, ok := err.(gate.Problems); ok && len(d.Parts) > 0 {
		for _, p := range more {
			if slices.ContainsFunc(problems, func(q gate.Problem) bool { return owner(q.Key, n.Path) == owner(p.Key, "") }) {
				continue
			}
			problems = append(problems, placed(p, file, n))
		}
	}
	problems.Sort()
	return nil, problems
}

// owner is the part or wire that a key belongs to, "parts.key", below a prefix.
func owner(key, prefix string) string {
	if prefix != "" {
		key = strings.TrimPrefix(key, prefix+".")
	}
	parts := strings.SplitN(key, ".", 3)
	return strings.Join(parts[:min(len(parts), 2)], ".")
}

// placed gives a problem the place of its key below a table.
func placed(p gate.Problem, file string, n *gate.Node) gate.Problem {
	at := n
	for key := range strings.SplitSeq(p.Key, ".") {
		c := at.Child(key)
		if c == nil {
			break
		}
		at = c
	}
	p.File = file
	switch {
	case at == n:
	case at.IsTable:
		p.Line, p.Col = at.Line, at.Col
	default:
		p.Line, p.Col = at.ValueLine, at.ValueCol
	}
	if p.Line == 0 {
		p.Line, p.Col = max(n.Line, 1), max(n.Col, 1)
	}
	if n.Path != "" {
		p.Key = n.Path + "." + p.Key
	}
	return p
}

type header struct {
	Draft
	version int
}

var headerFields = []table.Field[header]{
	table.Integer("version", "version of the harness format", "1", 1, 1, func(h *header) *int { return &h.version }),
	table.Text("title", "the harness in one line", "Sawbench, rewired", func(h *header) *string { return &h.Title }),
	table.Text("note", "a remark", "drawn from the machine as found", func(h *header) *string { return &h.Note }),
	table.Bool("invented", "true for examples that were made up", "true", func(h *header) *bool { return &h.Invented }),
	table.Word("system", "kind of ignition", "battery-points", systemNames(), func(h *header, s string) { h.System, _ = ignition.ParseSystem(s) }),
	table.Word("ground", "battery terminal that is grounded", "negative", []string{"negative", "positive"}, func(h *header, s string) { h.Ground, _ = ignition.ParsePolarity(s) }),
	table.OfKindLenient("volts", "system voltage", "12 V", units.KindVoltage, func(h *header, q units.Quantity) { h.Volts, _ = q.Voltage() }),
	table.OfKindLenient("temperature", "temperature of wires and windings", "50 °C", units.KindTemperature, func(h *header, q units.Quantity) { h.Temperature, _ = q.Temperature() }),
}

func systemNames() []string {
	var out []string
	for _, s := range ignition.Systems() {
		out = append(out, s.String())
	}
	return out
}

var wireFields = []table.Field[Wire]{
	table.Required(table.Text("from", "terminal at one end", "battery.plus", func(w *Wire) *string { return &w.From })),
	table.Required(table.Text("to", "terminal at the other end", "fuse.a", func(w *Wire) *string { return &w.To })),
	wireField("gauge", "size of the wire", "14 AWG", units.ParseWireSize, func(w *Wire) *units.WireSize { return &w.Gauge }),
	wireField("length", "length of the wire", "2 ft", units.ParseLength, func(w *Wire) *units.Length { return &w.Length }),
	table.Text("colour", "colour of the wire", "red", func(w *Wire) *string { return &w.Colour }),
	wireField("insulation", "temperature the insulation bears", "105 °C", units.ParseTemperature, func(w *Wire) *units.Temperature { return &w.Insulation }),
	table.Bool("engine_space", "true where it lies in the heat of the engine", "true", func(w *Wire) *bool { return &w.EngineSpace }),
	table.Integer("bundle", "how many live wires lie together", "3", 1, 1000, func(w *Wire) *int { return &w.Bundle }),
}

func wireField[T any](key, title, example string, parse func(string) (T, error), at func(*Wire) *T) table.Field[Wire] {
	return table.Field[Wire]{Key: key, Title: title, Example: example, Form: table.FormOfKind,
		Set: func(w *table.Walker, n *gate.Node, into *Wire) {
			s, ok := w.ReadText(n)
			if !ok {
				return
			}
			v, err := parse(s)
			if err != nil {
				w.UnitProblem(n, err)
				return
			}
			*at(into) = v
		}}
}

func readDraft(file string, root *gate.Node) (Draft, gate.Problems) {
	w := &table.Walker{File: file}
	var h header
	table.Walk(w, root, headerFields, &h, func(n *gate.Node) bool {
		if n.Key == "parts" || n.Key == "wires" {
			return true
		}
		if n.IsTable {
			hint := "known here: [parts], [wires]"
			if near, ok := gate.Nearest(n.Key, []string{"parts", "wires"}); ok {
				hint = "did you mean " + strconv.Quote(near) + "?"
			}
			w.Problem(n, "unknown-key", "this table is not known here", hint)
			return true
		}
		return false
	})
	each := func(key, example string, read func(n *gate.Node)) {
		n := root.Child(key)
		if n == nil {
			if key == "parts" {
				w.Problem(root, "missing-key", "the harness has no "+key, "write "+example)
			}
			return
		}
		if !n.IsTable {
			w.Problem(n, "wrong-type", key+" is a table", "write "+example)
			return
		}
		for _, c := range n.Children {
			if !c.IsTable {
				w.Problem(c, "wrong-type", "a table is needed here", "write "+example)
				continue
			}
			read(c)
		}
	}
	each("parts", "[parts.battery] and kind = \"battery\"", func(n *gate.Node) { h.Parts = append(h.Parts, readPart(w, n)) })
	each("wires", "[wires.feed], from = \"part.terminal\" and to = \"part.terminal\"", func(n *gate.Node) {
		wire := Wire{Name: n.Key, At: at(w, n)}
		table.Walk(w, n, wireFields, &wire, nil)
		h.Wires = append(h.Wires, wire)
	})
	return h.Draft, w.Problems
}

func at(w *table.Walker, n *gate.Node) ignition.Position {
	return ignition.Position{File: w.File, Line: n.Line, Col: n.Col}
}

func readPart(w *table.Walker, n *gate.Node) Part {
	p := Part{Name: n.Key, At: at(w, n)}
	kind := n.Child("kind")
	if kind == nil {
		w.Problem(n, "missing-key", "nothing says what kind of part this is", "write kind = \"...\"")
		return p
	}
	s, ok := w.ReadText(kind)
	if !ok || !w.OneOf(kind, s, kindNames()) {
		p.Kind = Kind(s)
		return p
	}
	p.Kind = Kind(s)
	info := kindIndex[p.Kind]
	for _, c := range n.Children {
		switch {
		case c.Key == "kind":
		case c.Key == "terminals" && p.Kind == KeySwitch:
			p.Terminals, _ = w.ReadTexts(c)
			for i, t := range p.Terminals {
				if strings.ContainsAny(t, " .+,") || t == "" || slices.Contains(p.Terminals[:i], t) {
					w.AtValue(c, "bad-terminal", strconv.Quote(t)+" cannot be the name of a terminal here", "each name once, without spaces, dots, commas or plus signs")
				}
			}
		case c.Key == "positions" && p.Kind == KeySwitch:
		case slices.Contains(info.attrs, Attribute(c.Key)):
			text, ok := w.ReadText(c)
			if !ok {
				continue
			}
			v, err := ParseValue(Attribute(c.Key).Unit(), text)
			if err != nil {
				w.UnitProblem(c, err)
				continue
			}
			if p.Values == nil {
				p.Values = map[Attribute]Value{}
			}
			p.Values[Attribute(c.Key)] = v
		case slices.Contains(info.words, c.Key):
			if text, ok := w.ReadText(c); ok {
				if p.Words == nil {
					p.Words = map[string]string{}
				}
				p.Words[c.Key] = text
			}
		default:
			hint := "a " + string(p.Kind) + " may have: kind, " + attributeNames(info)
			if near, ok := gate.Nearest(c.Key, strings.Split(attributeNames(info), ", ")); ok {
				hint = "did you mean " + strconv.Quote(near) + "?"
			}
			w.Problem(c, "unknown-key", "this key is not known here", hint)
		}
	}
	if c := n.Child("positions"); c != nil && p.Kind == KeySwitch {
		if len(p.Terminals) == 0 {
			w.Problem(c, "missing-key", "the switch names no terminals", "write terminals = [\"B\", \"I\"] above its positions")
		} else {
			p.Positions = specs.ReadPositions(w, c, p.Terminals)
		}
	}
	return p
}
