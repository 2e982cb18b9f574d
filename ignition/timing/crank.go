package timing

import (
	"math"

	"gapbook.example/ignition/meter"
	"gapbook.example/units"
)

// A Crank is a piston on a connecting rod and a crank: the slider-crank,
// exact, with or without an offset cylinder. Make one with [NewCrank]; the
// zero Crank has no geometry and every conversion with it is an error.
//
// Distances are those of the piston from its highest point, along the bore.
// Angles count from the crank's place with the piston there, which with an
// offset cylinder is not the place where the crank points along the bore.
type Crank struct {
	stroke, rod, offset Measured[units.Length]
	k                   slider
}

// A Geometry is what a Crank is made from.
type Geometry struct {
	// Stroke is the whole travel of the piston, top to bottom.
	Stroke Measured[units.Length]
	// Rod is the length of the connecting rod between the centres of its eyes.
	Rod Measured[units.Length]
	// Offset (désaxé) is how far the axis of the cylinder stands beside that
	// of the crank, positive towards the side on which the crank pin comes
	// down after top dead centre; zero is the usual engine.
	Offset Measured[units.Length]
}

// NewCrank returns the crank of a geometry. The error is an *InputError: a
// stroke or rod that is not over nought, or a rod not longer than half the
// stroke plus the offset. The three inputs are taken as independent.
func NewCrank(g Geometry) (Crank, error) {
	stroke, rod, offset := g.Stroke.Value.Metres(), g.Rod.Value.Metres(), g.Offset.Value.Metres()
	switch {
	case stroke <= 0:
		return Crank{}, &InputError{CodeNotPositive, "stroke", "is " + g.Stroke.Value.String(), "give the whole travel of the piston, such as 60 mm"}
	case rod <= 0:
		return Crank{}, &InputError{CodeNotPositive, "rod", "is " + g.Rod.Value.String(), "give the length between the centres of its eyes"}
	case rod <= stroke/2+math.Abs(offset):
		return Crank{}, &InputError{CodeShortRod, "rod", "of " + g.Rod.Value.String() + " is not longer than half the stroke plus the offset, " +
			units.Metres(stroke/2+math.Abs(offset)).Quantity().Display(), "the engine could not turn over: measure rod and stroke again"}
	}
	return Crank{g.Stroke, g.Rod, g.Offset, newSlider(stroke, rod, offset)}, nil
}

// RodFromRatio returns the length of a connecting rod that nobody measured,
// from a band of rod lengths in strokes. Since piston travel goes with the
// lean of the rod, any stroke/rod between the ends is taken as equally likely
// (GUM 4.3.7): the middle is the harmonic mean of the ends, and first-order
// uncertainties hold. It returns nought for a band that is not over nought.
func RodFromRatio(stroke units.Length, low, high units.Ratio) Measured[units.Length] {
	l, h := low.Number(), high.Number()
	if l <= 0 || h < l {
		return Measured[units.Length]{}
	}
	ratio := 2 * l * h / (l + h)
	doubt := ratio * ratio * meter.Rectangular((1/l-1/h)/2)
	return Measured[units.Length]{stroke.Scale(ratio), stroke.Scale(doubt)}
}

// Stroke returns the whole travel of the piston.
func (c Crank) Stroke() Measured[units.Length] { return c.stroke }

// Rod returns the length of the connecting rod.
func (c Crank) Rod() Measured[units.Length] { return c.rod }

// Offset returns how far the cylinder stands beside the crank.
func (c Crank) Offset() Measured[units.Length] { return c.offset }

// Radius returns the throw of the crank: half the stroke, or a little less
// where the cylinder is offset.
func (c Crank) Radius() units.Length { return units.Metres(c.k.radiusM) }

// Reversed returns the same engine turned the other way round: an offset
// changes its side.
func (c Crank) Reversed() Crank {
	c.offset.Value = c.offset.Value.Scale(-1)
	if c.k.strokeM > 0 {
		c.k = newSlider(c.k.strokeM, c.k.rodM, -c.k.offsetM)
	}
	return c
}

// A Side says on which side of top dead centre a piston stands. The zero value
// is Before.
type Side uint8

// The sides.
const (
	Before Side = iota // on the way up: BTDC
	After              // on the way down: ATDC
)

// String returns "before" or "after" top dead centre.
func (s Side) String() string {
	if s == After {
		return "after top dead centre"
	}
	return "before top dead centre"
}

// Piston returns how far the piston stands below its highest point with the
// crank at an angle, from 180° BTDC to 180° ATDC.
//
// The uncertainty is first order in angle, stroke, rod and offset (GUM 5.1.2
// equation 10), with the second-order term of the angle added (GUM 5.1.2,
// note), which is what there is close to top dead centre. The error is an
// *InputError.
//
// Source: slider-crank geometry, x = r + l - r cos θ - √(l² - r² sin² θ)
// without offset, as in any theory of machines text; with offset derived in
// slider.go.
func (c Crank) Piston(a Measured[units.CrankAngle]) (Measured[units.Length], error) {
	deg := a.Value.BTDC()
	if c.k.strokeM <= 0 {
		return Measured[units.Length]{}, noGeometry()
	}
	if deg < -180 || deg > 180 {
		return Measured[units.Length]{}, angleRange(a.Value)
	}
	p := c.k.at(-deg * radPerDeg)
	u := a.Uncertainty.BTDC() * radPerDeg
	partStroke, partRod, partOffset := c.k.partials(p)
	in := [...]meter.Input{
		{Sensitivity: p.slopeM, Uncertainty: u},
		{Sensitivity: p.curveM, Uncertainty: u * u / math.Sqrt2},
		{Sensitivity: partStroke, Uncertainty: c.stroke.Uncertainty.Metres()},
		{Sensitivity: partRod, Uncertainty: c.rod.Uncertainty.Metres()},
		{Sensitivity: partOffset, Uncertainty: c.offset.Uncertainty.Metres()},
	}
	return Measured[units.Length]{units.Metres(p.dropM), units.Metres(meter.Combine(in[:], nil))}, nil
}

