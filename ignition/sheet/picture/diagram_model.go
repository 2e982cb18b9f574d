package picture

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
)

// The sizes of a wiring diagram in CSS pixels. Heights are whole numbers.
const (
	rowHeight   = 20 // between two lines that leave a part
	firstRow    = 15 // from the top of a box to its first line
	boxEnd      = 15 // from the last line to the bottom of the box
	titleBand   = 16 // a part's name
	noteLine    = 13 // a line of notes under it
	groundRoom  = 34 // the ground symbol under a box
	partGap     = 12 // under every part
	laneHeight  = 18 // room for a wire that passes a column
	laneLine    = 13 // its line, from the top of the lane
	trackPitch  = 8  // between two wires side by side
	trackEdge   = 8  // between a channel's text and its first wire
	clearance   = 8  // two wires nearer than this touch
	sheetMargin = 8
	headBand    = 12 // the words over a key switch's columns

	bodySize = 10.5
	nameSize = 12
	headSize = 10
	titleFit = 12.5

	phoneWidth = 360
	// widestPhone keeps body text at 10 px or more on a phone 360 wide.
	widestPhone = phoneWidth * bodySize / 10.05
	pageWidth   = 1040 // A4 landscape inside its margin
	pageHeight  = 700

	// Names and notes longer than these are cut short: the words have them.
	nameRoom  = 116
	noteRoom  = 116
	pinRoom   = 56
	labelRoom = 92
	metalRoom = 48
	tagRoom   = 60

	// shownCurrent is the least current, in amperes, that is drawn as flowing:
	// below it are leaks and the burden of meters.
	shownCurrent = 0.005
)

// pathState is how a wire stands to the current.
type pathState uint8

const (
	resting pathState = iota
	flowing
	dead  // should carry current and does not
	wrong // must not be there
)

// word is what the text twin says of it.
func (p pathState) word() string { return [...]string{"", "flow", "dead", "wrong"}[p] }

// form is how a part with up to two lines stands.
type form uint8

const (
	formMany    form = iota // a row for each line
	formAcross              // two pins on opposite sides, the symbol lying between them
	formStand               // two pins on one side, the symbol standing between them
	formDown                // one pin, the symbol standing over its ground
	formStrap               // two grounds joined
	formGrounds             // a pin with nothing but a ground symbol
)

// modelPart is one part of the drawing.
type modelPart struct {
	name   string // as the harness has it
	shown  string // as drawn
	kind   wiring.Kind
	part   wiring.Part
	notes  []string
	tag    string // "1", "new", "goes"; "" for none
	fault  bool   // framed
	rank   int
	pins   []int // those that have lines, in the order of the rows
	leg    int   // the pin that is grounded under the box, -1 for none
	head   int   // height of name and notes
	extra  int   // more height above the first row: a key switch's words
	narrow float64
	metals [2]string // of a strap
	label  string    // of a strap
	wire   string    // of a strap or a ground: the wire's name
	state  pathState // of a strap or a ground
	shut   []contact // the contacts that are closed in the state shown
	stated bool      // a state is shown
}

// A contact is a pair of terminals that a part joins or parts.
type contact struct{ a, b string }

// contacts are the pairs of a kind that may be joined or parted; those of a key
// switch stand in its table.
func contacts(k wiring.Kind) []contact {
	switch k {
	case wiring.Interlock:
		return []contact{{"a", "b"}, {"c", "d"}}
	case wiring.Button:
		return []contact{{"a", "b"}}
	case wiring.Points, wiring.Timer, wiring.Igniter:
		ends := k.Terminals()
		return []contact{{ends[0], ends[1]}}
	case wiring.Solenoid:
		return []contact{{"battery", "motor"}, {"battery", "ignition"}}
	case wiring.Relay:
		return []contact{{"common", "open"}, {"common", "closed"}}
	}
	return nil
}

