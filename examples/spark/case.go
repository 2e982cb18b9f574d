package main

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"gapbook.example/ignition/spark"
	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
	"gapbook.example/units"
)

// A set is what a case file holds: one of four kinds of ignition, told apart
// by the tables that are there.
type set struct {
	spark.Parts                  // and all that the other kinds share with it
	magneto     spark.Magneto    // [magnet]
	discharge   spark.Discharge  // [charge_coil]
	low         spark.LowTension // [igniter] or [trembler]
	circuit     spark.MagnetCircuit
	ratio       float64 // turns of the magnet a turn of the crank
	measured    bool    // the linkage was
	trembler    bool    // and no igniter
	spring      spring
	freewheel   string
	rate        float64 // sparks a turn of the crank
	cylinder    *cylinder
	bench       bench
}

// A spring is what snaps the rotor of an impulse coupling over.
type spring struct {
	torque  units.Torque
	inertia float64
	lag     units.MagnetAngle
}

// kind is the kind of a set.
type kind int

const (
	battery kind = 1 << iota
	magneto
	discharge
	lowTension
	every = battery | magneto | discharge
)

// A cylinder is what the plug sits in.
type cylinder struct {
	demand spark.Demand
	top    units.Speed
}

// inCylinder returns the cylinder of a set, made where there is none.
func inCylinder(p *set) *cylinder {
	if p.cylinder == nil {
		p.cylinder = new(cylinder)
	}
	return p.cylinder
}

// A section is one table of a case file.
type section struct {
	key, title string
	fields     []table.Field[set]
	kinds      kind // the kinds that know it
	needed     kind // the kinds that need it
}

// setter stores a quantity that was parsed as the right kind.
type setter[Q any] func(p *set, q Q)

// value is a required field that holds a quantity of one kind.
func value[Q any](kind units.Kind, as func(units.Quantity) (Q, bool), key, title, example string, put setter[Q]) table.Field[set] {
	return table.Required(table.OfKindLenient(key, title, example, kind, func(p *set, q units.Quantity) {
		v, _ := as(q)
		put(p, v)
	}))
}

func voltage(key, title, example string, put setter[units.Voltage]) table.Field[set] {
	return value(units.KindVoltage, units.Quantity.Voltage, key, title, example, put)
}

func resistance(key, title, example string, put setter[units.Resistance]) table.Field[set] {
	return value(units.KindResistance, units.Quantity.Resistance, key, title, example, put)
}

func inductance(key, title, example string, put setter[units.Inductance]) table.Field[set] {
	return value(units.KindInductance, units.Quantity.Inductance, key, title, example, put)
}

func capacitance(key, title, example string, put setter[units.Capacitance]) table.Field[set] {
	return value(units.KindCapacitance, units.Quantity.Capacitance, key, title, example, put)
}

func current(key, title, example string, put setter[units.Current]) table.Field[set] {
	return value(units.KindCurrent, units.Quantity.Current, key, title, example, put)
}

// number is a required bare number.
func number(key, title, example string, put setter[float64]) table.Field[set] {
	return table.Field[set]{Key: key, Title: title, Example: example, Form: table.FormNumber, Required: true,
		Set: func(w *table.Walker, n *gate.Node, p *set) {
			var x float64
			switch v := n.Value.(type) {
			case float64:
				x = v
			case int64:
				x = float64(v)
			case string:
				q, err := units.Parse(units.KindRatio, v)
				if err != nil {
					w.UnitProblem(n, err)
					return
				}
				x = q.SI()
			default:
				w.AtValue(n, "wrong-type", "a number is needed", "write "+key+" = "+example)
				return
			}
			if math.IsNaN(x) || math.IsInf(x, 0) {
				w.AtValue(n, "not-finite", "this is not a number to compute with", "write "+key+" = "+example)
				return
			}
			put(p, x)
		}}
}