// Angle returns the crank angle, on one side of top dead centre, at which the
// piston stands a distance below its highest point.
//
// The uncertainty is first order; where the piston stands within three of its
// own standard uncertainties of either end of its travel, where the crank
// turns and the piston hardly moves, it is half the angle between the
// distances one uncertainty either way. The error is an *InputError: a
// distance below nought or beyond the stroke.
//
// Source: the law of cosines in the triangle of crank, rod and piston pin,
// with the half-angle formula for the angle; derived in slider.go.
func (c Crank) Angle(x Measured[units.Length], side Side) (Measured[units.CrankAngle], error) {
	drop := x.Value.Metres()
	if c.k.strokeM <= 0 {
		return Measured[units.CrankAngle]{}, noGeometry()
	}
	if drop < 0 || drop > c.k.strokeM*(1+1e-12) {
		return Measured[units.CrankAngle]{}, c.distanceRange(x.Value)
	}
	theta := c.k.angle(drop, side)
	p := c.k.at(theta)
	u := x.Uncertainty.Metres()
	partStroke, partRod, partOffset := c.k.partials(p)
	in := [...]meter.Input{
		{Sensitivity: 1, Uncertainty: u},
		{Sensitivity: partStroke, Uncertainty: c.stroke.Uncertainty.Metres()},
		{Sensitivity: partRod, Uncertainty: c.rod.Uncertainty.Metres()},
		{Sensitivity: partOffset, Uncertainty: c.offset.Uncertainty.Metres()},
	}
	doubt := meter.Combine(in[:], nil)
	var uRad float64
	if near := math.Min(drop, c.k.strokeM-drop); near < 3*doubt || p.slopeM == 0 {
		low, high := math.Max(0, drop-doubt), math.Min(c.k.strokeM, drop+doubt)
		uRad = math.Abs(c.k.angle(high, side)-c.k.angle(low, side)) / 2
	} else {
		uRad = math.Abs(doubt / p.slopeM)
	}
	return Measured[units.CrankAngle]{units.BTDC(-theta * degPerRad), units.CrankDegrees(uRad * degPerRad)}, nil
}

// Slope returns how far the piston moves for one crank degree at an angle,
// positive where more advance puts it further below top dead centre.
func (c Crank) Slope(a units.CrankAngle) units.LengthPerCrankAngle {
	q, _ := units.FromSI(units.KindLengthPerCrankAngle, -c.k.at(-a.BTDC()*radPerDeg).slopeM*radPerDeg).LengthPerCrankAngle()
	return q
}

// Bottom returns the crank angle after top dead centre at which the piston is
// at the bottom of its stroke: 180° without offset.
func (c Crank) Bottom() units.CrankAngle { return units.ATDC(c.k.bottomRad * degPerRad) }

// DeadZone returns how far the crank can be turned from top dead centre before
// the piston has gone down by a distance, on the side where that takes longer:
// what a gauge of that resolution cannot see. It is zero for a distance that
// is not over nought, and half a turn beyond the stroke.
func (c Crank) DeadZone(resolution units.Length) units.CrankAngle {
	x := math.Min(resolution.Metres(), c.k.strokeM)
	if x <= 0 {
		return units.CrankAngle{}
	}
	return units.CrankDegrees(math.Max(c.k.angle(x, After), -c.k.angle(x, Before)) * degPerRad)
}

// TopByGauge returns the standard uncertainty of top dead centre found by a
// gauge in the plug hole at the still point of the piston: anywhere in the
// dead zone of the gauge's resolution is equally likely (GUM 4.3.7).
func (c Crank) TopByGauge(resolution units.Length) units.CrankAngle {
	return c.DeadZone(resolution).Scale(1 / math.Sqrt(3))
}

// ZeroError returns how much lower than top dead centre a dial gauge was set
// to nought, where the crank then stood off by the search error: a distance
// that every reading is too small by.
func (c Crank) ZeroError(search units.CrankAngle) units.Length {
	if c.k.strokeM <= 0 {
		return units.Length{}
	}
	return units.Metres(c.k.at(-search.BTDC() * radPerDeg).dropM)
}

// sweptShare returns how much of the swept volume is above the piston at an
// angle: 0 at the top, 1 at the bottom.
func (c Crank) sweptShare(a units.CrankAngle) float64 {
	return c.k.at(-a.BTDC()*radPerDeg).dropM / c.k.strokeM
}

func noGeometry() error {
	return &InputError{CodeNotPositive, "stroke", "is not given", "make the crank with NewCrank"}
}

func angleRange(a units.CrankAngle) error {
	return &InputError{CodeAngle, "crank angle", "of " + a.String() + " is more than half a turn", "count from the nearest top dead centre, 180° at most"}
}

func (c Crank) distanceRange(x units.Length) error {
	if x.Metres() < 0 {
		return &InputError{CodeDistance, "piston distance", "of " + x.String() + " lies above the piston's highest point", "count downwards from top dead centre"}
	}
	return &InputError{CodeDistance, "piston distance", "of " + x.String() + " is longer than the stroke, " + c.stroke.Value.String(), "measure again, from top dead centre"}
}
