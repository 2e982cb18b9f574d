package units_test

import (
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"gapbook.example/units"
)

// scales is a second statement of every unit, made from the definitions and
// not from the package's table: the international inch, pound and standard
// gravity (NIST SP 811 app. B.8), and the SI prefixes. The value is
// (x + offset) × product of the factors.
var scales = map[units.Kind]map[string]string{
	units.KindLength:                {"mm": "1/1000", "in": "254/10000", "thou": "254/10000000", "µm": "1/1000000", "m": "1", "cm": "1/100", "ft": "12 254/10000", "km": "1000", "mi": "5280 12 254/10000"},
	units.KindResistance:            {"Ω": "1", "kΩ": "1000", "MΩ": "1000000", "mΩ": "1/1000", "GΩ": "1000000000"},
	units.KindCapacitance:           {"µF": "1/1000000", "nF": "1/1000000000", "pF": "1/1000000000000", "F": "1"},
	units.KindInductance:            {"mH": "1/1000", "µH": "1/1000000", "H": "1"},
	units.KindVoltage:               {"V": "1", "kV": "1000", "mV": "1/1000"},
	units.KindCurrent:               {"A": "1", "mA": "1/1000", "µA": "1/1000000"},
	units.KindEnergy:                {"mJ": "1/1000", "J": "1", "µJ": "1/1000000"},
	units.KindPower:                 {"kW": "1000", "hp": "33000 12 254/10000 45359237/100000000 980665/100000 1/60", "PS": "75 980665/100000", "W": "1"},
	units.KindPressure:              {"kPa": "1000", "psi": "45359237/100000000 980665/100000 10000/254 10000/254", "bar": "100000", "kgf/cm²": "980665/100000 10000", "Pa": "1", "atm": "101325", "mmHg": "135951/10000 980665/100000", "inHg": "135951/10000 980665/100000 254/10", "Torr": "101325/760", "MPa": "1000000"},
	units.KindTorque:                {"N·m": "1", "lb-ft": "12 254/10000 45359237/100000000 980665/100000", "lb-in": "254/10000 45359237/100000000 980665/100000", "kgf·m": "980665/100000", "kgf·cm": "980665/10000000"},
	units.KindForce:                 {"N": "1", "lbf": "45359237/100000000 980665/100000", "ozf": "1/16 45359237/100000000 980665/100000", "gf": "980665/100000000", "kgf": "980665/100000"},
	units.KindTemperature:           {"°C": "+27315/100 1", "°F": "+45967/100 5/9", "K": "1"},
	units.KindTemperatureDifference: {"K": "1", "°F diff": "5/9"},
	units.KindSpeed:                 {"rpm": "1", "rev/s": "60"},
	units.KindFrequency:             {"Hz": "1", "kHz": "1000", "MHz": "1000000"},
	units.KindTime:                  {"s": "1", "ms": "1/1000", "µs": "1/1000000", "ns": "1/1000000000", "min": "60", "h": "3600"},
	units.KindVolume:                {"cm³": "1/1000000", "in³": "254/10000 254/10000 254/10000", "L": "1/1000", "m³": "1"},
	units.KindCrankAngle:            {"° BTDC": "1", "° ATDC": "-1", "° crank": "1", "°": "1"},
	units.KindCamAngle:              {"° cam": "1"},
	units.KindMagnetAngle:           {"° magnet": "1"},
	units.KindPlaneAngle:            {"°": "1"},
	units.KindWireSize:              {"mm²": "1"},
	units.KindFluxLinkage:           {"mWb": "1/1000", "Wb": "1", "µWb": "1/1000000"},
	units.KindVoltageRate:           {"V/µs": "1000000", "V/ms": "1000", "V/s": "1", "kV/s": "1000"},
	units.KindResistancePerLength:   {"Ω/m": "1", "kΩ/m": "1000", "Ω/ft": "1/12 10000/254", "kΩ/ft": "1000 1/12 10000/254", "Ω/in": "10000/254", "Ω/km": "1/1000", "Ω/kft": "1/12000 10000/254"},
	units.KindLengthPerCrankAngle:   {"mm/°": "1/1000", "in/°": "254/10000", "thou/°": "254/10000000"},
	units.KindTurn:                  {"turn": "1"},
	units.KindRatio:                 {"": "1", "%": "1/100"},
}

