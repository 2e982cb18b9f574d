package timing

import (
	"math"

	"gapbook.example/ignition/meter"
	"gapbook.example/units"
)

// Air pressure at sea level and how it falls with height, in the standard
// atmosphere's lowest layer: U.S. Standard Atmosphere 1976 (also ISO 2533:1975),
// p = 101325 Pa (1 - 2.25577e-5 h)^5.25588, h in metres; constants from memory.
const (
	seaLevelPa      = 101325
	lapsePerMetre   = 2.25577e-5
	atmosphereExp   = 5.25588
	highestStandard = 11000 // metres; the layer ends there
)

// AirPressure returns the usual pressure of the air at a height above sea
// level, from 1 km below to 11 km above; beyond that it stays level.
func AirPressure(height units.Length) units.Pressure {
	h := math.Min(math.Max(height.Metres(), -1000), highestStandard)
	return units.Pascals(seaLevelPa * math.Pow(1-lapsePerMetre*h, atmosphereExp))
}

// Compression is the squeezing of a cylinder's charge with nothing lost.
type Compression struct {
	// Ratio is the volume of the cylinder when it closes over that with the
	// piston at the top. The geometric ratio counts from the bottom; see
	// [Crank.RatioFrom] for a valve or port that closes later.
	Ratio Measured[units.Ratio]
	// Exponent is n of p Vⁿ: 1 where the walls take all the heat (slow turns,
	// cold engine), 1.4 where they take none.
	Exponent Measured[units.Ratio]
	// Air is the absolute pressure of the air outside, and of the charge when
	// the cylinder closes.
	Air Measured[units.Pressure]
}

// Absolute returns the absolute pressure with the piston at the top.
//
// Source: the polytropic law, p = p₀ rⁿ; an encyclopaedia article on
// compression ratio has 7.5 to 1 at n = 1.3 as 13.7 bar from 1 bar. The error
// is an *InputError: a ratio below 1, an exponent or a pressure not over
// nought.
func (c Compression) Absolute() (Measured[units.Pressure], error) { return c.pressure(0) }

// Gauge returns what a compression gauge would show: the absolute pressure
// less that of the air outside.
func (c Compression) Gauge() (Measured[units.Pressure], error) { return c.pressure(1) }

func (c Compression) pressure(less float64) (Measured[units.Pressure], error) {
	r, n, air := c.Ratio.Value.Number(), c.Exponent.Value.Number(), c.Air.Value.Pascals()
	switch {
	case r < 1:
		return Measured[units.Pressure]{}, &InputError{CodeNotPositive, "compression ratio", "is " + c.Ratio.Value.String(), "give the whole volume over the volume at the top, 1 or more"}
	case n <= 0 || air <= 0:
		return Measured[units.Pressure]{}, &InputError{CodeNotPositive, "compression", "has an exponent of " + c.Exponent.Value.String() + " in air of " + c.Air.Value.String(), "both are over nought"}
	}
	times := math.Pow(r, n)
	p := air * (times - less)
	if !isFinite(p) {
		return Measured[units.Pressure]{}, &InputError{CodeNothing, "compression", "comes out beyond any number", "look at ratio and exponent"}
	}
	in := [...]meter.Input{
		{Sensitivity: air * n * times / r, Uncertainty: c.Ratio.Uncertainty.Number()},
		{Sensitivity: air * times * math.Log(r), Uncertainty: c.Exponent.Uncertainty.Number()},
		{Sensitivity: times - less, Uncertainty: c.Air.Uncertainty.Pascals()},
	}
	return Measured[units.Pressure]{units.Pascals(p), units.Pascals(meter.Combine(in[:], nil))}, nil
}

// Temperature returns how warm the charge is with the piston at the top, when
// it closed at a temperature.
//
// Source: the polytropic law with the gas law, T = T₀ rⁿ⁻¹.
func (c Compression) Temperature(closed units.Temperature) units.Temperature {
	r, n := c.Ratio.Value.Number(), c.Exponent.Value.Number()
	if r < 1 {
		return closed
	}
	return units.Kelvins(closed.Kelvins() * math.Pow(r, n-1))
}

// RatioFrom returns the compression ratio that counts, where the cylinder
// closes only after the bottom of the stroke: the inlet valve of a four-stroke
// engine, the exhaust port of a two-stroke. The angle is that of the crank
// before top dead centre; the geometric ratio counts from the bottom.
func (c Crank) RatioFrom(geometric units.Ratio, closes units.CrankAngle) (units.Ratio, error) {
	if c.k.strokeM <= 0 {
		return units.Ratio{}, noGeometry()
	}
	if math.Abs(closes.BTDC()) > 180 {
		return units.Ratio{}, angleRange(closes)
	}
	if geometric.Number() < 1 {
		return units.Ratio{}, &InputError{CodeNotPositive, "compression ratio", "is " + geometric.String(), "give the whole volume over the volume at the top, 1 or more"}
	}
	return units.Number(1 + (geometric.Number()-1)*c.sweptShare(closes)), nil
}

// CompressionBand returns what a compression gauge may show on a sound engine
// of a ratio: from n = least, the walls taking the heat of a slow turn, to
// n = most, in the air given. It is a guide for engines whose books print no
// figure: leaks, late valves and releases lower it, and Assumed says so.
func CompressionBand(ratio units.Ratio, least, most units.Ratio, air units.Pressure) (meter.Band, error) {
	var ends [2]units.Pressure
	for i, n := range []units.Ratio{least, most} {
		p, err := Compression{Exactly(ratio), Exactly(n), Exactly(air)}.Gauge()
		if err != nil {
			return meter.Band{}, err
		}
		ends[i] = p.Value
	}
	return meter.Band{
		Min: ends[0].Quantity(), Max: ends[1].Quantity(), Hearsay: true,
		Assumed: "worked out from the compression ratio with nothing lost, for exponents of " + least.String() + " to " + most.String(),
		Source:  "polytropic law",
	}, nil
}
