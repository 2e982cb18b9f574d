package spark

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gapbook.example/specs"
	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
	"gapbook.example/units"
)

// A Case is one set of parts as somebody wrote it down: see [ReadCase]. Exactly
// one of Parts, Magneto, Discharge and LowTension is set. The zero Case holds
// none, and nothing can be computed from it.
type Case struct {
	// File is the name of the case file.
	File string
	// Title and Note are words for the sheet.
	Title, Note string
	// Invented marks a case that was made up as an example.
	Invented bool
	// Parts are the set where a battery feeds it.
	Parts *Parts
	// Magneto is the set where a magnet feeds it.
	Magneto *Magneto
	// Discharge is the set where a store is emptied into the coil.
	Discharge *Discharge
	// LowTension is the set of an igniter, or of a trembler coil where Trembler
	// is true.
	LowTension *LowTension
	Trembler   bool
	// Speed is that of the crank; nought for a low-tension set.
	Speed units.Speed
	// Ratio is turns of the magnet a turn of the crank; 1 without a magnet.
	Ratio float64
	// Measured is true where the linkage of the magnet or of the charge coil was
	// measured and not guessed.
	Measured bool
	// Lag is that of an impulse coupling: see [Magneto.Retard].
	Lag units.MagnetAngle
	// Cylinder is what the plug sits in; nil where the case does not say.
	Cylinder *Cylinder
	// Bench is what was measured on the bench, and what is asked.
	Bench Bench
}

// A Cylinder is what a plug sits in, and how fast its engine turns at most.
type Cylinder struct {
	// Demand has gap, compression and spark, and where the case says so closing,
	// rod ratio and conditions; the charge is left to [SituationsFor].
	Demand Demand
	// Top is the highest speed of the crank; nought where nobody says.
	Top units.Speed
}

// A Bench is what was measured of a coil, and what a bench wants to know the
// other way round. The zero Bench measured nothing and asks nothing.
type Bench struct {
	// PrimaryOpen and SecondaryOpen are inductances of a winding with the other
	// open, PrimaryShorted with it shorted; nought where not measured. They give
	// [TurnsRatio] and [Coupling].
	PrimaryOpen, PrimaryShorted, SecondaryOpen units.Inductance
	// Ring is the frequency at which the coil rings with RingCapacitance: see
	// [InductanceFromRing].
	Ring            units.Frequency
	RingCapacitance units.Capacitance
	// Limit is the most that the primary may carry; it asks for a ballast: see
	// [BallastFor].
	Limit units.Current
	// Temperature is that at which the primary's resistance was measured: nil
	// where nobody says, and then 20 °C.
	Temperature *units.Temperature
	// KelvinsPerWatt is the coil's thermal resistance to the air; it asks how hot
	// a coil gets: see [KeyLeftOn].
	KelvinsPerWatt float64
	// TestGap is the needle gap of a spark tester; it asks for the speed from
	// which on a magneto fires it: see [ComingIn].
	TestGap units.Length
}

// Set returns the set of the case, with what may be off in its values, and the
// situations in which it runs where the case has a cylinder. It has neither
// engine nor origins. A low-tension case has no set: nil.
func (c *Case) Set(book *specs.Book) *Set {
	s := &Set{Parts: c.Parts, Magneto: c.Magneto, Discharge: c.Discharge, Ratio: c.Ratio}
	var battery units.Voltage
	switch {
	case c.Parts != nil:
		battery = c.Parts.Battery.Voltage
		s.Spreads = Tolerances(book, c.Parts)
	case c.Magneto != nil:
		s.Spreads = MagnetoTolerances(book, c.Magneto, c.Measured)
	case c.Discharge != nil:
		s.Spreads = DischargeTolerances(book, c.Discharge, c.Measured)
	default:
		return nil
	}
	if c.Cylinder != nil {
		s.Situations = SituationsFor(book, c.Cylinder.Demand, c.Speed, c.Cylinder.Top, battery)
	}
	return s
}