// derive works text out in one big fraction and rounds it at the end.
func derive(t testing.TB, number, scale string) float64 {
	t.Helper()
	x, ok := new(big.Rat).SetString(number)
	if !ok {
		t.Fatalf("not a number: %q", number)
	}
	for _, f := range strings.Fields(scale) {
		r, ok := new(big.Rat).SetString(strings.TrimPrefix(f, "+"))
		if !ok {
			t.Fatalf("not a factor: %q", f)
		}
		if f[0] == '+' {
			x.Add(x, r)
		} else {
			x.Mul(x, r)
		}
	}
	v, _ := x.Float64()
	return v
}

// join puts number and unit together as they print.
func join(number, unit string) string {
	if unit == "" || strings.HasPrefix(unit, "°") && unit != "°C" && unit != "°F" && unit != "°F diff" {
		return number + unit
	}
	return number + " " + unit
}

// numbers yields what people and programs write: few digits, many digits,
// exponents, beyond 64 bits.
func numbers(r *rand.Rand, n int) []string {
	out := []string{"0", "1", "10", "0.001", "100000000000", "9007199254740993", "18446744073709551615", "18446744073709551616", "0.1", "0.30000000000000004"}
	for len(out) < n {
		digits := strconv.FormatUint(r.Uint64N(uint64(math.Pow(10, float64(1+r.IntN(6))))), 10)
		switch r.IntN(6) {
		case 0:
			digits = strconv.FormatUint(r.Uint64(), 10)
		case 1:
			digits = strconv.FormatUint(1+r.Uint64N(9), 10) + strconv.FormatUint(r.Uint64(), 10) + strconv.FormatUint(r.Uint64(), 10)
		}
		if point := r.IntN(len(digits) + 1); point > 0 && point < len(digits) {
			digits = digits[:point] + "." + digits[point:]
		}
		for len(digits) > 1 && digits[0] == '0' && digits[1] != '.' {
			digits = digits[1:]
		}
		if r.IntN(5) == 0 {
			digits += fmt.Sprintf("e%d", r.IntN(61)-30)
		}
		out = append(out, digits)
	}
	return out
}

// Every unit of every kind, against the second derivation, bit for bit.
func TestSecondDerivation(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, k := range units.Kinds() {
		table := scales[k]
		for _, unit := range k.Units() {
			if unit == "AWG" {
				continue
			}
			scale, ok := table[unit]
			if !ok {
				t.Errorf("%s: unit %q has no second derivation", k, unit)
				continue
			}
			for _, number := range numbers(r, 400) {
				want := derive(t, number, scale)
				text := join(number, unit)
				q, err := units.ParseStrict(k, text)
				if err != nil {
					t.Errorf("%v", err)
					continue
				}
				if math.Float64bits(q.SI()) != math.Float64bits(want) && want != 0 {
					t.Errorf("%s %q: %v, want %v", k, text, q.SI(), want)
				}
			}
		}
		if n := len(k.Units()); len(table) != n && k != units.KindWireSize {
			t.Errorf("%s: %d units derived, %d known", k, len(table), n)
		}
	}
}

