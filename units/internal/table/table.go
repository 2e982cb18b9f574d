// Package table holds the one table that every quantity of package units is
// made from: names, exact unit ratios, spellings, print rules. Package gen
// writes it out as Go; nothing is imported from here at run time.
package table

// Use of a unit's fractions ("1/64 in").
const (
	NoFraction = iota
	LenientFraction
	StrictFraction
)

// Unit is one unit of a quantity.
type Unit struct {
	Name     string   // canonical spelling, the one that is printed
	Func     string   // constructor and accessor; "" where written by hand or none
	Words    string   // the unit in words, plural, for documentation
	Scale    string   // exact size in the base unit: factors joined by * and /
	Before   string   // exact number added before scaling (temperatures), or ""
	Strict   []string // other spellings that the book accepts
	Lenient  []string // other spellings that only lenient parsing accepts
	Decimals int      // customary decimals: String pads to these
	Report   int      // decimals of the second unit in a two-unit report
	Twin     string   // the other unit of a two-unit report
	Fraction int      // NoFraction, LenientFraction, StrictFraction
	Tight    bool     // no space between number and unit: 23°
	Source   string   // where the ratio is defined, for documentation
}

// Group names the units that String may choose from when the size of the
// value, in the base unit, is at least From. The first unit wins a tie.
type Group struct {
	From  string
	Units []string
}

// Kind is one quantity.
type Kind struct {
	Type   string // Go type
	Name   string // the quantity in words
	Field  string // the unexported field, named for its unit
	Base   string // the base unit in words
	Symbol string // the base unit as SI writes it
	Is     string // continues "T is"
	Zero   string // continues "The zero T is"
	Extra  string // further documentation, or ""
	NoSum  bool   // no Add, Sub, Scale
	Floor  bool   // values under zero of the base unit do not exist
	Open   bool   // plus infinity exists and prints OL
	Units  []Unit
	Print  []Group // largest first; the last has From "0"
}

const (
	pound = "0.45359237*9.80665" // lbf in newtons, exact
	si    = "NIST SP 811"
)

