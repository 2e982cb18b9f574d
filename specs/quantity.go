package specs

import (
	"slices"
	"strings"
	"sync"

	"gapbook.example/specs/table"
	"gapbook.example/units"
)

// A Key names a quantity in the book, in job files and in reports. The list of
// keys is closed: see [Quantities]. The one open family is "other.<slug>",
// facts kept as printed that no rule judges.
type Key string

// The keys that Go code refers to by name. Every other key is reached through
// [Quantities] or [QuantityByName].
const (
	PointsGap    Key = "points_gap"
	PlugGap      Key = "plug_gap"
	Timing       Key = "timing"
	TimingPiston Key = "timing_piston"
	Primary      Key = "primary"
	Secondary    Key = "secondary"
	Condenser    Key = "condenser"
	Bore         Key = "bore"
	Stroke       Key = "stroke"
	Displacement Key = "displacement"
	Cylinders    Key = "cylinders"
)

// otherPrefix starts the keys of facts that no quantity fits.
const otherPrefix = "other."

// IsOther reports whether k is one of the open family "other.<slug>".
func (k Key) IsOther() bool { return strings.HasPrefix(string(k), otherPrefix) }

// QuantityInfo describes one quantity of the closed list.
type QuantityInfo struct {
	// Key is the name used in tables and job files.
	Key Key
	// Title is the name printed to people, in lower case.
	Title string
	// Part is the part that a finding about this quantity names.
	Part string
	// Kind is the kind of value. The zero Kind marks a fact in words.
	Kind units.Kind
	// NeedsSense is true for crank angles that must say BTDC or ATDC.
	NeedsSense bool
	// Copper is true for windings, whose resistance follows temperature.
	Copper bool
	// Example is a value in the form the tables use.
	Example string
	// Also lists other names people use for it.
	Also []string
}

// Words reports whether the quantity is a fact in words, never judged.
func (q QuantityInfo) Words() bool { return q.Kind == 0 }

// Quantities returns the closed list of quantities in the order in which
// tables and reports show them.
func Quantities() []QuantityInfo { return slices.Clone(quantities) }

// Quantity returns the description of key. A key "other.<slug>" is described
// as a fact in words. ok is false when the list does not hold the key.
func Quantity(key Key) (info QuantityInfo, ok bool) {
	if i, found := quantityIndex()[key]; found {
		return quantities[i], true
	}
	if slug := strings.TrimPrefix(string(key), otherPrefix); key.IsOther() && table.IsSlug(slug) {
		return QuantityInfo{Key: key, Title: strings.ReplaceAll(slug, "-", " "), Part: "engine", Example: "as printed"}, true
	}
	return QuantityInfo{}, false
}

// order gives the place of a key in the closed list; facts without a place of
// their own come last.
func order(key Key) int {
	if i, ok := quantityIndex()[key]; ok {
		return i
	}
	return len(quantities)
}

var quantityIndex = sync.OnceValue(func() map[Key]int {
	m := make(map[Key]int, len(quantities))
	for i, q := range quantities {
		m[q.Key] = i
	}
	return m
})

// QuantityByName finds a quantity from what a person calls it: its key, its
// title or one of its other names, in any case, with spaces, dashes or
// underscores between the words.
func QuantityByName(name string) (QuantityInfo, bool) {
	want := foldName(name)
	for _, q := range quantities {
		if foldName(string(q.Key)) == want || foldName(q.Title) == want {
			return q, true
		}
	}
	for _, q := range quantities {
		for _, also := range q.Also {
			if foldName(also) == want {
				return q, true
			}
		}
	}
	return QuantityInfo{}, false
}

// QuantitiesNamed lists the titles of the quantities whose names hold these
// words whole, for a person who said only part of a name: "gap" gives points
// gap, plug gap and more. At most eight are returned, none for a full name.
func QuantitiesNamed(part string) []string {
	want := " " + foldName(part) + " "
	if strings.TrimSpace(want) == "" {
		return nil
	}
	var titles []string
	for _, q := range quantities {
		if q.Words() {
			continue
		}
		for _, name := range append([]string{q.Title}, q.Also...) {
			if strings.Contains(" "+foldName(name)+" ", want) {
				titles = append(titles, q.Title)
				break
			}
		}
		if len(titles) == 8 {
			break
		}
	}
	return titles
}

