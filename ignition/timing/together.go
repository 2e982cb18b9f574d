package timing

import (
	"math"

	"gapbook.example/units"
)

// Both answers whether gap and timing can be right at once.
type Both uint8

// The answers. The zero value is BothUnknown.
const (
	// BothUnknown: the sensitivity of the timing to the gap, or the gap's
	// limits, are not known well enough.
	BothUnknown Both = iota
	// BothYes: the gap that gives the timing is inside the gap's limits.
	BothYes
	// BothNo: it is outside them, whatever the sensitivity in its band.
	// Something is worn or fitted wrong: block, cam, key, plate.
	BothNo
)

// String returns "cannot tell", "yes" or "no".
func (b Both) String() string {
	switch b {
	case BothYes:
		return "yes"
	case BothNo:
		return "no"
	}
	return "cannot tell"
}

// Together is the gap that an engine without any other adjustment needs for
// its timing.
type Together struct {
	// Least and Most are the ends of the gap needed; Likely lies between.
	Least, Likely, Most Measured[units.Length]
	Both                Both
}

// GapForTiming returns the points gap that brings the timing of an engine to
// the angle wanted where the gap is the only adjustment, and whether it lies
// within the gap's limits, low to high. Each end of the sensitivity's band
// counts, widened by twice the standard uncertainty that gap and angles bring.
func (s Sensitivity) GapForTiming(gap Measured[units.Length], now Measured[units.CrankAngle], wanted units.CrankAngle, low, high units.Length) Together {
	if !s.IsKnown() {
		return Together{}
	}
	change := s.Gap(Measured[units.CrankAngle]{wanted.Sub(now.Value), now.Uncertainty})
	at := func(by units.Length, q units.LengthPerCrankAngle) Measured[units.Length] {
		return Measured[units.Length]{gap.Value.Add(by), units.Metres(math.Hypot(gap.Uncertainty.Metres(), now.Uncertainty.BTDC()*q.Quantity().SI()))}
	}
	t := Together{Least: at(change.Least, s.Least), Likely: at(change.Likely, s.Likely()), Most: at(change.Most, s.Most)}
	if t.Most.Value.Cmp(t.Least.Value) < 0 {
		t.Least, t.Most = t.Most, t.Least
	}
	if high.Metres() <= 0 || low.Cmp(high) > 0 {
		return t
	}
	least := t.Least.Value.Metres() - 2*t.Least.Uncertainty.Metres()
	most := t.Most.Value.Metres() + 2*t.Most.Uncertainty.Metres()
	switch {
	case least >= low.Metres() && most <= high.Metres():
		t.Both = BothYes
	case least > high.Metres() || most < low.Metres():
		t.Both = BothNo
	}
	return t
}
