package timing

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/interp"

	"gapbook.example/ignition/meter"
	"gapbook.example/units"
)

// An Advance is the curve of an advance mechanism: the timing over crank
// speed, straight between its points and level beyond them. Make one with
// [NewAdvance], [TwoSpeeds] or [Fixed]; the zero Advance is top dead centre at
// every speed.
type Advance struct {
	first, last float64 // rpm
	curve       interp.PiecewiseLinear
	fixed       float64 // degrees, where there is no curve
	hasCurve    bool
}

// An AdvancePoint is the timing at a crank speed.
type AdvancePoint struct {
	Speed  units.Speed
	Timing units.CrankAngle
}

// Fixed returns the curve of an engine without an advance mechanism.
func Fixed(timing units.CrankAngle) Advance { return Advance{fixed: timing.BTDC()} }

// NewAdvance returns the curve through points of rising speed. One point is a
// fixed timing. The error is an *InputError.
func NewAdvance(points []AdvancePoint) (Advance, error) {
	if len(points) == 0 {
		return Advance{}, &InputError{CodeCurve, "advance curve", "has no points", "give at least one speed with its timing"}
	}
	if len(points) == 1 {
		return Fixed(points[0].Timing), nil
	}
	xs, ys := make([]float64, len(points)), make([]float64, len(points))
	for i, p := range points {
		xs[i], ys[i] = p.Speed.RPM(), p.Timing.BTDC()
		if i > 0 && xs[i] <= xs[i-1] {
			return Advance{}, &InputError{CodeCurve, "advance curve", fmt.Sprintf("goes from %s to %s", points[i-1].Speed, p.Speed), "give the speeds in rising order, each once"}
		}
	}
	a := Advance{first: xs[0], last: xs[len(xs)-1], hasCurve: true}
	if err := a.curve.Fit(xs, ys); err != nil {
		return Advance{}, &InputError{CodeCurve, "advance curve", "cannot be followed", "give speeds in rising order"}
	}
	return a, nil
}

// TwoSpeeds returns the curve of a mechanism that books describe by the speed
// at which it starts to move, the speed at which it stands at its stop, and
// the timing at each. The error is an *InputError.
func TwoSpeeds(start, full units.Speed, at, fully units.CrankAngle) (Advance, error) {
	return NewAdvance([]AdvancePoint{{start, at}, {full, fully}})
}

// At returns the timing at a crank speed, with the uncertainty that the speed
// brings: the greater of the slopes either side, for the curve has corners.
func (a Advance) At(crank Measured[units.Speed]) Measured[units.CrankAngle] {
	if !a.hasCurve {
		return Measured[units.CrankAngle]{Value: units.BTDC(a.fixed)}
	}
	rpm, u := crank.Value.RPM(), crank.Uncertainty.RPM()
	at := a.predict(rpm)
	doubt := math.Max(math.Abs(a.predict(rpm+u)-at), math.Abs(a.predict(rpm-u)-at))
	return Measured[units.CrankAngle]{units.BTDC(at), units.CrankDegrees(doubt)}
}

// predict follows the curve; beyond its ends it is level.
func (a Advance) predict(rpm float64) float64 { return a.curve.Predict(rpm) }

// Range returns how far the mechanism moves the timing, end to end.
func (a Advance) Range() units.CrankAngle {
	if !a.hasCurve {
		return units.CrankAngle{}
	}
	return units.CrankDegrees(a.predict(a.last) - a.predict(a.first))
}

// ImpulseLag returns by how many crank degrees an impulse coupling retards the
// spark while it works, from its lag in degrees of the magneto and how often
// the magneto turns for one turn of the crank (0.5 at half speed). The error
// is an *InputError.
//
// Source: the ratio of the shafts; a tractor forum has 14° at half speed as
// 28° of the crank.
func ImpulseLag(lag Measured[units.MagnetAngle], turns units.Ratio) (Measured[units.CrankAngle], error) {
	n := turns.Number()
	if n <= 0 {
		return Measured[units.CrankAngle]{}, &InputError{CodeNotPositive, "magneto ratio", "is " + turns.String(), "give the magneto's turns for one turn of the crank, such as 0.5"}
	}
	return Measured[units.CrankAngle]{units.CrankDegrees(lag.Value.MagnetDegrees() / n), units.CrankDegrees(lag.Uncertainty.MagnetDegrees() / n)}, nil
}

// StartTiming returns the timing while an impulse coupling works: the running
// timing less its lag at the crank.
func StartTiming(running, lag Measured[units.CrankAngle]) Measured[units.CrankAngle] {
	in := [...]meter.Input{{Sensitivity: 1, Uncertainty: running.Uncertainty.BTDC()}, {Sensitivity: 1, Uncertainty: lag.Uncertainty.BTDC()}}
	return Measured[units.CrankAngle]{running.Value.Sub(lag.Value), units.CrankDegrees(meter.Combine(in[:], nil))}
}
