package wiring

import (
	"slices"

	"gapbook.example/specs"
	"gapbook.example/units"
)

// Kind is what a part is. The zero Kind is none.
type Kind string

// The kinds of part.
const (
	Battery         Kind = "battery"
	DryCells        Kind = "dry-cells"
	Alternator      Kind = "alternator" // flywheel alternator with its rectifier and regulator
	Generator       Kind = "generator"  // direct-current generator with its regulator
	Fuse            Kind = "fuse"
	KeySwitch       Kind = "key-switch"
	Button          Kind = "button"    // starting or stopping button
	Interlock       Kind = "interlock" // safety switch
	Relay           Kind = "relay"
	Solenoid        Kind = "solenoid"
	Starter         Kind = "starter"
	Ballast         Kind = "ballast"
	Coil            Kind = "coil"
	Points          Kind = "points"
	Timer           Kind = "timer" // the contact that times a trembler coil
	Igniter         Kind = "igniter"
	Condenser       Kind = "condenser"
	Module          Kind = "module" // battery-fed transistor in place of points
	Trigger         Kind = "trigger"
	FlywheelMagneto Kind = "flywheel-magneto" // coil on its core beside the flywheel's magnet
	FlywheelModule  Kind = "flywheel-module"  // the same with the module moulded in
	RotorMagneto    Kind = "rotor-magneto"    // with its own points and condenser inside
	SourceCoil      Kind = "source-coil"      // low-tension generator coil of energy transfer
	ChargeCoil      Kind = "charge-coil"
	CDUnit          Kind = "cd-unit" // capacitor discharge, fed by a charge coil
	CDBox           Kind = "cd-box"  // capacitor discharge, fed by the battery
	TremblerCoil    Kind = "trembler-coil"
	LowTensionCoil  Kind = "low-tension-coil"
	Lead            Kind = "lead" // high-tension lead
	Cap             Kind = "cap"
	Plug            Kind = "plug"
	Load            Kind = "load" // lamp, pump, clutch
	Connector       Kind = "connector"
	Meter           Kind = "meter" // a voltmeter with its leads
	Block           Kind = "block" // engine block and everything bolted to it
)

// terminal is one terminal of a kind of part with its other names, those of
// DIN 72552 first.
type terminal struct {
	name    string
	aliases []string
}

// kindInfo is what the package knows of a kind of part.
type kindInfo struct {
	kind      Kind
	terminals []terminal
	attrs     []Attribute
	words     []string
	breaker   bool // opens and closes as the engine turns
}

func t(name string, aliases ...string) terminal { return terminal{name, aliases} }

