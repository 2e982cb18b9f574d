package spark

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gapbook.example/specs"
	"gapbook.example/units"
)

// A Set is the ignition of one engine, put together from the book: values that
// the engine's record has, and class figures for all others; or that of a [Case].
// Exactly one of Parts, Magneto and Discharge is set.
type Set struct {
	// Engine is the record; nil for the set of a case.
	Engine *specs.Engine
	// System is the kind of ignition, a slug of [specs.Systems]; empty for the set
	// of a case.
	System string
	// Parts are the set where a battery feeds it.
	Parts *Parts
	// Magneto is the set where a magnet feeds it.
	Magneto *Magneto
	// Discharge is the set where a store is emptied into the coil.
	Discharge *Discharge
	// Ratio is turns of the magnet a turn of the crank; 1 without a magnet.
	Ratio float64
	// Known are the values that the engine's record has, Granted those that
	// were taken for granted, in the order in which they were looked for.
	Known, Granted []Origin
	// Spreads say within what limits the values are known, for a [Study].
	Spreads []Spread
	// Situations are cranking, idling, working and top speed, with what the
	// cylinder asks for then.
	Situations []Situation
}

// An Origin says where a value comes from.
type Origin struct {
	// Key names the value: "coil.primary_resistance".
	Key string
	// Value with its unit, and its limits where there are any.
	Value string
	// Source is the id of the source in the book, Place where it stands there,
	// and Note why this figure.
	Source, Place, Note string
}

// A SystemError is returned where an engine's ignition has no model here. Its
// message says what to do.
type SystemError struct {
	// Engine is the record's id and System what it says of the ignition, or
	// what was asked for.
	Engine, System string
}

// Error says what was found and what would do.
func (e *SystemError) Error() string {
	known := make([]string, 0, len(labelOf))
	for _, s := range specs.Systems() {
		if labelOf[s] != "" {
			known = append(known, s)
		}
	}
	return fmt.Sprintf("%s: its ignition is %q, and no spark is computed from that; name one of %s", e.Engine, e.System, strings.Join(known, ", "))
}

// labelOf maps kinds of ignition to the labels of the class figures.
var labelOf = map[string]string{
	"battery-points": "battery", "battery-breakerless": "battery", "flywheel-magneto-points": "flywheel", "rotor-magneto-points": "rotor",
	"magneto-breakerless": "module", "energy-transfer": "transfer", "capacitor-discharge": "discharge",
}

// FromBook puts together the ignition of the engine with an id. An empty system
// takes the one of the record. The error is a [*specs.UnknownError] where there
// is no such engine, and a [*SystemError] where the kind of ignition has no
// model: unknown, trembler, make-and-break.
//
// Class figures come from the book's parts, most of them assumed; [Set.Granted]
// lists every one.
func FromBook(book *specs.Book, id, system string) (*Set, error) {
	e, err := book.Engine(id)
	if err != nil {
		return nil, err
	}
	if system == "" {
		system = e.Identity.System
	}
	label, ok := labelOf[system]
	if !ok {
		return nil, &SystemError{e.ID, system}
	}
	g := &gatherer{book: book, set: &Set{Engine: e, System: system, Ratio: 1}, label: label}
	switch label {
	case "battery":
		g.battery(system == "battery-breakerless")
	case "discharge":
		g.discharge()
	default:
		g.magneto()
	}
	g.situations()
	return g.set, nil
}

// A gatherer looks values up, in the record and then in the classes, and keeps
// where they came from.
type gatherer struct {
	book  *specs.Book
	set   *Set
	label string
	volts units.Voltage // of the system; nought for any
}

// common is the class with what only this package asks for.
const common = "spark"

// figure picks the record's figure of a quantity, for this kind of ignition.
func (g *gatherer) figure(key specs.Key) (specs.Figure, bool) {
	points := strings.HasSuffix(g.set.System, "points")
	var best specs.Figure
	found := false
	for _, f := range g.set.Engine.Of(key) {
		if f.Band.IsZero() || points && strings.Contains(f.Label, "cdi") || !points && f.Label == "points" {
			continue
		}
		if !found || f.Prefer != "" && best.Prefer == "" {
			best, found = f, true
		}
	}
	return best, found
}

