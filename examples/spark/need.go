package main

import (
	"fmt"
	"strings"

	"gapbook.example/ignition/spark"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// What a study of the plain run draws: enough to tell a chance of 1 in 300 from
// none, in a fraction of a second.
const (
	studySparks  = 2000
	studySeed    = 1
	studyWorkers = 4
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
	list := func(title string, origins []spark.Origin) {
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
	list("From its record:", s.Known)
	list("Taken for granted, for the record does not say; measure what you can, and write a case:", s.Granted)
	return w.b.String()
}

// describeReserve tells what the plug needs in this cylinder, from cranking to
// top speed, and what is in reserve. Without a cylinder it says how to give one.
func describeReserve(book *specs.Book, p *set, is kind, from *spark.Set, width int) (string, error) {
	w := &words{width: width}
	w.blank()
	var list []spark.Situation
	var spreads []spark.Spread
	switch {
	case from != nil:
		list, spreads = from.Situations, from.Spreads
	case p.cylinder != nil:
		c := p.cylinder
		var volts units.Voltage
		if is == battery {
			volts = p.Battery.Voltage
			spreads = spark.Tolerances(book, &p.Parts)
		}
		list = spark.SituationsFor(book, c.demand, p.Run.Speed, c.top, volts)
	default:
		w.para(0, "What the plug needs in this cylinder, and the reserve from cranking to top speed, is computed where the case has a [cylinder] table: gap, compression, spark.")
		return w.b.String(), nil
	}
	w.para(0, "What the plug needs in this cylinder, from cranking to top speed. Available over needed, at the worst and at the best of what is not known of the gap:")
	w.blank()
	var reserves []spark.Reserve
	var chances []spark.Chance
	var err error
	switch is {
	case battery:
		if chances, err = spark.Chances(&p.Parts, list, spreads, studySparks, studySeed, studyWorkers); err != nil {
			return "", err
		}
		for _, c := range chances {
			reserves = append(reserves, c.Reserve)
		}
	case magneto:
		reserves, err = spark.MagnetoReserves(&p.magneto, p.ratio, list)
	case discharge:
		reserves, err = spark.DischargeReserves(&p.discharge, list)
	}
	if err != nil {
		return "", err
	}
	fmt.Fprintf(&w.b, "  %-11s %9s %14s %10s %13s %9s\n", "", "speed", "needed", "available", "reserve", "misses")
	for i, r := range reserves {
		misses := "-"
		if chances != nil {
			misses = fmt.Sprintf("%.1f %%", 100*chances[i].Result.Miss)
		}
		fmt.Fprintf(&w.b, "  %-11s %9s %14s %10s %13s %9s\n", r.Situation.Name, r.Situation.Speed.Quantity().Text("rpm", 0),
			fmt.Sprintf("%.1f-%.1f kV", r.Need.Band.Low.Kilovolts(), r.Need.Band.High.Kilovolts()),
			kilovolts(r.Event.Open.Secondary), fmt.Sprintf("%.2f to %.2f", r.Low, r.High), misses)
	}
	w.blank()
	least := 0
	for i := range reserves {
		if reserves[i].Low < reserves[least].Low {
			least = i
		}
	}
	worst := reserves[least]
	switch {
	case worst.High < 1:
		w.para(0, "It runs out at %s: there the plug cannot fire.", worst.Situation.Name)
	case worst.Low < 1:
		w.para(0, "It is least at %s, and may not be enough there: the plug may miss.", worst.Situation.Name)
	default:
		w.para(0, "It is least at %s, and enough there.", worst.Situation.Name)
	}
	if chances != nil {
		r := chances[least].Result
		w.blank()
		w.para(0, "With everything that is not known drawn at once (%d sparks at %s), the reserve is %.2f at 5 %% of the sparks, %.2f in the middle, %.2f at 95 %%; the chance of a miss lies between %.2f and %.2f %%.",
			r.Sparks, worst.Situation.Name, r.Reserve[0], r.Reserve[1], r.Reserve[2], 100*r.MissLow, 100*r.MissHigh)
		w.para(0, "What governs it, as a rank correlation with the reserve: %s.", governs(r.Governs))
	} else {
		w.blank()
		w.para(0, "No chance of a miss is given for a set whose linkage is not measured: ±50 %% on what is available drowns all else. Read where the reserve is least, and what changes it.")
	}
	w.blank()
	var factors []string
	for _, f := range list[len(list)-1].Demand.Factors {
		factors = append(factors, fmt.Sprintf("%s (%.2f to %.2f)", f.Name, f.Low, f.High))
	}
	w.para(0, "Needed kilovolts are those of a uniform field in the squeezed charge, times %s. Pressure and temperature of the charge are class figures.", strings.Join(factors, " and "))
	return w.b.String(), nil
}

// governs names the three spreads that move the reserve most.
func governs(list []spark.Governor) string {
	var parts []string
	for _, g := range list[:min(3, len(list))] {
		name := g.Key
		if name == "plug.breakdown" {
			name = "what the plug needs"
		}
		parts = append(parts, fmt.Sprintf("%s %+.2f", name, g.Correlation))
	}
	return strings.Join(parts, ", ")
}