// modelPin is one terminal.
type modelPin struct {
	part   int
	name   string // as the harness has it
	shown  string
	slots  []int // one for each wire, or one for none
	open   bool  // nothing is joined to it
	leg    bool  // only a ground is
	bolted bool
	metal  string
	label  string // of the ground wire
	wire   string // its name
	state  pathState
	width  float64
}

// modelSlot is one end of a wire, or a terminal without any.
type modelSlot struct {
	pin, wire int // wire is -1 for none
	end       int // 0 or 1
}

// modelWire is one line.
type modelWire struct {
	name   string
	slots  [2]int
	label  string // gauge and colour
	tag    string
	gauge  string
	colour string
	tense  bool // high tension
	state  pathState
	back   bool // current flows from the second end to the first
	drawn  string
	width  float64 // of drawn
	number int
}

// model is what is drawn. It never changes while it is laid out.
type model struct {
	title string
	parts []modelPart
	pins  []modelPin
	slots []modelSlot
	wires []modelWire
	notes []string // the sentences under the drawing, with their tags

	keyTable *specs.SwitchTable
	keyPart  int // -1 for none
	keyAt    string
	// numbered has the wires carry numbers in place of gauge and colour.
	numbered bool
}

// rankOf orders kinds by how far they stand from the source of the energy.
func rankOf(k wiring.Kind) int {
	switch k {
	case wiring.Battery, wiring.DryCells, wiring.Alternator, wiring.Generator, wiring.SourceCoil, wiring.ChargeCoil:
		return 0
	case wiring.Fuse, wiring.Meter:
		return 1
	case wiring.KeySwitch, wiring.Button, wiring.Solenoid, wiring.Relay, wiring.FlywheelMagneto, wiring.FlywheelModule, wiring.RotorMagneto:
		return 2
	case wiring.Interlock, wiring.Ballast, wiring.Connector, wiring.Starter, wiring.CDUnit, wiring.CDBox:
		return 3
	case wiring.Coil, wiring.TremblerCoil, wiring.LowTensionCoil, wiring.Load:
		return 4
	case wiring.Points, wiring.Condenser, wiring.Timer, wiring.Igniter, wiring.Module:
		return 5
	}
	return 6
}

// rowOrder is the order in which the terminals of a kind stand under each
// other; a kind that is not here keeps its own order.
var rowOrder = map[wiring.Kind][]string{
	wiring.Coil:            {"plus", "ht", "ht2", "minus"},
	wiring.TremblerCoil:    {"plus", "ht", "timer"},
	wiring.FlywheelMagneto: {"primary", "ht", "ht2", "ground"},
	wiring.FlywheelModule:  {"kill", "ht", "ht2", "ground"},
	wiring.RotorMagneto:    {"kill", "ht", "ht2", "ground"},
	wiring.Solenoid:        {"battery", "motor", "ignition", "switch", "ground"},
	wiring.Relay:           {"open", "common", "closed", "coil-a", "coil-b"},
}

// mayMiss are terminals that a part of the kind need not have: without a wire
// they are left out rather than drawn open.
func mayMiss(k wiring.Kind, terminal string) bool {
	switch k {
	case wiring.Interlock:
		return terminal == "c" || terminal == "d"
	case wiring.Solenoid:
		return terminal == "ignition"
	case wiring.Relay:
		return terminal == "closed"
	case wiring.Module, wiring.CDUnit, wiring.CDBox:
		return terminal == "trigger-a" || terminal == "trigger-b" || terminal == "kill"
	}
	return terminal == "ht2"
}

func (m *model) addPin(part int, name string) int {
	m.pins = append(m.pins, modelPin{part: part, name: name, shown: clip(clean(name), bodySize, false, pinRoom)})
	m.pins[len(m.pins)-1].width = textWidth(m.pins[len(m.pins)-1].shown, bodySize, false)
	return len(m.pins) - 1
}

