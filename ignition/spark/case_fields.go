package spark

import (
	"gapbook.example/specs/gate"
	"gapbook.example/specs/table"
	"gapbook.example/units"
	"math"
)

// putter stores a quantity that was parsed as the right kind.
type putter[Q any] func(p *rawCase, q Q)

// valueField is a required field that holds a quantity of one kind.
func valueField[Q any](kind units.Kind, as func(units.Quantity) (Q, bool), key, title, example string, put putter[Q]) table.Field[rawCase] {
	return table.Required(table.OfKindLenient(key, title, example, kind, func(p *rawCase, q units.Quantity) {
		v, _ := as(q)
		put(p, v)
	}))
}

func voltageField(key, title, example string, put putter[units.Voltage]) table.Field[rawCase] {
	return valueField(units.KindVoltage, units.Quantity.Voltage, key, title, example, put)
}

func resistanceField(key, title, example string, put putter[units.Resistance]) table.Field[rawCase] {
	return valueField(units.KindResistance, units.Quantity.Resistance, key, title, example, put)
}

func inductanceField(key, title, example string, put putter[units.Inductance]) table.Field[rawCase] {
	return valueField(units.KindInductance, units.Quantity.Inductance, key, title, example, put)
}

func capacitanceField(key, title, example string, put putter[units.Capacitance]) table.Field[rawCase] {
	return valueField(units.KindCapacitance, units.Quantity.Capacitance, key, title, example, put)
}

func currentField(key, title, example string, put putter[units.Current]) table.Field[rawCase] {
	return valueField(units.KindCurrent, units.Quantity.Current, key, title, example, put)
}

