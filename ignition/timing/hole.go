package timing

import (
	"math"

	"gapbook.example/ignition/meter"
	"gapbook.example/units"
)

// A Hole is the plug hole that a gauge follows the piston through. The zero
// Hole runs along the bore; one that only stands beside the middle of the bore
// does too, since the whole crown moves alike.
type Hole struct {
	// Slant is the angle between the hole and the bore.
	Slant Measured[units.PlaneAngle]
	// Crown is the slope of the piston's crown where the gauge stands on it,
	// positive where the crown rises in the direction in which the gauge leans
	// as it goes down; zero is a flat crown.
	Crown Measured[units.PlaneAngle]
}

// Gauge returns how far the gauge moves along the hole while the piston moves
// a distance along the bore.
//
// Source: the line of the gauge cut with the plane of the crown,
// s = x cos γ / cos(α - γ) with α the slant and γ the slope of the crown; with
// a flat crown s = x / cos α, which a moped engine's repair book prints (2.5
// and 3.0 mm read 3.5 and 4.2 mm through a hole of 45°).
func (h Hole) Gauge(along Measured[units.Length]) (Measured[units.Length], error) {
	factor, err := h.factor()
	if err != nil {
		return Measured[units.Length]{}, err
	}
	return h.times(along, factor, 1), nil
}

// Bore returns how far the piston moved along the bore while the gauge moved a
// distance along the hole. See [Hole.Gauge].
func (h Hole) Bore(gauge Measured[units.Length]) (Measured[units.Length], error) {
	factor, err := h.factor()
	if err != nil {
		return Measured[units.Length]{}, err
	}
	return h.times(gauge, 1/factor, -1), nil
}

// times multiplies a length by the factor of the hole; power is 1 or -1, as
// the factor is used or its inverse.
func (h Hole) times(x Measured[units.Length], factor, power float64) Measured[units.Length] {
	value := x.Value.Metres() * factor
	slant, crown := h.Slant.Value.Degrees()*radPerDeg, h.Crown.Value.Degrees()*radPerDeg
	tan := math.Tan(slant - crown)
	in := [...]meter.Input{
		{Sensitivity: factor, Uncertainty: x.Uncertainty.Metres()},
		{Sensitivity: power * value * tan, Uncertainty: h.Slant.Uncertainty.Degrees() * radPerDeg},
		{Sensitivity: power * value * (-math.Tan(crown) - tan), Uncertainty: h.Crown.Uncertainty.Degrees() * radPerDeg},
	}
	return Measured[units.Length]{units.Metres(value), units.Metres(meter.Combine(in[:], nil))}
}

// factor is gauge travel over piston travel.
func (h Hole) factor() (float64, error) {
	slant, crown := h.Slant.Value.Degrees(), h.Crown.Value.Degrees()
	if math.Abs(slant) >= 90 || math.Abs(crown) >= 90 || math.Abs(slant-crown) >= 90 {
		return 0, &InputError{CodeSlant, "plug hole", "of " + h.Slant.Value.String() + " on a crown of " + h.Crown.Value.String() + " leaves the gauge nothing to stand on",
			"give the angle between hole and bore, under 90°"}
	}
	return math.Cos(crown*radPerDeg) / math.Cos((slant-crown)*radPerDeg), nil
}

// A Gauge is a dial gauge in the plug hole and what is wrong with it. The zero
// Gauge is perfect.
type Gauge struct {
	// Zero is what it shows with the piston at its highest point, taken off
	// every reading.
	Zero Measured[units.Length]
	// Hole is what it looks through.
	Hole Hole
}

// Piston returns how far the piston stands below its highest point, along the
// bore, for what the gauge shows.
func (g Gauge) Piston(shows Measured[units.Length]) (Measured[units.Length], error) {
	in := [...]meter.Input{{Sensitivity: 1, Uncertainty: shows.Uncertainty.Metres()}, {Sensitivity: 1, Uncertainty: g.Zero.Uncertainty.Metres()}}
	return g.Hole.Bore(Measured[units.Length]{shows.Value.Sub(g.Zero.Value), units.Metres(meter.Combine(in[:], nil))})
}
