package meter

import (
	"math"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/units"
)

// Reason is the kind of argument behind a decision. The zero value is
// ReasonNoReading.
type Reason uint8

// The reasons.
const (
	// ReasonNoReading: there is no reading to judge.
	ReasonNoReading Reason = iota
	// ReasonProbability: the conformance probability decides, or does not.
	ReasonProbability
	// ReasonBound: the reading bounds the value, and the bound decides or not.
	ReasonBound
	// ReasonRangeUnknown: OL on a range that was not stated.
	ReasonRangeUnknown
	// ReasonOpenWanted: the band asks for an open circuit.
	ReasonOpenWanted
	// ReasonNoLimits: the band has no limit.
	ReasonNoLimits
	// ReasonMixedKinds: reading and band are not the same kind of quantity.
	ReasonMixedKinds
	// ReasonBadBand: the minimum lies above the maximum.
	ReasonBadBand
	// ReasonNotFinite: the figures given lead to no finite result.
	ReasonNotFinite
)

// Assumption is a set of things taken for granted. The zero value is none.
type Assumption uint8

// The assumptions.
const (
	// ReadingTemperatureAssumed: nobody said how warm the winding was.
	ReadingTemperatureAssumed Assumption = 1 << iota
	// BandTemperatureAssumed: the source does not say at what temperature.
	BandTemperatureAssumed
	// AboutWidened: "about" was taken as a whole step of doubt either way.
	AboutWidened
	// TemperatureImpossible: a temperature at which copper has no resistance.
	TemperatureImpossible
)

// Result is the judgement of one reading against one band. Its zero value is
// undecided for want of a reading.
type Result struct {
	Reading  Reading
	Band     Band
	Decision Decision
	Reason   Reason
	// Chance is the probability that the true value lies in the band; unknown
	// where the reading does not say.
	Chance ignition.Known[float64]
	// Value is the best estimate after lead zero and temperature; for a
	// reading that bounds the value, the bound. The zero Quantity is none.
	Value units.Quantity
	// HalfWidth is half the width of a feeler interval about Value.
	HalfWidth units.Quantity
	// Uncertainty is the standard uncertainty of Value, the interval's own
	// width left out.
	Uncertainty units.Quantity
	// Side is the limit that is broken, or else nearest.
	Side Side
	// Off is how far outside that limit Value lies; negative inside. For a
	// bound it is the least it can be. The zero Quantity is not known.
	Off units.Quantity
	// Open is true for a resistance that reads over range.
	Open bool
	// Assumed is what was taken for granted on the way.
	Assumed Assumption
	// Need says what would settle an undecided reading.
	Need Need
}

// Limit returns the limit that Off is counted from; the zero Quantity is none.
func (res Result) Limit() units.Quantity {
	switch res.Side {
	case LowerLimit:
		return res.Band.Min
	case UpperLimit:
		return res.Band.Max
	}
	return units.Quantity{}
}

// OffShare returns Off as a share of the limit, 0.1 for ten percent outside;
// unknown where there is no Off or the limit is zero.
func (res Result) OffShare() ignition.Known[float64] {
	limit := res.Limit()
	if limit.Kind() == 0 || res.Off.Kind() == 0 || limit.SI() == 0 {
		return ignition.Known[float64]{}
	}
	share := res.Off.SI() / math.Abs(limit.SI())
	if !isFinite(share) {
		return ignition.Known[float64]{}
	}
	return ignition.Know(share)
}

// AtLimit reports whether the value is the limit itself, to the last digit.
func (res Result) AtLimit() bool {
	return res.Reason == ReasonProbability && res.Off.Kind() != 0 && res.Off.IsZero()
}

// ByHowMuch returns the distance from the limit in words, in the unit of the
// reading: "0.6 kΩ below the minimum (24 %)", "2 thou below the maximum",
// "on the minimum". It is empty where no distance is known.
func (res Result) ByHowMuch() string {
	if res.Reason == ReasonOpenWanted || res.Side == NoSide {
		return ""
	}
	if res.Off.Kind() == 0 {
		if res.Decision == Fail && res.Open {
			return "open: over any range"
		}
		return ""
	}
	if res.Off.IsZero() && res.Reason == ReasonProbability {
		return "on the " + res.Side.String()
	}
	distance := amount(res.Off, res.Reading.Unit)
	if res.Reading.Form == Interval {
		distance = "about " + distance // from the middle of the interval
	}
	where := "above the "
	if (res.Side == LowerLimit) == (res.Off.SI() >= 0) {
		where = "below the "
	}
	where += res.Side.String()
	words := distance + " " + where
	if share, ok := res.OffShare().Get(); ok && share > 0 && !signed(res.Reading.Kind) {
		words += percent(share)
	}
	if res.Reason == ReasonBound {
		if res.Off.IsZero() {
			return where
		}
		words = "at least " + words
	}
	return words
}

