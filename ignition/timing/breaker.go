package timing

import (
	"fmt"
	"math"

	"gapbook.example/ignition/meter"
	"gapbook.example/units"
)

// A Breaker is a set of points and the lobe that opens them. Its opening curve
// is that of a follower in simple harmonic motion:
//
//	lift(ψ) = L (1 - cos(π ψ/F))/2        on the flank, 0 ≤ ψ ≤ F
//	lift    = L                           on the top, over T degrees, and then down alike
//
// L is how far the contacts would part if they just touched on the base of the
// cam. Setting a gap G at the top moves the fixed contact so that they part
// where the lift reaches L - G. A wider gap therefore parts them lower on the
// flank: earlier, and for longer. At G = L they only just close at all.
//
// The real cams of small engines (ground flanks, flats on the crankshaft,
// pushed pins) are none of them just this. The family has the right shape, the
// right ends, and one number, the share of the lift that the gap takes up,
// that says how far up the flank the points open; with that number as a band
// it serves to tell how fast timing moves with the gap.
//
// Source of the curve: simple harmonic follower motion, in any theory of
// machines text (from memory); that it fits breaker cams is this project's
// assumption.
type Breaker struct {
	// Lift is L, measured at the contacts.
	Lift units.Length
	// Flank is F, the angle of the breaker's shaft over which it rises.
	Flank units.CamAngle
	// Top is T, the angle over which it stays up; zero is a peak.
	Top units.CamAngle
	// Drive says what shaft, and how many lobes.
	Drive Drive
}

// FromSlope returns the breaker whose opening at a gap moves by a distance for
// each crank degree, such as "0.0015 in of gap is 1°", where the gap takes up
// a share of the lift: g = G/L between 0 and 1. The curve then has
//
//	dG/dψ = (π/F) √(G (L - G))
//
// at the moment of opening, which gives F. The error is an *InputError.
func FromSlope(gap units.Length, perDegree units.LengthPerCrankAngle, share units.Ratio, d Drive) (Breaker, error) {
	g, slope := share.Number(), perDegree.Quantity().SI()
	if gap.Metres() <= 0 || slope <= 0 {
		return Breaker{}, &InputError{CodeNotPositive, "points gap", "is " + gap.String() + " and moves by " + perDegree.String(), "both are over nought"}
	}
	if g <= 0 || g >= 1 {
		return Breaker{}, &InputError{CodeGap, "share of the lift", "is " + share.String(), "the gap takes up part of the lift, between 0 and 1"}
	}
	lift := gap.Metres() / g
	perCam := slope / d.turns()
	flank := math.Pi / perCam * math.Sqrt(gap.Metres()*(lift-gap.Metres()))
	return Breaker{Lift: units.Metres(lift), Flank: units.CamDegrees(flank), Drive: d}, nil
}

// FromDwell returns the breaker that has a dwell at a gap, where the gap takes
// up a share of the lift and the lobe stays up over a top. The error is an
// *InputError.
func FromDwell(gap units.Length, dwell units.CamAngle, share units.Ratio, top units.CamAngle, d Drive) (Breaker, error) {
	g := share.Number()
	open := d.Period().CamDegrees() - dwell.CamDegrees()
	if g <= 0 || g >= 1 || gap.Metres() <= 0 {
		return Breaker{}, &InputError{CodeGap, "share of the lift", "is " + share.String() + " at a gap of " + gap.String(), "the gap takes up part of the lift, between 0 and 1"}
	}
	if dwell.CamDegrees() <= 0 || open <= top.CamDegrees() {
		return Breaker{}, &InputError{CodeAngle, "dwell", "of " + dwell.String() + " leaves no room for the lobe in " + d.Period().String(), "give the degrees that the points are closed, of that shaft"}
	}
	rise := 1 - partAt(g) // share of the flank above the opening
	return Breaker{
		Lift: units.Metres(gap.Metres() / g), Flank: units.CamDegrees((open - top.CamDegrees()) / 2 / rise), Top: top, Drive: d,
	}, nil
}

// partAt returns how far up the flank, 0 to 1, the points part where the gap
// takes up a share g of the lift.
func partAt(g float64) float64 { return math.Acos(2*g-1) / math.Pi }

