package wiring

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
	"gapbook.example/units"
)

// The largest harness that is taken. A small engine's has some forty parts.
const (
	MaxParts = 256
	MaxWires = 512
	// MaxStates is the greatest number of states that are worked through.
	MaxStates = 1 << 14
)

// Harness is a checked harness. It is immutable and safe to share. [Build],
// [Read] and [Layout] make it; the zero Harness is of no use.
type Harness struct {
	draft    Draft
	parts    []Part // with what was assumed filled in
	partAt   map[string]int
	wireAt   map[string]int
	nodes    []node
	nodeAt   map[string]int
	ref      int
	assumed  []Assumption
	params   []param
	elements []element // in rising order of resistance
	controls []control
	key      int // part, -1 where there is no key switch
	keys     []string
	breakers []int // parts
	locks    []int
	buttons  []int
	switches map[int]*specs.SwitchTable
	volts    units.Voltage
}

// node is one terminal.
type node struct {
	part int
	name string // of the terminal
	addr string // "part.terminal"
}

// Assumption is one thing that the harness did not say and the book's class
// figure stands for.
type Assumption struct {
	Part      string
	Attribute Attribute
	Value     Value
}

// String returns "part: attribute taken as value (source, place)".
func (a Assumption) String() string {
	text := a.Part + ": " + strings.ReplaceAll(string(a.Attribute), "_", " ") + " taken as " + a.Value.String()
	if a.Value.Source != "" {
		text += " (" + a.Value.Source
		if a.Value.Place != "" {
			text += ", " + a.Value.Place
		}
		text += ")"
	}
	return text
}

// Build checks a draft and makes a harness of it. The book gives switch tables
// and what is assumed of parts. The error is a [gate.Problems] with everything
// that is wrong, each at its place in the file where the draft has one.
func Build(book *specs.Book, d Draft) (*Harness, error) {
	h := &Harness{draft: d.Clone(), key: -1, partAt: map[string]int{}, wireAt: map[string]int{}, nodeAt: map[string]int{}, switches: map[int]*specs.SwitchTable{}, ref: -1}
	b := &builder{Harness: h, book: book}
	b.checkParts()
	b.checkWires()
	if len(b.problems) == 0 {
		b.fill()
	}
	if len(b.problems) == 0 {
		b.compile()
	}
	if len(b.problems) > 0 {
		b.problems.Sort()
		return nil, b.problems
	}
	return h, nil
}

type builder struct {
	*Harness
	book     *specs.Book
	problems gate.Problems
}

func (b *builder) problem(at ignition.Position, key, code, message, hint string) {
	if len(b.problems) < 100 {
		b.problems = append(b.problems, gate.Problem{File: cmp.Or(at.File, "harness"), Line: at.Line, Col: at.Col, Key: key, Code: code, Message: message, Hint: hint})
	}
}

