package specs

import (
	"cmp"
	"slices"

	"gapbook.example/units"
)

// A PartClass holds what a kind of part usually is, for harnesses that do not
// say; one with a Role is a part that can be bought. The zero class says nothing.
type PartClass struct {
	ID    string
	Label string
	// Role is the job that the part is bought for, such as "coil"; empty for a
	// class that only fills gaps.
	Role string
	// Kind is the kind of part that it is in a harness, such as "key-switch".
	Kind string
	// Word is what a harness calls its variety: the class of a coil, the id of
	// a key switch's table, the seat of a plug, the polarity of electronics.
	Word string
	// Towers is how many high-tension towers a coil has; zero is one.
	Towers int
	// Suits lists the kinds of ignition that the part is sold for; none is any.
	Suits []string
	// Ask says what to ask for at a counter, Enough what is enough where the
	// exact part is not known, Test how to prove one before it is fitted. An
	// attribute in braces, such as {primary}, stands for the range that a plan
	// wants of it.
	Ask, Enough, Test string
	// Conversions, Steps and When belong to a [RoleSupply]: it is bought for
	// those conversions (none is all), where a plan has one of those steps, and
	// where all those conditions hold; see [Conversion.Words].
	Conversions, Steps, When []string
	// Values are the class figures, in the order of the file.
	Values []ClassValue
	At     Position
}

// RoleSupply is the role of what a job wants besides parts of the ignition: a
// gasket, oil, clips. It hangs on the steps of recipes that want it.
const RoleSupply = "supply"

// A ClassValue is one figure that is assumed for a kind of part.
type ClassValue struct {
	// Attribute is its name; see [PartAttributes].
	Attribute string
	// Label parts variants, such as "ballasted"; empty is the usual one.
	Label string
	Band  Band
	// Spread is how far the part may be off, as a share; zero where Band has
	// limits or nothing is said.
	Spread float64
	// Volts narrows the figure to one system voltage; zero means any.
	Volts  units.Voltage
	Source string
	Place  string
	Basis  Basis
	Note   string
	At     Position
}

// A PartAttribute is one thing that can be said of a part.
type PartAttribute struct {
	Key, Title string
	Kind       units.Kind
}

// PartAttributes lists what can be said of parts, in a fixed order.
func PartAttributes() []PartAttribute { return append([]PartAttribute(nil), partAttributes...) }

