package main

import (
	"fmt"

	"gapbook.example/ignition/spark"
	"gapbook.example/specs/table"
	"gapbook.example/units"
)

// A bench is what was measured on the bench, and what is asked the other way
// round; all of it optional.
type bench struct {
	primaryOpen, primaryShorted, secondaryOpen units.Inductance
	ring                                       units.Frequency
	ringCapacitance                            units.Capacitance
	limit                                      units.Current
	temperature                                units.Temperature
	hasTemperature                             bool
	kelvinsPerWatt                             float64
	testGap                                    units.Length
}

var benchFields = []table.Field[set]{
	optional(inductance("primary_open", "inductance of the primary, secondary open", "8 mH", func(p *set, q units.Inductance) { p.bench.primaryOpen = q })),
	optional(inductance("primary_shorted", "inductance of the primary, secondary shorted", "0.3 mH", func(p *set, q units.Inductance) { p.bench.primaryShorted = q })),
	optional(inductance("secondary_open", "inductance of the secondary, primary open", "58 H", func(p *set, q units.Inductance) { p.bench.secondaryOpen = q })),
	optional(value(units.KindFrequency, units.Quantity.Frequency, "ring", "frequency at which the coil rings with a capacitance", "2.25 kHz", func(p *set, q units.Frequency) { p.bench.ring = q })),
	optional(capacitance("ring_capacitance", "that capacitance", "0.22 µF", func(p *set, q units.Capacitance) { p.bench.ringCapacitance = q })),
	optional(current("current_limit", "most that the primary may carry: asks for the ballast", "4 A", func(p *set, q units.Current) { p.bench.limit = q })),
	optional(value(units.KindTemperature, units.Quantity.Temperature, "temperature", "at which the coil's resistance was measured", "20 °C", func(p *set, q units.Temperature) {
		p.bench.temperature, p.bench.hasTemperature = q, true
	})),
	optional(number("thermal_resistance", "of the coil to the air, K/W: asks how hot it gets", "3", func(p *set, x float64) { p.bench.kelvinsPerWatt = x })),
	optional(value(units.KindLength, units.Quantity.Length, "test_gap", "needle gap of a spark tester: asks for the coming-in speed", "5 mm", func(p *set, q units.Length) { p.bench.testGap = q })),
}

// describeBench answers what a bench asks the other way round: what measured
// values make of a coil, and of a battery set the best condenser, the ballast
// for a current, the heat of a key left on and the battery's load.
func describeBench(p *set, is kind, width int) (string, error) {
	w := &words{width: width}
	b := &p.bench
	var lines []string
	say := func(format string, args ...any) { lines = append(lines, fmt.Sprintf(format, args...)) }
	if n := spark.TurnsRatio(b.primaryOpen, b.secondaryOpen); n > 0 {
		say("%s and %s, each with the other winding open, make a turns ratio of %.1f, good to a few per cent.", b.primaryOpen, b.secondaryOpen, n)
	}
	if !b.primaryShorted.IsZero() {
		if k, ok := spark.Coupling(b.primaryOpen, b.primaryShorted); ok {
			say("%s open and %s with the secondary shorted make a coupling of %.4f.", b.primaryOpen, b.primaryShorted, k)
		} else {
			say("%s with the secondary shorted goes with no primary of %s: it has to be less. Was the other winding shorted, and the meter's frequency high?", b.primaryShorted, b.primaryOpen)
		}
	}
	if l := spark.InductanceFromRing(b.ring, b.ringCapacitance); !l.IsZero() {
		say("A ring at %s with %s makes an inductance of %s. Does the secondary's own capacitance ring along, add its share, turns ratio squared, to the condenser's.", b.ring, b.ringCapacitance, l.Quantity().Display())
	}
	if is == battery {
		if err := askBattery(p, say); err != nil {
			return "", err
		}
	}
	if len(lines) == 0 {
		return "", nil
	}
	w.blank()
	w.para(0, "On the bench, the other way round:")
	w.blank()
	for _, line := range lines {
		w.para(2, "- %s", line)
	}
	return w.b.String(), nil
}

// askBattery answers for a battery set.
func askBattery(p *set, say func(string, ...any)) error {
	b := &p.bench
	if p.Points.Arc != nil && p.Switch == nil {
		// A decade to either side of what is fitted holds all that anybody fits.
		best, err := spark.BestCondenser(&p.Parts, p.Condenser.Capacitance.Scale(0.1), p.Condenser.Capacitance.Scale(10))
		if err != nil {
			say("No condenser keeps these points from arcing: they part too slowly, or the coil carries too much.")
		} else {
			say("The smallest condenser with which these points do not arc is %s: %s. With a tenth less they arc, and %s is left; more than it takes only costs kilovolts. Allow for points that part more slowly while cranking.",
				best.Least.Quantity().Display(), kilovolts(best.Available), kilovolts(best.Arcing))
		}
	}
	if !b.limit.IsZero() {
		r, err := spark.BallastFor(&p.Parts, b.limit)
		if err != nil {
			return err
		}
		if r.IsZero() {
			say("No ballast is needed to stay under %s.", b.limit)
		} else {
			say("To stay under %s with the points closed it takes a ballast of %s or more.", b.limit, r.Quantity().Display())
		}
	}
	at := b.temperature
	if !b.hasTemperature {
		at = units.Celsius(20)
	}
	hot, err := spark.KeyLeftOn(&p.Parts, at, b.kelvinsPerWatt)
	if err != nil {
		return err
	}
	ballast := ""
	if !hot.Ballast.IsZero() {
		ballast = fmt.Sprintf(" and the ballast %s", hot.Ballast.Quantity().Text("W", 0))
	}
	switch {
	case hot.Runaway:
		say("With the key left on and the points closed the coil takes %s, %s of heat%s, and finds no temperature to settle at: it burns out.", hot.Current.Quantity().Text("A", 2), hot.Coil.Quantity().Text("W", 0), ballast)
	case b.kelvinsPerWatt > 0:
		say("With the key left on and the points closed the coil takes %s, %s of heat%s, and settles %.0f K warmer at %s and %s.", hot.Current.Quantity().Text("A", 2), hot.Coil.Quantity().Text("W", 0), ballast,
			hot.Rise.KelvinDifference(), hot.Hot.Quantity().Text("Ω", 2), hot.Settled.Quantity().Text("A", 2))
	default:
		say("With the key left on and the points closed the coil takes %s, and turns %s into heat%s for as long as that lasts.", hot.Current.Quantity().Text("A", 2), hot.Coil.Quantity().Text("W", 0), ballast)
	}
	draw, err := spark.Draw(&p.Parts)
	if err != nil {
		return err
	}
	say("At %s the ignition draws %s from the battery on average.", p.Run.Speed, draw.Quantity().Text("A", 2))
	return nil
}
