package ignition

import "gapbook.example/units"

// Coil is an ignition coil: a primary of few turns, a secondary of many. The
// zero value is a coil of which nothing is known.
type Coil struct {
	Name                string // tells several apart: "left", "cylinder 2"
	Primary             Known[units.Resistance]
	Secondary           Known[units.Resistance]
	PrimaryInductance   Known[units.Inductance]
	SecondaryInductance Known[units.Inductance]
	// TurnsRatio is secondary turns over primary turns.
	TurnsRatio Known[float64]
	// Voltage is what the coil is made for: 6 V, 12 V.
	Voltage Known[units.Voltage]
	// NeedsBallast is true for a coil made to run behind a ballast.
	NeedsBallast Known[bool]
	// DoubleEnded coils fire two plugs at once, one of them backwards.
	DoubleEnded Known[bool]
	// AirGap is between a flywheel's magnet and the coil's core.
	AirGap Known[units.Length]
}
