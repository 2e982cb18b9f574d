package specs

import "slices"

// A SwitchTable says which terminals of a switch are joined in each of its
// positions. The zero table has no positions.
type SwitchTable struct {
	ID    string
	Label string
	// Type is "battery", "magneto" or "other": what the switch does to an ignition.
	Type string
	// Terminals are the letters or numbers on the switch.
	Terminals []string
	// Positions stand in the order of the key, off first.
	Positions []SwitchPosition
	// Roles says what each terminal is for.
	Roles SwitchRoles
	// Sources say who prints the table.
	Sources []SwitchSource
	Note    string
	At      Position
}

// A SwitchPosition is one position of a switch: each entry of Joins lists
// terminals that are joined to one another there.
type SwitchPosition struct {
	Name  string
	Joins [][]string
	At    Position
}

// SwitchRoles names the terminal for each job; an empty name means the switch
// has none for it.
type SwitchRoles struct {
	Battery, Feed, Bypass, Starter, Kill, Ground, Accessory, Lights string
}

// A SwitchSource says where a switch table is printed.
type SwitchSource struct {
	Source, Place, AsPrinted string
	Basis                    Basis
	Status                   Status
	Note, Link               string
	At                       Position
}

// Position returns the position of this name; ok is false where the switch
// has none.
func (s *SwitchTable) Position(name string) (p SwitchPosition, ok bool) {
	i := slices.IndexFunc(s.Positions, func(p SwitchPosition) bool { return p.Name == name })
	if i < 0 {
		return SwitchPosition{}, false
	}
	return s.Positions[i], true
}

// Joined reports whether a position joins two terminals.
func (p SwitchPosition) Joined(a, b string) bool {
	return a == b || slices.ContainsFunc(p.Joins, func(g []string) bool { return slices.Contains(g, a) && slices.Contains(g, b) })
}