func (b *builder) checkParts() {
	d := &b.draft
	if len(d.Parts) == 0 {
		b.problem(ignition.Position{}, "parts", "no-parts", "the harness has no parts", "write a table [parts.name] for each part")
	}
	if len(d.Parts) > MaxParts {
		b.problem(d.Parts[MaxParts].At, "parts", "too-many-parts", fmt.Sprintf("%d parts are more than the %d that one harness may have", len(d.Parts), MaxParts), "leave out what does not touch the ignition")
		return
	}
	for i := range d.Parts {
		p := d.Parts[i]
		path := "parts." + p.Name
		switch other, taken := b.partAt[p.Name]; {
		case !table.IsSlug(p.Name):
			b.problem(p.At, path, "bad-id", strconv.Quote(p.Name)+" is not a name for a part", "use lower-case letters, digits and single dashes, such as key or left-plug")
		case taken:
			b.problem(p.At, path, "duplicate-part", fmt.Sprintf("the part %d has this name too", other+1), "give each part a name of its own")
		}
		b.partAt[p.Name] = i
		info := kindIndex[p.Kind]
		if info == nil {
			hint := "the kinds are: " + strings.Join(kindNames(), ", ")
			if near, ok := gate.Nearest(string(p.Kind), kindNames()); ok {
				hint = "did you mean " + strconv.Quote(near) + "?"
			}
			b.problem(p.At, path+".kind", "unknown-kind", fmt.Sprintf("there is no kind of part %q", p.Kind), hint)
			continue
		}
		for _, a := range sortedKeys(p.Values) {
			v := p.Values[a]
			switch {
			case !slices.Contains(info.attrs, a):
				b.problem(p.At, path+"."+string(a), "unknown-attribute", fmt.Sprintf("nothing is known of the %s of a %s", a, p.Kind), "it may have: "+attributeNames(info))
			case v.Nominal.Kind() != a.Unit() || v.Min.Kind() != a.Unit() || v.Max.Kind() != a.Unit():
				b.problem(p.At, path+"."+string(a), "wrong-quantity", fmt.Sprintf("%s is a %s", a, a.Unit()), "give a value of that kind")
			case !sound(v.Min) || !sound(v.Nominal) || !sound(v.Max):
				b.problem(p.At, path+"."+string(a), "out-of-range", fmt.Sprintf("%s cannot be the %s", v, attributeInfo[a].Title), "a part's figures are positive and within reason; turn the part round by its wires")
			case v.Min.Cmp(v.Nominal) > 0 || v.Max.Cmp(v.Nominal) < 0:
				b.problem(p.At, path+"."+string(a), "limits-order", fmt.Sprintf("%s does not lie between its limits", v), "write the lesser limit first")
			}
		}
		for _, w := range sortedKeys(p.Words) {
			word := p.Words[w]
			switch {
			case !slices.Contains(info.words, w):
				b.problem(p.At, path+"."+w, "unknown-attribute", fmt.Sprintf("a %s has no %s", p.Kind, w), "it may have: "+attributeNames(info))
			case w != "table" && !slices.Contains(wordValues[w], word):
				b.problem(p.At, path+"."+w, "unknown-word", fmt.Sprintf("%q is not known here", word), "one of: "+strings.Join(slices.DeleteFunc(slices.Clone(wordValues[w]), func(s string) bool { return s == "" }), ", "))
			}
		}
		terminals := p.Kind.Terminals()
		switch p.Kind {
		case KeySwitch:
			terminals = b.switchTable(i)
			if b.key >= 0 {
				b.problem(p.At, path, "second-key", fmt.Sprintf("%q is a key switch already", d.Parts[b.key].Name), "write a further switch as a button")
			}
			b.key = i
		case Block:
			if b.ref < 0 {
				b.ref = len(b.nodes)
			}
		case Interlock:
			b.locks = append(b.locks, i)
			if p.Words["second"] == "" {
				terminals = terminals[:2]
			}
		case Coil, FlywheelMagneto, FlywheelModule, RotorMagneto:
			if p.Word("towers") != "2" {
				terminals = slices.DeleteFunc(terminals, func(t string) bool { return t == "ht2" })
			}
		case Button:
			b.buttons = append(b.buttons, i)
		}
		if p.Kind != KeySwitch && (len(p.Positions) > 0 || len(p.Terminals) > 0) {
			b.problem(p.At, path, "no-positions", fmt.Sprintf("a %s has no positions", p.Kind), "only a key switch has them")
		}
		if info.breaker {
			b.breakers = append(b.breakers, i)
		}
		for _, name := range terminals {
			addr := p.Name + "." + name
			b.nodeAt[addr] = len(b.nodes)
			b.nodes = append(b.nodes, node{part: i, name: name, addr: addr})
		}
	}
	if b.ref < 0 && len(d.Parts) > 0 {
		b.problem(ignition.Position{File: d.Parts[0].At.File}, "parts", "no-block", "the harness has no engine block, so there is nothing to measure against", "write [parts.block] with kind = \"block\" and join to it whatever is bolted to the engine")
	}
}

// sound reports whether a figure can be that of a part: not below nothing, not
// beyond all reason; a resistance may be open.
func sound(q units.Quantity) bool {
	const most = 1e12 // in SI units: a teraohm, a teravolt
	return q.SI() >= 0 && (q.SI() <= most || q.Kind() == units.KindResistance && math.IsInf(q.SI(), 1))
}

func kindNames() []string {
	out := make([]string, len(kindTable))
	for i, k := range kindTable {
		out[i] = string(k.kind)
	}
	return out
}

func attributeNames(info *kindInfo) string {
	var out []string
	for _, a := range info.attrs {
		out = append(out, string(a))
	}
	return strings.Join(append(out, info.words...), ", ")
}