// middle is the one value of a band: its nominal, else the middle of its
// limits, else the one limit there is.
func middle(b specs.Band) units.Quantity {
	lo, hi := b.Min.Quantity, b.Max.Quantity
	switch {
	case !b.Nominal.IsZero():
		return b.Nominal.Quantity
	case b.Min.IsZero():
		return hi
	case b.Max.IsZero():
		return lo
	}
	return units.FromSI(lo.Kind(), (lo.SI()+hi.SI())/2)
}

// ends are the limits of a band, with a spread where it has none.
func ends(b specs.Band, spread float64) (low, high units.Quantity) {
	q := middle(b)
	low, high = q, q
	if spread > 0 {
		low, high = units.FromSI(q.Kind(), q.SI()*(1-min(spread, 0.99))), units.FromSI(q.Kind(), q.SI()*(1+spread))
	}
	if !b.Min.IsZero() && b.Min.Quantity.Cmp(q) <= 0 {
		low = b.Min.Quantity
	}
	if !b.Max.IsZero() && b.Max.Quantity.Cmp(q) >= 0 {
		high = b.Max.Quantity
	}
	return low, high
}

// value finds a value: in the record under a quantity (none: not looked for),
// else in a class under an attribute. Every class here is in the book: a table
// laid over it can replace one but not take it out.
func (g *gatherer) value(key string, quantity specs.Key, class, attribute, label string) units.Quantity {
	if quantity != "" {
		if f, ok := g.figure(quantity); ok {
			spread := 0.0
			if c, ok := g.book.PartClass(common); ok {
				if v, ok := c.Typical(attribute, "given", g.volts); ok && v.Label == "given" {
					spread = v.Spread
				}
			}
			low, high := ends(f.Band, spread)
			g.spread(key, low, high)
			g.set.Known = append(g.set.Known, Origin{key, f.Band.String(), f.Source, f.Place, f.Condition})
			return middle(f.Band)
		}
	}
	v, ok := typical(g.book, class, attribute, label, g.volts)
	if !ok {
		g.set.Granted = append(g.set.Granted, Origin{Key: key, Note: "the book has no class figure: nothing was assumed"})
		return units.Quantity{}
	}
	low, high := ends(v.Band, v.Spread)
	g.spread(key, low, high)
	text := v.Band.String()
	if v.Spread > 0 {
		text += fmt.Sprintf(" ± %.0f %%", 100*v.Spread)
	}
	g.set.Granted = append(g.set.Granted, Origin{key, text, v.Source, v.Place, v.Note})
	return middle(v.Band)
}

// typical is the class figure of an attribute that has a value.
func typical(book *specs.Book, class, attribute, label string, volts units.Voltage) (specs.ClassValue, bool) {
	c, ok := book.PartClass(class)
	if !ok {
		return specs.ClassValue{}, false
	}
	v, ok := c.Typical(attribute, label, volts)
	return v, ok && !v.Band.IsZero()
}

// spread keeps the limits of a value that a study can draw.
func (g *gatherer) spread(key string, low, high units.Quantity) {
	if drawable(key) && low.Cmp(high) < 0 && !math.IsInf(high.SI(), 0) {
		g.set.Spreads = append(g.set.Spreads, Spread{key, low, high})
	}
}

// drawable tells whether a study knows the key.
func drawable(key string) bool {
	if _, ok := setters[key]; ok {
		return true
	}
	for i := range extras {
		if extras[i].key == key {
			return true
		}
	}
	return false
}

// none is the system voltage of figures that hold at any.
var none units.Voltage

func (g *gatherer) ohms(key string, quantity specs.Key, class, attribute, label string) units.Resistance {
	q, _ := g.value(key, quantity, class, attribute, label).Resistance()
	return q
}

func (g *gatherer) voltage(key string, quantity specs.Key, class, attribute, label string) units.Voltage {
	q, _ := g.value(key, quantity, class, attribute, label).Voltage()
	return q
}

