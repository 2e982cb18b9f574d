package ignition

import "gapbook.example/units"

// Engine is what must be known of an engine to judge its ignition. The zero
// value is an engine of which nothing is known.
type Engine struct {
	ID     string // its name in the book, empty if the book does not have it
	Label  string // its name for people
	System System
	// Strokes of a working cycle: 2 or 4.
	Strokes Known[int]
	// Cylinders is how many there are.
	Cylinders Known[int]
	Bore      Known[units.Length]
	Stroke    Known[units.Length]
	// Ratio is the compression ratio, swept and clearance volume over clearance.
	Ratio Known[float64]
	// Timing is where the spark must come; before top dead centre is positive.
	Timing Known[units.CrankAngle]
}