// addSlot gives a pin another line.
func (m *model) addSlot(pin, wire, end int) int {
	m.slots = append(m.slots, modelSlot{pin: pin, wire: wire, end: end})
	id := len(m.slots) - 1
	m.pins[pin].slots = append(m.pins[pin].slots, id)
	if wire >= 0 {
		m.wires[wire].slots[end] = id
	}
	return id
}

// wireLabel says gauge and colour in words.
func wireLabel(w *wiring.Wire) (label, gauge, colour string) {
	colour = clean(w.Colour)
	if !w.Gauge.IsZero() {
		gauge = w.Gauge.String()
	}
	switch {
	case gauge != "" && colour != "":
		return strings.TrimSuffix(gauge, " AWG") + " " + colour, gauge, colour
	case gauge != "":
		return gauge, gauge, colour
	case colour != "":
		return colour, gauge, colour
	case w.IsJoint():
		return "joint", gauge, colour
	}
	return "wire", gauge, colour
}

// tagged puts a wire's tag before its label; on a phone it stands alone, for
// want of room, and the words have the rest.
func tagged(label, tag string, paper Paper) string {
	switch {
	case tag == "":
		return label
	case paper == Phone:
		return "[" + tag + "]"
	}
	return "[" + tag + "] " + label
}

// marks gathers what a view says of parts and wires.
type marks struct {
	tag   map[string]string
	fault map[string]bool
	state map[string]pathState
	back  map[string]bool
}

// buildModel makes the model of a harness as a view shows it.
func buildModel(h *wiring.Harness, v *View) *model {
	m := &model{title: clean(v.Title), keyPart: -1}
	if m.title == "" {
		m.title = clean(h.Title())
	}
	draft := h.Draft()
	parts, wires := h.Parts(), draft.Wires
	mk := m.marksOf(parts, wires, v)
	table, keyName, hasKey := h.Switch()
	if hasKey {
		m.keyTable = table
	}
	if v.State != nil && hasKey {
		m.keyAt = v.State.Key
		if m.keyAt == "" && len(table.Positions) > 0 {
			m.keyAt = table.Positions[0].Name
		}
	}

	byName := make(map[string]int, len(parts))
	for i := range parts {
		byName[parts[i].Name] = i
	}
	split := func(end string) (part int, terminal string) {
		name, t, _ := strings.Cut(end, ".")
		i, ok := byName[name]
		if !ok {
			return -1, t
		}
		return i, t
	}
	// Wires by terminal.
	at := make(map[string][]int)
	for i := range wires {
		at[wires[i].From] = append(at[wires[i].From], i)
		at[wires[i].To] = append(at[wires[i].To], i)
	}
	// A lead with one plain joint at each end is a line, not a box.
	skip := make([]bool, len(wires))
	asLine := make([]bool, len(parts))
	for i := range parts {
		if parts[i].Kind != wiring.Lead {
			continue
		}
		a, b := at[parts[i].Name+".a"], at[parts[i].Name+".b"]
		if len(a) != 1 || len(b) != 1 || a[0] == b[0] || !wires[a[0]].IsJoint() || !wires[b[0]].IsJoint() || skip[a[0]] || skip[b[0]] {
			continue
		}
		from, to := otherEnd(&wires[a[0]], parts[i].Name+".a"), otherEnd(&wires[b[0]], parts[i].Name+".b")
		pf, _ := split(from)
		pt, _ := split(to)
		if pf < 0 || pt < 0 || parts[pf].Kind == wiring.Block || parts[pt].Kind == wiring.Block || parts[pf].Kind == wiring.Lead || parts[pt].Kind == wiring.Lead {
			continue
		}
		asLine[i] = true
		skip[a[0]], skip[b[0]] = true, true
	}
	isMetal := func(i int) bool { return i >= 0 && parts[i].Kind == wiring.Block }

	// Parts, with pins for their terminals.
	drawn := make([]int, len(parts))
	pinAt := make(map[string]int)
	for i := range parts {
		drawn[i] = -1
		if asLine[i] || isMetal(i) {
			continue
		}
		p := &parts[i]
		drawn[i] = len(m.parts)
		mp := modelPart{name: p.Name, shown: clip(clean(p.Name), nameSize, true, nameRoom), kind: p.Kind, part: *p, rank: rankOf(p.Kind), leg: -1,
			tag: mk.tag[p.Name], fault: mk.fault[p.Name]}
		mp.notes = partNotes(p, m.keyAt)
		if v.Solution != nil {
			mp.stated = true
			for _, c := range contacts(p.Kind) {
				if v.Solution.Conducts(p.Name, c.a, c.b) {
					mp.shut = append(mp.shut, c)
				}
			}
		}
		if p.Name == keyName && hasKey {
			m.keyPart = len(m.parts)
			mp.extra = headBand
		}
		terminals := p.Kind.Terminals()
		if p.Kind == wiring.KeySwitch {
			terminals = p.Terminals
			if hasKey && p.Name == keyName {
				terminals = table.Terminals
			}
		} else if order := rowOrder[p.Kind]; order != nil {
			terminals = order
		}
		m.parts = append(m.parts, mp)
		for _, t := range terminals {
			full := p.Name + "." + t
			if len(at[full]) == 0 && mayMiss(p.Kind, t) {
				continue
			}
			pinAt[full] = m.addPin(drawn[i], t)
		}
	}

	// Wires: grounds first find their place.
	metalName := func(i int) string { return clip(clean(parts[i].Name), bodySize, false, metalRoom) }
	for i := range wires {
		w := &wires[i]
		if skip[i] {
			continue
		}
		pf, _ := split(w.From)
		pt, _ := split(w.To)
		if pf < 0 || pt < 0 {
			continue
		}
		label, gauge, colour := wireLabel(w)
		state := mk.state[w.Name]
		tag := mk.tag[w.Name]
		label = tagged(label, tag, v.Paper)
		switch {
		case isMetal(pf) && isMetal(pt):
			if pf == pt {
				continue
			}
			m.parts = append(m.parts, modelPart{name: w.Name, shown: clip(clean(w.Name), nameSize, true, nameRoom), rank: 6, leg: -1,
				label: clip(label, bodySize, false, labelRoom), metals: [2]string{metalName(pf), metalName(pt)}, wire: w.Name, state: state})
		case isMetal(pf) || isMetal(pt):
			metal, end := pt, w.From
			if isMetal(pf) {
				metal, end = pf, w.To
			}
			pin, ok := pinAt[end]
			if !ok {
				continue
			}
			p := &m.parts[m.pins[pin].part]
			if len(at[end]) == 1 && p.leg < 0 {
				m.pins[pin].leg = true
				p.leg = pin
				m.pins[pin].metal, m.pins[pin].wire, m.pins[pin].state = metalName(metal), w.Name, state
				if m.pins[pin].bolted = w.IsJoint() && w.Colour == "" && tag == ""; !m.pins[pin].bolted {
					m.pins[pin].label = clip(label, bodySize, false, labelRoom)
				}
				continue
			}
			// The terminal carries more, or the part has its ground already: a
			// ground of its own.
			m.parts = append(m.parts, modelPart{name: w.Name, rank: 6, leg: -1, metals: [2]string{metalName(metal)}, kind: wiring.Block, wire: w.Name, state: state})
			g := m.addPin(len(m.parts)-1, "ground")
			m.wires = append(m.wires, modelWire{name: w.Name, label: label, gauge: gauge, colour: colour, tag: tag, state: state, back: mk.back[w.Name] != isMetal(pf)})
			m.addSlot(pin, len(m.wires)-1, 0)
			m.addSlot(g, len(m.wires)-1, 1)
		default:
			a, oka := pinAt[w.From]
			b, okb := pinAt[w.To]
			if !oka || !okb {
				continue
			}
			tense := isTense(&parts[pf], w.From) || isTense(&parts[pt], w.To)
			if tense && w.IsJoint() {
				label = tagged("HT", tag, v.Paper)
			}
			m.wires = append(m.wires, modelWire{name: w.Name, label: label, gauge: gauge, colour: colour, tag: tag, state: state, tense: tense, back: mk.back[w.Name]})
			m.addSlot(a, len(m.wires)-1, 0)
			m.addSlot(b, len(m.wires)-1, 1)
		}
	}
	for i := range parts {
		if !asLine[i] {
			continue
		}
		name := parts[i].Name
		from := otherEnd(&wires[at[name+".a"][0]], name+".a")
		to := otherEnd(&wires[at[name+".b"][0]], name+".b")
		a, oka := pinAt[from]
		b, okb := pinAt[to]
		if !oka || !okb {
			continue
		}
		label := tagged(clean(name), mk.tag[name], v.Paper)
		state := max(mk.state[name], mk.state[wires[at[name+".a"][0]].Name], mk.state[wires[at[name+".b"][0]].Name])
		m.wires = append(m.wires, modelWire{name: name, label: label, gauge: "HT lead", tag: mk.tag[name], state: state, tense: true})
		m.addSlot(a, len(m.wires)-1, 0)
		m.addSlot(b, len(m.wires)-1, 1)
	}
	m.finish()
	return m
}

