package timing

import (
	"math"

	"gapbook.example/units"
)

// A Sensitivity says how much points gap moves the timing by one crank degree,
// as a band from Least to Most. They are equal where one figure is known. The
// zero Sensitivity is unknown.
//
// A wider gap opens earlier wherever a lobe opens the points on its way up.
type Sensitivity struct {
	Least, Most units.LengthPerCrankAngle
	// Says names who says so.
	Says string
}

// IsKnown reports whether there is a figure.
func (s Sensitivity) IsKnown() bool {
	return s.Least.Quantity().SI() > 0 && s.Most.Quantity().SI() >= s.Least.Quantity().SI()
}

// Likely returns the middle of the band, the geometric mean: a band of such
// figures is one of factors.
func (s Sensitivity) Likely() units.LengthPerCrankAngle {
	q, _ := units.FromSI(units.KindLengthPerCrankAngle, math.Sqrt(s.Least.Quantity().SI()*s.Most.Quantity().SI())).LengthPerCrankAngle()
	return q
}

// FromChange returns the sensitivity that a statement such as "a change of
// 0.004 in moves the timing by 10°" makes. The error is an *InputError.
func FromChange(gap units.Length, angle units.CrankAngle, says string) (Sensitivity, error) {
	if gap.Metres() <= 0 || angle.BTDC() <= 0 {
		return Sensitivity{}, &InputError{CodeNotPositive, "gap change", "of " + gap.String() + " for " + angle.Quantity().Text("°", 1), "both are over nought"}
	}
	q, _ := units.FromSI(units.KindLengthPerCrankAngle, gap.Metres()/angle.BTDC()).LengthPerCrankAngle()
	return Sensitivity{Least: q, Most: q, Says: says}, nil
}

// A Shift is a change of timing in crank degrees, earlier positive, with the
// band that the sensitivity leaves. Least and Most are in order of size.
type Shift struct {
	Least, Likely, Most units.CrankAngle
	// Uncertainty is the standard uncertainty of Likely from the gap alone.
	Uncertainty units.CrankAngle
}

// Shift returns how the timing moves with a change of the gap, wider positive.
// It takes the slope as constant, which holds for changes that are small
// beside the gap; see [Breaker.Earlier] for the curve.
func (s Sensitivity) Shift(change Measured[units.Length]) Shift {
	if !s.IsKnown() {
		return Shift{}
	}
	by := func(x units.Length, q units.LengthPerCrankAngle) units.CrankAngle {
		return units.CrankDegrees(x.Metres() / q.Quantity().SI())
	}
	return Shift{
		Least: by(change.Value, s.Most), Likely: by(change.Value, s.Likely()), Most: by(change.Value, s.Least),
		Uncertainty: by(change.Uncertainty, s.Likely()),
	}
}

// A GapChange is a change of the points gap, wider positive, with the band
// that the sensitivity leaves.
type GapChange struct {
	Least, Likely, Most units.Length
	// Uncertainty is the standard uncertainty of Likely from the angle alone.
	Uncertainty units.Length
}

// Gap returns the change of gap that moves the timing by an angle, earlier
// positive. See [Sensitivity.Shift].
func (s Sensitivity) Gap(earlier Measured[units.CrankAngle]) GapChange {
	if !s.IsKnown() {
		return GapChange{}
	}
	by := func(a units.CrankAngle, q units.LengthPerCrankAngle) units.Length {
		return units.Metres(a.BTDC() * q.Quantity().SI())
	}
	return GapChange{
		Least: by(earlier.Value, s.Least), Likely: by(earlier.Value, s.Likely()), Most: by(earlier.Value, s.Most),
		Uncertainty: by(earlier.Uncertainty, s.Likely()),
	}
}

// Worn returns the gap that is lost, and by how much later the points open,
// when the rubbing block has worn by a depth: the contacts move by the lever,
// contact arm over block arm, for each unit at the block; 0 counts as 1.
func (s Sensitivity) Worn(depth Measured[units.Length], lever float64) (lost Measured[units.Length], later Shift) {
	if lever <= 0 || !isFinite(lever) {
		lever = 1
	}
	lost = Measured[units.Length]{depth.Value.Scale(lever), depth.Uncertainty.Scale(lever)}
	later = s.Shift(Measured[units.Length]{lost.Value.Scale(-1), lost.Uncertainty})
	return lost, later
}

// Paper returns how much too late the paper method reads: a slip between the
// contacts comes free only when they have parted by its thickness. Negative is
// later; put the timing earlier on the wheel by as much.
func (s Sensitivity) Paper(thickness Measured[units.Length]) Shift {
	return s.Shift(Measured[units.Length]{thickness.Value.Scale(-1), thickness.Uncertainty})
}