// QuantityNames lists every name that [QuantityByName] knows, for hints.
func QuantityNames() []string {
	var names []string
	for _, q := range quantities {
		names = append(names, string(q.Key))
		if foldName(q.Title) != foldName(string(q.Key)) {
			names = append(names, q.Title)
		}
		names = append(names, q.Also...)
	}
	return names
}

func foldName(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool {
		return r == ' ' || r == '_' || r == '-' || r == '\t'
	}), " ")
}

const (
	length   = units.KindLength
	ohms     = units.KindResistance
	volts    = units.KindVoltage
	amperes  = units.KindCurrent
	farads   = units.KindCapacitance
	henries  = units.KindInductance
	newtons  = units.KindForce
	torque   = units.KindTorque
	pressure = units.KindPressure
	speed    = units.KindSpeed
	crank    = units.KindCrankAngle
	cam      = units.KindCamAngle
	magnet   = units.KindMagnetAngle
	plane    = units.KindPlaneAngle
	ratio    = units.KindRatio
	turn     = units.KindTurn
	volume   = units.KindVolume
	power    = units.KindPower
	seconds  = units.KindTime
	words    = units.Kind(0)
)

// quantities is the closed list. The order is the order of reports.
var quantities = []QuantityInfo{
	{Key: "points_gap", Title: "points gap", Part: "points", Kind: length, Example: "0.020 in", Also: []string{"breaker gap", "point gap", "contact gap", "contact breaker gap", "breaker point gap"}},
	{Key: "points_opening_limit", Title: "points opening limit", Part: "points", Kind: length, Example: "2 mm"},
	{Key: "points_spring", Title: "points spring", Part: "points", Kind: newtons, Example: "16 ozf", Also: []string{"points spring force", "breaker spring"}},
	{Key: "points_drop", Title: "points drop", Part: "points", Kind: volts, Example: "0.1 V", Also: []string{"voltage drop across points", "points voltage drop"}},
	{Key: "points_resistance", Title: "points resistance", Part: "points", Kind: ohms, Example: "0.1 Ω", Also: []string{"contact resistance"}},
	{Key: "dwell_angle", Title: "dwell angle", Part: "points", Kind: cam, Example: "90° cam", Also: []string{"dwell"}},
	{Key: "dwell_angle_crank", Title: "dwell angle at the crank", Part: "points", Kind: crank, Example: "180°"},
	{Key: "dwell_share", Title: "dwell share", Part: "points", Kind: ratio, Example: "50 %"},
	{Key: "plug_gap", Title: "plug gap", Part: "plug", Kind: length, Example: "0.030 in", Also: []string{"spark plug gap", "sparking plug gap"}},
	{Key: "plug_thread", Title: "plug thread", Part: "plug", Kind: length, Example: "14 mm"},
	{Key: "plug_reach", Title: "plug reach", Part: "plug", Kind: length, Example: "12.7 mm"},
	{Key: "plug_hex", Title: "plug hexagon", Part: "plug", Kind: length, Example: "13/16 in", Also: []string{"plug spanner size"}},
	{Key: "plug_torque", Title: "plug torque", Part: "plug", Kind: torque, Example: "15 lb-ft", Also: []string{"spark plug torque"}},
	{Key: "plug_turn", Title: "plug seating turn", Part: "plug", Kind: turn, Example: "0.5 turn"},
	{Key: "air_gap", Title: "air gap", Part: "coil core", Kind: length, Example: "0.010 in", Also: []string{"armature air gap", "flywheel gap", "armature gap", "module gap"}},
	{Key: "edge_gap", Title: "edge gap", Part: "magneto", Kind: magnet, Example: "8° magnet", Also: []string{"e gap"}},
	{Key: "edge_gap_distance", Title: "edge gap distance", Part: "magneto", Kind: length, Example: "9 mm", Also: []string{"break distance"}},
	{Key: "trigger_gap", Title: "trigger gap", Part: "trigger", Kind: length, Example: "0.008 in", Also: []string{"pickup gap", "pulser gap"}},
	{Key: "timing", Title: "ignition timing", Part: "timing", Kind: crank, NeedsSense: true, Example: "20° BTDC", Also: []string{"advance", "spark advance", "spark timing"}},
	{Key: "timing_piston", Title: "ignition timing by piston", Part: "timing", Kind: length, Example: "2.5 mm", Also: []string{"piston position", "timing by piston"}},
	{Key: "timing_tolerance", Title: "timing tolerance", Part: "timing", Kind: crank, Example: "2°"},
	{Key: "timing_mark", Title: "timing mark distance", Part: "timing", Kind: length, Example: "1.875 in"},
	{Key: "timing_speed", Title: "timing speed", Part: "timing", Kind: speed, Example: "1800 rpm"},
	{Key: "advance_range", Title: "advance range", Part: "timing", Kind: crank, Example: "25°"},
	{Key: "advance_start", Title: "advance start speed", Part: "timing", Kind: speed, Example: "1600 rpm"},
	{Key: "advance_full", Title: "full advance speed", Part: "timing", Kind: speed, Example: "4200 rpm"},
	{Key: "gap_per_degree", Title: "points gap per degree", Part: "points", Kind: units.KindLengthPerCrankAngle, Example: "0.0015 in/°"},
	{Key: "primary", Title: "coil primary", Part: "coil", Kind: ohms, Copper: true, Example: "3.4 Ω", Also: []string{"primary resistance", "coil primary resistance"}},
	{Key: "secondary", Title: "coil secondary", Part: "coil", Kind: ohms, Copper: true, Example: "9 kΩ", Also: []string{"secondary resistance", "coil secondary resistance", "plug terminal to ground"}},
	{Key: "exciter", Title: "exciter coil", Part: "exciter coil", Kind: ohms, Copper: true, Example: "290 Ω", Also: []string{"exciter resistance", "exciter coil resistance"}},
	{Key: "charge_coil", Title: "charge coil", Part: "charge coil", Kind: ohms, Copper: true, Example: "400 Ω", Also: []string{"charge coil resistance"}},
	{Key: "source_coil", Title: "source coil", Part: "source coil", Kind: ohms, Copper: true, Example: "1.2 Ω", Also: []string{"source coil resistance"}},
	{Key: "trigger_coil", Title: "trigger coil", Part: "trigger", Kind: ohms, Copper: true, Example: "185 Ω", Also: []string{"pickup", "pulser", "pickup coil", "pulser coil", "trigger coil resistance"}},
	{Key: "lighting_coil", Title: "lighting coil", Part: "lighting coil", Kind: ohms, Copper: true, Example: "0.4 Ω"},
	{Key: "battery_charge_coil", Title: "battery charge coil", Part: "battery charge coil", Kind: ohms, Copper: true, Example: "0.6 Ω"},
	{Key: "stator", Title: "stator winding", Part: "stator", Kind: ohms, Copper: true, Example: "0.5 Ω", Also: []string{"alternator winding"}},
	{Key: "coil_insulation", Title: "coil insulation", Part: "coil", Kind: ohms, Example: "1 MΩ"},
	{Key: "primary_total", Title: "coil primary with ballast", Part: "coil", Kind: ohms, Example: "3.5 Ω", Also: []string{"primary with ballast"}},
	{Key: "ballast", Title: "ballast resistor", Part: "ballast", Kind: ohms, Example: "1.5 Ω", Also: []string{"ballast resistance"}},
	{Key: "primary_peak", Title: "coil primary peak volts", Part: "coil", Kind: volts, Example: "200 V"},
	{Key: "secondary_volts", Title: "secondary volts", Part: "coil", Kind: volts, Example: "14 kV", Also: []string{"available volts"}},
	{Key: "exciter_peak", Title: "exciter peak volts", Part: "exciter coil", Kind: volts, Example: "100 V"},
	{Key: "charge_coil_peak", Title: "charge coil peak volts", Part: "charge coil", Kind: volts, Example: "150 V"},
	{Key: "trigger_coil_peak", Title: "trigger coil peak volts", Part: "trigger", Kind: volts, Example: "3 V"},
	{Key: "lighting_coil_peak", Title: "lighting coil peak volts", Part: "lighting coil", Kind: volts, Example: "10 V"},
	{Key: "battery_charge_coil_peak", Title: "battery charge coil peak volts", Part: "battery charge coil", Kind: volts, Example: "10 V"},
	{Key: "cdi_output_peak", Title: "unit output peak volts", Part: "module", Kind: volts, Example: "120 V"},
	{Key: "exciter_volts", Title: "exciter volts", Part: "exciter coil", Kind: volts, Example: "60 V"},
	{Key: "charge_coil_volts", Title: "charge coil volts", Part: "charge coil", Kind: volts, Example: "60 V"},
	{Key: "trigger_coil_volts", Title: "trigger coil volts", Part: "trigger", Kind: volts, Example: "0.5 V"},
	{Key: "lighting_coil_volts", Title: "lighting coil volts", Part: "lighting coil", Kind: volts, Example: "12 V"},
	{Key: "generator_volts", Title: "generator volts", Part: "generator", Kind: volts, Example: "20 V"},
	{Key: "condenser", Title: "condenser", Part: "condenser", Kind: farads, Example: "0.22 µF", Also: []string{"capacitor", "condenser capacity", "condenser capacitance"}},
	{Key: "condenser_insulation", Title: "condenser insulation", Part: "condenser", Kind: ohms, Example: "5 MΩ", Also: []string{"condenser leakage resistance"}},
	{Key: "condenser_proof", Title: "condenser proof volts", Part: "condenser", Kind: volts, Example: "700 V"},
	{Key: "cap", Title: "plug cap", Part: "cap", Kind: ohms, Example: "5 kΩ", Also: []string{"plug cap resistance", "suppressor"}},
	{Key: "lead", Title: "plug lead", Part: "lead", Kind: ohms, Example: "5 kΩ", Also: []string{"lead resistance", "ht lead", "plug wire"}},
	{Key: "lead_per_length", Title: "plug lead per length", Part: "lead", Kind: units.KindResistancePerLength, Example: "7 kΩ/ft"},
	{Key: "spark_path", Title: "spark path", Part: "lead", Kind: ohms, Example: "10 kΩ", Also: []string{"tower to plug"}},
	{Key: "stop_switch", Title: "stop switch", Part: "stop switch", Kind: ohms, Example: "0.5 Ω", Also: []string{"kill switch", "stop switch resistance"}},
	{Key: "kill_volts", Title: "volts on the kill wire", Part: "kill wire", Kind: volts, Example: "0.5 V"},
	{Key: "spark_test_gap", Title: "spark test gap", Part: "coil", Kind: length, Example: "6 mm", Also: []string{"test gap"}},
	{Key: "magnet_pull", Title: "magnet pull distance", Part: "flywheel magnet", Kind: length, Example: "0.75 in"},
	{Key: "turns_ratio", Title: "turns ratio", Part: "coil", Kind: ratio, Example: "85"},
	{Key: "primary_inductance", Title: "primary inductance", Part: "coil", Kind: henries, Example: "8 mH"},
	{Key: "secondary_inductance", Title: "secondary inductance", Part: "coil", Kind: henries, Example: "30 H"},
	{Key: "primary_current", Title: "primary current", Part: "coil", Kind: amperes, Example: "3.5 A"},
	{Key: "coil_feed", Title: "coil feed volts", Part: "coil feed", Kind: volts, Example: "6 V", Also: []string{"feed volts"}},
	{Key: "feed_drop", Title: "feed drop", Part: "coil feed", Kind: volts, Example: "0.1 V"},
	{Key: "ground_drop", Title: "ground drop", Part: "ground path", Kind: volts, Example: "0.1 V"},
	{Key: "battery_rest", Title: "battery at rest", Part: "battery", Kind: volts, Example: "12.6 V", Also: []string{"battery volts", "battery voltage"}},
	{Key: "battery_cranking", Title: "battery while cranking", Part: "battery", Kind: volts, Example: "10 V"},
	{Key: "system_voltage", Title: "system voltage", Part: "battery", Kind: volts, Example: "12 V"},
	{Key: "regulated", Title: "regulated voltage", Part: "regulator", Kind: volts, Example: "14.2 V", Also: []string{"charging voltage"}},
	{Key: "bore", Title: "bore", Part: "engine", Kind: length, Example: "3.25 in"},
	{Key: "stroke", Title: "stroke", Part: "engine", Kind: length, Example: "2.875 in"},
	{Key: "displacement", Title: "displacement", Part: "engine", Kind: volume, Example: "391 cm³"},
	{Key: "cylinders", Title: "cylinders", Part: "engine", Kind: ratio, Example: "1"},
	{Key: "cycle", Title: "strokes a cycle", Part: "engine", Kind: ratio, Example: "4"},
	{Key: "ratio", Title: "compression ratio", Part: "engine", Kind: ratio, Example: "6.3"},
	{Key: "compression", Title: "compression pressure", Part: "engine", Kind: pressure, Example: "85 psi", Also: []string{"cranking compression"}},
	{Key: "compression_spread", Title: "compression spread", Part: "engine", Kind: pressure, Example: "15 psi"},
	{Key: "power", Title: "power", Part: "engine", Kind: power, Example: "8 hp"},
	{Key: "idle", Title: "idle speed", Part: "governor", Kind: speed, Example: "1200 rpm"},
	{Key: "governed", Title: "governed speed", Part: "governor", Kind: speed, Example: "3600 rpm"},
	{Key: "rated", Title: "rated speed", Part: "governor", Kind: speed, Example: "3600 rpm"},
	{Key: "no_load", Title: "no-load speed", Part: "governor", Kind: speed, Example: "3800 rpm"},
	{Key: "overspeed", Title: "overspeed limit", Part: "governor", Kind: speed, Example: "4000 rpm"},
	{Key: "cranking", Title: "cranking speed", Part: "starter", Kind: speed, Example: "600 rpm"},
	{Key: "flywheel_nut", Title: "flywheel nut torque", Part: "flywheel nut", Kind: torque, Example: "70 lb-ft"},
	{Key: "rotor_nut", Title: "rotor nut torque", Part: "rotor nut", Kind: torque, Example: "50 N·m"},
	{Key: "head_bolt", Title: "head bolt torque", Part: "head bolts", Kind: torque, Example: "18 lb-ft"},
	{Key: "rotor_clamp", Title: "rotor clamp torque", Part: "rotor clamp", Kind: torque, Example: "65 lb-in"},
	{Key: "coil_screw", Title: "coil screw torque", Part: "coil core", Kind: torque, Example: "30 lb-in"},
	{Key: "valve_clearance", Title: "valve clearance", Part: "valves", Kind: length, Example: "0.010 in"},
	{Key: "impulse_release", Title: "impulse release speed", Part: "impulse coupling", Kind: speed, Example: "165 rpm"},
	{Key: "magneto_ratio", Title: "magneto drive ratio", Part: "magneto", Kind: ratio, Example: "1"},
	{Key: "interval", Title: "service interval", Part: "engine", Kind: seconds, Example: "200 h"},
	{Key: "interval_distance", Title: "service interval by distance", Part: "engine", Kind: length, Example: "5000 km"},
	{Key: "rod_length", Title: "connecting rod length", Part: "engine", Kind: length, Example: "90 mm"},
	{Key: "crank_radius", Title: "crank radius", Part: "engine", Kind: length, Example: "20 mm"},
	{Key: "plug_hole_slant", Title: "plug hole slant", Part: "engine", Kind: plane, Example: "45°"},
	{Key: "ground", Title: "ground polarity", Part: "battery", Kind: words, Example: "negative"},
	{Key: "rotation", Title: "rotation", Part: "engine", Kind: words, Example: "clockwise, seen from the flywheel"},
	{Key: "ignition_system", Title: "ignition system", Part: "ignition", Kind: words, Example: "flywheel magneto with points"},
	{Key: "points_drive", Title: "points drive", Part: "points", Kind: words, Example: "push rod on a cam lobe"},
	{Key: "timing_marks", Title: "timing marks", Part: "timing", Kind: words, Example: "mark on the flywheel"},
	{Key: "timing_method", Title: "timing method", Part: "timing", Kind: words, Example: "static, with a lamp"},
	{Key: "stopping", Title: "how it is stopped", Part: "stop switch", Kind: words, Example: "grounding blade at the breaker box"},
	{Key: "gap_and_timing", Title: "gap and timing", Part: "points", Kind: words, Example: "the gap sets the timing"},
	{Key: "plug_type", Title: "plug type", Part: "plug", Kind: words, Example: "gasket seat, resistor"},
	{Key: "trigger", Title: "trigger", Part: "trigger", Kind: words, Example: "pin in the flywheel"},
	{Key: "compression_release", Title: "compression release", Part: "engine", Kind: words, Example: "on the camshaft"},
	{Key: "firing_interval", Title: "firing interval", Part: "engine", Kind: words, Example: "540 and 180 degrees"},
	{Key: "points_care", Title: "care of the points", Part: "points", Kind: words, Example: "clean with paper, never a file"},
	{Key: "condenser_test", Title: "condenser test", Part: "condenser", Kind: words, Example: "ohmmeter kicks, then returns"},
	{Key: "coil_test", Title: "coil test", Part: "coil", Kind: words, Example: "cold, leads off"},
	{Key: "advance_mechanism", Title: "advance mechanism", Part: "timing", Kind: words, Example: "flyweights on the cam"},
}
