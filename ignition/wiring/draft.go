package wiring

import (
	"cmp"
	"maps"
	"slices"

	"gapbook.example/ignition"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// Draft is a harness on paper, as somebody wrote it down; it may be wrong.
// [Build] checks it. The zero Draft has nothing in it.
type Draft struct {
	Title, Note string
	// Invented marks a harness that was made up as an example.
	Invented bool
	// System is the kind of ignition; UnknownSystem where nobody says.
	System ignition.System
	// Ground is which battery terminal is meant to be joined to the frame.
	Ground ignition.Polarity
	// Volts is the system's voltage; zero means that of the battery or coil.
	Volts units.Voltage
	// Temperature is that of wires and windings; zero means 20 °C.
	Temperature units.Temperature
	Parts       []Part
	Wires       []Wire
}

// Part is one part of a harness. The zero Part is none.
type Part struct {
	// Name is lower-case words joined by dashes, and unique.
	Name string
	Kind Kind
	// Values is what is known of it; see [Kind.Attributes].
	Values map[Attribute]Value
	// Words are attributes in words: "table" of a key switch (the id of a
	// switch table of the book); "normally", "second" ("open", "closed"),
	// "pressed" ("safe", "unsafe") and "of" ("seat", "drive", "pto") of an
	// interlock; "normally" of a button; "towers" ("1", "2") and "class" of a
	// coil; "polarity" of electronics; "seat" of a plug and of its hole.
	Words map[string]string
	// Terminals and Positions are a key switch's own table, where the book has
	// none for it.
	Terminals []string
	Positions []specs.SwitchPosition
	At        ignition.Position
}

// Word returns a word of the part, or what is assumed where it says nothing.
func (p Part) Word(key string) string {
	if w, ok := p.Words[key]; ok {
		return w
	}
	if v := wordValues[key]; len(v) > 0 {
		return v[0]
	}
	return ""
}

// Wire is one wire of a harness. A wire that lacks its gauge or its length is
// a direct joint, of no resistance. The zero Wire joins nothing.
type Wire struct {
	// Name is lower-case words joined by dashes, and unique.
	Name string
	// From and To are terminals: "battery.plus", or "battery.30".
	From, To string
	Gauge    units.WireSize
	Length   units.Length
	Colour   string
	// Insulation is the temperature that the insulation bears; zero is unknown.
	Insulation units.Temperature
	// EngineSpace is true where the wire lies in the heat of the engine.
	EngineSpace bool
	// Bundle is how many live wires lie together; 0 and 1 are a single wire.
	Bundle int
	At     ignition.Position
}

// IsJoint reports whether the wire is a direct joint without resistance.
func (w Wire) IsJoint() bool { return w.Gauge.IsZero() || w.Length.IsZero() }

// Clone returns a copy that shares nothing with d.
func (d Draft) Clone() Draft {
	d.Parts = slices.Clone(d.Parts)
	for i := range d.Parts {
		p := &d.Parts[i]
		p.Values, p.Words = maps.Clone(p.Values), maps.Clone(p.Words)
		p.Terminals, p.Positions = slices.Clone(p.Terminals), slices.Clone(p.Positions)
		for j := range p.Positions {
			p.Positions[j].Joins = slices.Clone(p.Positions[j].Joins)
			for k := range p.Positions[j].Joins {
				p.Positions[j].Joins[k] = slices.Clone(p.Positions[j].Joins[k])
			}
		}
	}
	d.Wires = slices.Clone(d.Wires)
	return d
}

// Part returns a pointer to the part of this name in the draft, or nil.
func (d *Draft) Part(name string) *Part {
	i := slices.IndexFunc(d.Parts, func(p Part) bool { return p.Name == name })
	if i < 0 {
		return nil
	}
	return &d.Parts[i]
}

// Wire returns a pointer to the wire of this name in the draft, or nil.
func (d *Draft) Wire(name string) *Wire {
	i := slices.IndexFunc(d.Wires, func(w Wire) bool { return w.Name == name })
	if i < 0 {
		return nil
	}
	return &d.Wires[i]
}

// sortedKeys returns the keys of a map in order.
func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }
