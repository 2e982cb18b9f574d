package ignition

import "gapbook.example/units"

// Condenser is the capacitor across the points. The zero value is one of
// which nothing is known.
type Condenser struct {
	Capacitance Known[units.Capacitance]
	// Insulation is the resistance between its lead and its case.
	Insulation Known[units.Resistance]
	// Series is the loss in series with it.
	Series Known[units.Resistance]
}