// rawCase gathers what the tables of a case file hold: one of four kinds of
// ignition, told apart by the tables that are there.
type rawCase struct {
	*Case
	Parts                // and all that the other kinds share with it
	magneto   Magneto    // [magnet]
	discharge Discharge  // [charge_coil]
	low       LowTension // [igniter] or [trembler]
	circuit   MagnetCircuit
	torque    units.Torque // of the spring of an impulse coupling
	inertia   float64      // of the rotor that it snaps over
	freewheel string
	rate      float64 // sparks a turn of the crank
}

// caseKind is the kind of set that a case holds.
type caseKind int

const (
	batterySet caseKind = 1 << iota
	magnetoSet
	dischargeSet
	lowTensionSet
	sparkSet = batterySet | magnetoSet | dischargeSet
)

// A caseTable is one table of a case file.
type caseTable struct {
	key, title string
	fields     []table.Field[rawCase]
	kinds      caseKind // the kinds that know it
	needed     caseKind // the kinds that need it
}

// ReadCase reads a case file. The error is a gate.Problems with everything
// wrong in it, in the order of the document. OL stands for no leakage, no core
// loss, a clean plug; plain degrees are the magnet's.
//
//	title = "Pump engine"          # also note, invented; all of it optional
//
//	[battery]                      # voltage, resistance
//	[wiring]                       # resistance of feed and ground path
//	[ballast]                      # resistance, 0 Ω for none
//	[coil]                         # primary_resistance, primary_inductance,
//	turns_ratio = 85.0             # turns_ratio, coupling, secondary_resistance,
//	                               # core_loss, secondary_capacitance, shorted_turns
//	[points]                       # contact_resistance, arc; or
//	[switch]                       # saturation, resistance, limit, clamp, ...
//	[condenser]                    # capacitance, series_resistance, leakage
//	[lead]                         # resistance: lead, cap and plug together
//	[plug]                         # capacitance, shunt, breakdown, burning_voltage,
//	                               # burning_resistance, extinction_current, hot_gap
//	[run]                          # speed, dwell, sparks_per_rev
//	[cylinder]                     # optional: gap, compression, spark, closes,
//	                               # rod_ratio, electrodes, centre_electrode, heat,
//	                               # top_speed
//	[bench]                        # optional: the fields of Bench
//
// A magneto has no battery, wiring and ballast, but a [magnet] (linkage,
// measured, flux, ratio, saturation, circuit), closes and opens in [points] or a
// [module] in place of them, and where it has them an [impulse] and a
// [source_coil]. A capacitor-discharge set has [charge_coil], [store] and
// [thyristor] in place of what feeds and breaks the coil. An igniter or trembler
// coil has [battery], [wiring], [coil] (two values) and [igniter] or [trembler].
func ReadCase(file string, src []byte) (*Case, error) {
	doc, problems := gate.Read(file, src)
	if problems != nil {
		return nil, problems
	}
	w := &table.Walker{File: doc.File}
	parts := &rawCase{Case: &Case{File: file, Ratio: 1}}
	parts.discharge.Store.Leakage = units.MustResistance("OL")
	root := doc.Root
	is := batterySet
	switch {
	case root.Child("magnet") != nil:
		is = magnetoSet
	case root.Child("charge_coil") != nil || root.Child("store") != nil:
		is = dischargeSet
	case root.Child("igniter") != nil || root.Child("trembler") != nil:
		is = lowTensionSet
	}
	var known []string
	for _, s := range caseTables {
		if s.kinds&is != 0 {
			known = append(known, s.key)
		}
	}
	for _, n := range root.Children {
		i := -1
		for k, s := range caseTables {
			if s.key == n.Key && s.kinds&is != 0 {
				i = k
			}
		}
		header := slices.IndexFunc(caseHeaders, func(f table.Field[rawCase]) bool { return f.Key == n.Key })
		switch {
		case i < 0 && header >= 0:
			caseHeaders[header].Set(w, n, parts)
		case i < 0:
			hint := "known here: " + strings.Join(known, ", ")
			if near, ok := gate.Nearest(n.Key, known); ok {
				hint = "did you mean " + strconv.Quote(near) + "?"
			}
			w.Problem(n, "unknown-key", "this table is not known here", hint)
		case !n.IsTable:
			w.AtValue(n, "wrong-type", "a table is needed here", "write ["+n.Key+"] and its keys below it")
		default:
			table.Walk(w, n, caseTables[i].fields, parts, nil)
		}
	}
	needs(w, root, is)
	check := parts.Check
	switch is {
	case magnetoSet:
		parts.finishMagneto(w, root)
		check = parts.magneto.Check
	case dischargeSet:
		parts.finishDischarge(w, root)
		check = parts.discharge.Check
	case lowTensionSet:
		parts.low.Battery, parts.low.Wiring = parts.Battery, parts.Wiring
		parts.Trembler = root.Child("trembler") != nil
		check = func() Problems {
			_, err := ComputeLowTension(parts.low)
			var ps Problems
			errors.As(err, &ps)
			return ps
		}
	}
	checked(w, root, check)
	if _, problems := table.Finish(w, parts); problems != nil {
		return nil, problems
	}
	c := parts.Case
	switch is {
	case batterySet:
		c.Parts, c.Speed = &parts.Parts, parts.Run.Speed
	case magnetoSet:
		c.Magneto, c.Speed = &parts.magneto, parts.Run.Speed
	case dischargeSet:
		c.Discharge, c.Speed = &parts.discharge, parts.Run.Speed
	case lowTensionSet:
		c.LowTension = &parts.low
	}
	return c, nil
}

