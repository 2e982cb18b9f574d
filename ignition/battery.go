package ignition

import "gapbook.example/units"

// Battery feeds a battery ignition. The zero value is one of which nothing is
// known.
type Battery struct {
	// Nominal is the system's voltage: 6, 12 or 24 V.
	Nominal Known[units.Voltage]
	// Rest is measured with nothing drawing.
	Rest Known[units.Voltage]
	// Cranking is measured while the starter turns the engine.
	Cranking Known[units.Voltage]
	// Resistance is inside the battery.
	Resistance Known[units.Resistance]
}

// Ballast is a resistor in the coil's feed, by-passed for starting in some
// sets. The zero value is one of which nothing is known.
type Ballast struct {
	Resistance Known[units.Resistance]
	// Bypassed is true where the start position feeds the coil around it.
	Bypassed Known[bool]
}
