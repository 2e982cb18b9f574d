package sheet

import (
	"fmt"

	"gapbook.example/ignition/spark"
	"gapbook.example/units"
)

// benchAnswers answers what a bench asks the other way round: what measured
// values make of a coil, and of a battery set the best condenser, the ballast
// for a current, the heat of a key left on and the battery's load.
func benchAnswers(r *spark.Report) ([]string, error) {
	var b spark.Bench
	if r.Case != nil {
		b = r.Case.Bench
	}
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if n := spark.TurnsRatio(b.PrimaryOpen, b.SecondaryOpen); n > 0 {
		say("%s and %s, each with the other winding open, make a turns ratio of %.1f, good to a few per cent.", b.PrimaryOpen, b.SecondaryOpen, n)
	}
	if !b.PrimaryShorted.IsZero() {
		if k, ok := spark.Coupling(b.PrimaryOpen, b.PrimaryShorted); ok {
			say("%s open and %s with the secondary shorted make a coupling of %.4f.", b.PrimaryOpen, b.PrimaryShorted, k)
		} else {
			say("%s with the secondary shorted goes with no primary of %s: it has to be less. Was the other winding shorted, and the meter's frequency high?", b.PrimaryShorted, b.PrimaryOpen)
		}
	}
	if l := spark.InductanceFromRing(b.Ring, b.RingCapacitance); !l.IsZero() {
		say("A ring at %s with %s makes an inductance of %s. Does the secondary's own capacitance ring along, add its share, turns ratio squared, to the condenser's.", b.Ring, b.RingCapacitance, l.Quantity().Display())
	}
	if r.Set.Parts == nil {
		return out, nil
	}
	asked, err := batteryAnswers(r.Set.Parts, &b)
	return append(out, asked...), err
}

// batteryAnswers answers for a battery set.
func batteryAnswers(p *spark.Parts, b *spark.Bench) ([]string, error) {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if p.Points.Arc != nil && p.Switch == nil {
		// A decade to either side of what is fitted holds all that anybody fits.
		best, err := spark.BestCondenser(p, p.Condenser.Capacitance.Scale(0.1), p.Condenser.Capacitance.Scale(10))
		if err != nil {
			say("No condenser keeps these points from arcing: they part too slowly, or the coil carries too much.")
		} else {
			say("The smallest condenser with which these points do not arc is %s: %s. With a tenth less they arc, and %s is left; more than it takes only costs kilovolts. Allow for points that part more slowly while cranking.",
				best.Least.Quantity().Display(), kilovolts(best.Available), kilovolts(best.Arcing))
		}
	}
	if !b.Limit.IsZero() {
		ballast, err := spark.BallastFor(p, b.Limit)
		if err != nil {
			return nil, err
		}
		if ballast.IsZero() {
			say("No ballast is needed to stay under %s.", b.Limit)
		} else {
			say("To stay under %s with the points closed it takes a ballast of %s or more.", b.Limit, ballast.Quantity().Display())
		}
	}
	at := units.Celsius(20)
	if b.Temperature != nil {
		at = *b.Temperature
	}
	hot, err := spark.KeyLeftOn(p, at, b.KelvinsPerWatt)
	if err != nil {
		return nil, err
	}
	takes := fmt.Sprintf("With the key left on and the points closed the coil takes %s", hot.Current.Quantity().Text("A", 2))
	heat, ballast := hot.Coil.Quantity().Text("W", 0), ""
	if !hot.Ballast.IsZero() {
		ballast = fmt.Sprintf(" and the ballast %s", hot.Ballast.Quantity().Text("W", 0))
	}
	switch {
	case hot.Runaway:
		say("%s, %s of heat%s, and finds no temperature to settle at: it burns out.", takes, heat, ballast)
	case b.KelvinsPerWatt > 0:
		say("%s, %s of heat%s, and settles %.0f K warmer at %s and %s.", takes, heat, ballast,
			hot.Rise.KelvinDifference(), hot.Hot.Quantity().Text("Ω", 2), hot.Settled.Quantity().Text("A", 2))
	default:
		say("%s, and turns %s into heat%s for as long as that lasts.", takes, heat, ballast)
	}
	draw, err := spark.Draw(p)
	if err != nil {
		return nil, err
	}
	say("At %s the ignition draws %s from the battery on average.", p.Run.Speed, draw.Quantity().Text("A", 2))
	return out, nil
}
