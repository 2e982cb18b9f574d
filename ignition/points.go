package ignition

import "gapbook.example/units"

// Points are a contact breaker: the switch that the engine opens. The zero
// value is a set of which nothing is known.
type Points struct {
	Name string // tells several apart
	// Gap is at the widest opening.
	Gap Known[units.Length]
	// Spring is the pull at the contact that just parts it.
	Spring Known[units.Force]
	// Dwell is how long they stay closed, in degrees of the cam.
	Dwell Known[units.CamAngle]
	// Drop is the voltage across the closed contacts at working current.
	Drop Known[units.Voltage]
	// Contact is the resistance of the closed contacts.
	Contact Known[units.Resistance]
}