// Why returns the decision and its ground in one or two plain sentences,
// without the source: what was found, how sure it is, what would settle it.
func (res Result) Why() string {
	var why string
	limits := res.Band.String()
	switch res.Reason {
	case ReasonNoReading:
		return "there is no reading"
	case ReasonNoLimits:
		why = "there are no limits to judge it by"
	case ReasonMixedKinds:
		return "a " + res.Reading.Kind.String() + " was read where a " + res.Band.kind().String() + " is wanted"
	case ReasonBadBand:
		return "the limits are the wrong way round: " + limits
	case ReasonNotFinite:
		return "the figures given lead to no sensible value: check the temperatures and the meter's accuracy"
	case ReasonOpenWanted:
		switch res.Decision {
		case Pass:
			why = "it reads open, as it should"
		case Fail:
			why = "it should read open and does not"
		default:
			why = "it should read open; the reading shows only that it is high"
		}
	case ReasonRangeUnknown:
		if res.Decision == Fail {
			why = "it reads open: " + limits + " is within what any ohmmeter shows"
		} else {
			why = "OL says only that it is over the meter's range, which is not stated"
		}
	case ReasonBound:
		switch res.Decision {
		case Pass:
			why = "whatever the value is, it is within the limits"
		case Fail:
			why = res.ByHowMuch() + ", whatever the value is"
		default:
			why = "the reading does not say on which side of the limit the value lies"
		}
	case ReasonProbability:
		why = res.probabilityWords()
	}
	if need := res.needWords(); need != "" {
		why += "; " + need
	}
	return why
}

// probabilityWords says how sure a judgement by probability is.
func (res Result) probabilityWords() string {
	p := res.Chance.Or(0)
	distance := res.ByHowMuch()
	switch res.Decision {
	case Pass:
		return distance + ", " + sure(p) + " within the limits"
	case Fail:
		return distance + ", " + sure(1-p) + " outside the limits"
	}
	return distance + ", which this reading does not settle: " + threeDigits(math.Round(100*p)) + " % likely within the limits, " + threeDigits(100-math.Round(100*p)) + " % outside"
}

// sure writes a probability so that it never reads as certainty: "97 % sure",
// "more than 99.9 % sure".
func sure(p float64) string {
	percent := 100 * p
	switch {
	case percent > 99.9:
		return "more than 99.9 % sure"
	case percent < 0.1:
		return "less than 0.1 % sure"
	case percent >= 99 || percent < 1:
		return trimZeros(threeDigits(math.Floor(percent*10)/10)) + " % sure"
	}
	return threeDigits(math.Floor(percent)) + " % sure"
}

// Assumptions returns what was taken for granted, a sentence each, in a fixed
// order: the class tolerance that opened the limits, temperatures that nobody
// stated, what "about" was taken to mean.
func (res Result) Assumptions() []string {
	var list []string
	if res.Band.Assumed != "" {
		list = append(list, "the source gives no tolerance; the limits assume "+res.Band.Assumed)
	}
	switch res.Assumed & (ReadingTemperatureAssumed | BandTemperatureAssumed) {
	case ReadingTemperatureAssumed:
		list = append(list, "the winding's temperature was not given; a cool shop is assumed")
	case BandTemperatureAssumed:
		list = append(list, "the source does not say at what temperature its limits hold; a cool shop is assumed")
	case ReadingTemperatureAssumed | BandTemperatureAssumed:
		list = append(list, "neither the winding's temperature nor that of the limits is known; they are taken as near each other")
	}
	if res.Assumed&AboutWidened != 0 {
		list = append(list, `"about" is taken as a whole step of the last digit either way`)
	}
	return list
}

// String returns the whole judgement on one line: decision, reading, limits
// and why.
func (res Result) String() string {
	parts := []string{res.Decision.String()}
	if res.Reading.AsWritten != "" {
		parts = append(parts, res.Reading.AsWritten+" against "+res.Band.String())
	}
	return strings.Join(append(parts, res.Why()), ": ")
}