func otherEnd(w *wiring.Wire, end string) string {
	if w.From == end {
		return w.To
	}
	return w.From
}

// isTense reports whether a terminal carries high tension.
func isTense(p *wiring.Part, end string) bool {
	_, t, _ := strings.Cut(end, ".")
	switch p.Kind {
	case wiring.Lead, wiring.Cap:
		return true
	case wiring.Plug:
		return t == "terminal"
	}
	return t == "ht" || t == "ht2"
}

// finish fixes what follows from pins and wires.
func (m *model) finish() {
	for i := range m.pins {
		p := &m.pins[i]
		if len(p.slots) == 0 && !p.leg {
			p.open = true
			m.addSlot(i, -1, 0)
		}
		if !p.leg {
			m.parts[p.part].pins = append(m.parts[p.part].pins, i)
		}
	}
	for i := range m.parts {
		p := &m.parts[i]
		p.head = noteLine * len(p.notes)
		if p.shown != "" {
			p.head += titleBand
		}
		p.narrow = textWidth(p.shown, nameSize, true) + 4
		if p.tag != "" {
			p.narrow += tagWidth(p.tag) + 8
		}
		for _, n := range p.notes {
			p.narrow = max(p.narrow, textWidth(n, bodySize, false)+4)
		}
		if p.metals[1] != "" {
			p.narrow = max(p.narrow, textWidth(p.label, bodySize, false)+12, textWidth(p.metals[0], bodySize, false)+textWidth(p.metals[1], bodySize, false)+16, 70)
		} else if p.metals[0] != "" {
			p.narrow = max(p.narrow, 24+2*textWidth(p.metals[0], bodySize, false))
		}
		if p.leg >= 0 {
			leg := &m.pins[p.leg]
			p.narrow = max(p.narrow, 2*(max(textWidth(leg.label, bodySize, false), textWidth(leg.metal, bodySize, false))+13))
		}
	}
	for i := range m.wires {
		w := &m.wires[i]
		w.label = clip(w.label, bodySize, false, labelRoom)
	}
	m.number()
}

// number gives the wires their numbers, and the text that is drawn on them.
func (m *model) number() {
	for i := range m.wires {
		w := &m.wires[i]
		w.number = i + 1
		w.drawn = w.label
		if m.numbered {
			w.drawn = strconv.Itoa(w.number)
			if w.tag != "" {
				w.drawn = "[" + w.tag + "] " + w.drawn
			}
		}
		w.width = textWidth(w.drawn, bodySize, false)
	}
}

func tagWidth(tag string) float64 { return textWidth(tag, bodySize, true) + 10 }