func (g *gatherer) farads(key string, quantity specs.Key, class, attribute, label string) units.Capacitance {
	q, _ := g.value(key, quantity, class, attribute, label).Capacitance()
	return q
}

func (g *gatherer) henries(key string, quantity specs.Key, attribute, label string) units.Inductance {
	q, _ := g.value(key, quantity, common, attribute, label).Inductance()
	return q
}

func (g *gatherer) amperes(key, attribute string) units.Current {
	q, _ := g.value(key, "", common, attribute, g.label).Current()
	return q
}

func (g *gatherer) angle(key, attribute string) units.MagnetAngle {
	q, _ := g.value(key, "", common, attribute, g.label).MagnetAngle()
	return q
}

// coil gathers the coil. The classes that hold its windings go by the set.
func (g *gatherer) coil() Coil {
	class, label := "coil", ""
	switch g.label {
	case "flywheel":
		class = "flywheel-magneto"
	case "rotor":
		class = "rotor-magneto"
	case "module":
		class = "flywheel-module"
	case "transfer":
		label = "transfer"
	case "discharge":
		label = "capacitor"
	}
	if g.set.System == "battery-breakerless" {
		label = "electronic"
	}
	c := Coil{
		PrimaryResistance:   g.ohms("coil.primary_resistance", "primary", class, "primary", label),
		PrimaryInductance:   g.henries("coil.primary_inductance", "primary_inductance", "inductance", g.label),
		SecondaryResistance: g.ohms("coil.secondary_resistance", "secondary", class, "secondary", label),
	}
	one, okOne := g.figure("primary_inductance")
	two, okTwo := g.figure("secondary_inductance")
	if _, printed := g.figure("turns_ratio"); !printed && okOne && okTwo {
		n := math.Sqrt(middle(two.Band).SI() / middle(one.Band).SI())
		c.TurnsRatio = n
		g.set.Known = append(g.set.Known, Origin{"coil.turns_ratio", fmt.Sprintf("%.1f", n), two.Source, two.Place, "root of secondary over primary inductance"})
	} else {
		c.TurnsRatio = g.value("coil.turns_ratio", "turns_ratio", common, "turns_ratio", g.label).SI()
	}
	c.Coupling = g.value("coil.coupling", "", common, "coupling", g.label).SI()
	c.CoreLoss = g.ohms("coil.core_loss", "", common, "core_loss", g.label)
	c.SecondaryCapacitance = g.farads("coil.secondary_capacitance", "", common, "tower", g.label)
	return c
}

// lead adds up lead and cap.
func (g *gatherer) lead() units.Resistance {
	return g.ohms("lead.resistance", "lead", "lead", "resistance", "").Add(g.ohms("lead.cap", "cap", "cap", "resistance", ""))
}

// plug gathers the plug; what it asks for comes with the situations.
func (g *gatherer) plug() Plug {
	p := Plug{
		Capacitance:       g.farads("plug.capacitance", "", common, "plug_capacitance", ""),
		Shunt:             g.ohms("plug.shunt", "", common, "leakage", ""),
		BurningVoltage:    g.voltage("plug.burning_voltage", "", common, "burning", ""),
		BurningResistance: g.ohms("plug.burning_resistance", "", common, "burning_resistance", ""),
		ExtinctionCurrent: g.amperes("plug.extinction_current", "extinction"),
		HotGap:            &HotGap{Breakdown: g.voltage("plug.hot_gap.breakdown", "", common, "hot", "")},
	}
	p.HotGap.Recovery, _ = g.value("plug.hot_gap.recovery", "", common, "recovery", "").Time()
	return p
}

func (g *gatherer) condenser() Condenser {
	class, label := "condenser", ""
	if g.label == "module" {
		class, label = common, g.label
	}
	return Condenser{g.farads("condenser.capacitance", "condenser", class, "capacitance", label),
		g.ohms("condenser.series_resistance", "", common, "series", ""), g.ohms("condenser.leakage", "", common, "leakage", "")}
}