// switchTable finds the table of a key switch and returns its terminals.
func (b *builder) switchTable(i int) []string {
	p := b.draft.Parts[i]
	path := "parts." + p.Name
	if len(p.Positions) > 0 {
		tbl := &specs.SwitchTable{ID: p.Name, Label: p.Name, Type: "other", Terminals: p.Terminals, Positions: p.Positions}
		if p.Words["table"] != "" {
			b.problem(p.At, path+".table", "two-tables", "the switch has both a table of the book and one of its own", "keep one of them")
		}
		seen := map[string]bool{}
		for _, pos := range p.Positions {
			if seen[pos.Name] {
				b.problem(p.At, path+".positions."+pos.Name, "duplicate-position", "the switch has this position twice", "give each position a name of its own")
			}
			seen[pos.Name] = true
			for _, group := range pos.Joins {
				for _, name := range group {
					if !slices.Contains(p.Terminals, name) {
						b.unknown(p.At, path+".positions."+pos.Name, "terminal", name, p.Terminals)
					}
				}
			}
		}
		b.setSwitch(i, tbl)
		return p.Terminals
	}
	id := p.Words["table"]
	if id == "" {
		b.problem(p.At, path+".table", "missing-key", "nothing says what the switch joins in each position", "write table = \"...\" with one of "+strings.Join(b.book.SwitchTables(), ", ")+", or [parts."+p.Name+".positions]")
		return nil
	}
	tbl, err := b.book.SwitchTable(id)
	if err != nil {
		b.unknown(p.At, path+".table", "switch table", id, b.book.SwitchTables())
		return nil
	}
	b.setSwitch(i, tbl)
	return tbl.Terminals
}

func (b *builder) setSwitch(i int, tbl *specs.SwitchTable) {
	b.switches[i] = tbl
	b.keys = nil
	for _, p := range tbl.Positions {
		b.keys = append(b.keys, p.Name)
	}
	if len(b.keys) > 64 {
		b.problem(b.draft.Parts[i].At, "parts."+b.draft.Parts[i].Name, "too-many-positions", fmt.Sprintf("%d positions are more than 64", len(b.keys)), "")
	}
}

func (b *builder) unknown(at ignition.Position, key, what, word string, known []string) {
	hint := "one of: " + strings.Join(known, ", ")
	if near, ok := gate.Nearest(word, known); ok {
		hint = "did you mean " + strconv.Quote(near) + "? " + hint
	} else if len(known) == 0 {
		hint = ""
	}
	b.problem(at, key, "unknown-"+strings.ReplaceAll(what, " ", "-"), fmt.Sprintf("there is no %s %q", what, word), hint)
}

func (b *builder) checkWires() {
	d := &b.draft
	if len(d.Wires) > MaxWires {
		b.problem(d.Wires[MaxWires].At, "wires", "too-many-wires", fmt.Sprintf("%d wires are more than the %d that one harness may have", len(d.Wires), MaxWires), "leave out what does not touch the ignition")
		return
	}
	for i := range d.Wires {
		w := &d.Wires[i]
		path := "wires." + w.Name
		switch other, taken := b.wireAt[w.Name]; {
		case !table.IsSlug(w.Name):
			b.problem(w.At, path, "bad-id", strconv.Quote(w.Name)+" is not a name for a wire", "use lower-case letters, digits and single dashes, such as feed-1")
		case taken:
			b.problem(w.At, path, "duplicate-wire", fmt.Sprintf("the wire from %s to %s has this name too", d.Wires[other].From, d.Wires[other].To), "give each wire a name of its own")
		}
		b.wireAt[w.Name] = i
		w.From = b.end(*w, "from", w.From)
		w.To = b.end(*w, "to", w.To)
		if w.From == w.To && w.From != "" {
			b.problem(w.At, path, "wire-to-itself", fmt.Sprintf("the wire runs from %s to itself", w.From), "name the terminal at its other end")
		}
		switch ohms := b.Resistance(*w).Ohms(); {
		case w.Length.Metres() < 0 || !(ohms <= 1e12):
			b.problem(w.At, path+".length", "out-of-range", w.Length.String()+" of "+w.Gauge.String()+" cannot be a wire", "write its length, such as \"2 ft\", and its gauge, such as \"14 AWG\"")
		}
	}
}

