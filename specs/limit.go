package specs

import "gapbook.example/units"

// Limits are the book's own figures about one quantity: what is plausible at
// all, how a nominal without a published tolerance is judged, and what a class
// of engine reads where the engine's own figure is not known.
type Limits struct {
	ID       string
	Quantity Key
	// Copper is true for windings, whose resistance follows temperature.
	Copper bool
	// Plausible is the band outside which a value is a slip until shown otherwise.
	Plausible []Figure
	// Tolerances say how a bare nominal is judged.
	Tolerances []Tolerance
	// Bands are class figures.
	Bands []Figure
	// Gross says how many times off a reading must be to condemn a part even
	// where the figure is only hearsay. Zero factors mean never.
	GrossLow, GrossHigh float64
	GrossSource         string
	// Advice is what to do next, in words.
	Advice Advice
	At     Position
}

// Advice is what a person should do about a reading. Empty texts say nothing.
type Advice struct {
	// How says how to take the reading.
	How string
	// Low and High say what a reading under or over its limits means and what to do.
	Low, High string
	// Open says what an open circuit means, for resistances.
	Open string
	// Good says what a good reading does not prove.
	Good string
}

// A Tolerance is a class tolerance, assumed where a source prints a nominal
// and no limits.
type Tolerance struct {
	// Label names the tolerance; "usual" applies unless another is asked for.
	Label string
	// Relative is a share of the nominal, such as 0.1; Plus and Minus are
	// absolute distances. The zero Value of either means it is not used.
	Relative float64
	// A side that is absent where the other is given has no limit.
	Plus, Minus Value
	// AtLeast is true where more than the nominal is never a fault.
	AtLeast bool
	// Text is the tolerance as the table spells it, such as "±10 %".
	Text   string
	Source string
	Place  string
	Basis  Basis
	Note   string
	At     Position
}

// A Meter is a class of measuring means with the accuracy assumed for it.
type Meter struct {
	ID    string
	Label string
	// Usual lists the kinds of quantity the class is taken for where a job
	// names no meter.
	Usual []string
	// Ranges gives the accuracy for each kind of quantity.
	Ranges []MeterRange
	At     Position
}

// A MeterRange is the accuracy of a class of meter for one kind of quantity.
type MeterRange struct {
	Kind string
	// Percent is the share of the reading, such as 0.012 for 1.2 %.
	Percent float64
	// Counts is a number of steps of the last digit shown.
	Counts float64
	// Absolute is a fixed distance; absent means none.
	Absolute Value
	// Reach is the most that any such meter shows; absent means not stated.
	Reach  Value
	Source string
	Place  string
	Basis  Basis
	Note   string
	At     Position
}

// A Caution is a warning printed beside a step or a finding.
type Caution struct {
	ID   string
	Text string
	// Hazards, Quantities, Systems and Jobs say when the caution prints.
	Hazards, Systems, Jobs []string
	Quantities             []Key
	// Power lists the states of the machine in which the caution can be obeyed:
	// words of [PowerStates]; none for any.
	Power []string
	// When lists what a machine must have for a plan to print it, in the words
	// of [Conversion.Words] about the machine; none for any.
	When    []string
	Sources []CautionSource
	At      Position
}

// A CautionSource says where a caution is printed.
type CautionSource struct {
	Source, Place string
	At            Position
}

// Range returns the accuracy for one kind of quantity; ok is false where the
// class does not read it.
func (m *Meter) Range(k units.Kind) (r MeterRange, ok bool) {
	for _, r := range m.Ranges {
		if r.Kind == kindKey(k) {
			return r, true
		}
	}
	return MeterRange{}, false
}
