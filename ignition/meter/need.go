package meter

import (
	"math"
	"strconv"
	"strings"

	"gapbook.example/units"
)

// Settle is what would settle an open question. The zero value is
// SettleNothing: nothing is open.
type Settle uint8

// The ways of settling.
const (
	SettleNothing Settle = iota
	// SettleMeter asks for a better meter: Need.Accuracy says how good.
	SettleMeter
	// SettleNoMeter means that no meter would: the value stands on the limit,
	// or nearer to it than the finest meter of the rule can part.
	SettleNoMeter
	// SettleTemperature asks for a temperature that nobody gave, or a closer
	// one: with it this meter would do, or without it none would.
	SettleTemperature
	// SettleBlades asks for feeler blades that do not straddle the limit.
	SettleBlades
	// SettleRange asks for the meter's range, or a range that shows a value.
	SettleRange
	// SettleTolerance asks for limits: the band has none.
	SettleTolerance
)

// Need says what would settle an undecided reading, if the value then came out
// the same. The zero value needs nothing.
type Need struct {
	Settle Settle
	// Uncertainty is the standard uncertainty, in all, at which the reading
	// would be decided.
	Uncertainty units.Quantity
	// Accuracy is the limit of error, either way, that the meter may then
	// have, display and leads included.
	Accuracy units.Quantity
	// Share is Accuracy over the value; 0 where the value is zero.
	Share float64
}

// needOf works out what would settle an undecided estimate.
func needOf(e estimate, u, lower, upper, pass, fail float64, rule Rule, assumed Assumption, k units.Kind) Need {
	if assumed&(ReadingTemperatureAssumed|BandTemperatureAssumed) != 0 {
		if d, _ := decide(e.value, e.halfWidth, e.byMeter(), lower, upper, pass, fail); d != Undecided {
			return Need{Settle: SettleTemperature}
		}
	}
	needed, ok := uncertaintyFor(e.value, e.halfWidth, u, lower, upper, pass, fail)
	if !ok {
		if e.halfWidth > 0 {
			return Need{Settle: SettleBlades}
		}
		return Need{Settle: SettleNoMeter}
	}
	n := Need{Settle: SettleMeter, Uncertainty: quantity(spreadKind(k), needed)}
	// What the meter may have once the temperature has taken its part.
	left := (needed - e.temperature) * (needed + e.temperature)
	if left <= 0 {
		n.Settle = SettleTemperature
		return n
	}
	accuracy := math.Sqrt(3*left) * (1 - 1e-9) // so that rounding does not leave it just undecided
	n.Accuracy = quantity(spreadKind(k), accuracy)
	if e.value != 0 {
		if share := accuracy / math.Abs(e.value); isFinite(share) {
			n.Share = share
		}
	}
	if n.Share > 0 && n.Share < rule.Finest {
		n.Settle = SettleNoMeter
	}
	return n
}

// Need in words, for the reading it belongs to; empty where nothing is open.
func (res Result) needWords() string {
	n := res.Need
	switch n.Settle {
	case SettleMeter:
		return "a meter good to ±" + amount(n.Accuracy, res.Reading.Unit) + percent(n.Share) + " there would settle it, if it read the same"
	case SettleNoMeter:
		if n.Accuracy.Kind() == 0 {
			return "the value stands on the limit itself: no meter settles it; adjust it if it can be adjusted, or read it again"
		}
		return "only a meter good to ±" + amount(n.Accuracy, res.Reading.Unit) + percent(n.Share) + " would settle it, finer than can be had: the value is too near the limit"
	case SettleTemperature:
		switch {
		case res.Assumed&ReadingTemperatureAssumed != 0:
			return "read the temperature of the winding: it matters more here than the meter"
		case res.Assumed&BandTemperatureAssumed != 0:
			return "find the temperature that the limits hold at, or read the winding in a cool shop"
		}
		return "read the temperature of the winding more closely: it matters more here than the meter"
	case SettleBlades:
		if limit := res.limitInside(); limit.Kind() != 0 {
			return "try a blade of " + written(limit, res.Reading.Unit) + ", the limit itself: it goes, or it does not"
		}
		return "read it with blades closer together"
	case SettleRange:
		switch res.Reading.Form {
		case OverRange:
			if res.Reading.Range.Kind() == 0 {
				return `say the meter's range, as in "OL on 20 ` + rangeUnit(res.Reading.Kind) + `"`
			}
			return "read it on a higher range"
		}
		return "read the value itself"
	case SettleTolerance:
		return "name a tolerance: the source gives a figure without limits"
	}
	return ""
}

// rangeUnit is a unit in which meters mark a range of the kind.
func rangeUnit(k units.Kind) string {
	switch k {
	case units.KindResistance:
		return "MΩ"
	case units.KindCapacitance:
		return "µF"
	}
	return k.Units()[0]
}

// limitInside returns the limit that lies within the interval read.
func (res Result) limitInside() units.Quantity {
	for _, limit := range [...]units.Quantity{res.Band.Min, res.Band.Max} {
		if limit.Kind() == res.Reading.Kind && res.Reading.Form == Interval &&
			res.Reading.Low.Cmp(limit) <= 0 && limit.Cmp(res.Reading.High) <= 0 {
			return limit
		}
	}
	return units.Quantity{}
}

// percent writes a share in brackets, " (0.5 %)", empty for zero and for more
// than a float holds.
func percent(share float64) string {
	if share <= 0 || !isFinite(100*share) {
		return ""
	}
	return " (" + threeDigits(100*share) + " %)"
}

// threeDigits writes a number with three significant digits and no exponent.
func threeDigits(x float64) string {
	decimals := 2
	if x != 0 && isFinite(x) {
		decimals = min(12, max(0, 2-int(math.Floor(math.Log10(math.Abs(x))))))
	}
	return trimZeros(strconv.FormatFloat(x, 'f', decimals, 64))
}

// trimZeros drops zeros after the decimal point.
func trimZeros(s string) string {
	if !strings.Contains(s, ".") {
		return s
	}
	return strings.TrimRight(strings.TrimRight(s, "0"), ".")
}

// written prints a value in the unit of the reading where that is short.
func written(q units.Quantity, unit string) string {
	if s, ok := q.In(unit); ok && len(s) <= len(q.String())+2 {
		return s
	}
	return q.Display()
}

// amount prints a difference in the unit of the reading, three significant
// digits, never negative.
func amount(q units.Quantity, unit string) string {
	k := q.Kind()
	if k == 0 {
		return "an unknown amount"
	}
	if q.SI() < 0 && isFinite(q.SI()) {
		q = units.FromSI(k, -q.SI())
	}
	if strings.HasPrefix(unit, "°") && k == units.KindCrankAngle {
		unit = "°" // an amount has no sense of direction
	}
	text, ok := q.In(unit)
	if !ok || k == units.KindWireSize {
		return q.Display()
	}
	number, _ := splitNumber(text)
	x, err := strconv.ParseFloat(number, 64)
	if err != nil || !isFinite(x) {
		return q.Display()
	}
	return threeDigits(x) + strings.TrimPrefix(text, number)
}