// The same value in every unit that a bench uses is one value under ==.
// The grid runs over 1,000 values of each; the obvious multiplication gets
// hundreds of them wrong, as the count at the end shows.
func TestCrossUnitGrid(t *testing.T) {
	exact := func(num, den int64) string { // num/den as a finite decimal
		return strings.TrimRight(strings.TrimRight(new(big.Rat).SetFrac64(num, den).FloatString(20), "0"), ".")
	}
	naive, n := 0, 0
	same := func(k units.Kind, texts ...string) {
		t.Helper()
		first, err := units.Parse(k, texts[0])
		if err != nil {
			t.Fatal(err)
		}
		for _, text := range texts[1:] {
			q, err := units.Parse(k, text)
			n++
			if err != nil || q != first {
				t.Errorf("%s is not %s: %v, %v, %v", text, texts[0], q.SI(), first.SI(), err)
			}
		}
	}
	for i := int64(1); i <= 1000; i++ {
		tenths := i // of a thou
		same(units.KindLength, exact(tenths, 10)+" thou", exact(tenths, 10000)+" in", exact(tenths*254, 100000)+" mm", exact(tenths*254, 100)+" µm", exact(tenths*254, 1000000)+" cm", exact(tenths*254, 100000000)+" m", exact(tenths, 10000)+`"`)
		same(units.KindCapacitance, exact(i, 1000)+" µF", exact(i, 1)+" nF", exact(i*1000, 1)+" pF", exact(i, 1000)+" mfd", exact(i, 1000000000)+" F")
		same(units.KindResistance, exact(i, 10)+" kΩ", exact(i*100, 1)+" Ω", exact(i, 10000)+" MΩ", exact(i*100000, 1)+" mΩ", exact(i, 10)+"k")
		// 1 lb-in is 0.1129848290276167 N·m with more digits than print: the
		// full decimal is exact.
		newton := new(big.Rat).Mul(big.NewRat(45359237, 100000000), big.NewRat(980665, 100000))
		newton.Mul(newton, big.NewRat(254, 10000)).Mul(newton, big.NewRat(i*12, 10))
		same(units.KindTorque, exact(i*12, 10)+" lb-in", exact(i, 10)+" lb-ft", exact(i*12, 10)+" in-lb", strings.TrimRight(newton.FloatString(30), "0")+" N·m")
		same(units.KindTemperature, exact(i, 10)+" °C", exact(i*18+3200, 100)+" °F", exact(i*10+27315, 100)+" K")
		if in := float64(i) / 10000; in*0.0254 != (float64(i)*0.00254)/1000 {
			naive++
		}
	}
	for den := int64(1); den <= 128; den *= 2 {
		for num := int64(1); num < 3*den; num++ {
			frac := fmt.Sprintf("%d/%d in", num, den)
			if num > den && num%den != 0 {
				frac = fmt.Sprintf("%d-%d/%d in", num/den, num%den, den)
			} else if num >= den {
				continue
			}
			same(units.KindLength, frac, exact(num, den)+" in", exact(num*254, den*10)+" mm", exact(num*1000, den)+" thou")
		}
	}
	if n < 15000 || naive < 100 {
		t.Errorf("only %d comparisons, %d traps", n, naive)
	}
}

// pair is one constructor with its accessor and unit.
type pair struct {
	unit string
	make func(float64) units.Quantity
	get  func(units.Quantity) float64
}

func of[T interface{ Quantity() units.Quantity }](unit string, make func(float64) T, get func(T) float64, back func(units.Quantity) (T, bool)) pair {
	return pair{unit,
		func(x float64) units.Quantity { return make(x).Quantity() },
		func(q units.Quantity) float64 { v, _ := back(q); return get(v) },
	}
}

