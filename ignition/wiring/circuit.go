package wiring

import (
	"math"
	"slices"

	"gapbook.example/ignition"
)

// param is one figure that the solution depends on.
type param struct {
	nominal, low, high float64 // Ω or V
	part               int     // or ^wire
	attr               Attribute
}

// element is one branch between two terminals, present in some states.
type element struct {
	a, b     int // terminals; a is the plus of a source
	r, e     int // params; -1 where there is none
	sign     float64
	owner    int // part, or ^wire
	main     bool
	live     engineMask // where the source works; elsewhere only its resistance is there
	when     condition
	charger  int // control, -1 for everything else
	atCrank  int // param of the source while cranking, -1 where it is the same
	internal bool
}

type engineMask uint8

const (
	anyEngine engineMask = 1<<Still | 1<<Cranks | 1<<Runs
	turning   engineMask = 1<<Cranks | 1<<Runs
)

// condition says in which states an element is there.
type condition struct {
	keys    uint64 // positions, bit by bit; 0 is all
	engine  engineMask
	breaker int // 1 + number among breakers; 0 is any
	open    bool
	lock    int
	unsafe  bool
	button  int
	pressed bool
	// on lists controls that must be on, 1 + number; off the same for released.
	on  [2]int
	off int
}

// control works contacts by volts: relays, solenoids, modules, and the diode
// and limit of a charger.
type control struct {
	a, b      int
	threshold int // param
	sign      float64
	owner     int
	// A charger has a limit in amperes instead; element is its source.
	charger bool
	limit   float64
	element int
}

// compile makes elements of parts and wires.
func (b *builder) compile() {
	for i := range b.parts {
		b.compilePart(i)
	}
	temperature := b.Temperature()
	spread := wireSpread(b.book)
	for i, w := range b.draft.Wires {
		e := element{a: b.nodeAt[w.From], b: b.nodeAt[w.To], r: -1, e: -1, owner: ^i, main: true, charger: -1, atCrank: -1}
		if !w.IsJoint() {
			r := w.Gauge.Copper(temperature).OhmsPerMetre() * w.Length.Metres()
			e.r = b.param(param{nominal: r, low: r * (1 - spread), high: r * (1 + spread), part: ^i, attr: Resistance})
		}
		b.elements = append(b.elements, e)
	}
	// Solving wants rising resistance; controls point at elements by number.
	order := make([]int, len(b.elements))
	for i := range order {
		order[i] = i
	}
	compare := byResistance(b.params)
	slices.SortStableFunc(order, func(x, y int) int { return compare(b.elements[x], b.elements[y]) })
	sorted := make([]element, len(order))
	for to, from := range order {
		sorted[to] = b.elements[from]
		if c := sorted[to].charger; c >= 0 {
			b.controls[c].element = to
		}
	}
	b.elements = sorted
	if n := b.states(); n > MaxStates {
		b.problem(ignition.Position{}, "parts", "too-many-states", "the switches and breakers of the harness have more states than can be worked through", "leave out switches that do not touch the ignition")
	}
}

func (b *builder) param(p param) int {
	b.params = append(b.params, p)
	return len(b.params) - 1
}

// value makes a param of an attribute; -1 where the part has none.
func (b *builder) value(i int, a Attribute) int {
	v, ok := b.parts[i].Values[a]
	if !ok {
		return -1
	}
	p := param{nominal: v.Nominal.SI(), low: v.Min.SI(), high: v.Max.SI(), part: i, attr: a}
	if a == Primary || a == Secondary || a == Resistance && slices.Contains(kindIndex[b.parts[i].Kind].attrs, Temperature) {
		// Windings are copper: (234.5 + t) / (234.5 + 20), the rule of the
		// winding temperature test.
		celsius := b.Temperature().Celsius()
		if t, ok := b.parts[i].Values[Temperature]; ok {
			if own, ok := t.Nominal.Temperature(); ok {
				celsius = own.Celsius()
			}
		}
		k := max(234.5+celsius, 1) / 254.5
		p.nominal, p.low, p.high = p.nominal*k, p.low*k, p.high*k
	}
	return b.param(p)
}

