package main

import (
	"fmt"
	"strings"

	"gapbook.example/ignition/spark"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// What a study draws: enough to tell a chance of 1 in 150 from none, in a
// fraction of a second. The curve over speed has fewer sparks a point, for it is
// looked at. Tests draw less.
var studySparks, curveSparks = 1000, 120

const (
	studySeed    = 1
	studyWorkers = 4
	curvePoints  = 9
)

// ofBook takes a set of the book for a case.
func ofBook(s *spark.Set) (*set, kind) {
	p := &set{ratio: s.Ratio}
	switch {
	case s.Parts != nil:
		p.Parts = *s.Parts
		return p, battery
	case s.Magneto != nil:
		p.magneto = *s.Magneto
		return p, magneto
	}
	p.discharge = *s.Discharge
	return p, discharge
}

// describeOrigin says which engine this is, what its record has and what was
// taken for granted.
func describeOrigin(book *specs.Book, s *spark.Set, width int) string {
	w := &words{width: width}
	w.para(0, "%s (%s), as %s.", s.Engine.Identity.Label, s.Engine.ID, s.System)
	w.blank()
	w.origins(book, "From its record:", s.Known)
	w.origins(book, "Taken for granted, for the record does not say; measure what you can, and write a case:", s.Granted)
	return w.b.String()
}

// origins lists where values come from.
func (w *words) origins(book *specs.Book, title string, origins []spark.Origin) {
	w.para(0, "%s", title)
	for _, o := range origins {
		why := ""
		src, ok := book.Source(o.Source)
		if ok {
			why = src.Title
		}
		house := ok && src.Grade == "house" && o.Note != ""
		if house {
			why = "a house figure"
		}
		if o.Place != "" && why != "" && !house {
			why += ", " + o.Place
		}
		if o.Note != "" {
			why = strings.TrimSuffix(o.Note, ".") + map[bool]string{true: "", false: "; "}[why == ""] + why
		}
		w.para(4, "- %s = %s (%s)", o.Key, o.Value, why)
	}
	w.blank()
}

// A reserve is what the plug needs over speeds and what is on hand.
type reserves struct {
	at    []spark.Chance // cranking, idling, working, top speed
	curve []spark.Chance // evenly between
	// guess is set where the linkage of a magnet was not measured.
	guess bool
}

// reserveOf works out the reserve where the set has a cylinder or comes from the
// book; nil where not.
func reserveOf(book *specs.Book, p *set, is kind, from *spark.Set) (*reserves, error) {
	var list []spark.Situation
	var spreads []spark.Spread
	var volts units.Voltage
	if is == battery {
		volts = p.Battery.Voltage
	}
	switch {
	case from != nil:
		list, spreads = from.Situations, from.Spreads
	case p.cylinder == nil:
		return nil, nil
	default:
		c := p.cylinder
		list = spark.SituationsFor(book, c.demand, p.Run.Speed, c.top, volts)
		switch is {
		case battery:
			spreads = spark.Tolerances(book, &p.Parts)
		case magneto:
			spreads = spark.MagnetoTolerances(book, &p.magneto, p.measured)
		case discharge:
			spreads = spark.DischargeTolerances(book, &p.discharge, p.measured)
		}
	}
	study := func(list []spark.Situation, sparks int) ([]spark.Chance, error) {
		switch is {
		case magneto:
			return spark.MagnetoChances(&p.magneto, p.ratio, list, spreads, sparks, studySeed, studyWorkers)
		case discharge:
			return spark.DischargeChances(&p.discharge, list, spreads, sparks, studySeed, studyWorkers)
		}
		return spark.Chances(&p.Parts, list, spreads, sparks, studySeed, studyWorkers)
	}
	at, err := study(list, studySparks)
	if err != nil {
		return nil, err
	}
	curve, err := study(spark.Between(list, volts, curvePoints), curveSparks)
	if err != nil {
		return nil, err
	}
	return &reserves{at, curve, is != battery && !p.measured}, nil
}

// describeReserve tells what the plug needs in this cylinder, from cranking to
// top speed, and what is in reserve. Without a cylinder it says how to give one.
func describeReserve(all *reserves, width int) string {
	w := &words{width: width}
	w.blank()
	if all == nil {
		w.para(0, "What the plug needs in this cylinder, and the reserve from cranking to top speed, is computed where the case has a [cylinder] table: gap, compression, spark.")
		return w.b.String()
	}
	w.para(0, "What the plug needs in this cylinder, from cranking to top speed. Available over needed, at the worst and at the best of what is not known of the gap, and how many sparks miss with all tolerances:")
	w.blank()
	fmt.Fprintf(&w.b, "  %-11s %9s %14s %10s %13s %9s\n", "", "speed", "needed", "available", "reserve", "misses")
	for _, c := range all.at {
		r := c.Reserve
		fmt.Fprintf(&w.b, "  %-11s %9s %14s %10s %13s %9s\n", r.Situation.Name, r.Situation.Speed.Quantity().Text("rpm", 0),
			fmt.Sprintf("%.1f-%.1f kV", r.Need.Band.Low.Kilovolts(), r.Need.Band.High.Kilovolts()),
			kilovolts(r.Event.Open.Secondary), fmt.Sprintf("%.2f to %.2f", r.Low, r.High), fmt.Sprintf("%.1f %%", 100*c.Result.Miss))
	}
	w.blank()
	bars(w, all.curve)
	least := 0
	for i, c := range all.at {
		if c.Reserve.Low < all.at[least].Reserve.Low {
			least = i
		}
	}
	worst := all.at[least].Reserve
	switch {
	case worst.High < 1:
		w.para(0, "It runs out at %s: there the plug cannot fire.", worst.Situation.Name)
	case worst.Low < 1:
		w.para(0, "It is least at %s, and may not be enough there: the plug may miss.", worst.Situation.Name)
	default:
		w.para(0, "It is least at %s, and enough there.", worst.Situation.Name)
	}
	r := all.at[least].Result
	w.blank()
	w.para(0, "With everything that is not known drawn at once (%d sparks at %s), the reserve is %.2f at 5 %% of the sparks, %.2f in the middle, %.2f at 95 %%; the chance of a miss lies between %.2f and %.2f %%.",
		r.Sparks, worst.Situation.Name, r.Reserve[0], r.Reserve[1], r.Reserve[2], 100*r.MissLow, 100*r.MissHigh)
	w.para(0, "What governs it, as a rank correlation with the reserve: %s.", governs(r.Governs))
	if all.guess {
		w.blank()
		w.para(0, "The magnet's linkage was not measured, so a chance of a miss says mostly how little is known of it: ±50 %% on what is available drowns all else. Measure it, write measured = true beside it, and the chance means something. Until then read where the reserve is least, and what changes it.")
	}
	w.blank()
	var factors []string
	for _, f := range worst.Situation.Demand.Factors {
		factors = append(factors, fmt.Sprintf("%s (%.2f to %.2f)", f.Name, f.Low, f.High))
	}
	w.para(0, "Needed kilovolts are those of a uniform field in the squeezed charge, times %s. Worn electrodes, a centre electrode that is positive or one that glows go into [cylinder] as electrodes, centre_electrode and heat. Pressure and temperature of the charge are class figures.", strings.Join(factors, " and "))
	return w.b.String()
}

// governs names the three spreads that move the reserve most.
func governs(list []spark.Governor) string {
	var parts []string
	for _, g := range list[:min(3, len(list))] {
		name := g.Key
		switch name {
		case "plug.breakdown":
			name = "what the plug needs"
		case "magnet.linkage", "charge_coil.linkage":
			name = "the magnet's linkage"
		}
		parts = append(parts, fmt.Sprintf("%s %+.2f", name, g.Correlation))
	}
	return strings.Join(parts, ", ")
}