// part is an optional table inside a section.
func part(key, title string, add func(*set), fields []table.Field[set]) table.Field[set] {
	return table.Field[set]{Key: key, Title: title,
		Set: func(w *table.Walker, n *gate.Node, p *set) {
			if !n.IsTable {
				w.AtValue(n, "wrong-type", "a table is needed here", "write "+key+" = { "+fields[0].Key+" = ... }")
				return
			}
			add(p)
			table.Walk(w, n, fields, p, nil)
		}}
}

// optional takes the requirement off a field.
func optional(f table.Field[set]) table.Field[set] {
	f.Required = false
	return f
}

// transistor returns the switch of the parts, which it makes where there is
// none.
func transistor(p *set) *spark.Switch {
	if p.Switch == nil {
		p.Switch = new(spark.Switch)
	}
	return p.Switch
}

// sections lists every table and key of a case file, in order.
var sections = []section{
	{"battery", "the battery", []table.Field[set]{
		voltage("voltage", "volts at rest", "12.6 V", func(p *set, q units.Voltage) { p.Battery.Voltage = q }),
		resistance("resistance", "resistance inside the battery", "0.05 Ω", func(p *set, q units.Resistance) { p.Battery.Resistance = q }),
	}, battery | lowTension, battery | lowTension},
	{"wiring", "feed and ground path", []table.Field[set]{
		resistance("resistance", "resistance of feed and ground path together", "0.15 Ω", func(p *set, q units.Resistance) { p.Wiring = q }),
	}, battery | lowTension, battery | lowTension},
	{"igniter", "the igniter of a low-tension set", lowFields, lowTension, 0},
	{"trembler", "the trembler of a trembler coil", lowFields, lowTension, 0},
	{"coil", "the winding that the battery feeds", []table.Field[set]{
		resistance("primary_resistance", "resistance of the winding", "1 Ω", func(p *set, q units.Resistance) { p.low.Resistance = q }),
		inductance("primary_inductance", "inductance of the winding", "15 mH", func(p *set, q units.Inductance) { p.low.Inductance = q }),
	}, lowTension, lowTension},
	{"ballast", "the ballast resistor", []table.Field[set]{
		resistance("resistance", "ballast, 0 Ω for none", "0 Ω", func(p *set, q units.Resistance) { p.Ballast = q }),
	}, battery, battery},
	{"coil", "the coil", []table.Field[set]{
		resistance("primary_resistance", "resistance of the primary", "3.4 Ω", func(p *set, q units.Resistance) { p.Coil.PrimaryResistance = q }),
		inductance("primary_inductance", "inductance of the primary, secondary open", "8 mH", func(p *set, q units.Inductance) { p.Coil.PrimaryInductance = q }),
		number("turns_ratio", "secondary turns over primary turns", "85.0", func(p *set, x float64) { p.Coil.TurnsRatio = x }),
		number("coupling", "share of flux that both windings see", "0.98", func(p *set, x float64) { p.Coil.Coupling = x }),
		resistance("secondary_resistance", "resistance of the secondary", "9 kΩ", func(p *set, q units.Resistance) { p.Coil.SecondaryResistance = q }),
		resistance("core_loss", "loss of the core, as a resistor across the secondary", "8 MΩ", func(p *set, q units.Resistance) { p.Coil.CoreLoss = q }),
		capacitance("secondary_capacitance", "capacitance of secondary and tower", "45 pF", func(p *set, q units.Capacitance) { p.Coil.SecondaryCapacitance = q }),
		part("shorted_turns", "turns of the secondary with failed insulation",
			func(p *set) { p.Coil.Shorted = new(spark.ShortedTurns) }, []table.Field[set]{
				number("fraction", "share of the secondary's turns", "0.05", func(p *set, x float64) { p.Coil.Shorted.Fraction = x }),
				resistance("resistance", "resistance of the loop", "450 Ω", func(p *set, q units.Resistance) { p.Coil.Shorted.Resistance = q }),
				number("coupling", "coupling to either winding", "0.97", func(p *set, x float64) { p.Coil.Shorted.Coupling = x }),
			}),
	}, every, every},
	{"points", "the points", []table.Field[set]{
		resistance("contact_resistance", "resistance of the closed points", "0.05 Ω", func(p *set, q units.Resistance) { p.Points.ContactResistance = q }),
		optional(angle("closes", "where the points of a magneto close", "-90 deg", func(p *set, a units.MagnetAngle) { p.magneto.Closes = a })),
		optional(angle("opens", "where the points of a magneto open", "6 deg", func(p *set, a units.MagnetAngle) { p.magneto.Opens = a })),
		optional(angle("from", "where the coil of a magneto is at rest before its points close", "-200 deg", func(p *set, a units.MagnetAngle) { p.magneto.From = &a })),
		part("arc", "when opening points arc", func(p *set) { p.Points.Arc = new(spark.Arc) }, []table.Field[set]{
			voltage("voltage", "voltage of the arc", "14 V", func(p *set, q units.Voltage) { p.Points.Arc.Voltage = q }),
			resistance("resistance", "resistance of the arc", "0.15 Ω", func(p *set, q units.Resistance) { p.Points.Arc.Resistance = q }),
			current("holding_current", "least current that keeps the arc", "0.4 A", func(p *set, q units.Current) { p.Points.Arc.HoldingCurrent = q }),
			voltage("strength_start", "volts the parting points stand at first", "60 V", func(p *set, q units.Voltage) { p.Points.Arc.StrengthStart = q }),
			value(units.KindVoltageRate, units.Quantity.VoltageRate, "strength_rise", "how fast that grows", "15 V/µs", func(p *set, q units.VoltageRate) { p.Points.Arc.StrengthRise = q }),
		}),
	}, battery | magneto, 0},
	{"switch", "a transistor in place of points", []table.Field[set]{
		voltage("saturation", "volts across it while on", "0.9 V", func(p *set, q units.Voltage) { transistor(p).Saturation = q }),
		resistance("resistance", "resistance while on", "0.1 Ω", func(p *set, q units.Resistance) { transistor(p).Resistance = q }),
		optional(current("limit", "current at which it holds the coil", "5 A", func(p *set, q units.Current) { transistor(p).Limit = q })),
		optional(voltage("clamp", "voltage at which it conducts again", "330 V", func(p *set, q units.Voltage) { transistor(p).Clamp = q })),
		optional(resistance("clamp_resistance", "resistance of the clamp", "2 Ω", func(p *set, q units.Resistance) { transistor(p).ClampResistance = q })),
	}, battery, 0},
	{"condenser", "the condenser", []table.Field[set]{
		capacitance("capacitance", "capacitance", "0.22 µF", func(p *set, q units.Capacitance) { p.Condenser.Capacitance = q }),
		resistance("series_resistance", "resistance in series with it", "0.2 Ω", func(p *set, q units.Resistance) { p.Condenser.SeriesResistance = q }),
		resistance("leakage", "leakage across it", "1 GΩ", func(p *set, q units.Resistance) { p.Condenser.Leakage = q }),
	}, battery | magneto, battery | magneto},
	{"lead", "the lead", []table.Field[set]{
		resistance("resistance", "lead, cap and resistor plug together", "5 kΩ", func(p *set, q units.Resistance) { p.Lead = q }),
	}, every, every},
	{"plug", "the plug", []table.Field[set]{
		capacitance("capacitance", "capacitance of plug and lead", "12 pF", func(p *set, q units.Capacitance) { p.Plug.Capacitance = q }),
		resistance("shunt", "fouling across the gap", "1 GΩ", func(p *set, q units.Resistance) { p.Plug.Shunt = q }),
		voltage("breakdown", "voltage at which the gap fires", "10 kV", func(p *set, q units.Voltage) { p.Plug.Breakdown = q }),
		voltage("burning_voltage", "voltage of the burning gap", "600 V", func(p *set, q units.Voltage) { p.Plug.BurningVoltage = q }),
		resistance("burning_resistance", "resistance of the burning gap", "500 Ω", func(p *set, q units.Resistance) { p.Plug.BurningResistance = q }),
		current("extinction_current", "current at which the spark goes out", "4 mA", func(p *set, q units.Current) { p.Plug.ExtinctionCurrent = q }),
		part("hot_gap", "what the gap remembers of a spark", func(p *set) { p.Plug.HotGap = new(spark.HotGap) }, []table.Field[set]{
			voltage("breakdown", "voltage at which the hot gap fires again", "2.5 kV", func(p *set, q units.Voltage) { p.Plug.HotGap.Breakdown = q }),
			value(units.KindTime, units.Quantity.Time, "recovery", "time constant of cooling", "150 µs", func(p *set, q units.Time) { p.Plug.HotGap.Recovery = q }),
		}),
	}, every, every},
	{"run", "how the engine turns", []table.Field[set]{
		value(units.KindSpeed, units.Quantity.Speed, "speed", "speed of the crank", "1800 rpm", func(p *set, q units.Speed) { p.Run.Speed = q }),
		optional(number("dwell", "share of the cycle for which the points are closed", "0.45", func(p *set, x float64) { p.Run.Dwell = x })),
		optional(number("sparks_per_rev", "sparks per turn of the crank", "0.5", func(p *set, x float64) { p.Run.SparksPerRev, p.rate = x, x })),
	}, every, every},
	{"cylinder", "what the plug sits in", []table.Field[set]{
		value(units.KindLength, units.Quantity.Length, "gap", "gap of the plug", "0.6 mm", func(p *set, q units.Length) { inCylinder(p).demand.Gap = q }),
		number("compression", "volume at bottom over volume at top dead centre", "6.0", func(p *set, x float64) { inCylinder(p).demand.Compression = x }),
		value(units.KindCrankAngle, units.Quantity.CrankAngle, "spark", "when the spark comes at work", "25° BTDC", func(p *set, q units.CrankAngle) { inCylinder(p).demand.Spark = q }),
		optional(value(units.KindCrankAngle, units.Quantity.CrankAngle, "closes", "when compression begins", "140° BTDC", func(p *set, q units.CrankAngle) { inCylinder(p).demand.Closes = q })),
		optional(number("rod_ratio", "length of the rod over the crank's radius", "3.7", func(p *set, x float64) { inCylinder(p).demand.RodRatio = x })),
		table.Word("electrodes", "whether their edges are new or burned round", "new", []string{"new", "worn"}, func(p *set, s string) { inCylinder(p).demand.Conditions.Worn = s == "worn" }),
		table.Word("centre_electrode", "its polarity", "negative", []string{"negative", "positive"}, func(p *set, s string) { inCylinder(p).demand.Conditions.Reversed = s == "positive" }),
		table.Word("heat", "whether it glows at work", "usual", []string{"usual", "glowing"}, func(p *set, s string) { inCylinder(p).demand.Conditions.Hot = s == "glowing" }),
		optional(value(units.KindSpeed, units.Quantity.Speed, "top_speed", "the most it turns", "3600 rpm", func(p *set, q units.Speed) { inCylinder(p).top = q })),
	}, every, 0},
	{"magnet", "the magnet of a magneto", []table.Field[set]{
		optional(value(units.KindFluxLinkage, units.Quantity.FluxLinkage, "linkage", "peak flux linkage of the primary", "7.5 mWb", func(p *set, q units.FluxLinkage) { p.magneto.Magnet.Linkage = q })),
		{Key: "flux", Title: "shares of the linkage at angles of the magnet", Example: "[[-45, 0], [-12, 1], [12, -1], [45, 0]]", Required: true, Set: readFlux},
		table.Bool("measured", "whether the linkage was measured", "true", func(p *set) *bool { return &p.measured }),
		optional(number("ratio", "turns of the magnet a turn of the crank", "1.0", func(p *set, x float64) { p.ratio = x })),
		part("saturation", "a core that saturates", func(p *set) { p.magneto.Magnet.Saturation = new(spark.Saturation) }, []table.Field[set]{
			number("core_share", "the core's share of the reluctance", "0.08", func(p *set, x float64) { p.magneto.Magnet.Saturation.CoreShare = x }),
			value(units.KindFluxLinkage, units.Quantity.FluxLinkage, "linkage", "linkage at which it takes no more", "10 mWb", func(p *set, q units.FluxLinkage) { p.magneto.Magnet.Saturation.Linkage = q }),
		}),
		part("circuit", "reluctances, in place of linkage and the primary's inductance", func(p *set) {}, []table.Field[set]{
			current("mmf", "ampere turns of the magnet", "1100 A", func(p *set, q units.Current) { p.circuit.MMF = q }),
			number("magnet_reluctance", "of the magnet, A/Wb", "1.5e7", func(p *set, x float64) { p.circuit.Magnet = x }),
			number("magnet_leakage_reluctance", "beside the magnet, A/Wb", "1.5e7", func(p *set, x float64) { p.circuit.MagnetLeakage = x }),
			number("leg_leakage_reluctance", "between the legs, A/Wb", "1.6e7", func(p *set, x float64) { p.circuit.LegLeakage = x }),
			number("core_reluctance", "of the core, A/Wb", "5e5", func(p *set, x float64) { p.circuit.Core = x }),
			value(units.KindLength, units.Quantity.Length, "gap", "air gap on each side", "0.0125 in", func(p *set, q units.Length) { p.circuit.Gap = q }),
			number("gap_area", "area of a gap, m²", "1.6e-4", func(p *set, x float64) { p.circuit.Area = x }),
			number("turns", "turns of the primary", "155", func(p *set, x float64) { p.circuit.Turns = x }),
		}),
	}, magneto, magneto},
	{"impulse", "an impulse coupling", []table.Field[set]{
		angle("hold", "where the rotor is held", "-30 deg", func(p *set, a units.MagnetAngle) { impulse(p).Hold = a }),
		optional(value(units.KindSpeed, units.Quantity.Speed, "snap_speed", "speed at the opening, under load", "450 rpm", func(p *set, q units.Speed) { impulse(p).Snap = q })),
		optional(value(units.KindTorque, units.Quantity.Torque, "spring_torque", "mean torque of the spring, in place of snap_speed", "0.15 N·m", func(p *set, q units.Torque) { p.spring.torque = q })),
		optional(number("inertia", "of the rotor, kg m²", "6e-5", func(p *set, x float64) { p.spring.inertia = x })),
		optional(angle("lag", "lag of the coupling; it moves the timing and not the spark", "14 deg", func(p *set, a units.MagnetAngle) { p.spring.lag = a })),
	}, magneto, 0},
	{"module", "a breakerless module in place of points", []table.Field[set]{
		voltage("saturation", "volts across it while on", "0.9 V", func(p *set, q units.Voltage) { module(p).Saturation = q }),
		resistance("on_resistance", "resistance while on", "0.05 Ω", func(p *set, q units.Resistance) { module(p).OnResistance = q }),
		optional(current("trip_current", "current at which it opens", "2 A", func(p *set, q units.Current) { module(p).Trip = q })),
		part("pick_up", "a pick-up coil that opens it, in place of trip_current", func(p *set) { module(p).PickUp = new(spark.PickUp) }, []table.Field[set]{
			voltage("peak", "highest voltage of the pick-up at a speed", "2 V", func(p *set, q units.Voltage) { module(p).PickUp.Peak = q }),
			value(units.KindSpeed, units.Quantity.Speed, "speed", "that speed of the magnet", "500 rpm", func(p *set, q units.Speed) { module(p).PickUp.Speed = q }),
			angle("start", "where its voltage begins", "0 deg", func(p *set, a units.MagnetAngle) { module(p).PickUp.Start = a }),
			angle("width", "how far its voltage lasts", "20 deg", func(p *set, a units.MagnetAngle) { module(p).PickUp.Width = a }),
			voltage("trigger", "voltage that the module waits for", "0.8 V", func(p *set, q units.Voltage) { module(p).PickUp.Trigger = q }),
		}),
		optional(current("limit", "current that it holds until it opens", "3 A", func(p *set, q units.Current) { module(p).Limit = q })),
		optional(voltage("clamp", "voltage at which it conducts again", "330 V", func(p *set, q units.Voltage) { module(p).Clamp = q })),
		optional(resistance("clamp_resistance", "resistance of the clamp", "2 Ω", func(p *set, q units.Resistance) { module(p).ClampResistance = q })),
		optional(voltage("reverse", "voltage of the diode across it", "0.8 V", func(p *set, q units.Voltage) { reverse(p).Voltage = q })),
		optional(resistance("reverse_resistance", "resistance of that diode", "0.1 Ω", func(p *set, q units.Resistance) { reverse(p).Resistance = q })),
	}, magneto, 0},
	{"source_coil", "the generator coil of an energy-transfer set", []table.Field[set]{
		inductance("inductance", "inductance of the coil", "4 mH", func(p *set, q units.Inductance) { source(p).Inductance = q }),
		resistance("resistance", "resistance of the coil", "1.2 Ω", func(p *set, q units.Resistance) { source(p).Resistance = q }),
	}, magneto, 0},
	{"charge_coil", "the charge coil of a capacitor-discharge set", []table.Field[set]{
		inductance("inductance", "inductance of the coil", "5 H", func(p *set, q units.Inductance) { p.discharge.Charge.Inductance = q }),
		resistance("resistance", "resistance of the coil", "290 Ω", func(p *set, q units.Resistance) { p.discharge.Charge.Resistance = q }),
		value(units.KindFluxLinkage, units.Quantity.FluxLinkage, "linkage", "peak flux linkage", "0.72 Wb", func(p *set, q units.FluxLinkage) { p.discharge.Charge.Linkage = q }),
		number("pole_pairs", "periods of its voltage a turn of the magnet", "3", func(p *set, x float64) { p.discharge.Charge.PolePairs = int(max(min(x, 1000), -1)) }),
		table.Bool("measured", "whether the linkage was measured", "true", func(p *set) *bool { return &p.measured }),
		optional(value(units.KindPlaneAngle, units.Quantity.PlaneAngle, "phase", "phase of its voltage at the last spark", "0 deg", func(p *set, q units.PlaneAngle) { p.discharge.Charge.Phase = q })),
	}, discharge, discharge},
	{"store", "the store of a capacitor-discharge set", []table.Field[set]{
		capacitance("capacitance", "capacitance", "1 µF", func(p *set, q units.Capacitance) { p.discharge.Store.Capacitance = q }),
		optional(voltage("regulator", "voltage at which charging stops", "190 V", func(p *set, q units.Voltage) { p.discharge.Store.Regulator = q })),
		optional(resistance("leakage", "leakage across it", "2 MΩ", func(p *set, q units.Resistance) { p.discharge.Store.Leakage = q })),
		optional(voltage("diode_drop", "voltage of the diode that fills it", "0.8 V", func(p *set, q units.Voltage) { p.discharge.Store.DiodeDrop = q })),
	}, discharge, discharge},
	{"thyristor", "the thyristor of a capacitor-discharge set", []table.Field[set]{
		voltage("drop", "voltage across it while on", "1.2 V", func(p *set, q units.Voltage) { p.discharge.Thyristor.Drop = q }),
		resistance("resistance", "resistance while on", "0.05 Ω", func(p *set, q units.Resistance) { p.discharge.Thyristor.Resistance = q }),
		table.Word("freewheel", "a diode across the primary", "primary", []string{"primary", "none"}, func(p *set, s string) { p.freewheel = s }),
		optional(voltage("freewheel_voltage", "voltage of that diode", "0.9 V", func(p *set, q units.Voltage) { freewheel(p).Voltage = q })),
		optional(resistance("freewheel_resistance", "resistance of that diode", "0.05 Ω", func(p *set, q units.Resistance) { freewheel(p).Resistance = q })),
	}, discharge, discharge},
	{"bench", "what was measured on the bench, and what to ask", benchFields, every, 0},
}

