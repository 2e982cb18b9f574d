package units

import (
	"math"
	"strconv"
	"strings"
)

// The gauge numbers that are known, from 4/0 to 56.
const (
	gaugeMin = -3
	gaugeMax = gaugeMin + len(gaugeAreas) - 1
)

// AWG returns the size of American Wire Gauge number n, by the rule of ASTM
// B258: a solid wire 0.005 in × 92^((36-n)/39) across. Numbers 0, -1, -2 and
// -3 are the sizes 1/0, 2/0, 3/0 and 4/0. It panics if n is not from -3 to 56.
func AWG(n int) WireSize {
	if n < gaugeMin || n > gaugeMax {
		panic("units: no AWG number " + strconv.Itoa(n))
	}
	return WireSize{gaugeAreas[n-gaugeMin]}
}

// AWG returns the gauge number of w, and whether w is exactly a gauge size.
// The sizes 1/0 to 4/0 are 0 to -3.
func (w WireSize) AWG() (n int, ok bool) {
	for i, a := range gaugeAreas {
		if a == w.squareMillimetres {
			return i + gaugeMin, true
		}
	}
	return 0, false
}

// Diameter returns the diameter of a solid round wire of this area,
// 2 √(A/π). A stranded wire is thicker.
func (w WireSize) Diameter() Length {
	return Length{2 * math.Sqrt(w.squareMillimetres/math.Pi) / 1000}
}

// CircularMils returns the area in circular mils, each that of a circle a
// thousandth of an inch across.
func (w WireSize) CircularMils() float64 {
	return w.squareMillimetres * 4 / math.Pi / (0.0254 * 0.0254)
}

// Annealed copper by IEC 60028: at 20 °C a wire of 1 mm² has 1/58 Ω in each
// metre, and gains 0.00393 of that for each kelvin.
const (
	copperMetresPerOhm = 58
	copperPerKelvin    = 0.00393
	copperReference    = 293.15 // K
)

// Copper returns the resistance for each length of a solid wire of this size
// in annealed copper at temperature t: 1/58 Ω·mm²/m at 20 °C, and 0.00393 of
// it more for each kelvin above (IEC 60028). Stranding adds about 2 %,
// tinning more. The zero WireSize has OL for any length, which this type
// cannot hold: it panics.
func (w WireSize) Copper(t Temperature) ResistancePerLength {
	if w.IsZero() {
		panic("units: the resistance of no wire")
	}
	rise := float64(copperPerKelvin * (t.kelvins - copperReference)) // rounded here on every machine
	r := (1 + rise) / copperMetresPerOhm / w.squareMillimetres
	return ResistancePerLength{saturate(r)}
}

// gauge reads 18 AWG, AWG 18, 4/0 AWG, 0000 AWG. Whatever names no gauge is
// left to the units.
func (r *reader) gauge() (parsed, bool, *ParseError) {
	num, found := strings.CutSuffix(r.s, gaugeUnit)
	space := " "
	if found {
		space = num[len(strings.TrimRight(num, " ")):]
		num = strings.TrimRight(num, " ")
	} else if num, found = strings.CutPrefix(r.s, gaugeUnit); found {
		if r.strict {
			return parsed{}, true, r.fail(UnknownUnit, "the gauge before its number", "write "+strconv.Quote(strings.TrimLeft(num, " ")+" AWG"))
		}
		num = strings.TrimLeft(num, " ")
		if after, ok := strings.CutPrefix(num, "#"); ok {
			num = after
		}
	}
	switch {
	case !found:
		return parsed{}, false, nil
	case num == "":
		return parsed{}, true, r.fail(BadNumber, "a gauge without its number", r.want())
	}
	if r.strict && space != " " {
		return parsed{}, true, r.fail(UnknownUnit, "not one space between number and unit", "write "+strconv.Quote(num+" AWG"))
	}
	n, ok := gaugeNumber(num)
	if !ok {
		return parsed{}, true, r.fail(OutOfRange, strconv.Quote(num)+" is not a gauge number", "gauges run from 4/0 over 1/0 and 1 to "+strconv.Itoa(gaugeMax)+", whole numbers")
	}
	return parsed{value: gaugeAreas[n-gaugeMin], gauge: n}, true, nil
}

// gaugeNumber reads 18, 1/0 to 4/0, and 0 to 0000.
func gaugeNumber(s string) (int, bool) {
	switch s {
	case "0", "1/0":
		return 0, true
	case "00", "2/0":
		return -1, true
	case "000", "3/0":
		return -2, true
	case "0000", "4/0":
		return -3, true
	}
	if s == "" || len(s) > 2 || s[0] == '0' {
		return 0, false
	}
	n := 0
	for i := 0; i < len(s); i++ {
		if !isDigit(s[i]) {
			return 0, false
		}
		n = n*10 + int(s[i]-'0')
	}
	return n, n >= 1 && n <= gaugeMax
}

func gaugeName(n int) string {
	if n <= 0 {
		return strconv.Itoa(1-n) + "/0"
	}
	return strconv.Itoa(n)
}