// share returns the gap as a share of the lift, in [0, 1].
func (b Breaker) share(gap units.Length) (float64, error) {
	g := gap.Metres() / b.Lift.Metres()
	if !(b.Lift.Metres() > 0) || b.Flank.CamDegrees() <= 0 {
		return 0, &InputError{CodeNotPositive, "lobe", "has no lift or no flank", "make it with FromSlope or FromDwell"}
	}
	if g < 0 || g > 1 {
		return 0, &InputError{CodeGap, "points gap", fmt.Sprintf("of %s is more than the lobe lifts, %s", gap, b.Lift.Quantity().Display()), "the points would never close"}
	}
	return g, nil
}

// OpensBeforeTop returns how far before the middle of the lobe the points part
// when set to a gap, in degrees of the breaker's shaft. The error is an
// *InputError: a gap greater than the lift, with which they never close.
func (b Breaker) OpensBeforeTop(gap units.Length) (units.CamAngle, error) {
	g, err := b.share(gap)
	return units.CamDegrees(b.Top.CamDegrees()/2 + b.Flank.CamDegrees()*(1-partAt(g))), err
}

// Dwell returns the angle of the breaker's shaft during which the points are
// closed, and its share of the time between two sparks.
func (b Breaker) Dwell(gap units.Length) (units.CamAngle, units.Ratio, error) {
	half, err := b.OpensBeforeTop(gap)
	dwell := units.CamDegrees(b.Drive.Period().CamDegrees() - 2*half.CamDegrees())
	return dwell, b.Drive.DwellShare(dwell), err
}

// Slope returns how fast the contacts part at the moment they open, as length
// for each crank degree: also how much gap moves the timing by one degree. It
// is zero at the ends, where the flank is flat.
func (b Breaker) Slope(gap units.Length) (units.LengthPerCrankAngle, error) {
	if _, err := b.share(gap); err != nil {
		return units.LengthPerCrankAngle{}, err
	}
	g := gap.Metres()
	perCam := math.Pi / b.Flank.CamDegrees() * math.Sqrt(math.Max(0, g*(b.Lift.Metres()-g)))
	q, _ := units.FromSI(units.KindLengthPerCrankAngle, perCam*b.Drive.turns()).LengthPerCrankAngle()
	return q, nil
}

// Earlier returns how many crank degrees earlier the points open when the gap
// is changed; negative is later. It follows the curve and so holds for large
// changes, where a bare slope does not. The uncertainty is first order in each
// gap, and stays finite at the ends of the flank.
func (b Breaker) Earlier(from, to Measured[units.Length]) (Measured[units.CrankAngle], error) {
	g, err := b.share(from.Value)
	if err != nil {
		return Measured[units.CrankAngle]{}, err
	}
	h, err := b.share(to.Value)
	if err != nil {
		return Measured[units.CrankAngle]{}, err
	}
	flank := b.Flank.CamDegrees() / b.Drive.turns()
	lift := b.Lift.Metres()
	in := [...]meter.Input{
		{Sensitivity: flank, Uncertainty: partDoubt(g, from.Uncertainty.Metres()/lift)},
		{Sensitivity: flank, Uncertainty: partDoubt(h, to.Uncertainty.Metres()/lift)},
	}
	return Measured[units.CrankAngle]{units.CrankDegrees(flank * (partAt(g) - partAt(h))), units.CrankDegrees(meter.Combine(in[:], nil))}, nil
}

// partDoubt is how far along the flank one standard uncertainty of a share
// reaches: by the slope, or close to the ends, where the flank is flat, half
// the way between the shares one u either way.
func partDoubt(g, u float64) float64 {
	if u == 0 {
		return 0
	}
	if g-3*u > 0 && g+3*u < 1 {
		return u / (math.Pi * math.Sqrt(g*(1-g)))
	}
	return (partAt(math.Max(0, g-u)) - partAt(math.Min(1, g+u))) / 2
}

// ContactSpeed returns how fast the contacts part at a crank speed, in metres a
// second: the slope times 6° a second for each rpm. Slow parting lets the arc
// live longer.
func (b Breaker) ContactSpeed(gap units.Length, crank units.Speed) (metresPerSecond float64, err error) {
	s, err := b.Slope(gap)
	return s.Quantity().SI() * 6 * math.Abs(crank.RPM()), err
}
