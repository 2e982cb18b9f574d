package ignition

import "gapbook.example/units"

// Lead is a high-tension cable. The zero value is a lead of which nothing is
// known.
type Lead struct {
	Name string // tells several apart
	// Suppression is true for a resistive conductor, false for solid wire.
	Suppression Known[bool]
	// Resistance end to end.
	Resistance Known[units.Resistance]
	PerLength  Known[units.ResistancePerLength]
	Length     Known[units.Length]
}

// Cap is a plug connector, with or without a resistor in it. The zero value
// is one of which nothing is known.
type Cap struct {
	Name       string // tells several apart
	Resistance Known[units.Resistance]
}
