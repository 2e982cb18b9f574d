package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gapbook.example/ignition/spark"
	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
	"gapbook.example/units"
)

// A section is one table of a case file.
type section struct {
	key, title string
	fields     []table.Field[spark.Parts]
}

// setter stores a quantity that was parsed as the right kind.
type setter[Q any] func(p *spark.Parts, q Q)

// value is a required field that holds a quantity of one kind.
func value[Q any](kind units.Kind, as func(units.Quantity) (Q, bool), key, title, example string, set setter[Q]) table.Field[spark.Parts] {
	return table.Required(table.OfKindLenient(key, title, example, kind, func(p *spark.Parts, q units.Quantity) {
		v, _ := as(q)
		set(p, v)
	}))
}

func voltage(key, title, example string, set setter[units.Voltage]) table.Field[spark.Parts] {
	return value(units.KindVoltage, units.Quantity.Voltage, key, title, example, set)
}

func resistance(key, title, example string, set setter[units.Resistance]) table.Field[spark.Parts] {
	return value(units.KindResistance, units.Quantity.Resistance, key, title, example, set)
}

func inductance(key, title, example string, set setter[units.Inductance]) table.Field[spark.Parts] {
	return value(units.KindInductance, units.Quantity.Inductance, key, title, example, set)
}

func capacitance(key, title, example string, set setter[units.Capacitance]) table.Field[spark.Parts] {
	return value(units.KindCapacitance, units.Quantity.Capacitance, key, title, example, set)
}

func current(key, title, example string, set setter[units.Current]) table.Field[spark.Parts] {
	return value(units.KindCurrent, units.Quantity.Current, key, title, example, set)
}

// number is a required bare number.
func number(key, title, example string, set setter[float64]) table.Field[spark.Parts] {
	return table.Field[spark.Parts]{Key: key, Title: title, Example: example, Form: table.FormNumber, Required: true,
		Set: func(w *table.Walker, n *gate.Node, p *spark.Parts) {
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
			set(p, x)
		}}
}

// part is an optional table inside a section.
func part(key, title string, add func(*spark.Parts), fields []table.Field[spark.Parts]) table.Field[spark.Parts] {
	return table.Field[spark.Parts]{Key: key, Title: title,
		Set: func(w *table.Walker, n *gate.Node, p *spark.Parts) {
			if !n.IsTable {
				w.AtValue(n, "wrong-type", "a table is needed here", "write "+key+" = { "+fields[0].Key+" = ... }")
				return
			}
			add(p)
			table.Walk(w, n, fields, p, nil)
		}}
}

// optional takes the requirement off a field.
func optional(f table.Field[spark.Parts]) table.Field[spark.Parts] {
	f.Required = false
	return f
}

// transistor returns the switch of the parts, which it makes where there is
// none.
func transistor(p *spark.Parts) *spark.Switch {
	if p.Switch == nil {
		p.Switch = new(spark.Switch)
	}
	return p.Switch
}