func (b *builder) node(i int, terminal string) int { return b.nodeAt[b.parts[i].Name+"."+terminal] }

// resist adds a resistance.
func (b *builder) resist(i int, from, to string, r int, main bool, when condition) int {
	if r >= 0 && math.IsInf(b.params[r].nominal, 1) {
		return -1
	}
	b.elements = append(b.elements, element{a: b.node(i, from), b: b.node(i, to), r: r, e: -1, owner: i, main: main, when: when, charger: -1, atCrank: -1})
	return len(b.elements) - 1
}

// source adds a source behind a resistance.
func (b *builder) source(i int, plus, minus string, r, e int, sign float64, live engineMask, when condition) *element {
	b.elements = append(b.elements, element{a: b.node(i, plus), b: b.node(i, minus), r: r, e: e, sign: sign, owner: i, main: true, live: live, when: when, charger: -1, atCrank: -1})
	return &b.elements[len(b.elements)-1]
}

func (b *builder) threshold(i int, from, to string, level int, sign float64) int {
	b.controls = append(b.controls, control{a: b.node(i, from), b: b.node(i, to), threshold: level, sign: sign, owner: i})
	return len(b.controls)
}

// polarity is +1 where the part is made for negative ground, -1 for positive.
func (b *builder) polarity(i int) float64 {
	word := b.parts[i].Word("polarity")
	if word == "positive" || word == "" && b.draft.Ground == ignition.PositiveGround {
		return -1
	}
	return 1
}

func (b *builder) breaker(i int, open bool) condition {
	return condition{breaker: 1 + slices.Index(b.breakers, i), open: open}
}

// secondary adds the secondary of a coil: to its low end, or between two towers.
func (b *builder) secondary(i int, low string) {
	s := b.value(i, Secondary)
	if s < 0 {
		return
	}
	if b.parts[i].Word("towers") == "2" {
		b.resist(i, "ht", "ht2", s, false, condition{})
		return
	}
	b.resist(i, "ht", low, s, false, condition{})
}