// Kinds lists every quantity, in the order of their Kind constants.
var Kinds = []Kind{
	{
		Type: "Length", Name: "length", Field: "metres", Base: "metres", Symbol: "m",
		Is:   "a distance, such as a points gap, an air gap, a bore or a run of wire",
		Zero: "no distance at all, not an unknown one",
		Units: []Unit{
			{Name: "mm", Func: "Millimetres", Words: "millimetres", Scale: "0.001", Report: 2, Twin: "in", Lenient: []string{"millimetre", "millimetres", "millimeter", "millimeters"}},
			{Name: "in", Func: "Inches", Words: "inches", Scale: "0.0254", Decimals: 3, Report: 3, Twin: "mm", Fraction: StrictFraction, Lenient: []string{`"`, "″", "”", "''", "′′", "in.", "inch", "inches"}, Source: si},
			{Name: "thou", Func: "Thou", Words: "thousandths of an inch", Scale: "0.0000254", Report: 1, Twin: "mm", Lenient: []string{"thous"}, Source: si},
			{Name: "µm", Func: "Micrometres", Words: "micrometres", Scale: "0.000001", Strict: []string{"um"}, Twin: "thou"},
			{Name: "m", Func: "Metres", Words: "metres", Scale: "1", Report: 2, Twin: "ft", Lenient: []string{"metre", "metres", "meter", "meters"}},
			{Name: "cm", Func: "Centimetres", Words: "centimetres", Scale: "0.01", Report: 1, Twin: "in"},
			{Name: "ft", Func: "Feet", Words: "feet", Scale: "0.3048", Report: 1, Twin: "m", Fraction: LenientFraction, Lenient: []string{"ft.", "foot", "feet", "'", "′"}, Source: si},
			{Name: "km", Func: "Kilometres", Words: "kilometres", Scale: "1000", Twin: "mi"},
			{Name: "mi", Func: "Miles", Words: "miles", Scale: "1609.344", Twin: "km", Strict: []string{"miles"}, Lenient: []string{"mile"}, Source: si},
		},
		Print: []Group{{"1000", []string{"km", "mi", "m", "ft"}}, {"1", []string{"m", "mm", "ft", "in"}}, {"0.00001", []string{"mm", "in"}}, {"0", []string{"µm"}}},
	},
	{
		Type: "Resistance", Name: "resistance", Field: "ohms", Base: "ohms", Symbol: "Ω", Open: true,
		Is:    "an electrical resistance, such as a coil's winding or a suppression lead",
		Zero:  "a dead short, not an unknown resistance",
		Extra: "A Resistance may be over the range of the meter: it then is plus infinity and prints OL.",
		Units: []Unit{
			{Name: "Ω", Func: "Ohms", Words: "ohms", Scale: "1", Strict: []string{"ohm", "ohms"}, Lenient: []string{"Ohm", "Ohms", "OHM", "OHMS", "R"}},
			{Name: "kΩ", Func: "Kilohms", Words: "kilohms", Scale: "1000", Strict: []string{"kohm", "kohms"}, Lenient: []string{"k", "K", "KΩ", "Kohm", "Kohms", "kOhm", "kOhms", "KOhm", "KOhms", "KOHM", "KOHMS", "k ohm", "k ohms", "K ohm", "K ohms", "k Ω", "K Ω", "kilohm", "kilohms"}},
			{Name: "MΩ", Func: "Megohms", Words: "megohms", Scale: "1000000", Strict: []string{"Mohm", "Mohms", "megohm", "megohms"}, Lenient: []string{"M", "MOhm", "MOhms", "MOHM", "MOHMS", "M ohm", "M ohms", "M Ω", "Megohm", "Megohms", "meg"}},
			{Name: "mΩ", Func: "Milliohms", Words: "milliohms", Scale: "0.001", Strict: []string{"mohm", "mohms", "milliohm", "milliohms"}, Lenient: []string{"mOhm", "mOhms", "m ohm", "m ohms", "m Ω"}},
			{Name: "GΩ", Func: "Gigohms", Words: "gigohms", Scale: "1000000000", Strict: []string{"Gohm", "Gohms"}, Lenient: []string{"G", "GOhm", "GOhms", "gigohm", "gigohms"}},
		},
		Print: []Group{{"1000000000", []string{"GΩ"}}, {"1000000", []string{"MΩ"}}, {"1000", []string{"kΩ"}}, {"0.01", []string{"Ω"}}, {"0", []string{"mΩ"}}},
	},
	{
		Type: "Capacitance", Name: "capacitance", Field: "farads", Base: "farads", Symbol: "F",
		Is:   "an electrical capacitance, such as a condenser's",
		Zero: "no capacitance, as an open condenser reads, not an unknown one",
		Units: []Unit{
			{Name: "µF", Func: "Microfarads", Words: "microfarads", Scale: "0.000001", Strict: []string{"uF"}, Lenient: []string{"mfd", "mfd.", "MFD", "MFD.", "Mfd", "Mfd.", "µ", "u", "microfarad", "microfarads"}},
			{Name: "nF", Func: "Nanofarads", Words: "nanofarads", Scale: "0.000000001", Lenient: []string{"n", "nanofarad", "nanofarads"}},
			{Name: "pF", Func: "Picofarads", Words: "picofarads", Scale: "0.000000000001", Lenient: []string{"p", "mmfd", "MMFD", "mmf", "MMF", "µµF", "uuF", "picofarad", "picofarads"}},
			{Name: "F", Func: "Farads", Words: "farads", Scale: "1", Lenient: []string{"farad", "farads"}},
		},
		Print: []Group{{"1", []string{"F"}}, {"0.00000001", []string{"µF"}}, {"0.000000001", []string{"nF"}}, {"0", []string{"pF"}}},
	},
	{
		Type: "Inductance", Name: "inductance", Field: "henries", Base: "henries", Symbol: "H",
		Is:   "an electrical inductance, such as a coil's primary",
		Zero: "no inductance, not an unknown one",
		Units: []Unit{
			{Name: "mH", Func: "Millihenries", Words: "millihenries", Scale: "0.001"},
			{Name: "µH", Func: "Microhenries", Words: "microhenries", Scale: "0.000001", Strict: []string{"uH"}},
			{Name: "H", Func: "Henries", Words: "henries", Scale: "1", Lenient: []string{"henry", "henries", "henrys"}},
		},
		Print: []Group{{"1", []string{"H"}}, {"0.0001", []string{"mH"}}, {"0", []string{"µH"}}},
	},
	{
		Type: "Voltage", Name: "voltage", Field: "volts", Base: "volts", Symbol: "V",
		Is:   "an electrical potential difference",
		Zero: "no voltage, not an unknown one",
		Units: []Unit{
			{Name: "V", Func: "Volts", Words: "volts", Scale: "1", Lenient: []string{"volt", "volts", "Volt", "Volts"}},
			{Name: "kV", Func: "Kilovolts", Words: "kilovolts", Scale: "1000", Lenient: []string{"kilovolt", "kilovolts"}},
			{Name: "mV", Func: "Millivolts", Words: "millivolts", Scale: "0.001", Lenient: []string{"millivolt", "millivolts"}},
		},
		Print: []Group{{"1000", []string{"kV"}}, {"0.01", []string{"V"}}, {"0", []string{"mV"}}},
	},
	{
		Type: "Current", Name: "current", Field: "amperes", Base: "amperes", Symbol: "A",
		Is:   "an electrical current",
		Zero: "no current, not an unknown one",
		Units: []Unit{
			{Name: "A", Func: "Amperes", Words: "amperes", Scale: "1", Lenient: []string{"amp", "amps", "Amp", "Amps", "ampere", "amperes"}},
			{Name: "mA", Func: "Milliamperes", Words: "milliamperes", Scale: "0.001", Lenient: []string{"milliamp", "milliamps"}},
			{Name: "µA", Func: "Microamperes", Words: "microamperes", Scale: "0.000001", Strict: []string{"uA"}, Lenient: []string{"microamp", "microamps"}},
		},
		Print: []Group{{"0.1", []string{"A"}}, {"0.0001", []string{"mA"}}, {"0", []string{"µA"}}},
	},
	{
		Type: "Energy", Name: "energy", Field: "joules", Base: "joules", Symbol: "J",
		Is:   "an energy, such as one spark's",
		Zero: "no energy, not an unknown one",
		Units: []Unit{
			{Name: "mJ", Func: "Millijoules", Words: "millijoules", Scale: "0.001"},
			{Name: "J", Func: "Joules", Words: "joules", Scale: "1", Lenient: []string{"joule", "joules"}},
			{Name: "µJ", Func: "Microjoules", Words: "microjoules", Scale: "0.000001", Strict: []string{"uJ"}},
		},
		Print: []Group{{"1", []string{"J"}}, {"0.0001", []string{"mJ"}}, {"0", []string{"µJ"}}},
	},
	{
		Type: "Power", Name: "power", Field: "watts", Base: "watts", Symbol: "W",
		Is:    "a power, such as an engine's rating",
		Zero:  "no power, not an unknown one",
		Extra: "Horsepower (hp) is 550 foot pounds-force a second; metric horsepower (PS) is 75 kilogram-force metres a second.",
		Units: []Unit{
			{Name: "kW", Func: "Kilowatts", Words: "kilowatts", Scale: "1000", Report: 2, Twin: "hp", Lenient: []string{"kilowatt", "kilowatts"}},
			{Name: "hp", Func: "Horsepower", Words: "mechanical horsepower", Scale: "550*0.3048*" + pound, Report: 2, Twin: "kW", Fraction: LenientFraction, Strict: []string{"bhp"}, Lenient: []string{"HP", "h.p.", "H.P.", "BHP", "b.h.p.", "B.H.P.", "horsepower"}, Source: si},
			{Name: "PS", Func: "MetricHorsepower", Words: "metric horsepower", Scale: "75*9.80665", Report: 2, Twin: "kW", Lenient: []string{"metric hp", "hp (metric)"}, Source: si},
			{Name: "W", Func: "Watts", Words: "watts", Scale: "1", Lenient: []string{"watt", "watts"}},
		},
		Print: []Group{{"100", []string{"kW", "hp", "PS", "W"}}, {"0", []string{"W"}}},
	},
	{
		Type: "Pressure", Name: "pressure", Field: "pascals", Base: "pascals", Symbol: "Pa",
		Is:    "a pressure, such as a compression reading",
		Zero:  "no pressure, not an unknown one",
		Extra: "The type does not say whether the pressure is gauge or absolute: the quantity that holds it does.",
		Units: []Unit{
			{Name: "kPa", Func: "Kilopascals", Words: "kilopascals", Scale: "1000", Twin: "psi"},
			{Name: "psi", Func: "PoundsPerSquareInch", Words: "pounds-force per square inch", Scale: pound + "/0.0254/0.0254", Twin: "kPa", Strict: []string{"lbf/in²", "lbf/in2"}, Lenient: []string{"PSI", "p.s.i.", "lb/in²", "lb/in2", "lb/sq in", "lb/sq.in."}, Source: si},
			{Name: "bar", Func: "Bars", Words: "bars", Scale: "100000", Report: 2, Twin: "psi", Lenient: []string{"bars"}, Source: si},
			{Name: "kgf/cm²", Func: "KilogramsForcePerSquareCentimetre", Words: "kilograms-force per square centimetre", Scale: "98066.5", Report: 1, Twin: "psi", Strict: []string{"kgf/cm2"}, Lenient: []string{"kg/cm²", "kg/cm2"}, Source: si},
			{Name: "Pa", Func: "Pascals", Words: "pascals", Scale: "1", Twin: "psi"},
			{Name: "atm", Func: "Atmospheres", Words: "standard atmospheres", Scale: "101325", Report: 2, Twin: "kPa", Source: si},
			{Name: "mmHg", Func: "MillimetresOfMercury", Words: "conventional millimetres of mercury", Scale: "13.5951*9.80665", Twin: "kPa", Strict: []string{"mm Hg"}, Source: si},
			{Name: "inHg", Func: "InchesOfMercury", Words: "conventional inches of mercury", Scale: "25.4*13.5951*9.80665", Report: 1, Twin: "kPa", Strict: []string{"in Hg"}, Source: si},
			{Name: "Torr", Func: "Torrs", Words: "torrs", Scale: "101325/760", Twin: "kPa", Strict: []string{"torr"}, Source: si},
			{Name: "MPa", Func: "Megapascals", Words: "megapascals", Scale: "1000000", Report: 2, Twin: "psi"},
		},
		Print: []Group{{"10000", []string{"kPa", "psi", "bar", "kgf/cm²", "atm", "inHg"}}, {"1000", []string{"kPa", "psi", "inHg", "mmHg", "Pa"}}, {"0", []string{"Pa", "kPa"}}},
	},
	{
		Type: "Torque", Name: "torque", Field: "newtonMetres", Base: "newton metres", Symbol: "N·m",
		Is:    "a turning moment, such as a flywheel nut's",
		Zero:  "no torque, not an unknown one",
		Extra: "Pounds and kilograms are pounds-force and kilograms-force. Torque and Energy are different types, though a joule is a newton metre.",
		Units: []Unit{
			{Name: "N·m", Func: "NewtonMetres", Words: "newton metres", Scale: "1", Report: 1, Twin: "lb-ft", Strict: []string{"N m", "N.m", "Nm"}, Lenient: []string{"N-m", "newton metres", "newton meters"}},
			{Name: "lb-ft", Func: "PoundFeet", Words: "pound-force feet", Scale: "0.3048*" + pound, Report: 1, Twin: "N·m", Strict: []string{"lb ft", "lbf ft", "lbf-ft", "lbf·ft", "ft-lb", "ft-lbf", "ft lb", "ft lbf", "ft·lbf"}, Lenient: []string{"lb·ft", "ft·lb", "lb.ft", "ft.lb", "lb.-ft.", "ft.-lb.", "ft. lb.", "lb. ft.", "lbs-ft", "ft-lbs", "lbs ft", "ft lbs", "pound feet", "foot pounds", "foot-pounds"}, Source: si},
			{Name: "lb-in", Func: "PoundInches", Words: "pound-force inches", Scale: "0.0254*" + pound, Report: 0, Twin: "N·m", Strict: []string{"lb in", "lbf in", "lbf-in", "lbf·in", "in-lb", "in-lbf", "in lb", "in lbf", "in·lbf"}, Lenient: []string{"lb·in", "in·lb", "lb.in", "in.lb", "lb.-in.", "in.-lb.", "in. lb.", "lb. in.", "lbs-in", "in-lbs", "lbs in", "in lbs", "pound inches", "inch pounds", "inch-pounds"}, Source: si},
			{Name: "kgf·m", Func: "KilogramForceMetres", Words: "kilogram-force metres", Scale: "9.80665", Report: 2, Twin: "N·m", Strict: []string{"kgf m", "kgf.m", "kgf-m"}, Lenient: []string{"kg·m", "kg m", "kg-m", "kg.m", "kgm", "m-kg", "mkg", "mkp", "kpm", "kp·m"}, Source: si},
			{Name: "kgf·cm", Func: "KilogramForceCentimetres", Words: "kilogram-force centimetres", Scale: "0.0980665", Report: 0, Twin: "N·m", Strict: []string{"kgf cm", "kgf.cm", "kgf-cm"}, Lenient: []string{"kg·cm", "kg cm", "kg-cm", "kg.cm", "kgcm", "cm-kg", "cmkg"}, Source: si},
		},
		Print: []Group{{"0", []string{"N·m", "lb-ft", "lb-in", "kgf·m", "kgf·cm"}}},
	},
	{
		Type: "Force", Name: "force", Field: "newtons", Base: "newtons", Symbol: "N",
		Is:   "a force, such as the pull of a points spring",
		Zero: "no force, not an unknown one",
		Units: []Unit{
			{Name: "N", Func: "Newtons", Words: "newtons", Scale: "1", Report: 1, Twin: "ozf", Lenient: []string{"newton", "newtons"}},
			{Name: "lbf", Func: "PoundsForce", Words: "pounds-force", Scale: pound, Report: 2, Twin: "N", Fraction: LenientFraction, Lenient: []string{"lb", "lbs", "lb.", "pound", "pounds"}, Source: si},
			{Name: "ozf", Func: "OuncesForce", Words: "ounces-force", Scale: pound + "/16", Report: 1, Twin: "N", Fraction: LenientFraction, Lenient: []string{"oz", "oz.", "ounce", "ounces"}, Source: si},
			{Name: "gf", Func: "GramsForce", Words: "grams-force", Scale: "0.00980665", Twin: "N", Lenient: []string{"g", "gram", "grams"}, Source: si},
			{Name: "kgf", Func: "KilogramsForce", Words: "kilograms-force", Scale: "9.80665", Report: 2, Twin: "N", Lenient: []string{"kg", "kp"}, Source: si},
		},
		Print: []Group{{"0", []string{"N", "lbf", "ozf", "gf", "kgf"}}},
	},
	{
		Type: "Temperature", Name: "temperature", Field: "kelvins", Base: "kelvins", Symbol: "K", NoSum: true, Floor: true,
		Is:    "a point on the temperature scale, such as a coil's when it was read",
		Zero:  "absolute zero, which no coil has, so that IsZero can stand for a temperature that was not given",
		Extra: "A difference of two temperatures is a TemperatureDifference, a type of its own.",
		Units: []Unit{
			{Name: "°C", Func: "Celsius", Words: "degrees Celsius", Scale: "1", Before: "273.15", Twin: "°F", Strict: []string{"degC", "deg C"}, Lenient: []string{"C", "° C"}, Source: si},
			{Name: "°F", Func: "Fahrenheit", Words: "degrees Fahrenheit", Scale: "5/9", Before: "459.67", Twin: "°C", Strict: []string{"degF", "deg F"}, Lenient: []string{"F", "° F"}, Source: si},
			{Name: "K", Func: "Kelvins", Words: "kelvins", Scale: "1", Twin: "°C"},
		},
		Print: []Group{{"100", []string{"°C", "°F", "K"}}, {"0", []string{"K"}}},
	},
	{
		Type: "TemperatureDifference", Name: "temperature difference", Field: "kelvinDifference", Base: "kelvins", Symbol: "K",
		Is:    "a rise or fall of temperature, or the spread between two",
		Zero:  "no difference, not an unknown one",
		Extra: "It is written in K, or in °F diff where the page counts Fahrenheit degrees; a plain °C or °F is a temperature and is refused.",
		Units: []Unit{
			{Name: "K", Func: "KelvinDifference", Words: "kelvins (Celsius degrees)", Scale: "1", Strict: []string{"°C diff", "degC diff"}},
			{Name: "°F diff", Func: "FahrenheitDifference", Words: "Fahrenheit degrees", Scale: "5/9", Strict: []string{"degF diff"}, Source: si},
		},
		Print: []Group{{"0", []string{"K", "°F diff"}}},
	},
	{
		Type: "Speed", Name: "speed", Field: "revolutionsPerMinute", Base: "revolutions per minute", Symbol: "rpm",
		Is:    "a speed of rotation, such as a crankshaft's",
		Zero:  "standing still, not an unknown speed",
		Extra: "Speed and Frequency are different types: a shaft turns in rpm, a spark rate is in Hz.",
		Units: []Unit{
			{Name: "rpm", Func: "RPM", Words: "revolutions per minute", Scale: "1", Strict: []string{"r/min", "rev/min"}, Lenient: []string{"RPM", "r.p.m.", "r/m", "min-1"}},
			{Name: "rev/s", Func: "RevolutionsPerSecond", Words: "revolutions per second", Scale: "60", Strict: []string{"r/s"}, Lenient: []string{"rps"}},
		},
		Print: []Group{{"0", []string{"rpm"}}},
	},
	{
		Type: "Frequency", Name: "frequency", Field: "hertz", Base: "hertz", Symbol: "Hz",
		Is:   "a number of events a second, such as sparks or the swings of a ringing coil",
		Zero: "no events at all, not an unknown frequency",
		Units: []Unit{
			{Name: "Hz", Func: "Hertz", Words: "hertz", Scale: "1", Lenient: []string{"c/s", "cps"}},
			{Name: "kHz", Func: "Kilohertz", Words: "kilohertz", Scale: "1000"},
			{Name: "MHz", Func: "Megahertz", Words: "megahertz", Scale: "1000000"},
		},
		Print: []Group{{"1000000", []string{"MHz"}}, {"1000", []string{"kHz"}}, {"0", []string{"Hz"}}},
	},
	{
		Type: "Time", Name: "time", Field: "seconds", Base: "seconds", Symbol: "s",
		Is:   "a length of time, such as a spark's burning time or a service interval",
		Zero: "no time at all, not an unknown one",
		Units: []Unit{
			{Name: "s", Func: "Seconds", Words: "seconds", Scale: "1", Lenient: []string{"sec", "second", "seconds"}},
			{Name: "ms", Func: "Milliseconds", Words: "milliseconds", Scale: "0.001"},
			{Name: "µs", Func: "Microseconds", Words: "microseconds", Scale: "0.000001", Strict: []string{"us"}},
			{Name: "ns", Func: "Nanoseconds", Words: "nanoseconds", Scale: "0.000000001"},
			{Name: "min", Func: "Minutes", Words: "minutes", Scale: "60", Lenient: []string{"minute", "minutes"}},
			{Name: "h", Func: "Hours", Words: "hours", Scale: "3600", Lenient: []string{"hr", "hrs", "hour", "hours"}},
		},
		Print: []Group{{"3600", []string{"h", "min", "s"}}, {"60", []string{"s", "min"}}, {"1", []string{"s"}}, {"0.001", []string{"ms"}}, {"0.000001", []string{"µs"}}, {"0", []string{"ns"}}},
	},
	{
		Type: "Volume", Name: "volume", Field: "cubicMetres", Base: "cubic metres", Symbol: "m³",
		Is:   "a volume, such as an engine's displacement",
		Zero: "no volume, not an unknown one",
		Units: []Unit{
			{Name: "cm³", Func: "CubicCentimetres", Words: "cubic centimetres", Scale: "0.000001", Twin: "in³", Strict: []string{"cm3", "cc"}, Lenient: []string{"CC", "c.c.", "ml", "mL"}},
			{Name: "in³", Func: "CubicInches", Words: "cubic inches", Scale: "0.0254*0.0254*0.0254", Report: 2, Twin: "cm³", Strict: []string{"in3", "cu in"}, Lenient: []string{"cu. in.", "cu.in.", "cu.in", "cu in.", "CI", "cid"}, Source: si},
			{Name: "L", Func: "Litres", Words: "litres", Scale: "0.001", Report: 2, Twin: "in³", Lenient: []string{"l", "litre", "litres", "liter", "liters"}},
			{Name: "m³", Func: "CubicMetres", Words: "cubic metres", Scale: "1", Strict: []string{"m3"}},
		},
		Print: []Group{{"1", []string{"m³"}}, {"0.01", []string{"L", "in³", "cm³"}}, {"0", []string{"cm³", "in³"}}},
	},
	{
		Type: "CrankAngle", Name: "crank angle", Field: "crankDegrees", Base: "degrees of crankshaft rotation, before top dead centre positive", Symbol: "°",
		Is:    "an angle of the crankshaft: a place before (BTDC) or after (ATDC) top dead centre, or a span",
		Zero:  "top dead centre, or no span, not an unknown angle",
		Extra: "Before top dead centre is positive, after is negative. A bare ° reads as a span and is told apart by Written.Unit; String always names the sense.",
		Units: []Unit{
			{Name: "° BTDC", Func: "BTDC", Words: "crank degrees before top dead centre", Scale: "1", Tight: true, Strict: []string{"deg BTDC"}, Lenient: []string{"°BTDC", "degBTDC", "deg. BTDC", "degrees BTDC", "BTDC", "° BTC", "°BTC", "deg BTC", "deg. BTC", "degrees BTC", "BTC"}},
			{Name: "° ATDC", Func: "ATDC", Words: "crank degrees after top dead centre", Scale: "-1", Tight: true, Strict: []string{"deg ATDC"}, Lenient: []string{"°ATDC", "degATDC", "deg. ATDC", "degrees ATDC", "ATDC", "° ATC", "°ATC", "deg ATC", "deg. ATC", "degrees ATC", "ATC"}},
			{Name: "° crank", Func: "CrankDegrees", Words: "crank degrees, as a span", Scale: "1", Tight: true, Strict: []string{"deg crank"}, Lenient: []string{"°crank", "degrees crank", "crank degrees"}},
			{Name: "°", Words: "degrees, as a span", Scale: "1", Tight: true, Strict: []string{"deg"}, Lenient: []string{"degree", "degrees"}},
		},
		Print: []Group{{"0", []string{"° BTDC"}}},
	},
	{
		Type: "CamAngle", Name: "cam angle", Field: "camDegrees", Base: "degrees of camshaft rotation", Symbol: "°",
		Is:    "an angle of the camshaft or distributor shaft, such as dwell; two crank degrees to one in a four-stroke engine",
		Zero:  "no angle, not an unknown one",
		Extra: "A bare ° is refused: a reader cannot tell which shaft it counts.",
		Units: []Unit{
			{Name: "° cam", Func: "CamDegrees", Words: "cam degrees", Scale: "1", Tight: true, Strict: []string{"deg cam"}, Lenient: []string{"°cam", "degrees cam", "cam degrees", "° dwell", "deg dwell"}},
		},
		Print: []Group{{"0", []string{"° cam"}}},
	},
	{
		Type: "MagnetAngle", Name: "magnet angle", Field: "magnetDegrees", Base: "degrees of magnet rotation", Symbol: "°",
		Is:    "an angle of a magneto's magnet rotor, such as its edge gap",
		Zero:  "no angle, not an unknown one",
		Extra: "A bare ° is refused: a reader cannot tell which shaft it counts.",
		Units: []Unit{
			{Name: "° magnet", Func: "MagnetDegrees", Words: "magnet degrees", Scale: "1", Tight: true, Strict: []string{"deg magnet"}, Lenient: []string{"°magnet", "degrees magnet", "magnet degrees", "° rotor", "deg rotor"}},
		},
		Print: []Group{{"0", []string{"° magnet"}}},
	},
	{
		Type: "PlaneAngle", Name: "angle", Field: "planeDegrees", Base: "degrees", Symbol: "°",
		Is:   "an angle that no shaft turns through, such as the slant of a plug hole",
		Zero: "no angle, not an unknown one",
		Units: []Unit{
			{Name: "°", Func: "Degrees", Words: "degrees", Scale: "1", Tight: true, Strict: []string{"deg"}, Lenient: []string{"degree", "degrees"}},
		},
		Print: []Group{{"0", []string{"°"}}},
	},
	{
		Type: "WireSize", Name: "wire size", Field: "squareMillimetres", Base: "square millimetres", Symbol: "mm²", NoSum: true, Floor: true,
		Is:    "the conductor area of a wire, from a gauge number (AWG) or in mm²",
		Zero:  "no wire at all, not an unknown size",
		Extra: "An AWG number stands for the area of a solid wire of that number's diameter (ASTM B258 rule: 0.005 in × 92^((36-n)/39)), so gauge and metric sizes compare.",
		Units: []Unit{
			{Name: "mm²", Func: "SquareMillimetres", Words: "square millimetres", Scale: "1", Strict: []string{"mm2"}, Lenient: []string{"sq mm", "sq. mm", "qmm"}},
		},
		Print: []Group{{"0", []string{"mm²"}}},
	},
	{
		Type: "FluxLinkage", Name: "flux linkage", Field: "webers", Base: "webers", Symbol: "Wb",
		Is:   "a magnetic flux times the turns it passes through, as a magneto's magnet puts through its coil",
		Zero: "no flux linkage, not an unknown one",
		Units: []Unit{
			{Name: "mWb", Func: "Milliwebers", Words: "milliwebers", Scale: "0.001"},
			{Name: "Wb", Func: "Webers", Words: "webers", Scale: "1", Strict: []string{"V·s", "V s"}},
			{Name: "µWb", Func: "Microwebers", Words: "microwebers", Scale: "0.000001", Strict: []string{"uWb"}},
		},
		Print: []Group{{"1", []string{"Wb"}}, {"0.0001", []string{"mWb"}}, {"0", []string{"µWb"}}},
	},
	{
		Type: "VoltageRate", Name: "voltage rate", Field: "voltsPerSecond", Base: "volts per second", Symbol: "V/s",
		Is:   "how fast a voltage changes, such as the recovery of an opening points gap",
		Zero: "a steady voltage, not an unknown rate",
		Units: []Unit{
			{Name: "V/µs", Func: "VoltsPerMicrosecond", Words: "volts per microsecond", Scale: "1000000", Strict: []string{"V/us"}},
			{Name: "V/ms", Func: "VoltsPerMillisecond", Words: "volts per millisecond", Scale: "1000"},
			{Name: "V/s", Func: "VoltsPerSecond", Words: "volts per second", Scale: "1"},
			{Name: "kV/s", Func: "KilovoltsPerSecond", Words: "kilovolts per second", Scale: "1000"},
		},
		Print: []Group{{"10000", []string{"V/µs"}}, {"0", []string{"V/s"}}},
	},
	{
		Type: "ResistancePerLength", Name: "resistance per length", Field: "ohmsPerMetre", Base: "ohms per metre", Symbol: "Ω/m",
		Is:   "the resistance of a wire or a suppression lead for each length of it",
		Zero: "a perfect conductor, not an unknown one",
		Units: []Unit{
			{Name: "Ω/m", Func: "OhmsPerMetre", Words: "ohms per metre", Scale: "1", Twin: "Ω/ft", Report: 3, Strict: []string{"ohm/m", "ohms/m"}, Lenient: []string{"Ω per m", "ohm per m", "ohms per metre", "ohms per meter"}},
			{Name: "kΩ/m", Func: "KilohmsPerMetre", Words: "kilohms per metre", Scale: "1000", Twin: "kΩ/ft", Report: 2, Strict: []string{"kohm/m", "kohms/m"}, Lenient: []string{"k/m", "kΩ per m", "kohm per m", "kilohms per metre", "kilohms per meter"}},
			{Name: "Ω/ft", Func: "OhmsPerFoot", Words: "ohms per foot", Scale: "1/0.3048", Twin: "Ω/m", Report: 3, Strict: []string{"ohm/ft", "ohms/ft"}, Lenient: []string{"Ω per ft", "Ω per foot", "ohm per ft", "ohm per foot", "ohms per foot"}, Source: si},
			{Name: "kΩ/ft", Func: "KilohmsPerFoot", Words: "kilohms per foot", Scale: "1000/0.3048", Twin: "kΩ/m", Report: 2, Strict: []string{"kohm/ft", "kohms/ft"}, Lenient: []string{"k/ft", "kΩ per ft", "kΩ per foot", "kohm per ft", "kohm per foot", "kilohms per foot"}, Source: si},
			{Name: "Ω/in", Func: "OhmsPerInch", Words: "ohms per inch", Scale: "1/0.0254", Twin: "Ω/m", Report: 1, Strict: []string{"ohm/in", "ohms/in"}, Lenient: []string{"Ω per in", "Ω per inch", "ohm per in", "ohm per inch", "ohms per inch"}, Source: si},
			{Name: "Ω/km", Func: "OhmsPerKilometre", Words: "ohms per kilometre", Scale: "0.001", Twin: "Ω/kft", Report: 2, Strict: []string{"ohm/km"}},
			{Name: "Ω/kft", Func: "OhmsPerThousandFeet", Words: "ohms per thousand feet", Scale: "1/304.8", Twin: "Ω/km", Report: 2, Strict: []string{"ohm/kft"}, Source: si},
		},
		Print: []Group{{"1000", []string{"kΩ/m", "kΩ/ft", "Ω/in"}}, {"0.1", []string{"Ω/m", "Ω/ft", "Ω/in"}}, {"0", []string{"Ω/km", "Ω/kft"}}},
	},
	{
		Type: "LengthPerCrankAngle", Name: "length per crank angle", Field: "metresPerCrankDegree", Base: "metres per crank degree", Symbol: "m/°",
		Is:   "a distance for each crank degree, such as the points gap that moves the timing by one degree",
		Zero: "no distance for a degree, not an unknown one",
		Units: []Unit{
			{Name: "mm/°", Func: "MillimetresPerDegree", Words: "millimetres per crank degree", Scale: "0.001", Twin: "in/°", Report: 3, Strict: []string{"mm/deg"}, Lenient: []string{"mm per deg", "mm per degree"}},
			{Name: "in/°", Func: "InchesPerDegree", Words: "inches per crank degree", Scale: "0.0254", Decimals: 3, Twin: "mm/°", Report: 4, Strict: []string{"in/deg"}, Lenient: []string{"in per deg", "in per degree"}, Source: si},
			{Name: "thou/°", Func: "ThouPerDegree", Words: "thousandths of an inch per crank degree", Scale: "0.0000254", Twin: "mm/°", Report: 1, Strict: []string{"thou/deg"}, Lenient: []string{"thou per deg", "thou per degree"}, Source: si},
		},
		Print: []Group{{"0", []string{"mm/°", "in/°", "thou/°"}}},
	},
	{
		Type: "Turn", Name: "turn", Field: "turns", Base: "turns", Symbol: "turn",
		Is:   "a part of a turn of a nut or a plug",
		Zero: "no turn, not an unknown one",
		Units: []Unit{
			{Name: "turn", Func: "Turns", Words: "turns", Scale: "1", Fraction: StrictFraction, Strict: []string{"turns"}},
		},
		Print: []Group{{"0", []string{"turn"}}},
	},
	{
		Type: "Ratio", Name: "ratio", Field: "number", Base: "a bare number", Symbol: "",
		Is:   "a number without a unit: a ratio, a count or a share",
		Zero: "nought, not an unknown number",
		Units: []Unit{
			{Name: "", Func: "Number", Words: "a bare number", Scale: "1", Lenient: []string{":1", "to 1", ": 1"}},
			{Name: "%", Func: "Percent", Words: "per cent", Scale: "0.01", Lenient: []string{"per cent", "percent"}},
		},
		Print: []Group{{"0", []string{""}}},
	},
}