var pairs = []pair{
	of("mm", units.Millimetres, units.Length.Millimetres, units.Quantity.Length),
	of("in", units.Inches, units.Length.Inches, units.Quantity.Length),
	of("thou", units.Thou, units.Length.Thou, units.Quantity.Length),
	of("µm", units.Micrometres, units.Length.Micrometres, units.Quantity.Length),
	of("m", units.Metres, units.Length.Metres, units.Quantity.Length),
	of("cm", units.Centimetres, units.Length.Centimetres, units.Quantity.Length),
	of("ft", units.Feet, units.Length.Feet, units.Quantity.Length),
	of("km", units.Kilometres, units.Length.Kilometres, units.Quantity.Length),
	of("mi", units.Miles, units.Length.Miles, units.Quantity.Length),
	of("Ω", units.Ohms, units.Resistance.Ohms, units.Quantity.Resistance),
	of("kΩ", units.Kilohms, units.Resistance.Kilohms, units.Quantity.Resistance),
	of("MΩ", units.Megohms, units.Resistance.Megohms, units.Quantity.Resistance),
	of("mΩ", units.Milliohms, units.Resistance.Milliohms, units.Quantity.Resistance),
	of("GΩ", units.Gigohms, units.Resistance.Gigohms, units.Quantity.Resistance),
	of("µF", units.Microfarads, units.Capacitance.Microfarads, units.Quantity.Capacitance),
	of("nF", units.Nanofarads, units.Capacitance.Nanofarads, units.Quantity.Capacitance),
	of("pF", units.Picofarads, units.Capacitance.Picofarads, units.Quantity.Capacitance),
	of("F", units.Farads, units.Capacitance.Farads, units.Quantity.Capacitance),
	of("mH", units.Millihenries, units.Inductance.Millihenries, units.Quantity.Inductance),
	of("µH", units.Microhenries, units.Inductance.Microhenries, units.Quantity.Inductance),
	of("H", units.Henries, units.Inductance.Henries, units.Quantity.Inductance),
	of("V", units.Volts, units.Voltage.Volts, units.Quantity.Voltage),
	of("kV", units.Kilovolts, units.Voltage.Kilovolts, units.Quantity.Voltage),
	of("mV", units.Millivolts, units.Voltage.Millivolts, units.Quantity.Voltage),
	of("A", units.Amperes, units.Current.Amperes, units.Quantity.Current),
	of("mA", units.Milliamperes, units.Current.Milliamperes, units.Quantity.Current),
	of("µA", units.Microamperes, units.Current.Microamperes, units.Quantity.Current),
	of("mJ", units.Millijoules, units.Energy.Millijoules, units.Quantity.Energy),
	of("J", units.Joules, units.Energy.Joules, units.Quantity.Energy),
	of("µJ", units.Microjoules, units.Energy.Microjoules, units.Quantity.Energy),
	of("kW", units.Kilowatts, units.Power.Kilowatts, units.Quantity.Power),
	of("hp", units.Horsepower, units.Power.Horsepower, units.Quantity.Power),
	of("PS", units.MetricHorsepower, units.Power.MetricHorsepower, units.Quantity.Power),
	of("W", units.Watts, units.Power.Watts, units.Quantity.Power),
	of("kPa", units.Kilopascals, units.Pressure.Kilopascals, units.Quantity.Pressure),
	of("psi", units.PoundsPerSquareInch, units.Pressure.PoundsPerSquareInch, units.Quantity.Pressure),
	of("bar", units.Bars, units.Pressure.Bars, units.Quantity.Pressure),
	of("kgf/cm²", units.KilogramsForcePerSquareCentimetre, units.Pressure.KilogramsForcePerSquareCentimetre, units.Quantity.Pressure),
	of("Pa", units.Pascals, units.Pressure.Pascals, units.Quantity.Pressure),
	of("atm", units.Atmospheres, units.Pressure.Atmospheres, units.Quantity.Pressure),
	of("mmHg", units.MillimetresOfMercury, units.Pressure.MillimetresOfMercury, units.Quantity.Pressure),
	of("inHg", units.InchesOfMercury, units.Pressure.InchesOfMercury, units.Quantity.Pressure),
	of("Torr", units.Torrs, units.Pressure.Torrs, units.Quantity.Pressure),
	of("MPa", units.Megapascals, units.Pressure.Megapascals, units.Quantity.Pressure),
	of("N·m", units.NewtonMetres, units.Torque.NewtonMetres, units.Quantity.Torque),
	of("lb-ft", units.PoundFeet, units.Torque.PoundFeet, units.Quantity.Torque),
	of("lb-in", units.PoundInches, units.Torque.PoundInches, units.Quantity.Torque),
	of("kgf·m", units.KilogramForceMetres, units.Torque.KilogramForceMetres, units.Quantity.Torque),
	of("kgf·cm", units.KilogramForceCentimetres, units.Torque.KilogramForceCentimetres, units.Quantity.Torque),
	of("N", units.Newtons, units.Force.Newtons, units.Quantity.Force),
	of("lbf", units.PoundsForce, units.Force.PoundsForce, units.Quantity.Force),
	of("ozf", units.OuncesForce, units.Force.OuncesForce, units.Quantity.Force),
	of("gf", units.GramsForce, units.Force.GramsForce, units.Quantity.Force),
	of("kgf", units.KilogramsForce, units.Force.KilogramsForce, units.Quantity.Force),
	of("°C", units.Celsius, units.Temperature.Celsius, units.Quantity.Temperature),
	of("°F", units.Fahrenheit, units.Temperature.Fahrenheit, units.Quantity.Temperature),
	of("K", units.Kelvins, units.Temperature.Kelvins, units.Quantity.Temperature),
	of("K", units.KelvinDifference, units.TemperatureDifference.KelvinDifference, units.Quantity.TemperatureDifference),
	of("°F diff", units.FahrenheitDifference, units.TemperatureDifference.FahrenheitDifference, units.Quantity.TemperatureDifference),
	of("rpm", units.RPM, units.Speed.RPM, units.Quantity.Speed),
	of("rev/s", units.RevolutionsPerSecond, units.Speed.RevolutionsPerSecond, units.Quantity.Speed),
	of("Hz", units.Hertz, units.Frequency.Hertz, units.Quantity.Frequency),
	of("kHz", units.Kilohertz, units.Frequency.Kilohertz, units.Quantity.Frequency),
	of("MHz", units.Megahertz, units.Frequency.Megahertz, units.Quantity.Frequency),
	of("s", units.Seconds, units.Time.Seconds, units.Quantity.Time),
	of("ms", units.Milliseconds, units.Time.Milliseconds, units.Quantity.Time),
	of("µs", units.Microseconds, units.Time.Microseconds, units.Quantity.Time),
	of("ns", units.Nanoseconds, units.Time.Nanoseconds, units.Quantity.Time),
	of("min", units.Minutes, units.Time.Minutes, units.Quantity.Time),
	of("h", units.Hours, units.Time.Hours, units.Quantity.Time),
	of("cm³", units.CubicCentimetres, units.Volume.CubicCentimetres, units.Quantity.Volume),
	of("in³", units.CubicInches, units.Volume.CubicInches, units.Quantity.Volume),
	of("L", units.Litres, units.Volume.Litres, units.Quantity.Volume),
	of("m³", units.CubicMetres, units.Volume.CubicMetres, units.Quantity.Volume),
	of("° BTDC", units.BTDC, units.CrankAngle.BTDC, units.Quantity.CrankAngle),
	of("° ATDC", units.ATDC, units.CrankAngle.ATDC, units.Quantity.CrankAngle),
	of("° crank", units.CrankDegrees, units.CrankAngle.CrankDegrees, units.Quantity.CrankAngle),
	of("° cam", units.CamDegrees, units.CamAngle.CamDegrees, units.Quantity.CamAngle),
	of("° magnet", units.MagnetDegrees, units.MagnetAngle.MagnetDegrees, units.Quantity.MagnetAngle),
	of("°", units.Degrees, units.PlaneAngle.Degrees, units.Quantity.PlaneAngle),
	of("mm²", units.SquareMillimetres, units.WireSize.SquareMillimetres, units.Quantity.WireSize),
	of("mWb", units.Milliwebers, units.FluxLinkage.Milliwebers, units.Quantity.FluxLinkage),
	of("Wb", units.Webers, units.FluxLinkage.Webers, units.Quantity.FluxLinkage),
	of("µWb", units.Microwebers, units.FluxLinkage.Microwebers, units.Quantity.FluxLinkage),
	of("V/µs", units.VoltsPerMicrosecond, units.VoltageRate.VoltsPerMicrosecond, units.Quantity.VoltageRate),
	of("V/ms", units.VoltsPerMillisecond, units.VoltageRate.VoltsPerMillisecond, units.Quantity.VoltageRate),
	of("V/s", units.VoltsPerSecond, units.VoltageRate.VoltsPerSecond, units.Quantity.VoltageRate),
	of("kV/s", units.KilovoltsPerSecond, units.VoltageRate.KilovoltsPerSecond, units.Quantity.VoltageRate),
	of("Ω/m", units.OhmsPerMetre, units.ResistancePerLength.OhmsPerMetre, units.Quantity.ResistancePerLength),
	of("kΩ/m", units.KilohmsPerMetre, units.ResistancePerLength.KilohmsPerMetre, units.Quantity.ResistancePerLength),
	of("Ω/ft", units.OhmsPerFoot, units.ResistancePerLength.OhmsPerFoot, units.Quantity.ResistancePerLength),
	of("kΩ/ft", units.KilohmsPerFoot, units.ResistancePerLength.KilohmsPerFoot, units.Quantity.ResistancePerLength),
	of("Ω/in", units.OhmsPerInch, units.ResistancePerLength.OhmsPerInch, units.Quantity.ResistancePerLength),
	of("Ω/km", units.OhmsPerKilometre, units.ResistancePerLength.OhmsPerKilometre, units.Quantity.ResistancePerLength),
	of("Ω/kft", units.OhmsPerThousandFeet, units.ResistancePerLength.OhmsPerThousandFeet, units.Quantity.ResistancePerLength),
	of("mm/°", units.MillimetresPerDegree, units.LengthPerCrankAngle.MillimetresPerDegree, units.Quantity.LengthPerCrankAngle),
	of("in/°", units.InchesPerDegree, units.LengthPerCrankAngle.InchesPerDegree, units.Quantity.LengthPerCrankAngle),
	of("thou/°", units.ThouPerDegree, units.LengthPerCrankAngle.ThouPerDegree, units.Quantity.LengthPerCrankAngle),
	of("turn", units.Turns, units.Turn.Turns, units.Quantity.Turn),
	of("", units.Number, units.Ratio.Number, units.Quantity.Ratio),
	of("%", units.Percent, units.Ratio.Percent, units.Quantity.Ratio),
}