func (b *builder) compilePart(i int) {
	p := &b.parts[i]
	need := func(attrs ...Attribute) {
		for _, a := range attrs {
			if p.Values[a].IsZero() {
				b.problem(p.At, "parts."+p.Name+"."+string(a), "missing-key", "nothing says what the "+string(a)+" of this "+string(p.Kind)+" is, and the book assumes none", "write "+string(a)+" = \"...\"")
			}
		}
	}
	switch p.Kind {
	case Battery, DryCells:
		need(Rest, Resistance)
		r, e := b.value(i, Resistance), b.value(i, Rest)
		s := b.source(i, "plus", "minus", r, e, 1, anyEngine, condition{})
		if c := b.value(i, Cranking); c >= 0 {
			// So that the posts read the volts given while the starter draws.
			scale := 1.0
			for _, q := range b.parts {
				if q.Kind == Starter {
					if st := q.Values[Resistance].Nominal.SI(); st > 0 {
						scale += b.params[r].nominal / st
					}
				}
			}
			c := &b.params[c]
			c.nominal, c.low, c.high = c.nominal*scale, c.low*scale, c.high*scale
			s.atCrank = len(b.params) - 1
		}
	case Alternator, Generator:
		need(Regulated, Resistance, Rating)
		b.controls = append(b.controls, control{a: b.node(i, "out"), b: b.node(i, "ground"), sign: b.polarity(i), owner: i, charger: true, limit: p.Values[Rating].Nominal.SI(), threshold: -1})
		s := b.source(i, "out", "ground", b.value(i, Resistance), b.value(i, Regulated), b.polarity(i), 1<<Runs, condition{engine: 1 << Runs})
		s.charger = len(b.controls) - 1
	case Fuse, Connector, Ballast, Meter:
		need(Resistance)
		from, to := "a", "b"
		switch p.Kind {
		case Ballast:
			from, to = "in", "out"
		case Meter:
			from, to = "red", "black"
		}
		b.resist(i, from, to, b.value(i, Resistance), true, condition{})
	case KeySwitch:
		need(Contact)
		b.compileKey(i)
	case Button:
		need(Contact)
		b.resist(i, "a", "b", b.value(i, Contact), true, condition{button: 1 + slices.Index(b.buttons, i), pressed: p.Word("normally") == "open"})
	case Interlock:
		need(Contact)
		pole := func(from, to, normally string, main bool) {
			// Pressed closes a contact that is normally open.
			unsafe := p.Word("pressed") == "unsafe"
			if normally == "closed" {
				unsafe = !unsafe
			}
			b.resist(i, from, to, b.value(i, Contact), main, condition{lock: 1 + slices.Index(b.locks, i), unsafe: unsafe})
		}
		pole("a", "b", p.Word("normally"), true)
		if second := p.Words["second"]; second != "" {
			pole("c", "d", second, false)
		}
	case Relay:
		need(Resistance, Contact, PullIn)
		b.resist(i, "coil-a", "coil-b", b.value(i, Resistance), true, condition{})
		c := b.threshold(i, "coil-a", "coil-b", b.value(i, PullIn), 0)
		b.resist(i, "common", "open", b.value(i, Contact), false, condition{on: [2]int{c}})
		b.resist(i, "common", "closed", b.value(i, Contact), false, condition{off: c})
	case Solenoid:
		need(Resistance, Contact, PullIn)
		b.resist(i, "switch", "ground", b.value(i, Resistance), true, condition{})
		c := b.threshold(i, "switch", "ground", b.value(i, PullIn), 0)
		b.resist(i, "battery", "motor", b.value(i, Contact), false, condition{on: [2]int{c}})
		b.resist(i, "battery", "ignition", b.value(i, Contact), false, condition{on: [2]int{c}})
	case Starter:
		need(Resistance)
		b.resist(i, "plus", "ground", b.value(i, Resistance), true, condition{})
	case Coil:
		need(Primary)
		b.resist(i, "plus", "minus", b.value(i, Primary), true, condition{})
		b.secondary(i, "minus")
	case Points, Timer, Igniter:
		need(Contact)
		ends := p.Kind.Terminals()
		b.resist(i, ends[0], ends[1], b.value(i, Contact), true, b.breaker(i, false))
	case Condenser:
		if r := b.value(i, Insulation); r >= 0 {
			b.resist(i, "lead", "case", r, true, condition{})
		}
	case Module:
		need(Input, Contact, Minimum, Signal)
		b.resist(i, "feed", "ground", b.value(i, Input), false, condition{})
		supply := b.threshold(i, "feed", "ground", b.value(i, Minimum), b.polarity(i))
		signal := b.threshold(i, "trigger-a", "trigger-b", b.value(i, Signal), 0)
		when := b.breaker(i, false)
		still, moving := when, when
		still.engine, still.on = 1<<Still, [2]int{supply}
		moving.engine, moving.on = turning, [2]int{supply, signal}
		r := b.value(i, Contact)
		b.resist(i, "out", "ground", r, true, still)
		b.resist(i, "out", "ground", r, true, moving)
	case Trigger:
		need(Resistance, EMF)
		b.source(i, "a", "b", b.value(i, Resistance), b.value(i, EMF), 1, turning, condition{})
	case SourceCoil, ChargeCoil:
		need(Resistance, EMF)
		b.source(i, "out", "ground", b.value(i, Resistance), b.value(i, EMF), 1, turning, condition{})
	case FlywheelMagneto:
		need(Primary, EMF)
		b.source(i, "primary", "ground", b.value(i, Primary), b.value(i, EMF), 1, turning, condition{})
		b.secondary(i, "primary")
	case FlywheelModule, RotorMagneto:
		need(Primary, EMF, Contact)
		b.source(i, "kill", "ground", b.value(i, Primary), b.value(i, EMF), 1, turning, condition{})
		when := b.breaker(i, false)
		if p.Kind == FlywheelModule {
			when.engine = turning // a transistor needs the volts of the coil
		}
		if e := b.resist(i, "kill", "ground", b.value(i, Contact), false, when); e >= 0 {
			b.elements[e].internal = true
		}
		b.secondary(i, "kill")
	case CDUnit:
		need(Input, Minimum, Signal, Output, Resistance)
		b.resist(i, "charge", "kill", -1, false, condition{})
		b.resist(i, "charge", "ground", b.value(i, Input), true, condition{})
		b.discharge(i, "charge", 0)
	case CDBox:
		need(Input, Minimum, Signal, Output, Resistance)
		b.resist(i, "feed", "ground", b.value(i, Input), true, condition{})
		b.discharge(i, "feed", b.polarity(i))
	case TremblerCoil:
		need(Primary, Contact)
		// Winding and closed vibrator in series.
		r, c := b.value(i, Primary), b.value(i, Contact)
		x, y := b.params[r], b.params[c]
		b.params[r] = param{nominal: x.nominal + y.nominal, low: x.low + y.low, high: x.high + y.high, part: i, attr: Primary}
		b.resist(i, "plus", "timer", r, true, condition{})
		b.secondary(i, "timer")
	case LowTensionCoil:
		need(Resistance)
		b.resist(i, "in", "out", b.value(i, Resistance), true, condition{})
	case Lead:
		r := b.value(i, Resistance)
		if hasLength(p.Values) && r < 0 {
			per, long := p.Values[PerLength], p.Values[Length]
			r = b.param(param{nominal: per.Nominal.SI() * long.Nominal.SI(), low: per.Min.SI() * long.Min.SI(), high: per.Max.SI() * long.Max.SI(), part: i, attr: Resistance})
		}
		b.resist(i, "a", "b", r, true, condition{})
	case Cap:
		b.resist(i, "lead", "plug", b.value(i, Resistance), true, condition{})
	case Plug:
		if r := b.value(i, Insulation); r >= 0 {
			b.resist(i, "terminal", "body", r, true, condition{})
		}
	case Load:
		r := b.value(i, Resistance)
		if w, ok := p.Values[Power]; ok && r < 0 {
			v := p.Values[Volts].Nominal.SI()
			of := func(watts float64) float64 { return v * v / watts }
			r = b.param(param{nominal: of(w.Nominal.SI()), low: of(w.Max.SI()), high: of(w.Min.SI()), part: i, attr: Resistance})
			if v == 0 || math.IsInf(b.params[r].nominal, 0) || math.IsInf(b.params[r].high, 0) {
				b.problem(p.At, "parts."+p.Name+".power", "out-of-range", "a load needs watts and volts above nothing", "write power = \"...\" and volts = \"...\"")
			}
		}
		if r < 0 {
			need(Resistance)
		}
		b.resist(i, "a", "b", r, true, condition{})
	}
}