// end returns the package's own spelling of one end of a wire.
func (b *builder) end(w Wire, key, written string) string {
	path := "wires." + w.Name + "." + key
	if written == "" {
		b.problem(w.At, path, "wire-to-nowhere", "the wire has no end here", "write "+key+" = \"part.terminal\"")
		return ""
	}
	name, terminal, ok := strings.Cut(written, ".")
	if !ok {
		i, known := b.partAt[name]
		if !known {
			b.unknown(w.At, path, "part", name, sortedKeys(b.partAt))
			return written
		}
		if len(b.terminalsOf(i)) == 1 {
			return name + "." + b.terminalsOf(i)[0]
		}
		b.problem(w.At, path, "wire-to-nowhere", strconv.Quote(written)+" names no terminal", "write it as part.terminal, such as \"battery.plus\"")
		return written
	}
	i, known := b.partAt[name]
	if !known {
		b.unknown(w.At, path, "part", name, sortedKeys(b.partAt))
		return written
	}
	p := b.draft.Parts[i]
	if kindIndex[p.Kind] == nil || p.Kind == KeySwitch && b.switches[i] == nil {
		return written // said before
	}
	if p.Kind != KeySwitch {
		if own, ok := p.Kind.Terminal(terminal); ok {
			terminal = own
		}
	}
	addr := name + "." + terminal
	if _, ok := b.nodeAt[addr]; !ok {
		b.unknown(w.At, path, "terminal", terminal, b.terminalsOf(i))
	}
	return addr
}

func (h *Harness) terminalsOf(part int) []string {
	var out []string
	for _, n := range h.nodes {
		if n.part == part {
			out = append(out, n.name)
		}
	}
	return out
}

// fill puts the book's class figures where the draft says nothing.
func (b *builder) fill() {
	d := &b.draft
	b.volts = d.Volts
	for _, kind := range []Kind{Battery, DryCells, TremblerCoil, LowTensionCoil, Coil} {
		for _, p := range d.Parts {
			if v, ok := p.Values[Volts]; ok && p.Kind == kind && b.volts.IsZero() {
				b.volts, _ = v.Nominal.Voltage()
			}
		}
	}
	if b.volts.IsZero() {
		for _, kind := range []Kind{Battery, DryCells} {
			for _, p := range d.Parts {
				if p.Kind == kind && b.volts.IsZero() {
					if v, ok := b.typical(kind, Volts, ""); ok {
						b.volts, _ = v.Nominal.Voltage()
					}
				}
			}
		}
	}
	b.parts = d.Clone().Parts
	for i := range b.parts {
		p := &b.parts[i]
		if p.Values == nil {
			p.Values = map[Attribute]Value{}
		}
		for _, a := range kindIndex[p.Kind].attrs {
			if v, given := p.Values[a]; given {
				if v.Min == v.Nominal && v.Max == v.Nominal {
					if c, ok := b.book.PartClass(string(p.Kind)); ok {
						if g, ok := c.Typical(string(a), "given", b.volts); ok && g.Label == "given" {
							w := around(v.Nominal, g.Spread*v.Nominal.SI())
							v.Min, v.Max = w.Min, w.Max
							p.Values[a] = v
						}
					}
				}
				continue
			}
			label := p.Word("class")
			v, ok := b.typical(p.Kind, a, label)
			if a == Volts && !b.volts.IsZero() {
				v, ok = Of(b.volts), true
				v.Assumed = true
			}
			if p.Kind == Lead && a == Resistance && hasLength(p.Values) {
				ok = false // it says so by the length
			}
			if ok {
				p.Values[a] = v
				b.assumed = append(b.assumed, Assumption{Part: p.Name, Attribute: a, Value: v})
			}
		}
	}
}

func hasLength(v map[Attribute]Value) bool { return !v[PerLength].IsZero() && !v[Length].IsZero() }

