package spark

import (
	"gapbook.example/units"
)

// Parts are everything that one spark is computed from: the battery and the
// wires that feed the coil, the coil, what breaks its current, the condenser,
// lead and plug, and how fast the engine turns. Every field that is not marked
// optional has to be set: the zero value is refused by [Parts.Check].
//
// Nothing here is a trade figure: values come from the caller, who has them
// from the book, a meter or a class of parts.
type Parts struct {
	Battery Battery
	// Wiring is the resistance of the feed and the ground path together,
	// without battery, ballast and coil. May be nought.
	Wiring units.Resistance
	// Ballast is the resistor in the coil's feed; nought where there is none.
	Ballast units.Resistance
	Coil    Coil
	// Points break the current. Ignored where Switch is set.
	Points Points
	// Switch is optional: a transistor in place of points.
	Switch    *Switch
	Condenser Condenser
	// Lead is the resistance from coil tower to plug: lead, cap and resistor
	// plug added up. May be nought.
	Lead units.Resistance
	Plug Plug
	Run  Run
}

// Battery is the source of the primary current.
type Battery struct {
	// Voltage at rest, more than nought.
	Voltage units.Voltage
	// Resistance inside the battery; may be nought.
	Resistance units.Resistance
}

// Coil is an ignition coil as a circuit: two coupled windings, their
// resistances, its loss and its own capacitance.
type Coil struct {
	PrimaryResistance units.Resistance
	// PrimaryInductance with the secondary open.
	PrimaryInductance units.Inductance
	// TurnsRatio is secondary turns over primary turns.
	TurnsRatio float64
	// Coupling is the share of flux that both windings see, between 0 and 1,
	// both left out. Nearer to 1 than 1e-9 counts as 1 - 1e-9.
	Coupling            float64
	SecondaryResistance units.Resistance
	// CoreLoss is the loss of the core as a resistor across the secondary; OL
	// for none.
	CoreLoss units.Resistance
	// SecondaryCapacitance is that of winding and tower to ground.
	SecondaryCapacitance units.Capacitance
	// Shorted is optional: turns of the secondary with failed insulation.
	Shorted *ShortedTurns
}

// ShortedTurns are turns of the secondary that close on themselves: a third
// winding across a resistor.
type ShortedTurns struct {
	// Fraction of the secondary's turns that are shorted, more than 0 and less
	// than 1.
	Fraction float64
	// Resistance of the loop they make, with what bridges it.
	Resistance units.Resistance
	// Coupling of these turns to either other winding, between 0 and 1.
	Coupling float64
}

// Points are the contact breaker.
type Points struct {
	// ContactResistance while closed. Less than 0.1 mΩ counts as 0.1 mΩ.
	ContactResistance units.Resistance
	// Arc is optional: nil for points that never arc.
	Arc *Arc
}

// Arc says when opening points strike an arc, and what the arc then is.
type Arc struct {
	// Voltage and Resistance of the arc while it burns.
	Voltage    units.Voltage
	Resistance units.Resistance
	// HoldingCurrent is the least current that keeps it alight.
	HoldingCurrent units.Current
	// StrengthStart is what the parting contacts withstand at first, and
	// StrengthRise how fast that grows while they part.
	StrengthStart units.Voltage
	StrengthRise  units.VoltageRate
}

// Switch is a transistor that breaks the primary current in place of points,
// as in a battery-fed breakerless set.
type Switch struct {
	// Saturation is the voltage across it while on.
	Saturation units.Voltage
	// Resistance while on. Less than 0.1 mΩ counts as 0.1 mΩ.
	Resistance units.Resistance
	// Limit is the current at which it holds the coil; nought for none. The
	// coil then waits at that current: what rang in it before has died away
	// (assumed).
	Limit units.Current
	// Clamp is the voltage at which it protects itself by conducting again;
	// nought for none. ClampResistance adds to it with current; less than
	// 0.1 mΩ counts as 0.1 mΩ.
	Clamp           units.Voltage
	ClampResistance units.Resistance
}

// Condenser is the capacitor across the points.
type Condenser struct {
	// Capacitance; less than 100 pF counts as 100 pF, the stray capacitance of
	// coil and points that stays when the condenser is open (assumed).
	Capacitance units.Capacitance
	// SeriesResistance of its leads and foil; may be nought.
	SeriesResistance units.Resistance
	// Leakage across it; OL for none.
	Leakage units.Resistance
}

// Plug is the spark plug with its gap.
type Plug struct {
	// Capacitance of plug and lead; less than 1 pF counts as 1 pF.
	Capacitance units.Capacitance
	// Shunt is the resistance of fouling across the gap; OL for a clean plug.
	Shunt units.Resistance
	// Breakdown is the voltage at which the gap fires.
	Breakdown units.Voltage
	// BurningVoltage and BurningResistance make up the voltage across the
	// burning gap.
	BurningVoltage    units.Voltage
	BurningResistance units.Resistance
	// ExtinctionCurrent is the current below which the spark goes out.
	ExtinctionCurrent units.Current
	// HotGap is optional: what the gap remembers of a spark that went out. Nil
	// for a gap that needs the full breakdown voltage again at once, which
	// gives far too short a burning time: see the package's page.
	HotGap *HotGap
}

// HotGap is the gap's memory: after a spark goes out the gap fires again at
// Breakdown, rising back to the cold figure with time constant Recovery.
type HotGap struct {
	Breakdown units.Voltage
	Recovery  units.Time
}

// Run is how the engine turns.
type Run struct {
	// Speed of the crank, more than nought.
	Speed units.Speed
	// Dwell is the share of the cycle for which the points are closed, between
	// 0 and 1, both left out.
	Dwell float64
	// SparksPerRev is sparks per turn of the crank on this coil: 0.5 for a
	// cam at half speed, 1 for a wasted spark.
	SparksPerRev float64
}