// needs reports tables and keys that a kind of set needs and lacks.
func needs(w *table.Walker, root *gate.Node, is caseKind) {
	instead := map[caseKind]string{batterySet: "switch", magnetoSet: "module"}[is]
	points := root.Child("points")
	if instead != "" {
		other := root.Child(instead)
		switch {
		case points != nil && other != nil:
			w.Problem(other, "both", "the coil is broken by points or by a "+instead+", and the case has both", "take one of them out")
		case points == nil && other == nil:
			missing(w, root, is, "points")
		}
	}
	if igniter, trembler := root.Child("igniter"), root.Child("trembler"); igniter != nil && trembler != nil {
		w.Problem(trembler, "both", "the case has an igniter and a trembler", "take one of them out")
	}
	for _, s := range caseTables {
		if s.needed&is != 0 && root.Child(s.key) == nil {
			missing(w, root, is, s.key)
		}
	}
	need := func(n *gate.Node, key string) {
		if n != nil && n.IsTable && n.Child(key) == nil {
			w.Problem(n, "missing-key", strconv.Quote(key)+" is missing", "write "+key+" = ...")
		}
	}
	switch is {
	case batterySet:
		need(root.Child("run"), "dwell")
		need(root.Child("run"), "sparks_per_rev")
	case magnetoSet:
		need(points, "closes")
		need(points, "opens")
		if m := root.Child("magnet"); m.IsTable && m.Child("circuit") == nil {
			need(m, "linkage")
		}
		if m := root.Child("module"); m != nil && m.IsTable && m.Child("pick_up") == nil {
			need(m, "trip_current")
		}
		if i := root.Child("impulse"); i != nil && i.IsTable {
			if i.Child("spring_torque") != nil || i.Child("inertia") != nil {
				need(i, "spring_torque")
				need(i, "inertia")
			} else {
				need(i, "snap_speed")
			}
		}
	}
}

func missing(w *table.Walker, root *gate.Node, is caseKind, key string) {
	for _, s := range caseTables {
		if s.key != key || s.kinds&is == 0 {
			continue
		}
		keys := make([]string, 0, len(s.fields))
		for _, f := range s.fields {
			if f.Required {
				keys = append(keys, f.Key)
			}
		}
		w.Problem(root, "missing-key", fmt.Sprintf("the table [%s] is missing (%s)", s.key, s.title), "it holds "+strings.Join(keys, ", "))
	}
}

