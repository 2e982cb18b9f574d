package ignition

import "gapbook.example/units"

// Module is an electronic breaker: transistor or thyristor, alone or moulded
// together with a coil. The zero value is one of which nothing is known.
type Module struct {
	// Output is the resistance from the plug terminal to ground.
	Output Known[units.Resistance]
	// AirGap is between the flywheel's magnet and the module's core.
	AirGap Known[units.Length]
	// BatteryFed is true for one that draws from the battery, false for one
	// that lives on the flywheel's magnet or a charge coil.
	BatteryFed Known[bool]
}

// Trigger tells a module when to fire: a pulser coil, a reluctor, a trigger
// pin. The zero value is one of which nothing is known.
type Trigger struct {
	Resistance Known[units.Resistance]
	Gap        Known[units.Length]
}