func (g *gatherer) battery(breakerless bool) {
	g.volts = g.voltage("battery.system", "system_voltage", "coil", "volts", "")
	p := &Parts{Battery: Battery{g.voltage("battery.voltage", "", "battery", "rest", ""), g.ohms("battery.resistance", "", "battery", "resistance", "")}}
	p.Wiring = g.ohms("wiring.resistance", "", common, "wiring", "")
	if _, ok := g.figure("ballast"); ok {
		p.Ballast = g.ohms("ballast.resistance", "ballast", "ballast", "resistance", "")
	} else {
		g.set.Granted = append(g.set.Granted, Origin{Key: "ballast.resistance", Value: "0 Ω", Note: "no record of one: none"})
	}
	p.Coil = g.coil()
	if breakerless {
		p.Switch = &Switch{Saturation: g.voltage("switch.saturation", "", common, "saturation", ""), Resistance: g.ohms("switch.resistance", "", common, "resistance", "module"),
			Clamp: g.voltage("switch.clamp", "", common, "clamp", ""), ClampResistance: g.ohms("switch.clamp_resistance", "", common, "clamp_resistance", "")}
		g.label = "module" // its stray capacity is what a transistor has
	} else {
		p.Points.ContactResistance = g.ohms("points.contact_resistance", "", "points", "contact", "")
		a := &Arc{Voltage: g.voltage("points.arc.voltage", "", common, "arc", ""), Resistance: g.ohms("points.arc.resistance", "", common, "arc_resistance", ""),
			HoldingCurrent: g.amperes("points.arc.holding_current", "holding"), StrengthStart: g.voltage("points.arc.strength_start", "", common, "strength", "")}
		a.StrengthRise, _ = g.value("points.arc.strength_rise", "", common, "strength_rise", "").VoltageRate()
		p.Points.Arc = a
	}
	p.Condenser = g.condenser()
	p.Lead, p.Plug = g.lead(), g.plug()
	p.Run.SparksPerRev = 0.5
	if g.set.Engine.Identity.Cycle == 2 {
		p.Run.SparksPerRev = 1
	}
	p.Run.Dwell = g.dwell()
	g.set.Parts = p
}

// dwell is the closed share of the cycle: from the cam's dwell where the record
// prints it and says how many cylinders there are.
func (g *gatherer) dwell() float64 {
	f, ok := g.figure("dwell_angle")
	n := g.set.Engine.Identity.Cylinders
	if a, angle := middle(f.Band).CamAngle(); ok && angle && n > 0 {
		if share := a.CamDegrees() * float64(n) / 360; share > 0 && share < 1 {
			g.set.Known = append(g.set.Known, Origin{"run.dwell", f.Band.String(), f.Source, f.Place, "over the lobe's share of the cam"})
			return share
		}
	}
	return g.value("run.dwell", "", common, "dwell", "").SI()
}

