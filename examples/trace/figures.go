package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gapbook.example/ignition/trace"
	"gapbook.example/units"
)

// written are the units that a meter or gauge shows, by kind, for a number that
// was typed without one.
var written = map[units.Kind][]string{
	units.KindVoltage:     {"V", "mV"},
	units.KindResistance:  {"Ω", "kΩ", "MΩ"},
	units.KindLength:      {"mm", "thou", "in"},
	units.KindCapacitance: {"µF", "nF"},
	units.KindPressure:    {"kPa", "psi", "bar"},
}

// bare reads a number that was typed without its unit: the readings that it can
// sensibly be, one where there is no doubt. Ohms and kilohms are never taken for
// one another. It is nil where the text is no bare number.
func (t *talk) bare(x *trace.Test, text string) []string {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) || !x.Reading {
		return nil
	}
	all, ok := written[x.Kind]
	if !ok {
		_, unit, _ := strings.Cut(x.Healthy.Display(), " ")
		return []string{strings.TrimSpace(text + " " + unit)}
	}
	if v == 0 {
		return []string{text + " " + all[0]}
	}
	// A fault moves volts by far, and a gap or a pressure by little.
	const low, high, far = 1.0 / 8, 8, 300
	up := float64(high)
	if x.Kind == units.KindVoltage {
		up = far
	}
	var sensible []string
	for _, unit := range all {
		full := text + " " + unit
		a, err := t.c.Model().Answer(t.book, x.ID, full)
		if err != nil {
			continue
		}
		share := math.Abs(a.Reading.SI() / x.Healthy.SI())
		dead := x.Kind == units.KindVoltage && unit == "V" && x.Healthy.SI() >= 1
		if x.Kind == units.KindResistance || share <= up && (share >= low || dead) {
			sensible = append(sensible, full)
		}
	}
	if len(sensible) == 0 {
		for _, unit := range all {
			sensible = append(sensible, text+" "+unit)
		}
	}
	return sensible
}

// fewOhms is the good reading in ohms under which what the meter's leads read
// alone counts.
const fewOhms = 20

// zeroed reports a reading that the leads' own ohms are taken off.
func zeroed(x *trace.Test) bool {
	return x.Reading && x.Kind == units.KindResistance && x.Healthy.SI() < fewOhms
}

const ofLeads = ", leads "

// leadsOf is what the meter's leads read alone, as a record has it.
func leadsOf(r *trace.Record) string {
	for i := len(r.Told) - 1; i >= 0; i-- {
		if _, leads, ok := strings.Cut(r.Told[i].Text, ofLeads); ok {
			return leads
		}
	}
	return ""
}

// readLeads reads what the leads show alone; why says why it cannot be used.
func readLeads(text string) (leads, why string) {
	if _, err := strconv.ParseFloat(text, 64); err == nil {
		text += " Ω"
	}
	r, err := units.ParseResistance(text)
	switch {
	case err != nil && strings.EqualFold(text, "OL"):
		return "", "Then a lead is broken, or the range is wrong: put that right first, or skip."
	case err != nil:
		return "", "Type what it shows, such as 0.3 Ω, or skip."
	case r.Ohms() < 0 || r.Ohms() >= fewOhms:
		return "", "That is not what two leads have. Clean the tips, press them together, lowest range of ohms; or skip."
	}
	return r.String(), ""
}

// pointHint asks about the decimal point, where the last reading of a test times
// or divided by ten is a good one and the reading itself is not.
func pointHint(c *trace.Case, test int) string {
	x := &c.Model().Tests[test]
	if !x.Reading || !(x.Healthy.SI() > 0) || x.Kind == units.KindCrankAngle {
		return ""
	}
	band := func(si float64) (n int) {
		for _, e := range x.Edges {
			if si >= e.SI() {
				n++
			}
		}
		return n
	}
	answers := c.Answers()
	for i := len(answers) - 1; i >= 0; i-- {
		a := answers[i]
		if a.Test != test || a.Skipped || a.OutOfRange {
			continue
		}
		good := band(x.Healthy.SI())
		if band(a.Reading.SI()) == good {
			return ""
		}
		for _, times := range []float64{10, 0.1} {
			if meant := a.Reading.SI() * times; band(meant) == good {
				return fmt.Sprintf("And look where the decimal point stood: you gave %s, and %s would be a good one.", a.Reading.Display(), units.FromSI(x.Kind, meant).Display())
			}
		}
		return ""
	}
	return ""
}
