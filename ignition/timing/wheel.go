package timing

import (
	"math"

	"gapbook.example/ignition/meter"
	"gapbook.example/units"
)

// A Wheel is a flywheel, a pulley or a rotor on whose rim an angle is measured
// as a length. Make one with [NewWheel] or [WheelAround]; the zero Wheel has
// no rim and every conversion with it is an error.
type Wheel struct {
	diameter Measured[units.Length]
}

// NewWheel returns a wheel of a diameter. The error is an *InputError: a
// diameter that is not over nought.
func NewWheel(diameter Measured[units.Length]) (Wheel, error) {
	if diameter.Value.Metres() <= 0 {
		return Wheel{}, noWheel(diameter.Value)
	}
	return Wheel{diameter}, nil
}

// WheelAround returns the wheel that a tape or paper strip of a thickness goes
// once around: the middle of the strip lies half its thickness outside the
// rim, so d = c/π - t.
func WheelAround(circumference, thickness Measured[units.Length]) (Wheel, error) {
	in := [...]meter.Input{
		{Sensitivity: 1 / math.Pi, Uncertainty: circumference.Uncertainty.Metres()},
		{Sensitivity: 1, Uncertainty: thickness.Uncertainty.Metres()},
	}
	d := circumference.Value.Metres()/math.Pi - thickness.Value.Metres()
	return NewWheel(Measured[units.Length]{units.Metres(d), units.Metres(meter.Combine(in[:], nil))})
}

// Diameter returns the diameter of the rim.
func (w Wheel) Diameter() Measured[units.Length] { return w.diameter }

// Arc returns the length along the rim of a crank angle, up to a whole turn
// either way; it has the sign of the angle, before top dead centre positive.
//
// Source: the arc of a circle, s = π d θ/360.
func (w Wheel) Arc(a Measured[units.CrankAngle]) (Measured[units.Length], error) {
	return w.Strip(a, Measured[units.Length]{})
}

// Strip returns the length of a strip of a thickness that lies around the rim
// over a crank angle: its middle lies half the thickness outside the rim, so
// s = π (d + t) θ/360.
func (w Wheel) Strip(a Measured[units.CrankAngle], thickness Measured[units.Length]) (Measured[units.Length], error) {
	d, deg := w.diameter.Value.Metres()+thickness.Value.Metres(), a.Value.BTDC()
	if err := w.check(deg, 360); err != nil {
		return Measured[units.Length]{}, err
	}
	perDegree := math.Pi / 360 * d
	perDiameter := math.Pi / 360 * deg
	in := [...]meter.Input{
		{Sensitivity: perDegree, Uncertainty: a.Uncertainty.BTDC()},
		{Sensitivity: perDiameter, Uncertainty: w.diameter.Uncertainty.Metres()},
		{Sensitivity: perDiameter, Uncertainty: thickness.Uncertainty.Metres()},
	}
	return Measured[units.Length]{units.Metres(perDegree * deg), units.Metres(meter.Combine(in[:], nil))}, nil
}

// OfArc returns the crank angle of a length along the rim. See [Wheel.Arc].
func (w Wheel) OfArc(arc Measured[units.Length]) (Measured[units.CrankAngle], error) {
	return w.OfStrip(arc, Measured[units.Length]{})
}

// OfStrip returns the crank angle under a length of a strip that lies around
// the rim. See [Wheel.Strip].
func (w Wheel) OfStrip(length, thickness Measured[units.Length]) (Measured[units.CrankAngle], error) {
	d := w.diameter.Value.Metres() + thickness.Value.Metres()
	if w.diameter.Value.Metres() <= 0 || d <= 0 {
		return Measured[units.CrankAngle]{}, noWheel(w.diameter.Value)
	}
	perMetre := 360 / (math.Pi * d)
	deg := length.Value.Metres() * perMetre
	if math.Abs(deg) > 360*(1+1e-12) {
		return Measured[units.CrankAngle]{}, &InputError{CodeDistance, "length on the rim", "of " + length.Value.String() + " is more than once around", "measure from the nearest mark"}
	}
	in := [...]meter.Input{
		{Sensitivity: perMetre, Uncertainty: length.Uncertainty.Metres()},
		{Sensitivity: deg / d, Uncertainty: w.diameter.Uncertainty.Metres()},
		{Sensitivity: deg / d, Uncertainty: thickness.Uncertainty.Metres()},
	}
	return Measured[units.CrankAngle]{units.BTDC(deg), units.CrankDegrees(meter.Combine(in[:], nil))}, nil
}