// discharge is the output of a capacitor-discharge unit: it drives the coil
// when the trigger fires it and its capacitor was charged.
func (b *builder) discharge(i int, supply string, sign float64) {
	full := b.threshold(i, supply, "ground", b.value(i, Minimum), sign)
	signal := b.threshold(i, "trigger-a", "trigger-b", b.value(i, Signal), 0)
	when := b.breaker(i, true)
	when.engine, when.on = turning, [2]int{full, signal}
	s := b.source(i, "out", "ground", b.value(i, Resistance), b.value(i, Output), 1, turning, when)
	s.main = false
}

// compileKey joins the terminals of a key switch, each pair once.
func (b *builder) compileKey(i int) {
	type pair struct{ a, b string }
	var order []pair
	masks := map[pair]uint64{}
	for k, pos := range b.switches[i].Positions {
		for _, group := range pos.Joins {
			for _, other := range group[1:] {
				p := pair{group[0], other}
				if p.a > p.b {
					p.a, p.b = p.b, p.a
				}
				if p.a == p.b {
					continue
				}
				if masks[p] == 0 {
					order = append(order, p)
				}
				masks[p] |= 1 << k
			}
		}
	}
	for _, p := range order {
		b.resist(i, p.a, p.b, b.value(i, Contact), true, condition{keys: masks[p]})
	}
}
