package picture

import (
	"gapbook.example/ignition/wiring"
)

// Paper is what a diagram is drawn for. The zero Paper is a phone.
type Paper uint8

// The papers.
const (
	// Phone is a screen 360 px wide: two columns, as long as need be.
	Phone Paper = iota
	// Landscape is A4 or Letter on its side: three to six columns.
	Landscape
)

// A View says what of a harness is shown, and on what. The zero View shows the
// harness alone, for a phone.
type View struct {
	// Name makes the ids of the drawing; see [Picture]. Empty is "wiring".
	Name string
	// Title heads the drawing; empty is the harness's own.
	Title string
	Paper Paper
	// State, where it is not nil, has the key's position framed.
	State *wiring.State
	// Solution, where it is not nil, has the current drawn that flows in it.
	Solution *wiring.Solution
	// Faults are what is wrong, numbered from 1 in the drawing.
	Faults []Fault
	// Tags mark parts that come or go.
	Tags []Tag
	// Near is a drawing that this one is to be compared with: parts that both
	// have keep their places.
	Near *Diagram
}

// A Fault is one thing that is wrong, shown in a diagram. The zero Fault shows
// nothing.
type Fault struct {
	// Names lists parts and wires; the first that the harness has gets the
	// number.
	Names []string
	// Dead lists wires that should carry current and do not.
	Dead []string
	// Wrong lists wires whose current must not flow, or that must not be
	// there.
	Wrong []string
	// Text says what is wrong, in a sentence.
	Text string
}

// A Tag is a word on a part, such as "new". The zero Tag marks nothing.
type Tag struct {
	Part string
	// Word is one short word.
	Word string
	// Goes frames the part as one that is taken away.
	Goes bool
	// Text is a sentence under the drawing; it may be empty.
	Text string
}

// A Diagram is the drawing of a harness. Its Words are the lines of its Twin.
type Diagram struct {
	Picture
	// Twin says everything that the drawing shows.
	Twin Twin
	// Width and Height are those of the drawing in CSS pixels.
	Width, Height float64
	// Columns is how many columns the parts stand in.
	Columns int
	// Crossings counts wires that cross, Bends their corners.
	Crossings, Bends int
	// Numbered is true where the wires carry numbers for want of room; the
	// twin has their gauges and colours.
	Numbered bool

	plan  plan
	model *model
}

// Wiring draws a harness: parts as symbols with named terminals, wires with
// gauge and colour. It always succeeds; the same harness and view give the
// same bytes.
func Wiring(h *wiring.Harness, v View) *Diagram {
	m := buildModel(h, &v)
	var p plan
	var l *layouter
	if v.Near != nil && v.Near.model != nil && (v.Near.plan.k == 2) == (v.Paper == Phone) {
		p, l = findNear(m, v.Paper, v.Near)
	} else {
		p, l = find(m, v.Paper)
	}
	return finish(m, p, l, &v)
}

// finish draws a plan.
func finish(m *model, p plan, l *layouter, v *View) *Diagram {
	l.settle(&p)
	if v.Paper == Phone && l.width > widestPhone {
		m.numbered = true
		m.number()
		l.settle(&p)
	}
	name := v.Name
	if name == "" {
		name = "wiring"
	}
	name = slug(name)
	d := &Diagram{Columns: l.k, Crossings: l.crossings, Bends: l.bends, Numbered: m.numbered, Twin: m.twin()}
	d.Name, d.Title = name, m.title
	d.SVG, d.Width, d.Height = m.draw(l, name)
	d.Words = d.Twin.Lines()
	d.plan, d.model = p, m
	return d
}
