package meter

import (
	"math"

	"gapbook.example/ignition"
	"gapbook.example/units"
)

// Judge decides whether the thing that gave reading r lies in band b.
//
// A single value or an interval is judged by conformance probability
// (JCGM 106:2012, clause 7): Pass at the rule's Pass and over, Fail at its
// Fail and under where one limit alone accounts for it, else Undecided.
// Readings that only bound the value (over, under, over range) decide where
// the bound settles it whatever the value is, and are Undecided elsewhere:
//
//   - over x fails a maximum at or below x, and passes a lone minimum at or
//     below x;
//   - under x fails a minimum at or above x, and passes a lone maximum at or
//     above x; a minimum of zero or less does not stand in the way, for kinds
//     whose zero is nothing;
//   - OL on a known range is over the top of that range. On an unknown range
//     a resistance fails a maximum that any ohmmeter can show
//     ([Rule.OpenAbove]); it passes nothing but a band that asks for OL.
//
// A reading whose kind is not the band's is Undecided with ReasonMixedKinds.
// Judge never panics, its figures are always finite, and it allocates nothing.
func Judge(r Reading, b Band, rule Rule) Result {
	r = r.normal()
	res := Result{Reading: r, Band: b}
	lower, upper := b.limits()
	switch {
	case r.Kind == 0:
		res.Reason = ReasonNoReading
		return res
	case !b.HasLimits():
		res.Reason = ReasonNoLimits
		res.Need.Settle = SettleTolerance
		return res
	case b.kind() != r.Kind:
		res.Reason = ReasonMixedKinds
		return res
	case b.wantsOpen():
		return res.judgeOpen()
	case lower > upper:
		res.Reason = ReasonBadBand
		return res
	}
	switch r.Form {
	case Over, Under, OverRange:
		res.judgeBound(lower, upper, rule)
	default:
		res.judgeValue(lower, upper, rule)
	}
	return res
}

// judgeOpen judges against a band that asks for an open circuit.
func (res Result) judgeOpen() Result {
	res.Reason = ReasonOpenWanted
	switch res.Reading.Form {
	case OverRange:
		res.Decision, res.Chance, res.Open = Pass, ignition.Know(1.0), true
	case Over:
		res.Need.Settle = SettleRange
	default:
		res.Decision, res.Chance, res.Side = Fail, ignition.Know(0.0), LowerLimit
	}
	return res
}

// judgeBound judges a reading that only bounds the value.
func (res *Result) judgeBound(lower, upper float64, rule Rule) {
	r := res.Reading
	res.Reason = ReasonBound
	res.Open = r.Form == OverRange && r.Kind == units.KindResistance
	bound, known := r.Value.SI(), true
	if r.Form == OverRange {
		bound, known = r.Range.SI(), r.Range.Kind() == r.Kind && r.Range.SI() > 0 && isFinite(r.Range.SI())
	} else if r.Value.Kind() != r.Kind {
		res.Reason = ReasonNoReading
		return
	}
	if !known {
		res.judgeUnknownRange(upper, rule)
		return
	}
	if zero, ok := leadZero(r); ok {
		bound -= zero
	}
	if !isFinite(bound) {
		res.Reason = ReasonNotFinite
		return
	}
	res.Value = quantity(r.Kind, bound)
	var passes bool
	if r.Form == Under {
		if isFinite(lower) && overshoot(lower, bound) >= 0 {
			res.broken(LowerLimit, lower-bound)
			return
		}
		open := math.IsInf(lower, -1) || lower <= 0 && !signed(r.Kind)
		passes = open && isFinite(upper) && overshoot(bound, upper) <= 0
	} else {
		if isFinite(upper) && overshoot(bound, upper) >= 0 {
			res.broken(UpperLimit, bound-upper)
			return
		}
		passes = math.IsInf(upper, 1) && overshoot(lower, bound) <= 0
	}
	if passes {
		res.Decision, res.Chance = Pass, ignition.Know(1.0)
		return
	}
	res.Need.Settle = SettleRange
}

// judgeUnknownRange judges OL on a range that nobody stated.
func (res *Result) judgeUnknownRange(upper float64, rule Rule) {
	openAboveOhms := rule.OpenAbove.Quantity().SI()
	if !(openAboveOhms > 0) {
		openAboveOhms = defaultOpenAboveOhms
	}
	res.Reason = ReasonRangeUnknown
	if res.Reading.Kind == units.KindResistance && isFinite(upper) && upper <= openAboveOhms {
		res.Decision, res.Chance, res.Side = Fail, ignition.Know(0.0), UpperLimit
		return
	}
	res.Need.Settle = SettleRange
}

// broken records that a limit is broken for certain, by at least off.
func (res *Result) broken(side Side, off float64) {
	res.Decision, res.Chance, res.Side = Fail, ignition.Know(0.0), side
	res.setOff(off)
}

// judgeValue judges a single value or an interval by conformance probability.
func (res *Result) judgeValue(lower, upper float64, rule Rule) {
	r := res.Reading
	if r.Form == Interval && (r.Low.Kind() != r.Kind || r.High.Kind() != r.Kind || r.Low.SI() > r.High.SI()) ||
		r.Form != Interval && r.Value.Kind() != r.Kind {
		res.Reason = ReasonNoReading
		return
	}
	e, assumed := estimateOf(r, res.Band, rule)
	res.Assumed = assumed
	u := e.uncertainty()
	if assumed&TemperatureImpossible != 0 || !isFinite(e.value) || !isFinite(e.halfWidth) || !isFinite(u) || u < 0 {
		res.Reason = ReasonNotFinite
		return
	}
	pass, fail := rule.thresholds()
	decision, p := decide(e.value, e.halfWidth, u, lower, upper, pass, fail)
	res.Reason = ReasonProbability
	res.Decision, res.Chance = decision, ignition.Know(p)
	res.Value = quantity(r.Kind, e.value)
	res.HalfWidth = quantity(spreadKind(r.Kind), e.halfWidth)
	res.Uncertainty = quantity(spreadKind(r.Kind), u)
	above, below := overshoot(e.value, upper), -overshoot(e.value, lower)
	if above >= below {
		res.Side = UpperLimit
		res.setOff(above)
	} else {
		res.Side = LowerLimit
		res.setOff(below)
	}
	if decision == Undecided {
		res.Need = needOf(e, u, lower, upper, pass, fail, rule, assumed, r.Kind)
	}
}

// setOff records the distance outside the limit, negative inside.
func (res *Result) setOff(off float64) { res.Off = quantity(spreadKind(res.Reading.Kind), off) }

// quantity is units.FromSI for a figure worked out here, which may be one that
// the kind cannot hold: it is then no quantity rather than a panic.
func quantity(k units.Kind, si float64) units.Quantity {
	if !isFinite(si) || si < 0 && (k == units.KindTemperature || k == units.KindWireSize) {
		return units.Quantity{}
	}
	return units.FromSI(k, si)
}