// marksOf turns what a view says into marks on parts and wires, and the
// sentences under the drawing.
func (m *model) marksOf(parts []wiring.Part, wires []wiring.Wire, v *View) marks {
	mk := marks{map[string]string{}, map[string]bool{}, map[string]pathState{}, map[string]bool{}}
	if v.Solution != nil {
		for i := range wires {
			if c, ok := v.Solution.WireCurrent(wires[i].Name); ok && math.Abs(c.Amperes()) >= shownCurrent {
				mk.state[wires[i].Name] = flowing
				mk.back[wires[i].Name] = c.Amperes() < 0
			}
		}
	}
	known := make(map[string]bool, len(parts)+len(wires))
	for i := range parts {
		known[parts[i].Name] = true
	}
	for i := range wires {
		known[wires[i].Name] = true
	}
	for i, f := range v.Faults {
		tag := strconv.Itoa(i + 1)
		for _, n := range f.Dead {
			mk.state[n] = dead
		}
		for _, n := range f.Wrong {
			mk.state[n] = wrong
		}
		for _, n := range f.Names {
			if known[n] && mk.tag[n] == "" {
				mk.tag[n], mk.fault[n] = tag, true
				break
			}
		}
		if f.Text != "" {
			m.notes = append(m.notes, "["+tag+"] "+clean(f.Text))
		}
	}
	for _, t := range v.Tags {
		if mk.tag[t.Part] == "" {
			mk.tag[t.Part] = clip(clean(t.Word), bodySize, true, tagRoom)
		}
		if t.Goes {
			mk.fault[t.Part] = true
		}
		if t.Text != "" {
			m.notes = append(m.notes, clean(t.Text))
		}
	}
	return mk
}

// partNotes are the lines under a part's name: what is known of it, and when
// a contact is closed. What the book assumed is left out.
func partNotes(p *wiring.Part, keyAt string) []string {
	var out []string
	given := func(a wiring.Attribute) {
		if v, ok := p.Values[a]; ok && !v.Assumed && !v.IsZero() && !v.Nominal.IsZero() {
			out = append(out, clip(clean(v.Nominal.Display()), bodySize, false, noteRoom))
		}
	}
	switch p.Kind {
	case wiring.Battery, wiring.DryCells:
		given(wiring.Volts)
	case wiring.Fuse:
		given(wiring.Rating)
	case wiring.Coil, wiring.TremblerCoil, wiring.FlywheelMagneto, wiring.FlywheelModule, wiring.RotorMagneto:
		given(wiring.Primary)
	case wiring.Ballast, wiring.LowTensionCoil, wiring.Trigger, wiring.ChargeCoil, wiring.SourceCoil, wiring.Cap:
		given(wiring.Resistance)
	case wiring.Condenser:
		given(wiring.Capacitance)
	case wiring.Plug:
		given(wiring.Gap)
	case wiring.Alternator, wiring.Generator:
		given(wiring.Rating)
	case wiring.Load:
		given(wiring.Power)
	case wiring.KeySwitch:
		if keyAt != "" {
			out = append(out, clip("shown in "+clean(keyAt), bodySize, false, noteRoom))
		}
	case wiring.Button:
		if p.Word("normally") == "closed" {
			out = append(out, "closed: free")
		} else {
			out = append(out, "closed: pressed")
		}
	case wiring.Interlock:
		safe, unsafe := "safe", "unsafe"
		switch p.Word("of") {
		case "seat":
			safe, unsafe = "seat taken", "seat empty"
		case "drive":
			safe, unsafe = "out of gear", "in gear"
		case "pto":
			safe, unsafe = "PTO off", "PTO on"
		}
		// The contact rests as "normally" says; being pressed turns it over.
		if (p.Word("normally") == "closed") == (p.Word("pressed") == "safe") {
			safe = unsafe
		}
		out = append(out, "closed: "+safe)
	}
	return out
}

// sortedBy returns indices 0..n-1 in ascending order of a key, ties by index.
func sortedBy(n int, key func(i int) int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(key(a), key(b)) })
	return out
}
