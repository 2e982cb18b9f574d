package spark

import (
	"fmt"
	"math"

	"gapbook.example/units"
)

// A Demand is what the plug's gap asks for at the moment of the spark: the gap
// and the gas in it. The zero Demand asks for nothing and is refused.
type Demand struct {
	// Gap of the plug.
	Gap units.Length
	// Compression is the geometric ratio: volume at bottom over volume at top
	// dead centre, more than 1.
	Compression float64
	// RodRatio is the length of the connecting rod over the crank's radius,
	// more than 1.
	RodRatio float64
	// Spark is when it comes.
	Spark units.CrankAngle
	// Closes is when the intake (or the last port) closes and compression
	// begins; the zero value stands for bottom dead centre. 40° after bottom
	// is 140° BTDC.
	Closes units.CrankAngle
	// Pressure and Temperature of the charge as compression begins, with the
	// burnt gas that stayed: low pressure is a closed throttle, high
	// temperature a hot engine and much burnt gas.
	Pressure    units.Pressure
	Temperature units.Temperature
	// Kept is the share of the charge that rings and valves keep in until the
	// spark; nought counts as all of it.
	Kept float64
	// Conditions are what the plug is like; [SituationsFor] makes Factors of
	// them, and Kilovolts does not look at them.
	Conditions Conditions
	// Factors are what else raises or lowers the voltage.
	Factors []Factor
}

// A Factor multiplies the voltage of the plain gap by something between Low
// and High.
type Factor struct {
	// Name in plain words: "worn electrodes".
	Name string
	// Low and High are more than nought; 1 changes nothing.
	Low, High float64
}

// A Band is a voltage known within limits.
type Band struct{ Low, High units.Voltage }

// Need is what a demand comes to.
type Need struct {
	// Pressure and Temperature at the spark, by the polytrope of exponent 1.3
	// (common practice for a cranked or cold engine).
	Pressure    units.Pressure
	Temperature units.Temperature
	// Density of the gas at the spark, over that of air at 20 °C and 760 torr.
	// It does not depend on the polytrope.
	Density float64
	// Plain is the uniform-field voltage at that density.
	Plain units.Voltage
	// Band is Plain times the factors.
	Band Band
}

// polytropic is the exponent of compression (common practice).
const polytropic = 1.3

// VolumeRatio is the cylinder's volume at a crank angle over that at top dead
// centre, exactly, for a straight slider-crank with the pin on the bore's axis.
func VolumeRatio(compression, rodRatio float64, at units.CrankAngle) float64 {
	sin, cos := math.Sincos(at.BTDC() * math.Pi / 180)
	// λ - √(λ² - sin²) without cancellation.
	rise := sin * sin / (rodRatio + math.Sqrt(rodRatio*rodRatio-sin*sin))
	return 1 + (compression-1)/2*(1-cos+rise)
}

// Kilovolts works out what the gap asks for. The error is a [Problems].
func (d Demand) Kilovolts() (Need, error) {
	var ps Problems
	need := func(ok bool, key, format string, args ...any) {
		if !ok {
			ps = append(ps, Problem{"demand." + key, fmt.Sprintf(format, args...), ""})
		}
	}
	need(d.Gap.Millimetres() > 0 && d.Gap.Millimetres() <= 100, "gap", "it is %v, and has to be more than nought and at most 100 mm", d.Gap)
	need(d.Compression > 1 && d.Compression <= 100, "compression", "it is %v, and has to be more than 1 and at most 100", d.Compression)
	need(d.RodRatio > 1 && d.RodRatio <= 1000, "rod_ratio", "it is %v, and has to be more than 1 and at most 1000: a rod shorter than the crank's radius cannot turn", d.RodRatio)
	need(math.Abs(d.Spark.BTDC()) <= 180, "spark", "it is %v, and has to be within half a turn of top dead centre", d.Spark)
	need(math.Abs(d.Closes.BTDC()) <= 360, "closes", "it is %v, and has to be within a turn of top dead centre", d.Closes)
	need(d.Pressure.Pascals() > 0 && d.Pressure.Bars() <= 100, "pressure", "it is %v, and has to be more than nought (it is absolute, not gauge) and at most 100 bar", d.Pressure)
	need(d.Temperature.Kelvins() >= 100 && d.Temperature.Kelvins() <= 3000, "temperature", "it is %v, and has to be between 100 K and 3000 K", d.Temperature)
	need(d.Kept >= 0 && d.Kept <= 1, "kept", "it is %v, and has to be a share between 0 and 1", d.Kept)
	for _, f := range d.Factors {
		need(f.Low > 0 && f.High >= f.Low && f.High <= 100, "factors", "%s runs from %v to %v, and has to run from more than nought upwards, to 100 at most", f.Name, f.Low, f.High)
	}
	if ps != nil {
		return Need{}, ps
	}
	closes := d.Closes
	if closes.IsZero() {
		closes = units.BTDC(180)
	}
	squeeze := VolumeRatio(d.Compression, d.RodRatio, closes) / VolumeRatio(d.Compression, d.RodRatio, d.Spark)
	kept := d.Kept
	if kept == 0 {
		kept = 1
	}
	var n Need
	n.Density = AirDensity(d.Pressure, d.Temperature) * squeeze * kept
	t := d.Temperature.Kelvins() * math.Pow(squeeze, polytropic-1)
	n.Temperature, _ = units.FromSI(units.KindTemperature, t).Temperature()
	n.Pressure, _ = units.FromSI(units.KindPressure, d.Pressure.Pascals()*kept*math.Pow(squeeze, polytropic)).Pressure()
	n.Plain = UniformField(d.Gap, n.Density)
	low, high := 1.0, 1.0
	for _, f := range d.Factors {
		low *= f.Low
		high *= f.High
	}
	n.Band = Band{n.Plain.Scale(low), n.Plain.Scale(high)}
	return n, nil
}

// A Situation is one way in which the engine runs: cranking on a sagging
// battery, idling, loaded.
type Situation struct {
	Name  string
	Speed units.Speed
	// Battery is the voltage then; nought keeps that of the parts.
	Battery units.Voltage
	// Demand is what the cylinder asks for then.
	Demand Demand
}

// A Reserve is what is on hand over what is needed in one situation.
type Reserve struct {
	Situation Situation
	Event     Event
	Need      Need
	// Low is available over the most that may be needed, High over the least:
	// below 1 the plug may miss.
	Low, High float64
}

// Reserves works out the reserve in every situation, with the gap firing at
// the middle of its band where it can. The error is that of [Compute] or of
// [Demand.Kilovolts], with the situation's name in its keys.
func Reserves(p *Parts, situations []Situation) ([]Reserve, error) {
	return reserves(situations, p.Plug, func(s Situation, plug Plug) (Event, error) {
		q := *p
		q.Run.Speed, q.Plug = s.Speed, plug
		if !s.Battery.IsZero() {
			q.Battery.Voltage = s.Battery
		}
		return Compute(&q)
	})
}
