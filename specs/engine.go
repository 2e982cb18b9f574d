package specs

import "slices"

// An Engine is one engine family: who made it, what it is, and every figure
// the book holds for it.
type Engine struct {
	// ID names the record for ever; Aliases are ids it had before.
	ID      string
	Aliases []string
	// Identity says which engine this is.
	Identity Identity
	// Figures are all claims, in the order of the file.
	Figures []Figure
	// SetAside are figures that exist in print but cannot be used.
	SetAside []SetAside
	// At is the record's place in the book.
	At Position
}

// An Identity says which engine a record is about. Empty fields are unknown.
type Identity struct {
	Maker  string
	Models []string
	// Label is the engine in one line.
	Label string
	// Class is the book's own grouping, such as "pump, four-stroke single".
	Class string
	// System is the kind of ignition, one of the slugs of [Systems].
	System string
	// Systems lists further kinds fitted over the years.
	Systems []string
	// Size is "small" or "industrial".
	Size string
	// Cycle is strokes a cycle, 2 or 4; Cylinders is 1 or 2. Zero is unknown.
	Cycle, Cylinders int
	// Related are ids of records of the same engine or a sister.
	Related []string
	Note    string
}

// Systems lists the kinds of ignition system an identity may name.
func Systems() []string { return slices.Clone(systems) }

var systems = []string{
	"battery-points", "battery-breakerless", "flywheel-magneto-points", "rotor-magneto-points",
	"magneto-breakerless", "capacitor-discharge", "energy-transfer", "trembler", "make-and-break", "unknown",
}

// Of returns the figures of one quantity, the preferred one first and
// otherwise in the order of the file.
func (e *Engine) Of(key Key) []Figure {
	var out []Figure
	for _, f := range e.Figures {
		if f.Quantity == key {
			out = append(out, f)
		}
	}
	slices.SortStableFunc(out, func(a, b Figure) int {
		return preference(a) - preference(b)
	})
	return out
}

// preference orders figures: the preferred of a dispute, then by the weight of
// the word they rest on, doubtful ones last.
func preference(f Figure) int {
	switch {
	case f.Prefer != "":
		return 0
	case f.Status == Doubtful:
		return 4
	case f.Status == Verified:
		return 1
	case f.Basis.Firm():
		return 2
	default:
		return 3
	}
}
