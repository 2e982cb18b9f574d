package timing

import "strconv"

// Rotation is which way a wheel turns, seen from the side one looks at. The
// zero value is unknown.
type Rotation uint8

// The rotations.
const (
	RotationUnknown Rotation = iota
	Clockwise
	Anticlockwise
)

// String returns "clockwise", "anticlockwise" or "unknown".
func (r Rotation) String() string {
	switch r {
	case Clockwise:
		return "clockwise"
	case Anticlockwise:
		return "anticlockwise"
	}
	return "unknown"
}

// ParseRotation reads "clockwise" or "anticlockwise" (also
// "counterclockwise"). The error is an *InputError.
func ParseRotation(text string) (Rotation, error) {
	switch text {
	case "clockwise":
		return Clockwise, nil
	case "anticlockwise", "counterclockwise", "counter-clockwise", "anti-clockwise":
		return Anticlockwise, nil
	}
	return RotationUnknown, &InputError{CodeNothing, "rotation", "is " + strconv.Quote(text), "write clockwise or anticlockwise, as you look at the wheel"}
}

// Reverse returns the other way round; unknown stays unknown.
func (r Rotation) Reverse() Rotation {
	switch r {
	case Clockwise:
		return Anticlockwise
	case Anticlockwise:
		return Clockwise
	}
	return RotationUnknown
}

// MarkFromTop returns which way round from the mark of top dead centre the
// mark of an advanced spark (before top dead centre) lies. On the wheel, read
// against a fixed pointer, it lies the way the wheel turns, for it has to pass
// the pointer first. On the housing, where the wheel carries the pointer, it
// lies the other way. A retarded mark lies opposite.
func (r Rotation) MarkFromTop(onWheel bool, side Side) Rotation {
	if onWheel == (side == Before) {
		return r
	}
	return r.Reverse()
}