func (b *builder) typical(kind Kind, a Attribute, label string) (Value, bool) {
	c, ok := b.book.PartClass(string(kind))
	if !ok {
		return Value{}, false
	}
	t, ok := c.Typical(string(a), label, b.volts)
	if !ok || t.Band.Nominal.IsZero() {
		return Value{}, false
	}
	q := t.Band.Nominal.Quantity
	v := around(q, t.Spread*q.SI())
	if !t.Band.Min.IsZero() {
		v.Min = t.Band.Min.Quantity
	}
	if !t.Band.Max.IsZero() {
		v.Max = t.Band.Max.Quantity
	}
	v.Assumed, v.Source, v.Place, v.Basis = true, t.Source, t.Place, t.Basis
	return v, true
}

// Draft returns a copy of what the harness was built from, with the ends of
// wires in the package's own spelling: something to change and build again.
func (h *Harness) Draft() Draft { return h.draft.Clone() }

// Title returns the title that the draft gave.
func (h *Harness) Title() string { return h.draft.Title }

// System returns the kind of ignition that the draft named.
func (h *Harness) System() ignition.System { return h.draft.System }

// Ground returns which battery terminal is meant to be grounded.
func (h *Harness) Ground() ignition.Polarity { return h.draft.Ground }

// SystemVolts returns the system's voltage: the draft's, else that of its
// battery, dry cells or coil; zero where nothing says.
func (h *Harness) SystemVolts() units.Voltage { return h.volts }

// Temperature returns the temperature that wires and windings are taken at.
func (h *Harness) Temperature() units.Temperature {
	if h.draft.Temperature.IsZero() {
		return units.Celsius(20)
	}
	return h.draft.Temperature
}

// Assumed lists what the harness did not say and the book's class figures
// stand for, in the order of the parts.
func (h *Harness) Assumed() []Assumption { return slices.Clone(h.assumed) }

// Parts returns the parts with what was assumed filled in, in the order of the
// draft. They are copies.
func (h *Harness) Parts() []Part {
	out := slices.Clone(h.parts)
	for i := range out {
		out[i].Values, out[i].Words = maps.Clone(out[i].Values), maps.Clone(out[i].Words)
	}
	return out
}

// Part returns the part of this name with what was assumed filled in. Its maps
// belong to the harness: do not change them.
func (h *Harness) Part(name string) (p Part, ok bool) {
	i, ok := h.partAt[name]
	if !ok {
		return Part{}, false
	}
	return h.parts[i], true
}

// OfKind returns the names of the parts of one kind, in the order of the draft.
func (h *Harness) OfKind(kinds ...Kind) []string {
	var out []string
	for _, p := range h.parts {
		if slices.Contains(kinds, p.Kind) {
			out = append(out, p.Name)
		}
	}
	return out
}

// Wires returns the wires in the order of the draft.
func (h *Harness) Wires() []Wire { return slices.Clone(h.draft.Wires) }

// Wire returns the wire of this name.
func (h *Harness) Wire(name string) (w Wire, ok bool) {
	i, ok := h.wireAt[name]
	if !ok {
		return Wire{}, false
	}
	return h.draft.Wires[i], true
}

// Terminals lists every terminal as "part.terminal", in the order of the parts.
func (h *Harness) Terminals() []string {
	out := make([]string, len(h.nodes))
	for i, n := range h.nodes {
		out[i] = n.addr
	}
	return out
}

// WiresAt returns the names of the wires that end on a terminal.
func (h *Harness) WiresAt(terminal string) []string {
	var out []string
	for _, w := range h.draft.Wires {
		if w.From == terminal || w.To == terminal {
			out = append(out, w.Name)
		}
	}
	return out
}

// Switch returns the table of the key switch, and the part's name; ok is false
// where the harness has none.
func (h *Harness) Switch() (table *specs.SwitchTable, part string, ok bool) {
	if h.key < 0 {
		return nil, "", false
	}
	return h.switches[h.key], h.parts[h.key].Name, true
}

// Resistance returns the resistance of a wire at the harness's temperature; 0
// for a joint.
func (h *Harness) Resistance(w Wire) units.Resistance {
	if w.IsJoint() {
		return units.Ohms(0)
	}
	return units.Ohms(w.Gauge.Copper(h.Temperature()).OhmsPerMetre() * w.Length.Metres())
}

func byResistance(params []param) func(a, b element) int {
	ohms := func(e element) float64 {
		if e.r < 0 {
			return 0
		}
		return params[e.r].nominal
	}
	return func(a, b element) int { return cmp.Compare(ohms(a), ohms(b)) }
}
