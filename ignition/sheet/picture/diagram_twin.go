package picture

import (
	"slices"
	"strconv"
	"strings"

	"gapbook.example/ignition/wiring"
)

// A Twin says in words what a diagram shows, in the order of the drawing.
type Twin struct {
	Parts  []TwinPart
	Wires  []TwinWire
	Ground []TwinGround
	// Open lists terminals without any wire, "part terminal".
	Open []string
	// Key lists the key's positions and what each joins; nil where there is no
	// key switch.
	Key []TwinPosition
	// Shown is the key's position that is shown; it may be empty.
	Shown string
	// Notes are the sentences about faults and tags.
	Notes []string
}

// A TwinPart is one part of a diagram. The zero TwinPart is none.
type TwinPart struct {
	// Name is the harness's name for it, Kind what it is.
	Name, Kind string
	// Notes are what is known of it, such as "12 V" or "closed: seat empty"; of
	// a contact in the state shown, "open now" or "closed now".
	Notes []string
	// Tag is its mark in the drawing; it may be empty.
	Tag string
}

// A TwinWire is one wire of a diagram. The zero TwinWire is none.
type TwinWire struct {
	// Number is the wire's, from 1.
	Number int
	// Name is the harness's name for it.
	Name string
	// From and To are its ends, "part terminal"; where current flows it goes
	// from the first to the second.
	From, To string
	// Gauge and Colour may be empty.
	Gauge, Colour string
	// Path is "flow", "dead", "wrong" or empty.
	Path string
	// Tag is its mark in the drawing; it may be empty.
	Tag string
}

// A TwinGround is one way to a metal. The zero TwinGround is none.
type TwinGround struct {
	// Terminal is grounded, "part terminal"; of a strap between two metals it
	// is the first of them.
	Terminal string
	// By says by what: "bolted", or a wire's gauge and colour.
	By string
	// Metal is what it is joined to.
	Metal string
	// Path is "flow", "dead", "wrong" or empty.
	Path string
}

// A TwinPosition is one position of the key. The zero TwinPosition joins
// nothing.
type TwinPosition struct {
	Name string
	// Joins lists groups of terminals, each joined by "-".
	Joins []string
}

// endWords names a slot's terminal.
func (m *model) endWords(slot int) string {
	pin := &m.pins[m.slots[slot].pin]
	p := &m.parts[pin.part]
	if p.metals[0] != "" {
		return p.metals[0]
	}
	return clean(p.name) + " " + clean(pin.name)
}

// wireWords says one wire: "feed: fuse b to key B, 14 red".
func (m *model) wireWords(i int) string {
	w := &m.wires[i]
	from, to := m.endWords(w.slots[0]), m.endWords(w.slots[1])
	if w.back {
		from, to = to, from
	}
	out := clean(w.name) + ": " + from + " to " + to
	for _, s := range []string{w.gauge, w.colour} {
		if s != "" {
			out += ", " + s
		}
	}
	switch w.state {
	case flowing:
		out += ", current flows"
	case dead:
		out += ", should carry current and does not"
	case wrong:
		out += ", must not carry current or not be there"
	}
	return out
}

// partWords says one part: "seat [1]: interlock, closed: seat empty".
func (m *model) partWords(i int) string {
	p := &m.parts[i]
	switch {
	case p.metals[1] != "":
		return clean(p.wire) + ": " + p.metals[0] + " to " + p.metals[1] + ", " + p.label
	case p.metals[0] != "":
		return "ground: " + p.metals[0]
	}
	out := clean(p.name)
	if p.tag != "" {
		out += " [" + p.tag + "]"
	}
	out += ": " + kindWords(string(p.kind))
	for _, n := range p.notes {
		out += ", " + n
	}
	return out
}