// lowFields are the keys of an igniter or a trembler.
var lowFields = []table.Field[set]{
	resistance("contact_resistance", "resistance of the closed contacts", "20 mΩ", func(p *set, q units.Resistance) { p.low.Contact = q }),
	optional(value(units.KindTime, units.Quantity.Time, "closed", "how long they stay closed", "30 ms", func(p *set, q units.Time) { p.low.Closed = q })),
}

// readCase reads a case file. The error is a gate.Problems with everything
// wrong in it, in the order of the document.
func readCase(file string, src []byte) (*set, kind, error) {
	doc, problems := gate.Read(file, src)
	if problems != nil {
		return nil, 0, problems
	}
	w := &table.Walker{File: doc.File}
	parts := &set{ratio: 1}
	parts.discharge.Store.Leakage = units.MustResistance("OL")
	root := doc.Root
	is := battery
	switch {
	case root.Child("magnet") != nil:
		is = magneto
	case root.Child("charge_coil") != nil || root.Child("store") != nil:
		is = discharge
	case root.Child("igniter") != nil || root.Child("trembler") != nil:
		is = lowTension
	}
	var known []string
	for _, s := range sections {
		if s.kinds&is != 0 {
			known = append(known, s.key)
		}
	}
	for _, n := range root.Children {
		i := -1
		for k, s := range sections {
			if s.key == n.Key && s.kinds&is != 0 {
				i = k
			}
		}
		switch {
		case i < 0:
			hint := "known here: " + strings.Join(known, ", ")
			if near, ok := gate.Nearest(n.Key, known); ok {
				hint = "did you mean " + strconv.Quote(near) + "?"
			}
			w.Problem(n, "unknown-key", "this table is not known here", hint)
		case !n.IsTable:
			w.AtValue(n, "wrong-type", "a table is needed here", "write ["+n.Key+"] and its keys below it")
		default:
			table.Walk(w, n, sections[i].fields, parts, nil)
		}
	}
	needs(w, root, is)
	check := parts.Check
	switch is {
	case magneto:
		parts.finishMagneto(w, root)
		check = parts.magneto.Check
	case discharge:
		parts.finishDischarge(w, root)
		check = parts.discharge.Check
	case lowTension:
		parts.low.Battery, parts.low.Wiring = parts.Battery, parts.Wiring
		parts.trembler = root.Child("trembler") != nil
		check = func() spark.Problems {
			_, err := spark.ComputeLowTension(parts.low)
			var ps spark.Problems
			errors.As(err, &ps)
			return ps
		}
	}
	checked(w, root, check)
	if _, problems := table.Finish(w, parts); problems != nil {
		return nil, 0, problems
	}
	return parts, is, nil
}

