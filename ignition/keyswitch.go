package ignition

// SwitchType is what a key switch does to the ignition. The zero value is
// SwitchUnknown.
type SwitchType uint8

// The types of key switch.
const (
	SwitchUnknown SwitchType = iota
	// BatterySwitch feeds the coil in run and start and opens in off.
	BatterySwitch
	// MagnetoSwitch grounds the kill terminal in off and leaves it free in run.
	MagnetoSwitch
)

var switchWords = []string{"unknown", "battery", "magneto"}

// ParseSwitchType reads "battery", "magneto" or "unknown"; anything else is a
// *WordError.
func ParseSwitchType(text string) (SwitchType, error) {
	i, err := parseWord("key switch type", switchWords, text)
	return SwitchType(i), err
}

// String returns "battery", "magneto" or "unknown".
func (s SwitchType) String() string { return wordOf(switchWords, int(s)) }

// MarshalText writes the word of the type.
func (s SwitchType) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads what MarshalText writes; the error is a *WordError.
func (s *SwitchType) UnmarshalText(text []byte) error {
	v, err := ParseSwitchType(string(text))
	if err == nil {
		*s = v
	}
	return err
}

// Stopping returns the way of stopping that the switch is made for.
func (s SwitchType) Stopping() Stopping {
	switch s {
	case BatterySwitch:
		return OpenFeed
	case MagnetoSwitch:
		return GroundKill
	}
	return StoppingUnknown
}

// KeySwitch is the switch that starts and stops the engine. The zero value is
// one of which nothing is known.
type KeySwitch struct {
	Type SwitchType
}
