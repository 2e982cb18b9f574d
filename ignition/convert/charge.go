package convert

import (
	"gapbook.example/units"
)

// A Balance is what a battery ignition draws against what charging gives.
type Balance struct {
	// Closed is the current with the engine stopped, key on and points closed;
	// Average that of the running engine.
	Closed, Average units.Current
	// Coil and Ballast are the heat in them with the key left on.
	Coil, Ballast units.Power
	// Loads is what else draws, Rating what the charging set is rated for (zero
	// without one), Usable the share of it that may be counted on.
	Loads, Rating, Usable units.Current
	// Carries says that Usable covers Average and Loads.
	Carries bool
	// Without is how long the battery lasts without charging, the engine
	// running; LeftOn how long with the key left on and the points closed.
	Without, LeftOn units.Time
	// Sources cite the figures.
	Sources []string
}
