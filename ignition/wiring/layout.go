package wiring

import (
	"fmt"
	"slices"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// Ballasting is how a coil is ballasted.
type Ballasting uint8

// The ways of ballasting.
const (
	// NoBallast is a coil with all of its resistance inside.
	NoBallast Ballasting = iota
	// Ballasted has a ballast in the feed at all times.
	Ballasted
	// Bypassed has a ballast that is by-passed while cranking: by the key switch
	// where it has a terminal for it, else by the starter's solenoid.
	Bypassed
)

// Facts are what [Layout] needs to know. The zero Facts ask for no system.
type Facts struct {
	System ignition.System
	// Ground is the grounded battery terminal; unknown means negative.
	Ground ignition.Polarity
	// Volts of the battery; zero means 12 V, 6 V for dry cells.
	Volts units.Voltage
	// Switch is the id of a switch table of the book; empty is the usual one.
	Switch string
	// Ballast is for battery ignitions with a coil.
	Ballast Ballasting
	// Interlocks lists safety switches: "seat", "drive", "pto". Those of the
	// drive and the PTO act on the starter and need one.
	Interlocks []string
	// Twin is an engine of two cylinders that fire together (one double-ended
	// coil), or, with a trembler or an igniter, each by its own.
	Twin bool
	// Starter is an electric starter with its battery and solenoid.
	Starter bool
	// Charging is Alternator, Generator, or empty for none; it needs a battery.
	Charging Kind
	// ChargingRating is what the charging set gives; zero takes the class figure.
	ChargingRating units.Current
	// BatteryFed is a capacitor discharge set that draws from the battery.
	BatteryFed bool
	// StopButton is a stop button that grounds the kill wire in place of a
	// switch, for a magneto without a starter.
	StopButton bool
	// Primary is the steady current that wires and fuse of a battery ignition
	// with a coil are chosen for; zero means that of the class figures.
	Primary units.Current
	// FeedDrop is what the feed of a battery ignition may lose from the battery
	// to the coil; zero means the book's limit for the starting feed.
	FeedDrop units.Voltage
	// Loads is what lamps and the like draw that hang on the key; zero draws
	// none. They stand in the harness as one part with a fuse of its own, on the
	// key's accessory terminal, or where it has none on the one that feeds the
	// ignition. A switch with neither feeds no loads: that is a contradiction.
	Loads units.Current
	// Lengths are those of wires by name, as "coil-feed"; a wire that is not in
	// it has the class figure.
	Lengths map[string]units.Length
	// Temperature of wires and windings; zero means 20 °C.
	Temperature units.Temperature
}

// FactsError says what [Layout] cannot lay out.
type FactsError struct{ Problem string }

// Error returns the problem in plain words.
func (e *FactsError) Error() string { return "layout: " + e.Problem }

// Layout returns a sound harness for the facts, with wires chosen by
// [ChooseWire] and class figures for every part: a start, to be changed to what
// the machine is. The error is a [*FactsError] where the facts do not fit
// together.
func Layout(book *specs.Book, f Facts) (*Harness, error) {
	d, err := LayoutDraft(book, f)
	if err != nil {
		return nil, err
	}
	return Build(book, d)
}

type layout struct {
	book  *specs.Book
	facts Facts
	d     Draft
	roles specs.SwitchRoles
	err   error

	volts    units.Voltage
	short    units.Length
	long     units.Length
	ignition units.Current // of the primary, steady
	drop     units.Voltage // of the whole feed
	live     string        // the battery terminal that is not grounded
	dead     string
	legs     []*leg
}

// LayoutDraft is [Layout] before it is built.
func LayoutDraft(book *specs.Book, f Facts) (Draft, error) {
	l := &layout{book: book, facts: f, volts: f.Volts, live: "plus", dead: "minus"}
	if f.Ground == ignition.PositiveGround {
		l.live, l.dead = l.dead, l.live
	}
	l.d = Draft{Title: title(f), System: f.System, Ground: f.Ground, Temperature: f.Temperature}
	if f.Ground == ignition.PolarityUnknown {
		l.d.Ground = ignition.NegativeGround
	}
	dry := f.System == ignition.Trembler || f.System == ignition.MakeAndBreak
	if l.volts.IsZero() {
		kind := Battery
		if dry {
			kind = DryCells
		}
		l.volts = units.Volts(l.class(kind, Volts, ""))
	}
	l.d.Volts = l.volts
	l.short, l.long = units.Metres(l.class("wire", Length, "short")), units.Metres(l.class("wire", Length, ""))
	l.check(dry)
	if l.err != nil {
		return Draft{}, l.err
	}
	l.part("block", Block)
	switch f.System {
	case ignition.BatteryPoints, ignition.BatteryBreakerless:
		l.batteryIgnition()
	case ignition.CapacitorDischarge:
		if f.BatteryFed {
			l.batteryIgnition()
		} else {
			l.magneto()
		}
	case ignition.Trembler, ignition.MakeAndBreak:
		l.dryCells()
	default:
		l.magneto()
	}
	l.gauge()
	return l.d, l.err
}

func title(f Facts) string {
	parts := []string{f.System.Title()}
	if f.Twin {
		parts = append(parts, "twin")
	}
	if f.Starter {
		parts = append(parts, "electric starter")
	}
	return strings.Join(parts, ", ")
}

func (l *layout) fail(format string, args ...any) {
	if l.err == nil {
		l.err = &FactsError{fmt.Sprintf(format, args...)}
	}
}

// check finds facts that do not fit together, and the switch.
func (l *layout) check(dry bool) {
	f := &l.facts
	if f.System == ignition.UnknownSystem || int(f.System) > int(ignition.MakeAndBreak) {
		l.fail("nothing says which kind of ignition it is")
		return
	}
	battery := f.System == ignition.BatteryPoints || f.System == ignition.BatteryBreakerless || f.BatteryFed
	coil := f.System == ignition.BatteryPoints || f.System == ignition.BatteryBreakerless
	switch {
	case f.BatteryFed && f.System != ignition.CapacitorDischarge:
		l.fail("only a capacitor discharge set may be battery fed or not; %s says it already", f.System)
	case f.Ballast != NoBallast && !coil:
		l.fail("a ballast belongs to a battery ignition with a coil, not to %s", f.System)
	case f.Ballast == Bypassed && !f.Starter:
		l.fail("a ballast is by-passed while the starter turns, and there is no starter")
	case f.Charging != "" && f.Charging != Alternator && f.Charging != Generator:
		l.fail("%q is not a charging set", f.Charging)
	case f.Charging != "" && (dry || !battery && !f.Starter):
		l.fail("there is no battery to charge")
	case dry && f.Starter:
		l.fail("dry cells work no starter")
	case !f.Loads.IsZero() && (dry || !battery && !f.Starter):
		l.fail("there is no battery behind a key for other loads to draw on")
	case f.StopButton && (battery || dry || f.Starter):
		l.fail("a stop button in place of a switch is for a magneto without a starter")
	}
	for i, k := range f.Interlocks {
		switch {
		case !slices.Contains([]string{"seat", "drive", "pto"}, k) || slices.Contains(f.Interlocks[:i], k):
			l.fail("safety switches are \"seat\", \"drive\" and \"pto\", each once; not %q", k)
		case k != "seat" && !f.Starter:
			l.fail("the safety switch of the %s keeps the starter from turning, and there is no starter", k)
		}
	}
	if f.StopButton || l.err != nil {
		return
	}
	feed := battery || dry
	if f.Switch == "" {
		switch {
		case feed && f.Starter:
			f.Switch = "battery-three"
		case feed:
			f.Switch = "feed-two"
		case f.Starter && !f.Loads.IsZero():
			f.Switch = "magneto-five"
		case f.Starter:
			f.Switch = "magneto-four"
		default:
			f.Switch = "stop-two-lead"
		}
	}
	t, err := l.book.SwitchTable(f.Switch)
	if err != nil {
		l.err = err
		return
	}
	l.roles = t.Roles
	switch {
	case feed && (t.Roles.Battery == "" || t.Roles.Feed == ""):
		l.fail("the switch %q has no terminal that feeds a coil in run and start", f.Switch)
	case !feed && (t.Roles.Kill == "" || t.Roles.Ground == ""):
		l.fail("the switch %q has no terminal that grounds a kill wire", f.Switch)
	case f.Starter && (t.Roles.Battery == "" || t.Roles.Starter == ""):
		l.fail("the switch %q has no terminal for the starter", f.Switch)
	case !f.Loads.IsZero() && !feeds(t.Roles):
		l.fail("the switch %q has no terminal for other loads", f.Switch)
	}
}

// feeds reports whether a switch has a terminal that other loads may hang on.
func feeds(r specs.SwitchRoles) bool { return r.Accessory != "" || r.Feed != "" }

// class returns a class figure, and complains where the book has none.
func (l *layout) class(kind Kind, a Attribute, label string) float64 {
	if c, ok := l.book.PartClass(string(kind)); ok {
		if v, ok := c.Typical(string(a), label, l.volts); ok && !v.Band.Nominal.IsZero() {
			return v.Band.Nominal.Quantity.SI()
		}
	}
	l.fail("the book does not say what the %s of a %s usually is", a, kind)
	return 1
}

func (l *layout) part(name string, kind Kind, words ...string) *Part {
	p := Part{Name: name, Kind: kind}
	for i := 0; i+1 < len(words); i += 2 {
		if p.Words == nil {
			p.Words = map[string]string{}
		}
		p.Words[words[i]] = words[i+1]
	}
	l.d.Parts = append(l.d.Parts, p)
	return &l.d.Parts[len(l.d.Parts)-1]
}

// joint joins two terminals directly.
func (l *layout) joint(name, from, to string) {
	l.d.Wires = append(l.d.Wires, Wire{Name: name, From: from, To: to})
}

// limit returns the greatest volts of a band of the book's limits.
func (l *layout) limit(key specs.Key, label string) units.Voltage {
	if x, ok := l.book.Limits(key); ok {
		for _, b := range x.Bands {
			if v, ok := b.Band.Max.Quantity.Voltage(); ok && b.Label == label {
				return v
			}
		}
	}
	l.fail("the book has no greatest %s", key)
	return units.Voltage{}
}

func (l *layout) fused(name string, load units.Current) Part {
	rating, ok := FuseFor(l.book, load)
	if !ok {
		l.fail("no fuse carries %s", load)
	}
	p := l.part(name, Fuse)
	p.Values = map[Attribute]Value{Rating: Of(rating)}
	return *p
}

// supply lays the battery, its ground, starter, charging set, main fuse, key
// switch and what else hangs on that. It returns the leg of the feed as far as
// the key, with the ignition still to come.
func (l *layout) supply(primary units.Current) *leg {
	b := l.part("battery", Battery)
	b.Values = map[Attribute]Value{Volts: Of(l.volts)}
	bus := "battery." + l.live
	pull := units.Amperes(l.volts.Volts() / l.class(Solenoid, Resistance, ""))
	load := primary.Add(l.facts.Loads)
	fused := load
	ground := &leg{}
	if l.facts.Starter {
		cranking := units.Amperes(l.volts.Volts() / l.class(Starter, Resistance, ""))
		drop := units.Volts(0)
		if t, ok := l.book.WireTable("starter-drop"); ok {
			drop = units.Volts(t.Columns[0].Factor * cranking.Amperes() / 100)
		}
		heavy := l.leg(cables, drop)
		heavy.brief = true
		l.part("solenoid", Solenoid)
		l.part("starter", Starter)
		l.wire(heavy, "battery-cable", bus, "solenoid.battery", l.long, cranking)
		l.wire(heavy, "starter-cable", "solenoid.motor", "starter.plus", l.long, cranking)
		l.wire(heavy, "ground-strap", "battery."+l.dead, "block.ground", l.long, cranking)
		l.joint("starter-mount", "starter.ground", "block.ground")
		l.joint("solenoid-mount", "solenoid.ground", "block.ground")
		bus = "solenoid.battery"
		fused = fused.Add(pull)
	} else {
		ground = l.leg(feedCircuit, l.limit("ground_drop", "usual"))
		l.wire(ground, "ground-strap", "battery."+l.dead, "block.ground", l.long, load)
	}
	if l.facts.FeedDrop.IsZero() {
		load = fused // the limit of the starting feed holds while the solenoid pulls
	}
	main, _ := l.fused("fuse", fused).Values[Rating].Nominal.Current()
	ground.fuse = main
	feed := l.leg(feedCircuit, l.drop)
	feed.fuse, feed.surge = main, fused.Sub(load)
	feed.contact = l.class(Fuse, Resistance, "") + l.class(KeySwitch, Contact, "")
	// The feed starts at the battery's post, where the starter's current takes
	// nothing from it.
	l.wire(feed, "fuse-feed", "battery."+l.live, "fuse.a", l.short, load)
	l.part("key", KeySwitch, "table", l.facts.Switch)
	l.wire(feed, "key-feed", "fuse.b", "key."+l.roles.Battery, l.long, load)
	if l.facts.Starter {
		start := l.leg(startCircuit, units.Voltage{})
		start.fuse = main
		at := "key." + l.roles.Starter
		for _, k := range l.facts.Interlocks {
			if k == "seat" {
				continue
			}
			l.part(k, Interlock, "of", k, "normally", "open")
			l.wire(start, "start-"+k, at, k+".a", l.long, pull)
			at = k + ".b"
		}
		l.wire(start, "start-feed", at, "solenoid.switch", l.long, pull)
	}
	if !l.facts.Loads.IsZero() {
		at := l.roles.Accessory
		if at == "" {
			at = l.roles.Feed
		}
		p := l.part("loads", Load)
		watts, _ := units.FromSI(units.KindPower, l.volts.Volts()*l.facts.Loads.Amperes()).Power()
		p.Values = map[Attribute]Value{Volts: Of(l.volts), Power: Of(watts)}
		lamps := l.leg(loadCircuit, units.Voltage{})
		lamps.fuse = main
		l.wire(lamps, "load-feed", "key."+at, "loads.a", l.long, l.facts.Loads)
		l.joint("load-mount", "loads.b", "block.ground")
	}
	if k := l.facts.Charging; k != "" {
		gives := units.Amperes(l.class(k, Rating, ""))
		if p := l.part("charger", k); !l.facts.ChargingRating.IsZero() {
			gives = l.facts.ChargingRating
			p.Values = map[Attribute]Value{Rating: Of(gives)}
		}
		charge := l.leg(chargeCircuit, l.running())
		charge.contact = l.class(Fuse, Resistance, "")
		charge.fuse, _ = l.fused("charge-fuse", gives).Values[Rating].Nominal.Current()
		l.wire(charge, "charge-feed", "charger.out", "charge-fuse.a", l.long, gives)
		l.wire(charge, "charge-battery", "charge-fuse.b", bus, l.short, gives)
		l.joint("charger-mount", "charger.ground", "block.ground")
	}
	return feed
}

// output lays leads and plugs from the towers of a part.
func (l *layout) output(coil string) {
	towers := []string{"ht"}
	if l.d.Part(coil).Words["towers"] == "2" {
		towers = append(towers, "ht2")
	}
	for i, t := range towers {
		l.plug(suffix(len(towers), i), coil+"."+t)
	}
}

func suffix(n, i int) string {
	if n == 1 {
		return ""
	}
	return fmt.Sprintf("-%d", i+1)
}

func (l *layout) plug(suffix, from string) {
	l.part("lead"+suffix, Lead)
	l.part("plug"+suffix, Plug)
	l.joint("tower"+suffix, from, "lead"+suffix+".a")
	l.joint("plug-end"+suffix, "lead"+suffix+".b", "plug"+suffix+".terminal")
	l.joint("plug-thread"+suffix, "plug"+suffix+".body", "block.ground")
}

func (l *layout) towers() []string {
	if l.facts.Twin {
		return []string{"towers", "2"}
	}
	return nil
}

// breaker lays points with their condenser, joined to a coil's terminal. Points
// and wire share what may be lost there.
func (l *layout) breaker(circuit, from string) {
	l.part("points", Points)
	l.part("condenser", Condenser)
	way := l.leg(circuit, l.limit("points_drop", "usual"))
	way.contact = l.class(Points, Contact, "")
	l.wire(way, "points-wire", from, "points.arm", l.short, l.ignition)
	l.wire(l.leg(ownLeads, units.Voltage{}), "condenser-wire", "condenser.lead", "points.arm", l.short, l.ignition)
	l.joint("points-plate", "points.plate", "block.ground")
	l.joint("condenser-clamp", "condenser.case", "block.ground")
}

func (l *layout) trigger(unit string) {
	l.part("trigger", Trigger)
	leads := l.leg(ownLeads, units.Voltage{})
	l.wire(leads, "trigger-a", "trigger.a", unit+".trigger-a", l.short, units.Amperes(0))
	l.wire(leads, "trigger-b", "trigger.b", unit+".trigger-b", l.short, units.Amperes(0))
}

func (l *layout) batteryIgnition() {
	f := l.facts
	class, ohms := "", 0.0
	switch {
	case f.System == ignition.CapacitorDischarge:
		ohms = l.class(CDBox, Input, "")
	case f.Ballast != NoBallast:
		class = "ballasted"
		ohms = l.class(Coil, Primary, class) + l.class(Ballast, Resistance, "")
	case f.System == ignition.BatteryBreakerless:
		class = "electronic"
		ohms = l.class(Coil, Primary, class)
	default:
		ohms = l.class(Coil, Primary, "")
	}
	l.ignition = units.Amperes(l.volts.Volts() / ohms)
	if !f.Primary.IsZero() {
		l.ignition = f.Primary
	}
	l.drop = l.limit("feed_drop", "starting")
	if !f.FeedDrop.IsZero() {
		l.drop = f.FeedDrop
	}
	feed := l.supply(l.ignition)

	at := "key." + l.roles.Feed
	if slices.Contains(f.Interlocks, "seat") {
		l.part("seat", Interlock, "of", "seat", "normally", "open")
		feed.contact += l.class(Interlock, Contact, "")
		l.wire(feed, "seat-feed", at, "seat.a", l.long, l.ignition)
		at = "seat.b"
	}
	if f.System == ignition.CapacitorDischarge {
		l.part("unit", CDBox)
		l.wire(feed, "unit-feed", at, "unit.feed", l.long, l.ignition)
		l.joint("unit-mount", "unit.ground", "block.ground")
		l.trigger("unit")
		l.dischargeCoil()
		return
	}
	if f.Ballast != NoBallast {
		l.part("ballast", Ballast)
		l.wire(feed, "ballast-feed", at, "ballast.in", l.long, l.ignition)
		at = "ballast.out"
	}
	plus, points := "coil.plus", "coil.minus"
	if f.Ground == ignition.PositiveGround {
		plus, points = points, plus // so that the plug's centre electrode is still negative
	}
	words := l.towers()
	if class != "" {
		words = append(words, "class", class)
	}
	c := l.part("coil", Coil, words...)
	c.Values = map[Attribute]Value{Volts: Of(l.volts)}
	l.wire(feed, "coil-feed", at, plus, l.long, l.ignition)
	if f.Ballast == Bypassed {
		around := "solenoid.ignition"
		if l.roles.Bypass != "" {
			around = "key." + l.roles.Bypass
		}
		bypass := l.leg(feedCircuit, l.drop)
		bypass.brief = true
		l.wire(bypass, "bypass", around, plus, l.long, units.Amperes(l.volts.Volts()/l.class(Coil, Primary, class)))
	}
	if f.System == ignition.BatteryPoints {
		l.breaker(primaryCircuit, points)
	} else {
		l.part("module", Module)
		l.wire(l.leg(feedCircuit, units.Voltage{}), "module-feed", plus, "module.feed", l.short, units.Amperes(l.volts.Volts()/l.class(Module, Input, "")))
		l.wire(l.leg(primaryCircuit, l.limit("points_drop", "usual")), "module-out", points, "module.out", l.short, l.ignition)
		l.joint("module-mount", "module.ground", "block.ground")
		l.trigger("module")
	}
	l.output("coil")
}

func (l *layout) dischargeCoil() {
	l.part("coil", Coil, append(l.towers(), "class", "capacitor")...)
	l.wire(l.leg(killCircuit, units.Voltage{}), "coil-wire", "unit.out", "coil.plus", l.short, units.Amperes(0))
	l.joint("coil-mount", "coil.minus", "block.ground")
	l.output("coil")
}

// magneto lays every ignition that makes its own current and stops by
// grounding.
func (l *layout) magneto() {
	f := l.facts
	l.ignition = units.Amperes(0)
	l.drop = l.limit("feed_drop", "starting")
	if f.Starter {
		l.supply(units.Amperes(0))
	} else if f.StopButton {
		l.part("stop", Button, "normally", "open")
	} else {
		l.part("key", KeySwitch, "table", f.Switch)
	}
	kill := ""
	switch f.System {
	case ignition.FlywheelMagnetoPoints:
		l.part("magneto", FlywheelMagneto, l.towers()...)
		l.joint("magneto-mount", "magneto.ground", "block.ground")
		l.breaker(killCircuit, "magneto.primary")
		kill = "magneto.primary"
		l.output("magneto")
	case ignition.RotorMagnetoPoints:
		l.part("magneto", RotorMagneto, l.towers()...)
		l.joint("magneto-mount", "magneto.ground", "block.ground")
		kill = "magneto.kill"
		l.output("magneto")
	case ignition.MagnetoBreakerless:
		l.part("module", FlywheelModule, l.towers()...)
		l.joint("module-mount", "module.ground", "block.ground")
		kill = "module.kill"
		l.output("module")
	case ignition.EnergyTransfer:
		l.part("source", SourceCoil)
		l.joint("source-mount", "source.ground", "block.ground")
		l.breaker(killCircuit, "source.out")
		l.part("coil", Coil, append(l.towers(), "class", "transfer")...)
		l.wire(l.leg(killCircuit, units.Voltage{}), "coil-feed", "points.arm", "coil.plus", l.short, l.ignition)
		l.joint("coil-mount", "coil.minus", "block.ground")
		kill = "points.arm"
		l.output("coil")
	case ignition.CapacitorDischarge:
		l.part("charge", ChargeCoil)
		l.joint("charge-mount", "charge.ground", "block.ground")
		l.part("unit", CDUnit)
		l.wire(l.leg(killCircuit, units.Voltage{}), "charge-wire", "charge.out", "unit.charge", l.short, units.Amperes(0))
		l.joint("unit-mount", "unit.ground", "block.ground")
		l.trigger("unit")
		l.dischargeCoil()
		kill = "unit.kill"
	}
	short, stop := units.Amperes(0), l.leg(killCircuit, units.Voltage{})
	if f.StopButton {
		l.wire(stop, "kill", kill, "stop.a", l.long, short)
		l.wire(stop, "stop-ground", "stop.b", "block.ground", l.long, short)
	} else {
		l.wire(stop, "kill", kill, "key."+l.roles.Kill, l.long, short)
		l.wire(stop, "key-ground", "key."+l.roles.Ground, "block.ground", l.long, short)
	}
	if slices.Contains(f.Interlocks, "seat") {
		l.part("seat", Interlock, "of", "seat", "normally", "closed")
		l.wire(stop, "seat-kill", kill, "seat.a", l.long, short)
		l.wire(stop, "seat-ground", "seat.b", "block.ground", l.long, short)
	}
}

// dryCells lays trembler and make-and-break sets.
func (l *layout) dryCells() {
	f := l.facts
	coil := TremblerCoil
	attr := Primary
	if f.System == ignition.MakeAndBreak {
		coil, attr = LowTensionCoil, Resistance
	}
	n := 1
	if f.Twin {
		n = 2
	}
	l.ignition = units.Amperes(l.volts.Volts() / (l.class(coil, attr, "") + l.class(DryCells, Resistance, "")) * float64(n))
	l.drop = l.limit("feed_drop", "starting")
	b := l.part("battery", DryCells)
	b.Values = map[Attribute]Value{Volts: Of(l.volts)}
	l.fused("fuse", l.ignition)
	l.part("key", KeySwitch, "table", f.Switch)
	feed := l.leg(feedCircuit, l.drop)
	feed.contact = l.class(Fuse, Resistance, "") + l.class(KeySwitch, Contact, "")
	l.wire(l.leg(feedCircuit, l.drop), "battery-ground", "battery."+l.dead, "block.ground", l.long, l.ignition)
	l.wire(feed, "fuse-feed", "battery."+l.live, "fuse.a", l.short, l.ignition)
	l.wire(feed, "key-feed", "fuse.b", "key."+l.roles.Battery, l.long, l.ignition)
	at := "key." + l.roles.Feed
	if slices.Contains(f.Interlocks, "seat") {
		l.part("seat", Interlock, "of", "seat", "normally", "open")
		feed.contact += l.class(Interlock, Contact, "")
		l.wire(feed, "seat-feed", at, "seat.a", l.long, l.ignition)
		at = "seat.b"
	}
	for i := range n {
		s := suffix(n, i)
		p := l.part("coil"+s, coil)
		p.Values = map[Attribute]Value{Volts: Of(l.volts)}
		if i > 0 { // beside the first, not behind it
			feed = l.leg(feedCircuit, l.drop.Scale(0.5))
		}
		breaker := l.leg(feedCircuit, l.drop)
		if coil == TremblerCoil {
			l.wire(feed, "coil-feed"+s, at, "coil"+s+".plus", l.long, l.ignition)
			l.part("timer"+s, Timer)
			l.wire(breaker, "timer-wire"+s, "coil"+s+".timer", "timer"+s+".contact", l.short, l.ignition)
			l.joint("timer-body"+s, "timer"+s+".body", "block.ground")
			l.plug(s, "coil"+s+".ht")
			continue
		}
		l.wire(feed, "coil-feed"+s, at, "coil"+s+".in", l.long, l.ignition)
		l.part("igniter"+s, Igniter)
		l.wire(breaker, "igniter-wire"+s, "coil"+s+".out", "igniter"+s+".electrode", l.short, l.ignition)
		l.joint("igniter-body"+s, "igniter"+s+".body", "block.ground")
	}
}