// sections lists every table and key of a case file, in order.
var sections = []section{
	{"battery", "the battery", []table.Field[spark.Parts]{
		voltage("voltage", "volts at rest", "12.6 V", func(p *spark.Parts, q units.Voltage) { p.Battery.Voltage = q }),
		resistance("resistance", "resistance inside the battery", "0.05 Ω", func(p *spark.Parts, q units.Resistance) { p.Battery.Resistance = q }),
	}},
	{"wiring", "feed and ground path", []table.Field[spark.Parts]{
		resistance("resistance", "resistance of feed and ground path together", "0.15 Ω", func(p *spark.Parts, q units.Resistance) { p.Wiring = q }),
	}},
	{"ballast", "the ballast resistor", []table.Field[spark.Parts]{
		resistance("resistance", "ballast, 0 Ω for none", "0 Ω", func(p *spark.Parts, q units.Resistance) { p.Ballast = q }),
	}},
	{"coil", "the coil", []table.Field[spark.Parts]{
		resistance("primary_resistance", "resistance of the primary", "3.4 Ω", func(p *spark.Parts, q units.Resistance) { p.Coil.PrimaryResistance = q }),
		inductance("primary_inductance", "inductance of the primary, secondary open", "8 mH", func(p *spark.Parts, q units.Inductance) { p.Coil.PrimaryInductance = q }),
		number("turns_ratio", "secondary turns over primary turns", "85.0", func(p *spark.Parts, x float64) { p.Coil.TurnsRatio = x }),
		number("coupling", "share of flux that both windings see", "0.98", func(p *spark.Parts, x float64) { p.Coil.Coupling = x }),
		resistance("secondary_resistance", "resistance of the secondary", "9 kΩ", func(p *spark.Parts, q units.Resistance) { p.Coil.SecondaryResistance = q }),
		resistance("core_loss", "loss of the core, as a resistor across the secondary", "8 MΩ", func(p *spark.Parts, q units.Resistance) { p.Coil.CoreLoss = q }),
		capacitance("secondary_capacitance", "capacitance of secondary and tower", "45 pF", func(p *spark.Parts, q units.Capacitance) { p.Coil.SecondaryCapacitance = q }),
		part("shorted_turns", "turns of the secondary with failed insulation",
			func(p *spark.Parts) { p.Coil.Shorted = new(spark.ShortedTurns) }, []table.Field[spark.Parts]{
				number("fraction", "share of the secondary's turns", "0.05", func(p *spark.Parts, x float64) { p.Coil.Shorted.Fraction = x }),
				resistance("resistance", "resistance of the loop", "450 Ω", func(p *spark.Parts, q units.Resistance) { p.Coil.Shorted.Resistance = q }),
				number("coupling", "coupling to either winding", "0.97", func(p *spark.Parts, x float64) { p.Coil.Shorted.Coupling = x }),
			}),
	}},
	{"points", "the points", []table.Field[spark.Parts]{
		resistance("contact_resistance", "resistance of the closed points", "0.05 Ω", func(p *spark.Parts, q units.Resistance) { p.Points.ContactResistance = q }),
		part("arc", "when opening points arc", func(p *spark.Parts) { p.Points.Arc = new(spark.Arc) }, []table.Field[spark.Parts]{
			voltage("voltage", "voltage of the arc", "14 V", func(p *spark.Parts, q units.Voltage) { p.Points.Arc.Voltage = q }),
			resistance("resistance", "resistance of the arc", "0.15 Ω", func(p *spark.Parts, q units.Resistance) { p.Points.Arc.Resistance = q }),
			current("holding_current", "least current that keeps the arc", "0.4 A", func(p *spark.Parts, q units.Current) { p.Points.Arc.HoldingCurrent = q }),
			voltage("strength_start", "volts the parting points stand at first", "60 V", func(p *spark.Parts, q units.Voltage) { p.Points.Arc.StrengthStart = q }),
			value(units.KindVoltageRate, units.Quantity.VoltageRate, "strength_rise", "how fast that grows", "15 V/µs", func(p *spark.Parts, q units.VoltageRate) { p.Points.Arc.StrengthRise = q }),
		}),
	}},
	{"switch", "a transistor in place of points", []table.Field[spark.Parts]{
		voltage("saturation", "volts across it while on", "0.9 V", func(p *spark.Parts, q units.Voltage) { transistor(p).Saturation = q }),
		resistance("resistance", "resistance while on", "0.1 Ω", func(p *spark.Parts, q units.Resistance) { transistor(p).Resistance = q }),
		optional(current("limit", "current at which it holds the coil", "5 A", func(p *spark.Parts, q units.Current) { transistor(p).Limit = q })),
		optional(voltage("clamp", "voltage at which it conducts again", "330 V", func(p *spark.Parts, q units.Voltage) { transistor(p).Clamp = q })),
		optional(resistance("clamp_resistance", "resistance of the clamp", "2 Ω", func(p *spark.Parts, q units.Resistance) { transistor(p).ClampResistance = q })),
	}},
	{"condenser", "the condenser", []table.Field[spark.Parts]{
		capacitance("capacitance", "capacitance", "0.22 µF", func(p *spark.Parts, q units.Capacitance) { p.Condenser.Capacitance = q }),
		resistance("series_resistance", "resistance in series with it", "0.2 Ω", func(p *spark.Parts, q units.Resistance) { p.Condenser.SeriesResistance = q }),
		resistance("leakage", "leakage across it", "1 GΩ", func(p *spark.Parts, q units.Resistance) { p.Condenser.Leakage = q }),
	}},
	{"lead", "the lead", []table.Field[spark.Parts]{
		resistance("resistance", "lead, cap and resistor plug together", "5 kΩ", func(p *spark.Parts, q units.Resistance) { p.Lead = q }),
	}},
	{"plug", "the plug", []table.Field[spark.Parts]{
		capacitance("capacitance", "capacitance of plug and lead", "12 pF", func(p *spark.Parts, q units.Capacitance) { p.Plug.Capacitance = q }),
		resistance("shunt", "fouling across the gap", "1 GΩ", func(p *spark.Parts, q units.Resistance) { p.Plug.Shunt = q }),
		voltage("breakdown", "voltage at which the gap fires", "10 kV", func(p *spark.Parts, q units.Voltage) { p.Plug.Breakdown = q }),
		voltage("burning_voltage", "voltage of the burning gap", "600 V", func(p *spark.Parts, q units.Voltage) { p.Plug.BurningVoltage = q }),
		resistance("burning_resistance", "resistance of the burning gap", "500 Ω", func(p *spark.Parts, q units.Resistance) { p.Plug.BurningResistance = q }),
		current("extinction_current", "current at which the spark goes out", "4 mA", func(p *spark.Parts, q units.Current) { p.Plug.ExtinctionCurrent = q }),
		part("hot_gap", "what the gap remembers of a spark", func(p *spark.Parts) { p.Plug.HotGap = new(spark.HotGap) }, []table.Field[spark.Parts]{
			voltage("breakdown", "voltage at which the hot gap fires again", "2.5 kV", func(p *spark.Parts, q units.Voltage) { p.Plug.HotGap.Breakdown = q }),
			value(units.KindTime, units.Quantity.Time, "recovery", "time constant of cooling", "150 µs", func(p *spark.Parts, q units.Time) { p.Plug.HotGap.Recovery = q }),
		}),
	}},
	{"run", "how the engine turns", []table.Field[spark.Parts]{
		value(units.KindSpeed, units.Quantity.Speed, "speed", "speed of the crank", "1800 rpm", func(p *spark.Parts, q units.Speed) { p.Run.Speed = q }),
		number("dwell", "share of the cycle for which the points are closed", "0.45", func(p *spark.Parts, x float64) { p.Run.Dwell = x }),
		number("sparks_per_rev", "sparks per turn of the crank", "0.5", func(p *spark.Parts, x float64) { p.Run.SparksPerRev = x }),
	}},
}

