package meter

import (
	"math"

	"gapbook.example/units"
)

// estimate is a reading turned into numbers, all in the SI unit of its kind:
// the best value, the half width of a feeler interval about it, and the parts
// of the standard uncertainty.
type estimate struct {
	value, halfWidth               float64
	meter, step, lead, temperature float64
}

// uncertainty returns the combined standard uncertainty. The parts come from
// different causes and are taken as uncorrelated; the lead zero is read on the
// same meter, where treating its error as independent errs on the careful side.
func (e estimate) uncertainty() float64 {
	parts := [...]Input{{1, e.meter}, {1, e.step}, {1, e.lead}, {1, e.temperature}}
	return Combine(parts[:], nil)
}

// byMeter is the part that a better meter would make smaller.
func (e estimate) byMeter() float64 {
	parts := [...]Input{{1, e.meter}, {1, e.step}, {1, e.lead}}
	return Combine(parts[:], nil)
}

// estimateOf combines what is known of a Single or Interval reading.
//
//   - the meter's promise is a limit of error, percentage, counts and amount
//     added, and becomes limit/√3 (GUM 4.3.7);
//   - the last digit shown adds step/√12 (GUM F.2.2.1), twice that for "about";
//     but a promise in a fixed amount alone, a blade's or a gauge's, covers the
//     reading of it too: "0.5 mm" on a 0.50 mm blade is not 0.45 to 0.55 mm;
//   - the lead zero is taken off and brings the same two parts of its own;
//   - a copper winding is brought to the band's temperature.
func estimateOf(r Reading, b Band, rule Rule) (estimate, Assumption) {
	var e estimate
	var assumed Assumption
	if r.Form == Interval {
		low, high := r.Low.SI(), r.High.SI()
		e.value, e.halfWidth = low+(high-low)/2, (high-low)/2
	} else {
		e.value = r.Value.SI()
		step := r.Step.SI()
		if r.About {
			step *= 2
			assumed |= AboutWidened
		}
		if r.About || !r.Accuracy.coversDigits(r.Kind) {
			e.step = Resolution(step)
		}
	}
	e.meter = Rectangular(r.Accuracy.limit(r.Kind, e.value, r.Step.SI()))
	if zero, ok := leadZero(r); ok {
		e.value -= zero
		step := r.LeadZeroStep.SI()
		own := [...]Input{{1, Rectangular(r.Accuracy.limit(r.Kind, zero, step))}, {1, Resolution(step)}}
		if r.Accuracy.coversDigits(r.Kind) {
			own[1].Uncertainty = 0
		}
		e.lead = Combine(own[:], nil)
	}
	if rule.Copper && r.Kind == units.KindResistance {
		assumed |= e.toBandTemperature(r, b, rule)
	}
	return e, assumed
}

// leadZero returns the ohms to take off, and whether there are any.
func leadZero(r Reading) (ohms float64, ok bool) {
	if r.Kind != units.KindResistance || r.LeadZero.Kind() != units.KindResistance {
		return 0, false
	}
	ohms = r.LeadZero.SI()
	return ohms, ohms != 0 && isFinite(ohms)
}

// toBandTemperature brings a copper resistance to the temperature that the
// band holds at, R' = R (234.5 + T)/(234.5 + t), and adds what the doubt about
// t and T brings: |dR'/dt| = R'/(234.5 + t), |dR'/dT| = R'/(234.5 + T).
//
// Where one of the two is not known, it is taken as the ambient, give or take
// the spread. Where neither is, they are taken as equal, give or take the
// spread: saying a temperature must never make an answer less certain.
//
// Source: the resistance of copper vanishes, inferred, at -234.5 °C: IEC
// 60034-1 and IEEE 118, read in a note on the temperature rise of windings.
func (e *estimate) toBandTemperature(r Reading, b Band, rule Rule) Assumption {
	ambientCelsius := float64(defaultAmbientCelsius)
	if t, ok := rule.Ambient.Get(); ok {
		ambientCelsius = celsius(t)
	}
	spreadKelvin := math.Abs(rule.Spread.Quantity().SI())
	if spreadKelvin == 0 {
		spreadKelvin = defaultSpreadKelvin
	}
	var assumed Assumption
	readAt, ownKelvin := ambientCelsius, 0.0
	if t, ok := r.Temperature.Get(); ok {
		readAt, ownKelvin = celsius(t), math.Abs(r.TemperatureDoubt.Quantity().SI())
	} else {
		assumed |= ReadingTemperatureAssumed
	}
	bandAt := ambientCelsius
	if t, ok := b.Temperature.Get(); ok {
		bandAt = celsius(t)
	} else {
		assumed |= BandTemperatureAssumed
	}
	reading, band := copperZeroCelsius+readAt, copperZeroCelsius+bandAt
	if !(reading > 0) || !(band > 0) {
		return assumed | TemperatureImpossible
	}
	ratio := band / reading
	e.value *= ratio
	e.halfWidth *= ratio
	e.meter *= ratio
	e.step *= ratio
	e.lead *= ratio
	var spreadOver float64 // the assumed temperature's place in the sensitivity
	switch {
	case assumed&ReadingTemperatureAssumed != 0:
		spreadOver = reading
	case assumed&BandTemperatureAssumed != 0:
		spreadOver = band
	default:
		spreadKelvin, spreadOver = 0, reading
	}
	parts := [...]Input{
		{e.value / reading, Rectangular(ownKelvin)},
		{e.value / spreadOver, Rectangular(spreadKelvin)},
	}
	e.temperature = Combine(parts[:], nil)
	return assumed
}

// celsius returns a temperature as the copper rule wants it.
func celsius(t units.Temperature) float64 { return t.Quantity().SI() - kelvinAtZeroCelsius }
