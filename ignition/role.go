package ignition

// Role is a job that some part of an ignition system does. The zero value is
// RoleUnknown.
type Role uint8

// The roles.
const (
	RoleUnknown Role = iota
	RoleBattery
	RoleCharging
	RoleKeySwitch
	RoleBallast
	RoleCoil
	RolePoints
	RoleDrive // the cam, crank or pushrod that works the points, or the coupling that turns a magneto
	RoleCondenser
	RoleModule
	RoleTrigger
	RoleFlywheel
	RoleMagneto
	RoleChargeCoil
	RoleSourceCoil
	RoleKillWire
	RoleLead
	RoleCap
	RolePlug
	RoleIgniter
)

var roleWords = []string{"unknown", "battery", "charging", "key switch", "ballast", "coil", "points", "drive",
	"condenser", "module", "trigger", "flywheel", "magneto", "charge coil", "source coil", "kill wire", "lead",
	"cap", "plug", "igniter"}

// String returns the role in lower case words, such as "key switch".
func (r Role) String() string { return wordOf(roleWords, int(r)) }

// MarshalText writes the role's words.
func (r Role) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// ParseRole reads the words that String writes; anything else is a *WordError.
func ParseRole(text string) (Role, error) {
	i, err := parseWord("role", roleWords, text)
	return Role(i), err
}

// UnmarshalText reads what MarshalText writes; the error is a *WordError.
func (r *Role) UnmarshalText(text []byte) error {
	v, err := ParseRole(string(text))
	if err == nil {
		*r = v
	}
	return err
}
