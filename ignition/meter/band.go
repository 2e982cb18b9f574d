package meter

import (
	"math"
	"strconv"

	"gapbook.example/ignition"
	"gapbook.example/units"
)

// Band is what a reading should be, and on whose word. The zero value says
// nothing. A limit that is the zero Quantity is not given; a limit at the
// value is inside. A Min of OL asks for an open circuit.
type Band struct {
	Min, Nominal, Max units.Quantity
	// Temperature is the one the limits hold at.
	Temperature ignition.Known[units.Temperature]
	// Assumed names the class tolerance that opened a bare nominal into
	// limits; empty where the limits are the source's own.
	Assumed string
	// Hearsay is true where the limits rest on a report, on common practice
	// or on memory.
	Hearsay bool
	// Source says who gives the limits, and where.
	Source string
}

// Tolerance opens a nominal value into limits. The zero value opens nothing.
type Tolerance struct {
	// Name is what the finding calls it.
	Name string
	// Relative is a share of the nominal, either way: 0.1 is ±10 %.
	Relative float64
	// Minus and Plus are amounts below and above; they are used where
	// Relative is zero. The zero Quantity leaves that side without a limit.
	Minus, Plus units.Quantity
}

// Open returns the band with limits made from its nominal and the tolerance,
// and Assumed set to its name. A band that has a limit of its own, or no
// finite nominal, is returned as it is, as is one whose kind is not that of
// the amounts. Limits are rounded to twelve significant digits, so that
// 0.020 in less 10 % is 0.018 in.
func (b Band) Open(t Tolerance) Band {
	k := b.Nominal.Kind()
	if k == 0 || b.Min.Kind() != 0 || b.Max.Kind() != 0 || !isFinite(b.Nominal.SI()) {
		return b
	}
	nominal := b.Nominal.SI()
	if t.Relative > 0 && isFinite(t.Relative) {
		width := math.Abs(nominal) * t.Relative
		b.Min, b.Max = quantity(k, twelveDigits(nominal-width)), quantity(k, twelveDigits(nominal+width))
		b.Assumed = t.Name
		return b
	}
	if t.Minus.Kind() == spreadKind(k) {
		b.Min, b.Assumed = quantity(k, twelveDigits(nominal-t.Minus.SI())), t.Name
	}
	if t.Plus.Kind() == spreadKind(k) {
		b.Max, b.Assumed = quantity(k, twelveDigits(nominal+t.Plus.SI())), t.Name
	}
	return b
}

// twelveDigits rounds away what binary arithmetic adds to a decimal figure.
func twelveDigits(x float64) float64 {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 12, 64), 64)
	if err != nil {
		return x
	}
	return y
}

// HasLimits reports whether there is anything to judge by.
func (b Band) HasLimits() bool {
	return b.wantsOpen() || b.Min.Kind() != 0 || b.Max.Kind() != 0 && isFinite(b.Max.SI())
}

// CanCondemn reports whether a reading outside the band makes the part unfit:
// the limits are a published source's own, not hearsay and not opened by an
// assumed tolerance. What is open, shorted or several times off is the
// caller's to weigh; see [Result.Open] and [GrossFactor].
func (b Band) CanCondemn() bool { return !b.Hearsay && b.Assumed == "" }

// wantsOpen reports whether the band asks for an open circuit.
func (b Band) wantsOpen() bool {
	return b.Min.Kind() != 0 && b.Min.SI() > maxFinite ||
		b.Min.Kind() == 0 && b.Max.Kind() == 0 && b.Nominal.Kind() != 0 && b.Nominal.SI() > maxFinite
}

// limits returns the limits in SI units, infinite where not given.
func (b Band) limits() (lower, upper float64) {
	lower, upper = math.Inf(-1), math.Inf(1)
	if b.Min.Kind() != 0 {
		lower = b.Min.SI()
	}
	if b.Max.Kind() != 0 {
		upper = b.Max.SI()
	}
	return lower, upper
}

// kind returns the kind of the limits, 0 where there are none or they differ.
func (b Band) kind() units.Kind {
	var k units.Kind
	for _, q := range [...]units.Quantity{b.Min, b.Nominal, b.Max} {
		switch {
		case q.Kind() == 0 || q.Kind() == k:
		case k == 0:
			k = q.Kind()
		default:
			return 0
		}
	}
	return k
}

// String returns the limits in words: "0.018 in to 0.022 in", "at least 5 kΩ",
// "at most 0.1 V", "open", or the nominal with "no limits given".
func (b Band) String() string {
	switch {
	case b.wantsOpen():
		return "open (OL)"
	case b.Min.Kind() != 0 && b.Max.Kind() != 0:
		if b.Min == b.Max {
			return b.Min.String()
		}
		return b.Min.String() + " to " + b.Max.String()
	case b.Min.Kind() != 0:
		return "at least " + b.Min.String()
	case b.Max.Kind() != 0:
		return "at most " + b.Max.String()
	case b.Nominal.Kind() != 0:
		return b.Nominal.String() + ", no limits given"
	}
	return "no limits given"
}

// GrossFactor returns how many times a value is beyond the limit it breaks:
// value/max above the band, value/min below it, 1 inside it or where nothing
// can be compared. With only a nominal it is value/nominal. OL against a
// finite limit is the largest float64 there is, never an infinity; a dead
// short is 0. Kinds whose zero is a mark and not a nothing (temperatures,
// crank angles) are always 1.
func GrossFactor(value units.Quantity, b Band) float64 {
	k := value.Kind()
	if k == 0 || k != b.kind() || signed(k) || b.wantsOpen() {
		return 1
	}
	lower, upper := b.limits()
	if b.Min.Kind() == 0 && b.Max.Kind() == 0 {
		lower, upper = b.Nominal.SI(), b.Nominal.SI()
	}
	x := value.SI()
	switch {
	case overshoot(x, upper) > 0 && upper > 0:
		return math.Min(x/upper, maxFinite)
	case overshoot(x, lower) < 0 && lower > 0:
		return math.Max(0, x/lower)
	}
	return 1
}

// signed reports whether zero of the kind is only a mark on a scale.
func signed(k units.Kind) bool {
	switch k {
	case units.KindTemperature, units.KindTemperatureDifference, units.KindCrankAngle:
		return true
	}
	return false
}

// maxFinite is the largest finite float64; only an infinity is above it.
const maxFinite = math.MaxFloat64