func (g *gatherer) magneto() {
	m := &Magneto{Coil: g.coil(), Lead: g.lead(), Plug: g.plug(), Condenser: g.condenser()}
	if f, ok := g.figure("magneto_ratio"); ok && middle(f.Band).SI() > 0 {
		g.set.Ratio = middle(f.Band).SI()
		g.set.Known = append(g.set.Known, Origin{"magnet.ratio", f.Band.String(), f.Source, f.Place, f.Condition})
	} else {
		g.set.Granted = append(g.set.Granted, Origin{Key: "magnet.ratio", Value: "1", Note: "no record of it: the magnet turns with the crank"})
	}
	m.Magnet.Linkage, _ = g.value("magnet.linkage", "", common, "linkage", g.label).FluxLinkage()
	b, pole := g.angle("magnet.swing", "swing"), g.angle("magnet.pole", "pole")
	// A rotor turns the flux full round and back; under a flywheel's poles it
	// begins and ends at nought.
	end := 0.0
	if g.label == "rotor" {
		end = 1
	}
	m.Magnet.Flux = []FluxKnot{{pole.Scale(-1), -end}, {b.Scale(-1), 1}, {b, -1}, {pole, end}}
	if g.label == "module" {
		m.Module = &Module{Saturation: g.voltage("module.saturation", "", common, "saturation", ""), OnResistance: g.ohms("module.on_resistance", "", common, "resistance", "module"),
			Trip: g.amperes("module.trip_current", "trip"), Clamp: g.voltage("module.clamp", "", common, "clamp", ""), ClampResistance: g.ohms("module.clamp_resistance", "", common, "clamp_resistance", ""),
			Reverse: &Diode{g.voltage("module.reverse", "", common, "diode", ""), g.ohms("module.reverse_resistance", "", common, "diode_resistance", "")}}
		m.Closes = pole.Scale(-1).Sub(units.MagnetDegrees(1))
	} else {
		m.Points.ContactResistance = g.ohms("points.contact_resistance", "", "points", "contact", "")
		m.Closes, m.Opens = g.angle("points.closes", "closes"), g.angle("points.opens", "opens")
	}
	if f, ok := g.figure("impulse_release"); ok && g.label == "rotor" {
		// The record tells of an impulse coupling; what it snaps at is a class
		// figure.
		g.set.Known = append(g.set.Known, Origin{"impulse.release", f.Band.String(), f.Source, f.Place, "so it has an impulse coupling"})
		m.Impulse = &Impulse{}
		m.Impulse.Hold, _ = g.value("impulse.hold", "", common, "closes", "hold").MagnetAngle()
		m.Impulse.Snap, _ = g.value("impulse.snap_speed", "", common, "speed", "snap").Speed()
	}
	if g.label == "transfer" {
		m.Source = &SourceCoil{g.henries("source_coil.inductance", "", "inductance", "source"), g.ohms("source_coil.resistance", "source_coil", "source-coil", "resistance", "")}
	}
	g.set.Magneto = m
}

func (g *gatherer) discharge() {
	d := &Discharge{Coil: g.coil(), Lead: g.lead(), Plug: g.plug(), Turn: units.MagnetDegrees(360)}
	quantity := specs.Key("charge_coil")
	if _, ok := g.figure(quantity); !ok {
		quantity = "exciter" // the other name for it
	}
	d.Charge = ChargeCoil{Inductance: g.henries("charge_coil.inductance", "", "inductance", "charge"), Resistance: g.ohms("charge_coil.resistance", quantity, "charge-coil", "resistance", ""),
		PolePairs: int(math.Round(g.value("charge_coil.pole_pairs", "", common, "pole_pairs", "").SI()))}
	d.Charge.Linkage, _ = g.value("charge_coil.linkage", "", common, "linkage", "charge").FluxLinkage()
	d.Store = Store{Capacitance: g.farads("store.capacitance", "", common, "capacitance", "store"), Leakage: g.ohms("store.leakage", "", common, "leakage", ""),
		Regulator: g.voltage("store.regulator", "", common, "regulator", ""), DiodeDrop: g.voltage("store.diode_drop", "", common, "diode", "")}
	d.Thyristor = Thyristor{g.voltage("thyristor.drop", "", common, "saturation", "thyristor"), g.ohms("thyristor.resistance", "", common, "resistance", "module")}
	g.set.Discharge = d
}

