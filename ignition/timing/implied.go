package timing

import (
	"math"

	"gapbook.example/units"
)

// ImpliedStroke returns the stroke of an engine without offset whose piston
// stands a distance below the top at a crank angle, for a rod of so many
// strokes:
//
//	x = S/2 (1 - cos θ + 2k - √(4k² - sin² θ)),  k = rod/stroke
//
// It tells what stroke a printed pair of degrees and millimetres was made for.
// The error is an *InputError: an angle of nought or beyond half a turn, a
// ratio of half or less.
func ImpliedStroke(a units.CrankAngle, x units.Length, rodPerStroke units.Ratio) (units.Length, error) {
	deg, k := math.Abs(a.BTDC()), rodPerStroke.Number()
	if deg == 0 || deg > 180 || x.Metres() <= 0 || k <= 0.5 {
		return units.Length{}, &InputError{CodeNothing, "pair", "of " + a.String() + " and " + x.String() + " with a rod of " + rodPerStroke.String() + " strokes fixes no stroke", "give an angle and a distance away from top dead centre"}
	}
	half, sin := math.Sin(deg*radPerDeg/2), math.Sin(deg*radPerDeg)
	per := half*half + sin*sin/(2*(2*k+math.Sqrt(4*k*k-sin*sin)))
	return units.Metres(x.Metres() / per), nil
}

// ImpliedRod returns the length of the connecting rod of an engine without
// offset whose piston stands a distance below the top at a crank angle, for a
// stroke:
//
//	q = x - r (1 - cos θ),  l = (r² sin² θ + q²) / (2 q),  r = S/2
//
// ok is false where no rod does it: the piston is not further down than with
// an endless rod, or further than with the shortest that can be turned over.
func ImpliedRod(a units.CrankAngle, x, stroke units.Length) (rod units.Length, ok bool) {
	r, deg := stroke.Metres()/2, a.BTDC()
	if r <= 0 || math.Abs(deg) > 180 {
		return units.Length{}, false
	}
	half, sin := math.Sin(deg*radPerDeg/2), math.Sin(deg*radPerDeg)
	q := x.Metres() - 2*r*half*half
	if q <= 0 || sin == 0 {
		return units.Length{}, false
	}
	l := (r*r*sin*sin + q*q) / (2 * q)
	// A second root exists where q is greater than the rod: the piston below
	// the crank pin.
	if !isFinite(l) || l <= r || l < q {
		return units.Length{}, false
	}
	return units.Metres(l), true
}