// numberField is a required bare number.
func numberField(key, title, example string, put putter[float64]) table.Field[rawCase] {
	return table.Field[rawCase]{Key: key, Title: title, Example: example, Form: table.FormNumber, Required: true,
		Set: func(w *table.Walker, n *gate.Node, p *rawCase) {
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

// partField is an optional table inside a section.
func partField(key, title string, add func(*rawCase), fields []table.Field[rawCase]) table.Field[rawCase] {
	return table.Field[rawCase]{Key: key, Title: title,
		Set: func(w *table.Walker, n *gate.Node, p *rawCase) {
			if !n.IsTable {
				w.AtValue(n, "wrong-type", "a table is needed here", "write "+key+" = { "+fields[0].Key+" = ... }")
				return
			}
			add(p)
			table.Walk(w, n, fields, p, nil)
		}}
}

// optional takes the requirement off a field.
func optional(f table.Field[rawCase]) table.Field[rawCase] {
	f.Required = false
	return f
}

// transistorOf returns the switch of the parts, which it makes where there is
// none.
func transistorOf(p *rawCase) *Switch {
	if p.Switch == nil {
		p.Switch = new(Switch)
	}
	return p.Switch
}

// caseHeaders are the keys that stand before the tables.
var caseHeaders = []table.Field[rawCase]{
	table.Text("title", "the case in one line", "Pump engine", func(p *rawCase) *string { return &p.Title }),
	table.Text("note", "a remark for the sheet", "coil measured cold", func(p *rawCase) *string { return &p.Note }),
	table.Bool("invented", "true for examples that were made up", "true", func(p *rawCase) *bool { return &p.Invented }),
}

// caseTables lists every table and key of a case file, in order.
var caseTables = []caseTable{
	{"battery", "the battery", []table.Field[rawCase]{
		voltageField("voltage", "volts at rest", "12.6 V", func(p *rawCase, q units.Voltage) { p.Battery.Voltage = q }),
		resistanceField("resistance", "resistance inside the battery", "0.05 Ω", func(p *rawCase, q units.Resistance) { p.Battery.Resistance = q }),
	}, batterySet | lowTensionSet, batterySet | lowTensionSet},
	{"wiring", "feed and ground path", []table.Field[rawCase]{
		resistanceField("resistance", "resistance of feed and ground path together", "0.15 Ω", func(p *rawCase, q units.Resistance) { p.Wiring = q }),
	}, batterySet | lowTensionSet, batterySet | lowTensionSet},
	{"igniter", "the igniter of a low-tension set", lowTensionFields, lowTensionSet, 0},
	{"trembler", "the trembler of a trembler coil", lowTensionFields, lowTensionSet, 0},
	{"coil", "the winding that the battery feeds", []table.Field[rawCase]{
		resistanceField("primary_resistance", "resistance of the winding", "1 Ω", func(p *rawCase, q units.Resistance) { p.low.Resistance = q }),
		inductanceField("primary_inductance", "inductance of the winding", "15 mH", func(p *rawCase, q units.Inductance) { p.low.Inductance = q }),
	}, lowTensionSet, lowTensionSet},
	{"ballast", "the ballast resistor", []table.Field[rawCase]{
		resistanceField("resistance", "ballast, 0 Ω for none", "0 Ω", func(p *rawCase, q units.Resistance) { p.Ballast = q }),
	}, batterySet, batterySet},
	{"coil", "the coil", []table.Field[rawCase]{
		resistanceField("primary_resistance", "resistance of the primary", "3.4 Ω", func(p *rawCase, q units.Resistance) { p.Coil.PrimaryResistance = q }),
		inductanceField("primary_inductance", "inductance of the primary, secondary open", "8 mH", func(p *rawCase, q units.Inductance) { p.Coil.PrimaryInductance = q }),
		numberField("turns_ratio", "secondary turns over primary turns", "85.0", func(p *rawCase, x float64) { p.Coil.TurnsRatio = x }),
		numberField("coupling", "share of flux that both windings see", "0.98", func(p *rawCase, x float64) { p.Coil.Coupling = x }),
		resistanceField("secondary_resistance", "resistance of the secondary", "9 kΩ", func(p *rawCase, q units.Resistance) { p.Coil.SecondaryResistance = q }),
		resistanceField("core_loss", "loss of the core, as a resistor across the secondary", "8 MΩ", func(p *rawCase, q units.Resistance) { p.Coil.CoreLoss = q }),
		capacitanceField("secondary_capacitance", "capacitance of secondary and tower", "45 pF", func(p *rawCase, q units.Capacitance) { p.Coil.SecondaryCapacitance = q }),
		partField("shorted_turns", "turns of the secondary with failed insulation",
			func(p *rawCase) { p.Coil.Shorted = new(ShortedTurns) }, []table.Field[rawCase]{
				numberField("fraction", "share of the secondary's turns", "0.05", func(p *rawCase, x float64) { p.Coil.Shorted.Fraction = x }),
				resistanceField("resistance", "resistance of the loop", "450 Ω", func(p *rawCase, q units.Resistance) { p.Coil.Shorted.Resistance = q }),
				numberField("coupling", "coupling to either winding", "0.97", func(p *rawCase, x float64) { p.Coil.Shorted.Coupling = x }),
			}),
	}, sparkSet, sparkSet},
	{"points", "the points", []table.Field[rawCase]{
		resistanceField("contact_resistance", "resistance of the closed points", "0.05 Ω", func(p *rawCase, q units.Resistance) { p.Points.ContactResistance = q }),
		optional(angleField("closes", "where the points of a magneto close", "-90 deg", func(p *rawCase, a units.MagnetAngle) { p.magneto.Closes = a })),
		optional(angleField("opens", "where the points of a magneto open", "6 deg", func(p *rawCase, a units.MagnetAngle) { p.magneto.Opens = a })),
		optional(angleField("from", "where the coil of a magneto is at rest before its points close", "-200 deg", func(p *rawCase, a units.MagnetAngle) { p.magneto.From = &a })),
		partField("arc", "when opening points arc", func(p *rawCase) { p.Points.Arc = new(Arc) }, []table.Field[rawCase]{
			voltageField("voltage", "voltage of the arc", "14 V", func(p *rawCase, q units.Voltage) { p.Points.Arc.Voltage = q }),
			resistanceField("resistance", "resistance of the arc", "0.15 Ω", func(p *rawCase, q units.Resistance) { p.Points.Arc.Resistance = q }),
			currentField("holding_current", "least current that keeps the arc", "0.4 A", func(p *rawCase, q units.Current) { p.Points.Arc.HoldingCurrent = q }),
			voltageField("strength_start", "volts the parting points stand at first", "60 V", func(p *rawCase, q units.Voltage) { p.Points.Arc.StrengthStart = q }),
			valueField(units.KindVoltageRate, units.Quantity.VoltageRate, "strength_rise", "how fast that grows", "15 V/µs", func(p *rawCase, q units.VoltageRate) { p.Points.Arc.StrengthRise = q }),
		}),
	}, batterySet | magnetoSet, 0},
	{"switch", "a transistor in place of points", []table.Field[rawCase]{
		voltageField("saturation", "volts across it while on", "0.9 V", func(p *rawCase, q units.Voltage) { transistorOf(p).Saturation = q }),
		resistanceField("resistance", "resistance while on", "0.1 Ω", func(p *rawCase, q units.Resistance) { transistorOf(p).Resistance = q }),
		optional(currentField("limit", "current at which it holds the coil", "5 A", func(p *rawCase, q units.Current) { transistorOf(p).Limit = q })),
		optional(voltageField("clamp", "voltage at which it conducts again", "330 V", func(p *rawCase, q units.Voltage) { transistorOf(p).Clamp = q })),
		optional(resistanceField("clamp_resistance", "resistance of the clamp", "2 Ω", func(p *rawCase, q units.Resistance) { transistorOf(p).ClampResistance = q })),
	}, batterySet, 0},
	{"condenser", "the condenser", []table.Field[rawCase]{
		capacitanceField("capacitance", "capacitance", "0.22 µF", func(p *rawCase, q units.Capacitance) { p.Condenser.Capacitance = q }),
		resistanceField("series_resistance", "resistance in series with it", "0.2 Ω", func(p *rawCase, q units.Resistance) { p.Condenser.SeriesResistance = q }),
		resistanceField("leakage", "leakage across it", "1 GΩ", func(p *rawCase, q units.Resistance) { p.Condenser.Leakage = q }),
	}, batterySet | magnetoSet, batterySet | magnetoSet},
	{"lead", "the lead", []table.Field[rawCase]{
		resistanceField("resistance", "lead, cap and resistor plug together", "5 kΩ", func(p *rawCase, q units.Resistance) { p.Lead = q }),
	}, sparkSet, sparkSet},
	{"plug", "the plug", []table.Field[rawCase]{
		capacitanceField("capacitance", "capacitance of plug and lead", "12 pF", func(p *rawCase, q units.Capacitance) { p.Plug.Capacitance = q }),
		resistanceField("shunt", "fouling across the gap", "1 GΩ", func(p *rawCase, q units.Resistance) { p.Plug.Shunt = q }),
		voltageField("breakdown", "voltage at which the gap fires", "10 kV", func(p *rawCase, q units.Voltage) { p.Plug.Breakdown = q }),
		voltageField("burning_voltage", "voltage of the burning gap", "600 V", func(p *rawCase, q units.Voltage) { p.Plug.BurningVoltage = q }),
		resistanceField("burning_resistance", "resistance of the burning gap", "500 Ω", func(p *rawCase, q units.Resistance) { p.Plug.BurningResistance = q }),
		currentField("extinction_current", "current at which the spark goes out", "4 mA", func(p *rawCase, q units.Current) { p.Plug.ExtinctionCurrent = q }),
		partField("hot_gap", "what the gap remembers of a spark", func(p *rawCase) { p.Plug.HotGap = new(HotGap) }, []table.Field[rawCase]{
			voltageField("breakdown", "voltage at which the hot gap fires again", "2.5 kV", func(p *rawCase, q units.Voltage) { p.Plug.HotGap.Breakdown = q }),
			valueField(units.KindTime, units.Quantity.Time, "recovery", "time constant of cooling", "150 µs", func(p *rawCase, q units.Time) { p.Plug.HotGap.Recovery = q }),
		}),
	}, sparkSet, sparkSet},
	{"run", "how the engine turns", []table.Field[rawCase]{
		valueField(units.KindSpeed, units.Quantity.Speed, "speed", "speed of the crank", "1800 rpm", func(p *rawCase, q units.Speed) { p.Run.Speed = q }),
		optional(numberField("dwell", "share of the cycle for which the points are closed", "0.45", func(p *rawCase, x float64) { p.Run.Dwell = x })),
		optional(numberField("sparks_per_rev", "sparks per turn of the crank", "0.5", func(p *rawCase, x float64) { p.Run.SparksPerRev, p.rate = x, x })),
	}, sparkSet, sparkSet},
	{"cylinder", "what the plug sits in", []table.Field[rawCase]{
		valueField(units.KindLength, units.Quantity.Length, "gap", "gap of the plug", "0.6 mm", func(p *rawCase, q units.Length) { cylinderOf(p).Demand.Gap = q }),
		numberField("compression", "volume at bottom over volume at top dead centre", "6.0", func(p *rawCase, x float64) { cylinderOf(p).Demand.Compression = x }),
		valueField(units.KindCrankAngle, units.Quantity.CrankAngle, "spark", "when the spark comes at work", "25° BTDC", func(p *rawCase, q units.CrankAngle) { cylinderOf(p).Demand.Spark = q }),
		optional(valueField(units.KindCrankAngle, units.Quantity.CrankAngle, "closes", "when compression begins", "140° BTDC", func(p *rawCase, q units.CrankAngle) { cylinderOf(p).Demand.Closes = q })),
		optional(numberField("rod_ratio", "length of the rod over the crank's radius", "3.7", func(p *rawCase, x float64) { cylinderOf(p).Demand.RodRatio = x })),
		table.Word("electrodes", "whether their edges are new or burned round", "new", []string{"new", "worn"}, func(p *rawCase, s string) { cylinderOf(p).Demand.Conditions.Worn = s == "worn" }),
		table.Word("centre_electrode", "its polarity", "negative", []string{"negative", "positive"}, func(p *rawCase, s string) { cylinderOf(p).Demand.Conditions.Reversed = s == "positive" }),
		table.Word("heat", "whether it glows at work", "usual", []string{"usual", "glowing"}, func(p *rawCase, s string) { cylinderOf(p).Demand.Conditions.Hot = s == "glowing" }),
		optional(valueField(units.KindSpeed, units.Quantity.Speed, "top_speed", "the most it turns", "3600 rpm", func(p *rawCase, q units.Speed) { cylinderOf(p).Top = q })),
	}, sparkSet, 0},
	{"magnet", "the magnet of a magneto", []table.Field[rawCase]{
		optional(valueField(units.KindFluxLinkage, units.Quantity.FluxLinkage, "linkage", "peak flux linkage of the primary", "7.5 mWb", func(p *rawCase, q units.FluxLinkage) { p.magneto.Magnet.Linkage = q })),
		{Key: "flux", Title: "shares of the linkage at angles of the magnet", Example: "[[-45, 0], [-12, 1], [12, -1], [45, 0]]", Required: true, Set: readFlux},
		table.Bool("measured", "whether the linkage was measured", "true", func(p *rawCase) *bool { return &p.Measured }),
		optional(numberField("ratio", "turns of the magnet a turn of the crank", "1.0", func(p *rawCase, x float64) { p.Ratio = x })),
		partField("saturation", "a core that saturates", func(p *rawCase) { p.magneto.Magnet.Saturation = new(Saturation) }, []table.Field[rawCase]{
			numberField("core_share", "the core's share of the reluctance", "0.08", func(p *rawCase, x float64) { p.magneto.Magnet.Saturation.CoreShare = x }),
			valueField(units.KindFluxLinkage, units.Quantity.FluxLinkage, "linkage", "linkage at which it takes no more", "10 mWb", func(p *rawCase, q units.FluxLinkage) { p.magneto.Magnet.Saturation.Linkage = q }),
		}),
		partField("circuit", "reluctances, in place of linkage and the primary's inductance", func(p *rawCase) {}, []table.Field[rawCase]{
			currentField("mmf", "ampere turns of the magnet", "1100 A", func(p *rawCase, q units.Current) { p.circuit.MMF = q }),
			numberField("magnet_reluctance", "of the magnet, A/Wb", "1.5e7", func(p *rawCase, x float64) { p.circuit.Magnet = x }),
			numberField("magnet_leakage_reluctance", "beside the magnet, A/Wb", "1.5e7", func(p *rawCase, x float64) { p.circuit.MagnetLeakage = x }),
			numberField("leg_leakage_reluctance", "between the legs, A/Wb", "1.6e7", func(p *rawCase, x float64) { p.circuit.LegLeakage = x }),
			numberField("core_reluctance", "of the core, A/Wb", "5e5", func(p *rawCase, x float64) { p.circuit.Core = x }),
			valueField(units.KindLength, units.Quantity.Length, "gap", "air gap on each side", "0.0125 in", func(p *rawCase, q units.Length) { p.circuit.Gap = q }),
			numberField("gap_area", "area of a gap, m²", "1.6e-4", func(p *rawCase, x float64) { p.circuit.Area = x }),
			numberField("turns", "turns of the primary", "155", func(p *rawCase, x float64) { p.circuit.Turns = x }),
		}),
	}, magnetoSet, magnetoSet},
	{"impulse", "an impulse coupling", []table.Field[rawCase]{
		angleField("hold", "where the rotor is held", "-30 deg", func(p *rawCase, a units.MagnetAngle) { impulseOf(p).Hold = a }),
		optional(valueField(units.KindSpeed, units.Quantity.Speed, "snap_speed", "speed at the opening, under load", "450 rpm", func(p *rawCase, q units.Speed) { impulseOf(p).Snap = q })),
		optional(valueField(units.KindTorque, units.Quantity.Torque, "spring_torque", "mean torque of the spring, in place of snap_speed", "0.15 N·m", func(p *rawCase, q units.Torque) { p.torque = q })),
		optional(numberField("inertia", "of the rotor, kg m²", "6e-5", func(p *rawCase, x float64) { p.inertia = x })),
		optional(angleField("lag", "lag of the coupling; it moves the timing and not the spark", "14 deg", func(p *rawCase, a units.MagnetAngle) { p.Lag = a })),
	}, magnetoSet, 0},
	{"module", "a breakerless module in place of points", []table.Field[rawCase]{
		voltageField("saturation", "volts across it while on", "0.9 V", func(p *rawCase, q units.Voltage) { moduleOf(p).Saturation = q }),
		resistanceField("on_resistance", "resistance while on", "0.05 Ω", func(p *rawCase, q units.Resistance) { moduleOf(p).OnResistance = q }),
		optional(currentField("trip_current", "current at which it opens", "2 A", func(p *rawCase, q units.Current) { moduleOf(p).Trip = q })),
		partField("pick_up", "a pick-up coil that opens it, in place of trip_current", func(p *rawCase) { moduleOf(p).PickUp = new(PickUp) }, []table.Field[rawCase]{
			voltageField("peak", "highest voltage of the pick-up at a speed", "2 V", func(p *rawCase, q units.Voltage) { moduleOf(p).PickUp.Peak = q }),
			valueField(units.KindSpeed, units.Quantity.Speed, "speed", "that speed of the magnet", "500 rpm", func(p *rawCase, q units.Speed) { moduleOf(p).PickUp.Speed = q }),
			angleField("start", "where its voltage begins", "0 deg", func(p *rawCase, a units.MagnetAngle) { moduleOf(p).PickUp.Start = a }),
			angleField("width", "how far its voltage lasts", "20 deg", func(p *rawCase, a units.MagnetAngle) { moduleOf(p).PickUp.Width = a }),
			voltageField("trigger", "voltage that the module waits for", "0.8 V", func(p *rawCase, q units.Voltage) { moduleOf(p).PickUp.Trigger = q }),
		}),
		optional(currentField("limit", "current that it holds until it opens", "3 A", func(p *rawCase, q units.Current) { moduleOf(p).Limit = q })),
		optional(voltageField("clamp", "voltage at which it conducts again", "330 V", func(p *rawCase, q units.Voltage) { moduleOf(p).Clamp = q })),
		optional(resistanceField("clamp_resistance", "resistance of the clamp", "2 Ω", func(p *rawCase, q units.Resistance) { moduleOf(p).ClampResistance = q })),
		optional(voltageField("reverse", "voltage of the diode across it", "0.8 V", func(p *rawCase, q units.Voltage) { reverseOf(p).Voltage = q })),
		optional(resistanceField("reverse_resistance", "resistance of that diode", "0.1 Ω", func(p *rawCase, q units.Resistance) { reverseOf(p).Resistance = q })),
	}, magnetoSet, 0},
	{"source_coil", "the generator coil of an energy-transfer set", []table.Field[rawCase]{
		inductanceField("inductance", "inductance of the coil", "4 mH", func(p *rawCase, q units.Inductance) { sourceOf(p).Inductance = q }),
		resistanceField("resistance", "resistance of the coil", "1.2 Ω", func(p *rawCase, q units.Resistance) { sourceOf(p).Resistance = q }),
	}, magnetoSet, 0},
	{"charge_coil", "the charge coil of a capacitor-discharge set", []table.Field[rawCase]{
		inductanceField("inductance", "inductance of the coil", "5 H", func(p *rawCase, q units.Inductance) { p.discharge.Charge.Inductance = q }),
		resistanceField("resistance", "resistance of the coil", "290 Ω", func(p *rawCase, q units.Resistance) { p.discharge.Charge.Resistance = q }),
		valueField(units.KindFluxLinkage, units.Quantity.FluxLinkage, "linkage", "peak flux linkage", "0.72 Wb", func(p *rawCase, q units.FluxLinkage) { p.discharge.Charge.Linkage = q }),
		numberField("pole_pairs", "periods of its voltage a turn of the magnet", "3", func(p *rawCase, x float64) { p.discharge.Charge.PolePairs = int(max(min(x, 1000), -1)) }),
		table.Bool("measured", "whether the linkage was measured", "true", func(p *rawCase) *bool { return &p.Measured }),
		optional(valueField(units.KindPlaneAngle, units.Quantity.PlaneAngle, "phase", "phase of its voltage at the last spark", "0 deg", func(p *rawCase, q units.PlaneAngle) { p.discharge.Charge.Phase = q })),
	}, dischargeSet, dischargeSet},
	{"store", "the store of a capacitor-discharge set", []table.Field[rawCase]{
		capacitanceField("capacitance", "capacitance", "1 µF", func(p *rawCase, q units.Capacitance) { p.discharge.Store.Capacitance = q }),
		optional(voltageField("regulator", "voltage at which charging stops", "190 V", func(p *rawCase, q units.Voltage) { p.discharge.Store.Regulator = q })),
		optional(resistanceField("leakage", "leakage across it", "2 MΩ", func(p *rawCase, q units.Resistance) { p.discharge.Store.Leakage = q })),
		optional(voltageField("diode_drop", "voltage of the diode that fills it", "0.8 V", func(p *rawCase, q units.Voltage) { p.discharge.Store.DiodeDrop = q })),
	}, dischargeSet, dischargeSet},
	{"thyristor", "the thyristor of a capacitor-discharge set", []table.Field[rawCase]{
		voltageField("drop", "voltage across it while on", "1.2 V", func(p *rawCase, q units.Voltage) { p.discharge.Thyristor.Drop = q }),
		resistanceField("resistance", "resistance while on", "0.05 Ω", func(p *rawCase, q units.Resistance) { p.discharge.Thyristor.Resistance = q }),
		table.Word("freewheel", "a diode across the primary", "primary", []string{"primary", "none"}, func(p *rawCase, s string) { p.freewheel = s }),
		optional(voltageField("freewheel_voltage", "voltage of that diode", "0.9 V", func(p *rawCase, q units.Voltage) { freewheelOf(p).Voltage = q })),
		optional(resistanceField("freewheel_resistance", "resistance of that diode", "0.05 Ω", func(p *rawCase, q units.Resistance) { freewheelOf(p).Resistance = q })),
	}, dischargeSet, dischargeSet},
	{"bench", "what was measured on the bench, and what to ask", benchFields, sparkSet, 0},
}

// lowTensionFields are the keys of an igniter or a trembler.
var lowTensionFields = []table.Field[rawCase]{
	resistanceField("contact_resistance", "resistance of the closed contacts", "20 mΩ", func(p *rawCase, q units.Resistance) { p.low.Contact = q }),
	optional(valueField(units.KindTime, units.Quantity.Time, "closed", "how long they stay closed", "30 ms", func(p *rawCase, q units.Time) { p.low.Closed = q })),
}

var benchFields = []table.Field[rawCase]{
	optional(inductanceField("primary_open", "inductance of the primary, secondary open", "8 mH", func(p *rawCase, q units.Inductance) { p.Bench.PrimaryOpen = q })),
	optional(inductanceField("primary_shorted", "inductance of the primary, secondary shorted", "0.3 mH", func(p *rawCase, q units.Inductance) { p.Bench.PrimaryShorted = q })),
	optional(inductanceField("secondary_open", "inductance of the secondary, primary open", "58 H", func(p *rawCase, q units.Inductance) { p.Bench.SecondaryOpen = q })),
	optional(valueField(units.KindFrequency, units.Quantity.Frequency, "ring", "frequency at which the coil rings with a capacitance", "2.25 kHz", func(p *rawCase, q units.Frequency) { p.Bench.Ring = q })),
	optional(capacitanceField("ring_capacitance", "that capacitance", "0.22 µF", func(p *rawCase, q units.Capacitance) { p.Bench.RingCapacitance = q })),
	optional(currentField("current_limit", "most that the primary may carry: asks for the ballast", "4 A", func(p *rawCase, q units.Current) { p.Bench.Limit = q })),
	optional(valueField(units.KindTemperature, units.Quantity.Temperature, "temperature", "at which the coil's resistance was measured", "20 °C", func(p *rawCase, q units.Temperature) {
		p.Bench.Temperature = &q
	})),
	optional(numberField("thermal_resistance", "of the coil to the air, K/W: asks how hot it gets", "3", func(p *rawCase, x float64) { p.Bench.KelvinsPerWatt = x })),
	optional(valueField(units.KindLength, units.Quantity.Length, "test_gap", "needle gap of a spark tester: asks for the coming-in speed", "5 mm", func(p *rawCase, q units.Length) { p.Bench.TestGap = q })),
}

// angleField is a required angle of the magnet; plain degrees are the magnet's.
func angleField(key, title, example string, put putter[units.MagnetAngle]) table.Field[rawCase] {
	return table.Field[rawCase]{Key: key, Title: title, Example: example, Form: table.FormOfKind, Required: true,
		Set: func(w *table.Walker, n *gate.Node, p *rawCase) {
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
func readFlux(w *table.Walker, n *gate.Node, p *rawCase) {
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
		p.magneto.Magnet.Flux = append(p.magneto.Magnet.Flux, FluxKnot{At: units.MagnetDegrees(at), Share: share})
	}
}

// The makers of optional parts return the part, made where there is none.
func impulseOf(p *rawCase) *Impulse {
	if p.magneto.Impulse == nil {
		p.magneto.Impulse = new(Impulse)
	}
	return p.magneto.Impulse
}

func moduleOf(p *rawCase) *Module {
	if p.magneto.Module == nil {
		p.magneto.Module = new(Module)
	}
	return p.magneto.Module
}

func reverseOf(p *rawCase) *Diode {
	if moduleOf(p).Reverse == nil {
		moduleOf(p).Reverse = new(Diode)
	}
	return moduleOf(p).Reverse
}

func sourceOf(p *rawCase) *SourceCoil {
	if p.magneto.Source == nil {
		p.magneto.Source = new(SourceCoil)
	}
	return p.magneto.Source
}

func freewheelOf(p *rawCase) *Diode {
	if p.discharge.Freewheel == nil {
		p.discharge.Freewheel = new(Diode)
	}
	return p.discharge.Freewheel
}

// cylinderOf returns the cylinder of a case, made where there is none.
func cylinderOf(p *rawCase) *Cylinder {
	if p.Cylinder == nil {
		p.Cylinder = new(Cylinder)
	}
	return p.Cylinder
}
