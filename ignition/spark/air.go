package spark

import (
	"math"
	"sort"

	"gapbook.example/units"
)

// The air that breakdown formulas are referred to: 20 °C and 760 torr.
const (
	referencePascals = 101325
	referenceKelvins = 293
)

// AirDensity is the density of air at a pressure and temperature, over that at
// 760 torr and 20 °C: (p/760)(293/T), the reference of IEC 60052 and of
// [UniformField]. (Tables of the AIEE are referred to 25 °C, 1.7 % away.) A
// temperature of absolute zero gives 0.
func AirDensity(p units.Pressure, t units.Temperature) float64 {
	k := t.Kelvins()
	if k <= 0 {
		return 0
	}
	return p.Pascals() / referencePascals * (referenceKelvins / k)
}

// UniformField is the voltage that breaks down air between plane electrodes,
// V = 24.22 δd + 6.08 √(δd) in kilovolts with the gap d in centimetres (a
// high-voltage engineering textbook, chapter 4, example 4.1), density δ as from
// [AirDensity]. Published sphere gaps from 10 kV up with gaps small beside the
// spheres lie within 7 % of it (they disagree by 3 % among themselves); under
// 10 kV one table's lie up to 17 % below it. A gap or density that is not more
// than nought gives nought.
func UniformField(gap units.Length, density float64) units.Voltage {
	x := gap.Centimetres() * density
	if !(x > 0) || math.IsInf(x, 1) {
		return units.Voltage{}
	}
	return volts(1e3 * (24.22*x + 6.08*math.Sqrt(x)))
}

// Paschen is the breakdown voltage of a gap of d centimetres at p torr by
// Paschen's law, V = B pd/(C + ln pd) with C = ln(A/ln(1+1/γ)), and the constants
// of air as a high-voltage note quotes them from the gas-discharge literature:
// A = 15, B = 365, γ = 0.01. Its least is 305 V at 0.84 torr cm; the measured
// least of air is quoted as 327 V at 0.57 torr cm, so near the minimum it is
// good to some 10 % in volts only, and left of it (pd under 0.84 torr cm) it is
// not used: the least comes back. At a millimetre and more [UniformField] is
// the better formula.
func Paschen(p units.Pressure, gap units.Length) units.Voltage {
	pd := p.Torrs() * gap.Centimetres()
	c := paschenC()
	least := math.Exp(1 - c)
	if !(pd > least) || math.IsInf(pd, 1) {
		pd = least
	}
	return volts(paschenB * pd / (c + math.Log(pd)))
}

const (
	paschenA     = 15.0  // 1/(cm torr)
	paschenB     = 365.0 // V/(cm torr)
	paschenGamma = 0.01
)

func paschenC() float64 { return math.Log(paschenA / math.Log(1+1/paschenGamma)) }

// needleCentimetres are gaps between needle points, at 760 mmHg and 25 °C, that
// break down at 5, 10 ... 30 kV peak: the AIEE's spark-gap table, second-hand.
var needleCentimetres = []float64{0, 0.42, 0.85, 1.3, 1.75, 2.2, 2.69}

// Needle is the voltage that jumps a gap between needle points in open air, by
// interpolation in the AIEE's table: the nearest published stand-in for a
// spark tester with points. It is far below [UniformField] (5 mm: 5.9 kV against
// 16). The table ends at 26.9 mm; beyond it and at nought ok is false.
func Needle(gap units.Length) (v units.Voltage, ok bool) {
	x := gap.Centimetres()
	n := len(needleCentimetres)
	if !(x > 0) || x > needleCentimetres[n-1] {
		return v, false
	}
	i := max(sort.SearchFloat64s(needleCentimetres, x), 1)
	a, b := needleCentimetres[i-1], needleCentimetres[i]
	return volts(5e3 * (float64(i-1) + (x-a)/(b-a))), true
}
