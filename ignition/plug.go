package ignition

import "gapbook.example/units"

// Seat is how a plug seals in the head. The zero value is SeatUnknown.
type Seat uint8

// The seats.
const (
	SeatUnknown Seat = iota
	SeatGasket
	SeatTaper
)

var seatWords = []string{"unknown", "gasket", "taper"}

// ParseSeat reads "gasket", "taper" or "unknown"; anything else is a
// *WordError.
func ParseSeat(text string) (Seat, error) {
	i, err := parseWord("plug seat", seatWords, text)
	return Seat(i), err
}

// String returns "gasket", "taper" or "unknown".
func (s Seat) String() string { return wordOf(seatWords, int(s)) }

// MarshalText writes the word of the seat.
func (s Seat) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads what MarshalText writes; the error is a *WordError.
func (s *Seat) UnmarshalText(text []byte) error {
	v, err := ParseSeat(string(text))
	if err == nil {
		*s = v
	}
	return err
}

// Plug is a spark plug by its attributes. The zero value is a plug of which
// nothing is known.
type Plug struct {
	Name   string              // tells several apart: "left", "cylinder 2"
	Thread Known[units.Length] // outside diameter: 10, 12, 14 or 18 mm
	Pitch  Known[units.Length]
	Reach  Known[units.Length] // from the seat to the end of the thread
	Hex    Known[units.Length] // across the flats
	Seat   Seat
	Gap    Known[units.Length]
	// Resistor is whether the plug has one built in.
	Resistor Known[bool]
	// Resistance from terminal to centre electrode.
	Resistance Known[units.Resistance]
	// Shunt is the leak from centre electrode to shell.
	Shunt Known[units.Resistance]
}