var kindTable = []kindInfo{
	{kind: Battery, terminals: []terminal{t("plus", "30"), t("minus", "31")}, attrs: []Attribute{Volts, Rest, Cranking, Resistance}},
	{kind: DryCells, terminals: []terminal{t("plus", "30"), t("minus", "31")}, attrs: []Attribute{Volts, Rest, Resistance}},
	{kind: Alternator, terminals: []terminal{t("out", "30"), t("ground", "31")}, attrs: []Attribute{Regulated, Rating, Resistance}, words: []string{"polarity"}},
	{kind: Generator, terminals: []terminal{t("out", "30"), t("ground", "31")}, attrs: []Attribute{Regulated, Rating, Resistance}, words: []string{"polarity"}},
	{kind: Fuse, terminals: []terminal{t("a"), t("b")}, attrs: []Attribute{Rating, Resistance}},
	{kind: KeySwitch, attrs: []Attribute{Contact}, words: []string{"table"}},
	{kind: Button, terminals: []terminal{t("a"), t("b")}, attrs: []Attribute{Contact}, words: []string{"normally"}},
	{kind: Interlock, terminals: []terminal{t("a"), t("b"), t("c"), t("d")}, attrs: []Attribute{Contact}, words: []string{"of", "normally", "second", "pressed"}},
	{kind: Relay, terminals: []terminal{t("coil-a", "86"), t("coil-b", "85"), t("common", "30"), t("open", "87"), t("closed", "87a")}, attrs: []Attribute{Resistance, Contact, PullIn, Rating}},
	{kind: Solenoid, terminals: []terminal{t("battery", "30"), t("motor"), t("switch", "50"), t("ground", "31"), t("ignition", "15a")}, attrs: []Attribute{Resistance, Contact, PullIn}},
	{kind: Starter, terminals: []terminal{t("plus", "30"), t("ground", "31")}, attrs: []Attribute{Resistance}},
	{kind: Ballast, terminals: []terminal{t("in"), t("out", "15a")}, attrs: []Attribute{Resistance}},
	{kind: Coil, terminals: []terminal{t("plus", "15"), t("minus", "1"), t("ht", "4", "4a"), t("ht2", "4b")}, attrs: []Attribute{Volts, Primary, Secondary, Temperature}, words: []string{"towers", "class"}},
	{kind: Points, terminals: []terminal{t("arm", "1"), t("plate", "31")}, attrs: []Attribute{Contact}, breaker: true},
	{kind: Timer, terminals: []terminal{t("contact"), t("body", "31")}, attrs: []Attribute{Contact}, breaker: true},
	{kind: Igniter, terminals: []terminal{t("electrode"), t("body", "31")}, attrs: []Attribute{Contact}, breaker: true},
	{kind: Condenser, terminals: []terminal{t("lead", "1"), t("case", "31")}, attrs: []Attribute{Capacitance, Insulation}},
	{kind: Module, terminals: []terminal{t("feed", "15", "plus"), t("out", "1"), t("ground", "31"), t("trigger-a"), t("trigger-b")}, attrs: []Attribute{Input, Contact, Minimum, Signal, Rating}, words: []string{"polarity"}, breaker: true},
	{kind: Trigger, terminals: []terminal{t("a"), t("b")}, attrs: []Attribute{Resistance, EMF, Temperature}},
	{kind: FlywheelMagneto, terminals: []terminal{t("primary", "2", "1"), t("ground", "31"), t("ht", "4", "4a"), t("ht2", "4b")}, attrs: []Attribute{Primary, Secondary, EMF, Temperature}, words: []string{"towers"}},
	{kind: FlywheelModule, terminals: []terminal{t("kill", "2"), t("ground", "31"), t("ht", "4", "4a"), t("ht2", "4b")}, attrs: []Attribute{Primary, Secondary, EMF, Contact, Temperature}, words: []string{"towers"}, breaker: true},
	{kind: RotorMagneto, terminals: []terminal{t("kill", "2"), t("ground", "31"), t("ht", "4", "4a"), t("ht2", "4b")}, attrs: []Attribute{Primary, Secondary, EMF, Contact, Temperature}, words: []string{"towers"}, breaker: true},
	{kind: SourceCoil, terminals: []terminal{t("out"), t("ground", "31")}, attrs: []Attribute{Resistance, EMF, Temperature}},
	{kind: ChargeCoil, terminals: []terminal{t("out"), t("ground", "31")}, attrs: []Attribute{Resistance, EMF, Temperature}},
	{kind: CDUnit, terminals: []terminal{t("charge"), t("kill", "2"), t("out"), t("ground", "31"), t("trigger-a"), t("trigger-b")}, attrs: []Attribute{Input, Minimum, Signal, Output, Resistance}, breaker: true},
	{kind: CDBox, terminals: []terminal{t("feed", "15", "plus"), t("out"), t("ground", "31"), t("trigger-a"), t("trigger-b")}, attrs: []Attribute{Input, Minimum, Signal, Output, Resistance}, words: []string{"polarity"}, breaker: true},
	{kind: TremblerCoil, terminals: []terminal{t("plus", "15"), t("timer", "1"), t("ht", "4")}, attrs: []Attribute{Volts, Primary, Secondary, Contact, Temperature}},
	{kind: LowTensionCoil, terminals: []terminal{t("in", "15"), t("out", "1")}, attrs: []Attribute{Volts, Resistance, Temperature}},
	{kind: Lead, terminals: []terminal{t("a"), t("b")}, attrs: []Attribute{Resistance, PerLength, Length}},
	{kind: Cap, terminals: []terminal{t("lead"), t("plug")}, attrs: []Attribute{Resistance}},
	{kind: Plug, terminals: []terminal{t("terminal"), t("body", "31")}, attrs: []Attribute{Resistance, Insulation, Gap, Thread, Reach}, words: []string{"seat"}},
	{kind: Load, terminals: []terminal{t("a"), t("b")}, attrs: []Attribute{Volts, Resistance, Power}},
	{kind: Connector, terminals: []terminal{t("a"), t("b")}, attrs: []Attribute{Resistance, Rating}},
	{kind: Meter, terminals: []terminal{t("red"), t("black")}, attrs: []Attribute{Resistance}},
	{kind: Block, terminals: []terminal{t("ground", "31")}, attrs: []Attribute{Thread, Reach}, words: []string{"seat"}},
}