// situations gathers what the cylinder asks for, and sets the plug by it: to
// the middle of what it asks for at work, or with an impulse coupling while
// cranking.
func (g *gatherer) situations() {
	s := g.set
	var base Demand
	gap := g.value("demand.gap", "plug_gap", common, "gap", "")
	base.Gap, _ = gap.Length()
	base.Compression = g.value("demand.compression", "", common, "compression", "").SI()
	base.RodRatio = rodRatio(g.book)
	g.set.Granted = append(g.set.Granted, Origin{"demand.rod_ratio", fmt.Sprintf("%.1f", base.RodRatio), "common-practice", "", "rod over the crank's radius, from the class figure of cranks"})
	spark := units.CrankAngle{}
	if f, ok := g.figure("timing"); ok {
		spark, _ = middle(f.Band).CrankAngle()
		s.Known = append(s.Known, Origin{"demand.spark", f.Band.String(), f.Source, f.Place, strings.ReplaceAll(f.Label, "-", " ")})
	} else {
		spark, _ = g.value("demand.spark", "", common, "spark", "").CrankAngle()
	}
	base.Spark = spark
	speed := func(key string, label string, quantities ...specs.Key) units.Speed {
		for _, q := range quantities {
			if _, ok := g.figure(q); ok {
				v, _ := g.value(key, q, common, "speed", label).Speed()
				return v
			}
		}
		v, _ := g.value(key, "", common, "speed", label).Speed()
		return v
	}
	top := speed("run.speed.top", "top", "no_load", "governed", "rated")
	work := speed("run.speed.loaded", "loaded", "governed", "rated")
	if work.Cmp(top) > 0 {
		work = top
	}
	names := [...]struct {
		name, label string
		speed       units.Speed
	}{
		{"cranking", "cranking", speed("run.speed.cranking", "cranking", "cranking")},
		{"idling", "idling", speed("run.speed.idling", "idling", "idle")},
		{"working", "loaded", work},
		{"top speed", "top", top},
	}
	for _, n := range names {
		d := filled(g.book, base, n.label)
		one := Situation{Name: n.name, Speed: n.speed, Demand: d}
		if n.label == "cranking" && s.Parts != nil {
			one.Battery = g.voltage("battery.cranking", "battery_cranking", common, "cranking", "")
		}
		s.Situations = append(s.Situations, one)
	}
	s.Granted = append(s.Granted, chargeOrigins(g.book)...)
	shown := 2 // at work
	if s.Magneto != nil && s.Magneto.Impulse != nil {
		shown = 0 // a coupling takes part in cranking only
	}
	need, err := s.Situations[shown].Demand.Kilovolts()
	if err != nil {
		return // a record with an impossible gap: Compute says so by name
	}
	kv := need.Band.Low.Add(need.Band.High).Scale(0.5)
	set := func(p *Plug) {
		p.Breakdown = kv
		if p.HotGap != nil && p.HotGap.Breakdown.Cmp(kv) > 0 {
			p.HotGap.Breakdown = kv
		}
	}
	switch {
	case s.Parts != nil:
		set(&s.Parts.Plug)
		s.Parts.Run.Speed = work
	case s.Magneto != nil:
		set(&s.Magneto.Plug)
		s.Magneto.Speed = s.Situations[shown].Speed.Scale(s.Ratio)
	default:
		set(&s.Discharge.Plug)
		s.Discharge.Speed = work
	}
}

// rodRatio is the class figure for rod over crank radius, 0 where there is none.
func rodRatio(book *specs.Book) float64 {
	v, ok := typical(book, "crank", "rod_ratio", "", units.Voltage{})
	if !ok {
		return 0
	}
	return 2 * middle(v.Band).SI() // the class counts in strokes
}

// filled completes a demand by the class figures for one way of running: what
// the charge is as compression begins, when that is, and the spark while
// cranking.
func filled(book *specs.Book, d Demand, label string) Demand {
	get := func(attribute string) units.Quantity {
		v, ok := typical(book, common, attribute, label, units.Voltage{})
		if !ok {
			return units.Quantity{}
		}
		return middle(v.Band)
	}
	d.Pressure, _ = get("intake").Pressure()
	d.Temperature, _ = get("temperature").Temperature()
	if d.Closes.IsZero() {
		d.Closes, _ = get("intake_closes").CrankAngle()
	}
	if label == "cranking" {
		if late, ok := get("spark").CrankAngle(); ok && late.BTDC() < d.Spark.BTDC() {
			d.Spark = late // hand and automatic advance are back, or weights at rest
		}
	}
	if d.Factors == nil {
		c := d.Conditions
		if label == "cranking" || label == "idling" {
			c.Hot = false // it glows at work only
		}
		d.Factors = c.Factors(book)
	}
	return d
}

// chargeOrigins lists the class figures that [filled] uses.
func chargeOrigins(book *specs.Book) []Origin {
	var list []Origin
	c, ok := book.PartClass(common)
	if !ok {
		return nil
	}
	for _, v := range c.Values {
		if slices.Contains([]string{"intake", "temperature", "intake_closes"}, v.Attribute) || v.Attribute == "spark" && v.Label == "cranking" ||
			v.Attribute == "factor" && (v.Label == "edges" || v.Label == "mixture") {
			key := "demand." + v.Attribute
			if v.Label != "" {
				key += "." + v.Label
			}
			list = append(list, Origin{key, v.Band.String(), v.Source, v.Place, v.Note})
		}
	}
	return list
}