var partAttributes = []PartAttribute{
	{"resistance", "resistance of the part", units.KindResistance},
	{"primary", "resistance of the primary winding", units.KindResistance},
	{"secondary", "resistance of the secondary winding", units.KindResistance},
	{"contact", "resistance of a closed contact", units.KindResistance},
	{"insulation", "resistance to the case", units.KindResistance},
	{"input", "resistance that a unit shows at its supply", units.KindResistance},
	{"per_length", "resistance for each length", units.KindResistancePerLength},
	{"length", "length", units.KindLength},
	{"volts", "volts the part is made for", units.KindVoltage},
	{"rest", "volts at rest", units.KindVoltage},
	{"cranking", "volts at the posts while cranking", units.KindVoltage},
	{"regulated", "volts that the regulator holds", units.KindVoltage},
	{"emf", "volts made inside while the engine turns", units.KindVoltage},
	{"output", "volts that a unit puts out", units.KindVoltage},
	{"pull_in", "volts that pull the contacts in", units.KindVoltage},
	{"minimum", "least volts that a unit works on", units.KindVoltage},
	{"signal", "least volts of the trigger that a unit answers to", units.KindVoltage},
	{"rating", "amperes the part is made for", units.KindCurrent},
	{"least_gauge", "least gauge of a single wire", units.KindWireSize},
	{"power", "watts of a load", units.KindPower},
	{"capacitance", "capacity of a condenser", units.KindCapacitance},
	{"gap", "gap of a plug", units.KindLength},
	{"thread", "thread of a plug or its hole", units.KindLength},
	{"reach", "reach of a plug or its hole", units.KindLength},
	{"temperature", "temperature of the part", units.KindTemperature},
	{"spread", "how far such parts differ", units.KindRatio},
	{"rod_ratio", "length of a connecting rod in strokes", units.KindRatio},
	{"lift_share", "points gap as a share of what the lobe would lift", units.KindRatio},
	{"exponent", "exponent of the squeezing of a charge", units.KindRatio},
	{"inductance", "inductance of a winding", units.KindInductance},
	{"turns_ratio", "secondary turns over primary turns", units.KindRatio},
	{"coupling", "share of flux that both windings see", units.KindRatio},
	{"core_loss", "loss of the core, as a resistor across the secondary", units.KindResistance},
	{"tower", "capacity of a secondary winding and its tower", units.KindCapacitance},
	{"wiring", "resistance of feed and ground path together", units.KindResistance},
	{"series", "resistance in series with a condenser", units.KindResistance},
	{"leakage", "leakage across a condenser or a clean plug", units.KindResistance},
	{"plug_capacitance", "capacity of plug and lead", units.KindCapacitance},
	{"burning", "volts of a burning gap", units.KindVoltage},
	{"burning_resistance", "resistance of a burning gap", units.KindResistance},
	{"extinction", "current at which a spark goes out", units.KindCurrent},
	{"hot", "volts at which a hot gap fires again", units.KindVoltage},
	{"recovery", "time constant in which a gap cools", units.KindTime},
	{"arc", "volts of an arc at the points", units.KindVoltage},
	{"arc_resistance", "resistance of that arc", units.KindResistance},
	{"holding", "least current that keeps that arc", units.KindCurrent},
	{"strength", "volts that parting points stand at first", units.KindVoltage},
	{"strength_rise", "how fast that grows", units.KindVoltageRate},
	{"dwell", "share of the cycle for which points are closed", units.KindRatio},
	{"speed", "speed of the crank", units.KindSpeed},
	{"linkage", "peak flux linkage of a winding", units.KindFluxLinkage},
	{"swing", "half of the angle over which the flux turns round", units.KindMagnetAngle},
	{"pole", "angle at which the flux before or after that ends", units.KindMagnetAngle},
	{"closes", "where the points of a magneto close, past neutral", units.KindMagnetAngle},
	{"opens", "where the points of a magneto open, past neutral", units.KindMagnetAngle},
	{"saturation", "volts across a transistor or thyristor that is on", units.KindVoltage},
	{"trip", "current at which a module opens", units.KindCurrent},
	{"clamp", "volts at which a transistor protects itself", units.KindVoltage},
	{"clamp_resistance", "resistance of that clamp", units.KindResistance},
	{"diode", "volts across a diode", units.KindVoltage},
	{"diode_resistance", "resistance of that diode", units.KindResistance},
	{"pole_pairs", "periods of a charge coil's volts a turn", units.KindRatio},
	{"regulator", "volts at which charging stops", units.KindVoltage},
	{"compression", "volume at bottom over volume at top dead centre", units.KindRatio},
	{"intake", "absolute pressure as compression begins", units.KindPressure},
	{"spark", "when the spark comes", units.KindCrankAngle},
	{"intake_closes", "when compression begins", units.KindCrankAngle},
	{"reserve", "kilovolts on hand over kilovolts asked for", units.KindRatio},
	{"capacity", "how long a full battery gives one ampere", units.KindTime},
	{"factor", "volts that a gap asks for, over those of planes in air", units.KindRatio},
}

// PartClasses lists the ids of all classes of parts, in order.
func (b *Book) PartClasses() []string { return slices.Clone(b.parts) }

// Typical returns the class figure for one attribute: of the label if there is
// one, else the usual one, and for the system voltage where figures differ by
// it. ok is false where the class has none.
func (c *PartClass) Typical(attribute, label string, volts units.Voltage) (v ClassValue, ok bool) {
	best := 0
	for _, x := range c.Values {
		if x.Attribute != attribute || x.Label != "" && x.Label != label || !x.Volts.IsZero() && cmp.Compare(x.Volts.Volts(), volts.Volts()) != 0 {
			continue
		}
		score := 1
		if x.Label != "" {
			score += 2
		}
		if !x.Volts.IsZero() {
			score++
		}
		if score > best {
			best, v = score, x
		}
	}
	return v, best > 0
}