// needs reports tables and keys that a kind of set needs and lacks.
func needs(w *table.Walker, root *gate.Node, is kind) {
	instead := map[kind]string{battery: "switch", magneto: "module"}[is]
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
	for _, s := range sections {
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
	case battery:
		need(root.Child("run"), "dwell")
		need(root.Child("run"), "sparks_per_rev")
	case magneto:
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

func missing(w *table.Walker, root *gate.Node, is kind, key string) {
	for _, s := range sections {
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
func (p *set) finishMagneto(w *table.Walker, root *gate.Node) {
	m := &p.magneto
	m.Coil, m.Points, m.Condenser, m.Lead, m.Plug = p.Coil, p.Points, p.Condenser, p.Lead, p.Plug
	if n := under(root, "magnet.ratio"); n != nil && !(p.ratio > 0 && p.ratio <= 100) {
		w.AtValue(n, "out-of-range", "it has to be more than nought and at most 100", "write ratio = 1.0 for a flywheel")
		p.ratio = 1
	}
	m.Speed = p.Run.Speed.Scale(p.ratio)
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
			snap, err := spark.SnapSpeed(m, p.spring.torque, p.spring.inertia)
			var ps spark.Problems
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
func (p *set) finishDischarge(w *table.Walker, root *gate.Node) {
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
		f := freewheel(p)
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
func checked(w *table.Walker, root *gate.Node, check func() spark.Problems) {
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

// angle is a required angle of the magnet; plain degrees are the magnet's.
func angle(key, title, example string, put setter[units.MagnetAngle]) table.Field[set] {
	return table.Field[set]{Key: key, Title: title, Example: example, Form: table.FormOfKind, Required: true,
		Set: func(w *table.Walker, n *gate.Node, p *set) {
			s, ok := w.ReadText(n)
			if !ok {
				return
			}
			if q, err := units.ParsePlaneAngle(s); err == nil {
				put(p, units.MagnetDegrees(q.Degrees()))
				return
			}
			q, err := units.ParseMagnetAngle(s)
			if err != nil {
				w.UnitProblem(n, err)
				return
			}
			put(p, q)
		}}
}

// readFlux reads [[angle, share], ...].
func readFlux(w *table.Walker, n *gate.Node, p *set) {
	const want = "write flux = [[-45, 0], [-12, 1], [12, -1], [45, 0]]: degrees of the magnet and shares"
	list, ok := n.Value.([]any)
	if !ok {
		w.AtValue(n, "wrong-type", "a list of pairs is needed", want)
		return
	}
	number := func(v any) (float64, bool) {
		switch x := v.(type) {
		case int64:
			return float64(x), true
		case float64:
			return x, !math.IsNaN(x) && !math.IsInf(x, 0)
		}
		return 0, false
	}
	p.magneto.Magnet.Flux = nil
	for _, item := range list {
		pair, ok := item.([]any)
		if !ok || len(pair) != 2 {
			w.AtValue(n, "wrong-type", "every knot is a pair of numbers", want)
			return
		}
		at, ok1 := number(pair[0])
		share, ok2 := number(pair[1])
		if !ok1 || !ok2 || math.Abs(at) > 1e6 {
			w.AtValue(n, "wrong-type", "every knot is a pair of numbers", want)
			return
		}
		p.magneto.Magnet.Flux = append(p.magneto.Magnet.Flux, spark.FluxKnot{At: units.MagnetDegrees(at), Share: share})
	}
}

// The makers of optional parts return the part, made where there is none.
func impulse(p *set) *spark.Impulse {
	if p.magneto.Impulse == nil {
		p.magneto.Impulse = new(spark.Impulse)
	}
	return p.magneto.Impulse
}

func module(p *set) *spark.Module {
	if p.magneto.Module == nil {
		p.magneto.Module = new(spark.Module)
	}
	return p.magneto.Module
}

func reverse(p *set) *spark.Diode {
	if module(p).Reverse == nil {
		module(p).Reverse = new(spark.Diode)
	}
	return module(p).Reverse
}

func source(p *set) *spark.SourceCoil {
	if p.magneto.Source == nil {
		p.magneto.Source = new(spark.SourceCoil)
	}
	return p.magneto.Source
}

func freewheel(p *set) *spark.Diode {
	if p.discharge.Freewheel == nil {
		p.discharge.Freewheel = new(spark.Diode)
	}
	return p.discharge.Freewheel
}