// SituationsFor are cranking, idling, working and top speed for a demand of
// which gap, compression, rod ratio, spark and, if known, closing are given: the
// charge comes from the book's class figures, and so do speeds that are nought
// and, where the demand names none, the factors of its [Conditions].
// battery is its voltage at rest, nought without a battery.
func SituationsFor(book *specs.Book, d Demand, work, top units.Speed, battery units.Voltage) []Situation {
	if d.RodRatio == 0 {
		d.RodRatio = rodRatio(book)
	}
	speed := func(label string) units.Speed {
		v, _ := typical(book, common, "speed", label, units.Voltage{})
		q, _ := middle(v.Band).Speed()
		return q
	}
	if work.IsZero() {
		work = speed("loaded")
	}
	if top.IsZero() {
		if top = speed("top"); top.Cmp(work) < 0 {
			top = work
		}
	}
	list := []Situation{
		{Name: "cranking", Speed: speed("cranking"), Demand: filled(book, d, "cranking")},
		{Name: "idling", Speed: speed("idling"), Demand: filled(book, d, "idling")},
		{Name: "working", Speed: work, Demand: filled(book, d, "loaded")},
		{Name: "top speed", Speed: top, Demand: filled(book, d, "top")},
	}
	list[0].Battery = sagging(book, battery)
	return list
}

// sagging is the class figure for a battery while cranking, of the system
// voltage that lies nearest; nought where there is no battery or no figure.
func sagging(book *specs.Book, battery units.Voltage) (v units.Voltage) {
	c, ok := book.PartClass(common)
	if !ok || battery.Volts() <= 0 {
		return v
	}
	nearest := math.Log(1.5) // further off it is some other system
	for _, x := range c.Values {
		if x.Attribute != "cranking" || x.Volts.IsZero() {
			continue
		}
		if off := math.Abs(math.Log(x.Volts.Volts() / battery.Volts())); off < nearest {
			nearest = off
			v, _ = middle(x.Band).Voltage()
		}
	}
	return v
}

// attributeOf maps the values that a case gives to the class figures that say
// how well such a value is known.
var attributeOf = []struct{ key, attribute string }{
	{"battery.voltage", "rest"}, {"wiring.resistance", "wiring"}, {"ballast.resistance", "resistance"}, {"coil.primary_resistance", "primary"},
	{"coil.primary_inductance", "inductance"}, {"coil.turns_ratio", "turns_ratio"}, {"coil.core_loss", "core_loss"}, {"coil.secondary_resistance", "secondary"},
	{"coil.secondary_capacitance", "tower"}, {"points.contact_resistance", "contact"}, {"condenser.capacitance", "capacitance"},
	{"plug.capacitance", "plug_capacitance"}, {"run.dwell", "dwell"},
	{"magnet.linkage", "linkage"}, {"points.opens", "opens"}, {"module.trip_current", "trip"},
	{"source_coil.inductance", "inductance"}, {"source_coil.resistance", "resistance"},
	{"charge_coil.inductance", "inductance"}, {"charge_coil.resistance", "resistance"}, {"charge_coil.linkage", "linkage"},
	{"store.capacitance", "capacitance"}, {"store.regulator", "regulator"},
}

// Tolerances are spreads for parts whose values somebody gave: each by the
// share that the book's class figures allow for a given value.
func Tolerances(book *specs.Book, p *Parts) []Spread {
	return tolerances(book, subjectOf(p, nil, nil), "given")
}

// MagnetoTolerances does the same for a magneto. Where measured is false its
// linkage is a guess, and its spread is that of one.
func MagnetoTolerances(book *specs.Book, m *Magneto, measured bool) []Spread {
	return tolerances(book, subjectOf(nil, m, nil), linkageLabel(measured))
}