// A constructor agrees with the parser, and its accessor gives the number
// back, for every value a person would write.
func TestConstructorsAgreeWithParser(t *testing.T) {
	n := 0
	for _, k := range units.Kinds() {
		for _, unit := range k.Units() {
			if unit != "AWG" && !(unit == "°" && k == units.KindCrankAngle) {
				n++
			}
		}
	}
	if n != len(pairs) {
		t.Errorf("%d units with constructors, %d tried", n, len(pairs))
	}
	r := rand.New(rand.NewPCG(3, 4))
	for _, p := range pairs {
		k := p.make(1).Kind()
		for i := range 1200 {
			var x float64
			switch {
			case i < 1000:
				x = float64(i) / 1000
			case i < 1100:
				x, _ = strconv.ParseFloat(fmt.Sprintf("%d.%d", r.IntN(100000), r.IntN(100000)), 64)
			default:
				x, _ = strconv.ParseFloat(fmt.Sprintf("%de%d", r.IntN(1e9), r.IntN(40)-20), 64)
			}
			text := join(strconv.FormatFloat(x, 'g', -1, 64), p.unit)
			want, err := units.Parse(k, text)
			if err != nil {
				t.Fatal(err)
			}
			q := p.make(x)
			if q != want {
				t.Errorf("%s: constructor %v, parser %v", text, q.SI(), want.SI())
			}
			if k == units.KindTemperature && i >= 1100 {
				continue // more places than the offset leaves
			}
			if got := p.get(q); got != x {
				t.Errorf("%s: accessor gives %v", text, got)
			}
		}
	}
}

// What was computed, and so has no short decimal, still leaves by an
// accessor right to two units in the last place.
func TestAccessorsOfComputedValues(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for _, p := range pairs {
		k := p.make(1).Kind()
		scale := scales[k][p.unit]
		for range 300 {
			si := math.Exp(r.NormFloat64() * 5)
			if k == units.KindTemperature {
				si = 200 + 200*r.Float64()
			}
			got := p.get(units.FromSI(k, si))
			want := new(big.Rat).SetFloat64(si)
			offset := new(big.Rat)
			for _, f := range strings.Fields(scale) {
				c, _ := new(big.Rat).SetString(strings.TrimPrefix(f, "+"))
				if f[0] == '+' {
					offset = c
				} else {
					want.Quo(want, c)
				}
			}
			want.Sub(want, offset)
			w, _ := want.Float64()
			ulp := math.Abs(w) * 0x1p-52
			if k == units.KindTemperature {
				ulp = 0x1p-43 // of the temperature with its offset, below 1,024
			}
			if math.Abs(got-w) > 2*ulp {
				t.Errorf("%v %s: %v, want %v", si, p.unit, got, w)
			}
		}
	}
}