// Chord returns the straight distance between two marks on the rim that lie a
// crank angle apart, up to half a turn either way: what a rule or dividers
// measure. It has the sign of the angle.
//
// Source: the chord of a circle, s = d sin(θ/2).
func (w Wheel) Chord(a Measured[units.CrankAngle]) (Measured[units.Length], error) {
	d, deg := w.diameter.Value.Metres(), a.Value.BTDC()
	if err := w.check(deg, 180); err != nil {
		return Measured[units.Length]{}, err
	}
	sin, cos := math.Sincos(deg * radPerDeg / 2)
	in := [...]meter.Input{
		{Sensitivity: d * cos * radPerDeg / 2, Uncertainty: a.Uncertainty.BTDC()},
		{Sensitivity: sin, Uncertainty: w.diameter.Uncertainty.Metres()},
	}
	return Measured[units.Length]{units.Metres(d * sin), units.Metres(meter.Combine(in[:], nil))}, nil
}

// OfChord returns the crank angle between two marks on the rim that stand a
// straight distance apart. See [Wheel.Chord]. Within three standard
// uncertainties of straight across the wheel, where the chord hardly grows, the
// uncertainty is half the angle between the chords one uncertainty either way.
func (w Wheel) OfChord(chord Measured[units.Length]) (Measured[units.CrankAngle], error) {
	d := w.diameter.Value.Metres()
	if d <= 0 {
		return Measured[units.CrankAngle]{}, noWheel(w.diameter.Value)
	}
	share := chord.Value.Metres() / d
	if math.Abs(share) > 1 {
		return Measured[units.CrankAngle]{}, &InputError{CodeDistance, "chord", "of " + chord.Value.String() + " is longer than the wheel is wide, " + w.diameter.Value.String(), "measure straight from mark to mark"}
	}
	perMetre := 2 / (d * math.Sqrt(1-share*share)) // infinite straight across the wheel
	in := [...]meter.Input{
		{Sensitivity: 1, Uncertainty: chord.Uncertainty.Metres()},
		{Sensitivity: share, Uncertainty: w.diameter.Uncertainty.Metres()},
	}
	doubt := meter.Combine(in[:], nil)
	value, u := 2*math.Asin(share), 0.0
	switch {
	case doubt == 0:
	case (1-math.Abs(share))*d < 3*doubt:
		u = math.Abs(2*math.Asin(math.Min(1, math.Abs(share)+doubt/d))-2*math.Asin(math.Max(-1, math.Abs(share)-doubt/d))) / 2
	default:
		u = perMetre * doubt
	}
	return Measured[units.CrankAngle]{units.BTDC(value * degPerRad), units.CrankDegrees(u * degPerRad)}, nil
}

// KeyOffset returns how far a wheel sits turned on its shaft, in degrees of
// that shaft, where its keyway stands beside the shaft's by a step, measured
// straight across at the surface of the shaft: the step of a sheared or an
// offset key.
//
// Source: the chord of the shaft, θ = 2 asin(step/diameter).
func KeyOffset(step, shaft Measured[units.Length]) (Measured[units.CrankAngle], error) {
	w, err := NewWheel(shaft)
	if err != nil {
		return Measured[units.CrankAngle]{}, err
	}
	return w.OfChord(step)
}

// EdgeGap returns the length, at the rim of a magneto's rotor, of an angle of
// the rotor: s = π d θ/360.
func EdgeGap(a Measured[units.MagnetAngle], rotor Measured[units.Length]) (Measured[units.Length], error) {
	w, err := NewWheel(rotor)
	if err != nil {
		return Measured[units.Length]{}, err
	}
	return w.Arc(Measured[units.CrankAngle]{units.CrankDegrees(a.Value.MagnetDegrees()), units.CrankDegrees(a.Uncertainty.MagnetDegrees())})
}

// OfEdgeGap returns the angle of a magneto's rotor for a length at its rim.
func OfEdgeGap(length, rotor Measured[units.Length]) (Measured[units.MagnetAngle], error) {
	w, err := NewWheel(rotor)
	if err != nil {
		return Measured[units.MagnetAngle]{}, err
	}
	a, err := w.OfArc(length)
	return Measured[units.MagnetAngle]{units.MagnetDegrees(a.Value.BTDC()), units.MagnetDegrees(a.Uncertainty.BTDC())}, err
}

func (w Wheel) check(deg, most float64) error {
	if w.diameter.Value.Metres() <= 0 {
		return noWheel(w.diameter.Value)
	}
	if math.Abs(deg) > most {
		return &InputError{CodeAngle, "angle on the wheel", "of " + units.CrankDegrees(math.Abs(deg)).Quantity().Text("°", 1) + " is too far for this measure", "measure from the nearest mark"}
	}
	return nil
}

func noWheel(d units.Length) error {
	return &InputError{CodeNotPositive, "wheel diameter", "is " + d.String(), "measure across the rim, or once around it"}
}
