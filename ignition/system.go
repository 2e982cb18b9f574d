package ignition

import "slices"

// System is a kind of ignition system: where the spark's energy comes from,
// what breaks the current, and so how the engine is stopped. The zero value is
// UnknownSystem.
type System uint8

// The kinds of ignition system.
const (
	UnknownSystem System = iota
	// BatteryPoints feeds a coil from the battery and breaks it with points.
	BatteryPoints
	// BatteryBreakerless feeds a coil from the battery and breaks it with a
	// transistor that a trigger times.
	BatteryBreakerless
	// FlywheelMagnetoPoints has a flywheel magnet, a coil on a core beside it,
	// and points under the flywheel or on a cam.
	FlywheelMagnetoPoints
	// RotorMagnetoPoints is a magneto with its own rotor, often coupled
	// through an impulse spring.
	RotorMagnetoPoints
	// MagnetoBreakerless has a flywheel magnet and a module in place of points.
	MagnetoBreakerless
	// CapacitorDischarge charges a capacitor from a charge coil (or the
	// battery, through a converter) and fires it through a thyristor.
	CapacitorDischarge
	// EnergyTransfer has a generator coil with points across it that feeds a
	// separate high-tension coil.
	EnergyTransfer
	// Trembler has a vibrating contact on a battery coil.
	Trembler
	// MakeAndBreak opens contacts inside the cylinder, on a low-tension coil.
	MakeAndBreak
)

var systemWords = []string{"unknown", "battery-points", "battery-breakerless", "flywheel-magneto-points",
	"rotor-magneto-points", "magneto-breakerless", "capacitor-discharge", "energy-transfer", "trembler",
	"make-and-break"}

var systemTitles = []string{"unknown ignition", "battery and points", "battery, breakerless",
	"flywheel magneto with points", "rotor magneto with points", "breakerless magneto",
	"capacitor discharge", "energy transfer", "trembler coil", "make and break"}

// systemRoles is the "roles" column of the trade's table of systems.
var systemRoles = [][]Role{
	BatteryPoints:         {RoleBattery, RoleCharging, RoleKeySwitch, RoleCoil, RolePoints, RoleDrive, RoleCondenser, RoleLead, RolePlug},
	BatteryBreakerless:    {RoleBattery, RoleCharging, RoleKeySwitch, RoleCoil, RoleModule, RoleTrigger, RoleLead, RolePlug},
	FlywheelMagnetoPoints: {RoleFlywheel, RoleCoil, RolePoints, RoleCondenser, RoleKillWire, RoleLead, RolePlug},
	RotorMagnetoPoints:    {RoleMagneto, RoleDrive, RoleLead, RolePlug},
	MagnetoBreakerless:    {RoleFlywheel, RoleModule, RoleTrigger, RoleKeySwitch, RoleLead, RolePlug},
	CapacitorDischarge:    {RoleChargeCoil, RoleTrigger, RoleModule, RoleCoil, RoleLead, RolePlug},
	EnergyTransfer:        {RoleSourceCoil, RolePoints, RoleCondenser, RoleCoil, RoleLead, RolePlug},
	Trembler:              {RoleBattery, RoleCoil, RolePlug},
	MakeAndBreak:          {RoleBattery, RoleCoil, RoleIgniter},
}

// Systems returns every kind but UnknownSystem, in a fixed order.
func Systems() []System {
	all := make([]System, 0, len(systemWords)-1)
	for i := 1; i < len(systemWords); i++ {
		all = append(all, System(i))
	}
	return all
}

// ParseSystem reads the word of a system, such as "battery-points"; "unknown"
// is UnknownSystem. Anything else is a *WordError.
func ParseSystem(text string) (System, error) {
	i, err := parseWord("ignition system", systemWords, text)
	return System(i), err
}

// String returns the word that ParseSystem reads.
func (s System) String() string { return wordOf(systemWords, int(s)) }

// Title returns the system in plain words, such as "battery and points".
func (s System) Title() string { return wordOf(systemTitles, int(s)) }

// MarshalText writes the word of the system.
func (s System) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads what MarshalText writes; the error is a *WordError.
func (s *System) UnmarshalText(text []byte) error {
	v, err := ParseSystem(string(text))
	if err == nil {
		*s = v
	}
	return err
}

// Roles returns the roles that the system needs filled to run, a fresh slice
// in a fixed order; nil for UnknownSystem. A ballast and a cap are never
// needed by the system as such.
func (s System) Roles() []Role {
	if int(s) >= len(systemRoles) {
		return nil
	}
	return slices.Clone(systemRoles[s])
}

// NeedsBattery reports whether the spark's energy comes from a battery. A
// capacitor discharge set may be fed by either; see [Rig.Stopping].
func (s System) NeedsBattery() bool {
	return int(s) < len(systemRoles) && slices.Contains(systemRoles[s], RoleBattery)
}

// Stopping is how an engine is stopped by its ignition. The zero value is
// StoppingUnknown.
type Stopping uint8

// The ways of stopping.
const (
	StoppingUnknown Stopping = iota
	// OpenFeed interrupts the current that feeds the ignition.
	OpenFeed
	// GroundKill grounds the primary, or the stop terminal of the module.
	GroundKill
)

// String returns "open the feed", "ground the kill wire" or "unknown".
func (s Stopping) String() string {
	return wordOf([]string{"unknown", "open the feed", "ground the kill wire"}, int(s))
}

// Stopping returns how the system is stopped. It is GroundKill for capacitor
// discharge, which is right for one fed by a charge coil; fed by a battery it
// must open the feed, and grounding the feed blows the fuse: [Rig.Stopping]
// knows which is fitted.
func (s System) Stopping() Stopping {
	switch s {
	case BatteryPoints, BatteryBreakerless, Trembler, MakeAndBreak:
		return OpenFeed
	case FlywheelMagnetoPoints, RotorMagnetoPoints, MagnetoBreakerless, CapacitorDischarge, EnergyTransfer:
		return GroundKill
	}
	return StoppingUnknown
}