var (
	kindIndex = func() map[Kind]*kindInfo {
		m := make(map[Kind]*kindInfo, len(kindTable))
		for i := range kindTable {
			m[kindTable[i].kind] = &kindTable[i]
		}
		return m
	}()
	// wordValues lists what the words of parts may be, the one assumed first.
	wordValues = map[string][]string{
		"polarity": {"", "negative", "positive"},
		"normally": {"open", "closed"},
		"second":   {"", "open", "closed"},
		"pressed":  {"safe", "unsafe"},
		"of":       {"", "seat", "drive", "pto"},
		"towers":   {"1", "2"},
		"class":    {"", "ballasted", "electronic", "capacitor", "transfer"},
		"seat":     {"", "gasket", "taper"},
	}
)

// Kinds lists every kind of part in a fixed order.
func Kinds() []Kind {
	out := make([]Kind, len(kindTable))
	for i, k := range kindTable {
		out[i] = k.kind
	}
	return out
}

// Terminals lists the terminals of a kind of part in a fixed order. A key
// switch has those of its table: nil here, as for no kind.
func (k Kind) Terminals() []string {
	info := kindIndex[k]
	if info == nil {
		return nil
	}
	var out []string
	for _, t := range info.terminals {
		out = append(out, t.name)
	}
	return out
}

// Terminal returns the package's own name for a terminal that is written as
// such or by its code of DIN 72552; ok is false where the kind has none.
func (k Kind) Terminal(written string) (name string, ok bool) {
	info := kindIndex[k]
	if info == nil {
		return "", false
	}
	for _, t := range info.terminals {
		if t.name == written || slices.Contains(t.aliases, written) {
			return t.name, true
		}
	}
	return "", false
}

// Attributes lists what can be said of a kind of part.
func (k Kind) Attributes() []Attribute {
	if info := kindIndex[k]; info != nil {
		return slices.Clone(info.attrs)
	}
	return nil
}

// Breaks reports whether parts of this kind open and close as the engine turns.
func (k Kind) Breaks() bool { info := kindIndex[k]; return info != nil && info.breaker }

// Attribute is one thing that can be said of a part, with its unit; the zero
// Attribute is none. The book lists them: [specs.PartAttributes].
type Attribute string

// The attributes that harness parts have.
const (
	Resistance  Attribute = "resistance"
	Primary     Attribute = "primary"
	Secondary   Attribute = "secondary"
	Contact     Attribute = "contact"
	Insulation  Attribute = "insulation"
	Input       Attribute = "input"
	PerLength   Attribute = "per_length"
	Length      Attribute = "length"
	Volts       Attribute = "volts"
	Rest        Attribute = "rest"
	Cranking    Attribute = "cranking"
	Regulated   Attribute = "regulated"
	EMF         Attribute = "emf"
	Output      Attribute = "output"
	PullIn      Attribute = "pull_in"
	Minimum     Attribute = "minimum"
	Signal      Attribute = "signal"
	Rating      Attribute = "rating"
	Power       Attribute = "power"
	Capacitance Attribute = "capacitance"
	Gap         Attribute = "gap"
	Thread      Attribute = "thread"
	Reach       Attribute = "reach"
	Temperature Attribute = "temperature"
)

var attributeInfo = func() map[Attribute]specs.PartAttribute {
	m := make(map[Attribute]specs.PartAttribute)
	for _, a := range specs.PartAttributes() {
		m[Attribute(a.Key)] = a
	}
	return m
}()

// Unit returns the kind of quantity that the attribute is; zero for an
// unknown one.
func (a Attribute) Unit() units.Kind { return attributeInfo[a].Kind }
