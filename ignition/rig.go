package ignition

import "slices"

// Rig is a whole ignition as fitted. A nil part or an empty list is one that
// is not fitted or was not described; the zero value describes nothing.
type Rig struct {
	Engine     Engine
	Ground     Polarity
	Battery    *Battery
	Switch     *KeySwitch
	Ballast    *Ballast
	Coils      []Coil
	Points     []Points
	Condensers []Condenser
	Module     *Module
	Trigger    *Trigger
	Leads      []Lead
	Caps       []Cap
	Plugs      []Plug
}

// Describes reports whether the rig has a part for the role. Roles that no
// field stands for (flywheel, drive, kill wire and the like) are never
// described.
func (r Rig) Describes(role Role) bool {
	switch role {
	case RoleBattery:
		return r.Battery != nil
	case RoleKeySwitch:
		return r.Switch != nil
	case RoleBallast:
		return r.Ballast != nil
	case RoleCoil:
		return len(r.Coils) > 0
	case RolePoints:
		return len(r.Points) > 0
	case RoleCondenser:
		return len(r.Condensers) > 0
	case RoleModule:
		return r.Module != nil
	case RoleTrigger:
		return r.Trigger != nil
	case RoleLead:
		return len(r.Leads) > 0
	case RoleCap:
		return len(r.Caps) > 0
	case RolePlug:
		return len(r.Plugs) > 0
	}
	return false
}

// Missing returns the roles that the engine's system needs and the rig does
// not describe, in the system's order: what is still to be looked at.
func (r Rig) Missing() []Role {
	return slices.DeleteFunc(r.Engine.System.Roles(), r.Describes)
}

// Stopping returns how this engine must be stopped: that of its system, but
// opening the feed where a capacitor discharge module draws from a battery.
// It is StoppingUnknown where nothing says.
func (r Rig) Stopping() Stopping {
	if r.Engine.System == CapacitorDischarge && r.Module != nil && r.Module.BatteryFed.Or(false) {
		return OpenFeed
	}
	return r.Engine.System.Stopping()
}
