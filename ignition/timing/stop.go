package timing

import (
	"math"

	"gapbook.example/ignition/meter"
	"gapbook.example/units"
)

// A Stop is top dead centre found with a positive stop: a bolt in the plug
// hole that the piston meets on the way up and, turned back, on the way up
// the other way.
type Stop struct {
	// Top is what the degree wheel reads with the piston at its highest:
	// the wheel is wrong by that much.
	Top Measured[units.CrankAngle]
	// Half is half the angle between the two places.
	Half Measured[units.CrankAngle]
	// Depth is how far below its highest point the stop holds the piston; the
	// zero Measured where the engine's geometry is not known.
	Depth Measured[units.Length]
}

// MiddleOfStop finds top dead centre as the middle of two readings of a degree
// wheel, first with the stop met before top dead centre, then after it. It is
// right for engines without offset. The error is an *InputError.
//
// Source: common practice; the slider-crank without offset is the same on both
// sides of top dead centre.
func MiddleOfStop(first, second Measured[units.CrankAngle]) (Stop, error) {
	a, b := first.Value.BTDC(), second.Value.BTDC()
	if a <= b || a-b >= 360 {
		return Stop{}, &InputError{CodeStop, "positive stop", "was met at " + first.Value.String() + " and then at " + second.Value.String(),
			"the first reading is taken before top dead centre, the second after it, less than a turn apart"}
	}
	u := units.CrankDegrees(math.Hypot(first.Uncertainty.BTDC(), second.Uncertainty.BTDC()) / 2)
	return Stop{Top: Measured[units.CrankAngle]{units.BTDC((a + b) / 2), u}, Half: Measured[units.CrankAngle]{units.CrankDegrees((a - b) / 2), u}}, nil
}

// Stop finds top dead centre from a positive stop. Where the cylinder is
// offset the two places do not lie alike about top dead centre, and their
// middle is put right by
//
//	tan c = e x / (e² + y yt)
//
// (see slider.go), with x the depth of the stop, which the half angle gives by
// the law of cosines: d = r cos β + √(l² - r² sin² β), y = √(d² - e²).
func (c Crank) Stop(first, second Measured[units.CrankAngle]) (Stop, error) {
	if c.k.strokeM <= 0 {
		return Stop{}, noGeometry()
	}
	s, err := MiddleOfStop(first, second)
	if err != nil {
		return Stop{}, err
	}
	beta := s.Half.Value.BTDC() * radPerDeg
	depth, turn, deeper := c.k.stop(beta)
	s.Top.Value = s.Top.Value.Add(units.CrankDegrees(turn * degPerRad))
	// The depth follows the half angle alone; the middle also follows the
	// offset, and what stroke and rod do to so small a correction is left out.
	partStroke, partRod, partOffset := c.k.partials(c.k.at(turn - beta))
	in := [...]meter.Input{
		{Sensitivity: deeper, Uncertainty: s.Half.Uncertainty.BTDC() * radPerDeg},
		{Sensitivity: partStroke, Uncertainty: c.stroke.Uncertainty.Metres()},
		{Sensitivity: partRod, Uncertainty: c.rod.Uncertainty.Metres()},
		{Sensitivity: partOffset, Uncertainty: c.offset.Uncertainty.Metres()},
	}
	s.Depth = Measured[units.Length]{units.Metres(depth), units.Metres(meter.Combine(in[:], nil))}
	if u := c.offset.Uncertainty.Metres(); u > 0 {
		perMetre := depth / ((c.k.topM - depth) * c.k.topM)
		s.Top.Uncertainty = units.CrankDegrees(math.Hypot(s.Top.Uncertainty.BTDC(), perMetre*degPerRad*u))
	}
	return s, nil
}

// stop returns the drop at which the two places lie β radians either side of
// their middle, how far that middle lies after top dead centre, and how much
// deeper the drop gets for each radian of β.
func (k *slider) stop(beta float64) (dropM, turnRad, deeperM float64) {
	sin, cos := math.Sincos(beta)
	r := k.radiusM
	root := math.Sqrt(k.rodM*k.rodM - r*r*sin*sin)
	d := r*cos + root
	y := math.Sqrt(d*d - k.offsetM*k.offsetM)
	dropM = k.topM - y
	if k.offsetM != 0 {
		turnRad = math.Atan2(k.offsetM*dropM, k.offsetM*k.offsetM+y*k.topM)
	}
	return dropM, turnRad, d / y * r * sin * (1 + r*cos/root)
}