// contactWords says how a part's contacts are drawn where a state is shown.
func (p *modelPart) contactWords() []string {
	if all := contacts(p.kind); !p.stated || len(all) == 0 {
		return nil
	}
	switch {
	case p.kind == wiring.Interlock && p.part.Words["second"] != "":
		word := map[bool]string{false: "open", true: "closed"}
		return []string{"a-b " + word[slices.Contains(p.shut, contact{"a", "b"})] + " now", "c-d " + word[slices.Contains(p.shut, contact{"c", "d"})] + " now"}
	case slices.Contains(p.shut, contacts(p.kind)[0]):
		return []string{"closed now"}
	}
	return []string{"open now"}
}

func kindWords(k string) string { return strings.ReplaceAll(k, "-", " ") }

// twin makes the words of the drawing.
func (m *model) twin() Twin {
	var t Twin
	for i := range m.parts {
		p := &m.parts[i]
		switch {
		case p.metals[1] != "":
			t.Ground = append(t.Ground, TwinGround{p.metals[0], p.label, p.metals[1], p.state.word()})
		case p.metals[0] != "":
		default:
			t.Parts = append(t.Parts, TwinPart{clean(p.name), kindWords(string(p.kind)), append(slices.Clip(p.notes), p.contactWords()...), p.tag})
			if p.leg >= 0 {
				pin := &m.pins[p.leg]
				by := pin.label
				if pin.bolted {
					by = "bolted"
				}
				t.Ground = append(t.Ground, TwinGround{clean(p.name) + " " + clean(pin.name), by, pin.metal, pin.state.word()})
			}
			for _, pin := range p.pins {
				if m.pins[pin].open {
					t.Open = append(t.Open, clean(p.name)+" "+clean(m.pins[pin].name))
				}
			}
		}
	}
	for i := range m.wires {
		w := &m.wires[i]
		from, to := m.endWords(w.slots[0]), m.endWords(w.slots[1])
		if w.back {
			from, to = to, from
		}
		t.Wires = append(t.Wires, TwinWire{w.number, clean(w.name), from, to, w.gauge, w.colour, w.state.word(), w.tag})
	}
	if m.keyTable != nil {
		for _, p := range m.keyTable.Positions {
			var joins []string
			for _, j := range p.Joins {
				joins = append(joins, clean(strings.Join(j, "-")))
			}
			t.Key = append(t.Key, TwinPosition{clean(p.Name), joins})
		}
		t.Shown = clean(m.keyAt)
	}
	t.Notes = m.notes
	return t
}

// Lines writes the twin as plain lines, one fact each.
func (t *Twin) Lines() []string {
	var out []string
	out = append(out, t.Notes...)
	for _, p := range t.Parts {
		line := "Part " + p.Name
		if p.Tag != "" {
			line += " [" + p.Tag + "]"
		}
		line += ": " + strings.Join(append([]string{p.Kind}, p.Notes...), ", ")
		out = append(out, line+".")
	}
	for _, w := range t.Wires {
		line := "Wire " + strconv.Itoa(w.Number) + " (" + w.Name + ")"
		if w.Tag != "" {
			line += " [" + w.Tag + "]"
		}
		line += ": " + w.From + " to " + w.To
		for _, s := range []string{w.Gauge, w.Colour, pathWords(w.Path)} {
			if s != "" {
				line += ", " + s
			}
		}
		out = append(out, line+".")
	}
	for _, g := range t.Ground {
		line := "Ground: " + g.Terminal + " to " + g.Metal + ", " + g.By
		if s := pathWords(g.Path); s != "" {
			line += ", " + s
		}
		out = append(out, line+".")
	}
	if len(t.Open) > 0 {
		out = append(out, "Open, without any wire: "+strings.Join(t.Open, "; ")+".")
	}
	for _, k := range t.Key {
		joins := "joins nothing"
		if len(k.Joins) > 0 {
			joins = "joins " + strings.Join(k.Joins, ", ")
		}
		line := "Key in " + k.Name
		if k.Name == t.Shown {
			line += " (shown)"
		}
		out = append(out, line+": "+joins+".")
	}
	return out
}

func pathWords(path string) string {
	switch path {
	case "flow":
		return "current flows"
	case "dead":
		return "should carry current and does not"
	case "wrong":
		return "must not carry current or not be there"
	}
	return ""
}