// readCase reads a case file. The error is a gate.Problems with everything
// wrong in it, in the order of the document.
func readCase(file string, src []byte) (*spark.Parts, error) {
	doc, problems := gate.Read(file, src)
	if problems != nil {
		return nil, problems
	}
	w := &table.Walker{File: doc.File}
	parts := new(spark.Parts)
	var known []string
	for _, s := range sections {
		known = append(known, s.key)
	}
	for _, n := range doc.Root.Children {
		i := -1
		for k, s := range sections {
			if s.key == n.Key {
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
	points, transistor := doc.Root.Child("points"), doc.Root.Child("switch")
	if points != nil && transistor != nil {
		w.Problem(transistor, "both", "the coil is broken by points or by a switch, and the case has both", "take one of them out")
	}
	for _, s := range sections {
		if s.key == "switch" || s.key == "points" && transistor != nil {
			continue
		}
		if doc.Root.Child(s.key) == nil {
			keys := make([]string, 0, len(s.fields))
			for _, f := range s.fields {
				if f.Required {
					keys = append(keys, f.Key)
				}
			}
			w.Problem(doc.Root, "missing-key", fmt.Sprintf("the table [%s] is missing (%s)", s.key, s.title), "it holds "+strings.Join(keys, ", "))
		}
	}
	checked(w, doc.Root, parts)
	if _, problems := table.Finish(w, parts); problems != nil {
		return nil, problems
	}
	return parts, nil
}

// checked adds what the library says of the values. Where some could not be
// read at all, it leaves out those and what depends on more than one.
func checked(w *table.Walker, root *gate.Node, parts *spark.Parts) {
	unread := map[string]bool{}
	for _, p := range w.Problems {
		unread[p.Key] = true
	}
	several := map[string]bool{"plug.breakdown": true, "plug.hot_gap.breakdown": true, "points.arc.strength_start": true, "coil.shorted_turns.coupling": true}
	for _, p := range parts.Check() {
		n := root
		for _, key := range strings.Split(p.Key, ".") {
			if n != nil {
				n = n.Child(key)
			}
		}
		if n == nil || unread[p.Key] || len(unread) > 0 && several[p.Key] {
			continue
		}
		w.AtValue(n, "no-such-part", p.Message, p.Hint)
	}
}