// finishMagneto gathers what the tables of a magneto hold.
func (p *rawCase) finishMagneto(w *table.Walker, root *gate.Node) {
	m := &p.magneto
	m.Coil, m.Points, m.Condenser, m.Lead, m.Plug = p.Coil, p.Points, p.Condenser, p.Lead, p.Plug
	if n := under(root, "magnet.ratio"); n != nil && !(p.Ratio > 0 && p.Ratio <= 100) {
		w.AtValue(n, "out-of-range", "it has to be more than nought and at most 100", "write ratio = 1.0 for a flywheel")
		p.Ratio = 1
	}
	m.Speed = p.Run.Speed.Scale(p.Ratio)
	if n := under(root, "magnet.circuit"); n != nil && n.IsTable && len(w.Problems) == 0 {
		linkage, inductance, ok := p.circuit.Solve()
		if !ok {
			w.Problem(n, "no-such-part", "these reluctances make no magneto", "every value has to be more than nought")
		}
		m.Magnet.Linkage, m.Coil.PrimaryInductance = linkage, inductance
	}
	if n := under(root, "impulse.spring_torque"); n != nil && m.Impulse != nil && m.Impulse.Snap.IsZero() {
		m.Impulse.Snap = units.RPM(300) // anything, to see whether the rest is sound
		if len(w.Problems) == 0 && m.Check() == nil {
			snap, err := SnapSpeed(m, p.torque, p.inertia)
			var ps Problems
			if errors.As(err, &ps) {
				for _, one := range ps {
					at := under(root, one.Key)
					if at == nil {
						at = n
					}
					w.AtValue(at, "no-such-part", one.Message, one.Hint)
				}
			}
			m.Impulse.Snap = snap
		}
	}
	if m.Module != nil && len(m.Magnet.Flux) > 0 {
		m.Closes = m.Magnet.Flux[0].At.Sub(units.MagnetDegrees(1))
	}
}

// finishDischarge gathers what the tables of a capacitor-discharge set hold.
func (p *rawCase) finishDischarge(w *table.Walker, root *gate.Node) {
	d := &p.discharge
	d.Coil, d.Lead, d.Plug, d.Speed = p.Coil, p.Lead, p.Plug, p.Run.Speed
	d.Turn = units.MagnetDegrees(360)
	if n := under(root, "run.sparks_per_rev"); n != nil {
		if !(p.rate >= 0.05 && p.rate <= 100) {
			w.AtValue(n, "out-of-range", "it has to be from 0.05 to 100", "leave it out for one spark a turn")
		} else {
			d.Turn = units.MagnetDegrees(360).Scale(1 / p.rate)
		}
	}
	if p.freewheel == "primary" {
		f := freewheelOf(p)
		if f.Voltage.IsZero() {
			f.Voltage = units.Volts(0.9) // a silicon diode with current in it: assumed
		}
		if f.Resistance.IsZero() {
			f.Resistance = units.Ohms(0.05)
		}
	} else {
		d.Freewheel = nil
	}
}

// checked adds what the library says of the values. Where some could not be
// read at all, it leaves out those and what depends on more than one.
func checked(w *table.Walker, root *gate.Node, check func() Problems) {
	unread := map[string]bool{}
	for _, p := range w.Problems {
		unread[p.Key] = true
	}
	several := map[string]bool{"plug.breakdown": true, "plug.hot_gap.breakdown": true, "points.arc.strength_start": true, "coil.shorted_turns.coupling": true, "points.closes": true, "magnet.linkage": true, "magnet.flux": true}
	for _, p := range check() {
		key := p.Key
		if rest, ok := strings.CutPrefix(key, "condenser."); ok && root.Child("condenser") == nil {
			key = map[string]string{"capacitance": "store.capacitance", "leakage": "store.leakage", "series_resistance": "thyristor.resistance"}[rest]
		}
		n := under(root, key)
		switch {
		case unread[key] || len(unread) > 0 && (several[key] || n == nil):
		case n == nil:
			w.Problem(root, "no-such-part", p.Key+": "+p.Message, p.Hint)
		default:
			w.AtValue(n, "no-such-part", p.Message, p.Hint)
		}
	}
}

// under returns the node at a dotted path, or nil.
func under(n *gate.Node, path string) *gate.Node {
	for part := range strings.SplitSeq(path, ".") {
		if n == nil {
			return nil
		}
		n = n.Child(part)
	}
	return n
}