// DischargeTolerances does the same for a capacitor-discharge set; measured
// tells of its charge coil's linkage.
func DischargeTolerances(book *specs.Book, d *Discharge, measured bool) []Spread {
	return tolerances(book, subjectOf(nil, nil, d), linkageLabel(measured))
}

func linkageLabel(measured bool) string {
	if measured {
		return "measured"
	}
	return "given"
}

func tolerances(book *specs.Book, s *subject, linkage string) []Spread {
	c, ok := book.PartClass(common)
	if !ok {
		return nil
	}
	var list []Spread
	for _, a := range attributeOf {
		label := "given"
		if a.attribute == "linkage" {
			label = linkage
		}
		v, ok := c.Typical(a.attribute, label, none)
		q, have := s.get(a.key)
		if !ok || v.Label != label || !have {
			continue
		}
		if a.attribute == "opens" { // limits to add, not a share
			list = append(list, Spread{a.key, units.FromSI(q.Kind(), q.SI()+v.Band.Min.Quantity.SI()), units.FromSI(q.Kind(), q.SI()+v.Band.Max.Quantity.SI())})
			continue
		}
		if q.SI() <= 0 || math.IsInf(q.SI(), 0) {
			continue
		}
		low, high := units.FromSI(q.Kind(), q.SI()*(1-v.Spread)), units.FromSI(q.Kind(), q.SI()*(1+v.Spread))
		if a.key == "run.dwell" && high.SI() >= 1 {
			continue
		}
		list = append(list, Spread{a.key, low, high})
	}
	return list
}

// get reads the values of [attributeOf]. It reports false for a part that is
// not there.
func (s *subject) get(key string) (units.Quantity, bool) {
	p, m, d := &s.parts, s.magneto, s.discharge
	if _, ok := s.knows(key); !ok {
		return units.Quantity{}, false
	}
	switch key {
	case "battery.voltage":
		return p.Battery.Voltage.Quantity(), true
	case "wiring.resistance":
		return p.Wiring.Quantity(), true
	case "ballast.resistance":
		return p.Ballast.Quantity(), true
	case "coil.primary_resistance":
		return p.Coil.PrimaryResistance.Quantity(), true
	case "coil.primary_inductance":
		return p.Coil.PrimaryInductance.Quantity(), true
	case "coil.turns_ratio":
		return units.FromSI(units.KindRatio, p.Coil.TurnsRatio), true
	case "coil.core_loss":
		return p.Coil.CoreLoss.Quantity(), true
	case "coil.secondary_resistance":
		return p.Coil.SecondaryResistance.Quantity(), true
	case "coil.secondary_capacitance":
		return p.Coil.SecondaryCapacitance.Quantity(), true
	case "points.contact_resistance":
		return p.Points.ContactResistance.Quantity(), p.Switch == nil && (m == nil || m.Module == nil)
	case "condenser.capacitance":
		return p.Condenser.Capacitance.Quantity(), true
	case "plug.capacitance":
		return p.Plug.Capacitance.Quantity(), true
	case "run.dwell":
		return units.FromSI(units.KindRatio, p.Run.Dwell), true
	case "magnet.linkage":
		return m.Magnet.Linkage.Quantity(), true
	case "points.opens":
		return m.Opens.Quantity(), m.Module == nil
	case "charge_coil.inductance":
		return d.Charge.Inductance.Quantity(), true
	case "charge_coil.resistance":
		return d.Charge.Resistance.Quantity(), true
	case "charge_coil.linkage":
		return d.Charge.Linkage.Quantity(), true
	case "store.capacitance":
		return d.Store.Capacitance.Quantity(), true
	case "store.regulator":
		return d.Store.Regulator.Quantity(), true
	}
	switch {
	case m == nil:
	case m.Module != nil && key == "module.trip_current":
		return m.Module.Trip.Quantity(), m.Module.PickUp == nil
	case m.Source != nil && key == "source_coil.inductance":
		return m.Source.Inductance.Quantity(), true
	case m.Source != nil && key == "source_coil.resistance":
		return m.Source.Resistance.Quantity(), true
	}
	return units.Quantity{}, false
}
