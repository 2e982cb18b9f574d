package spark

import (
	"fmt"
	"math"

	"gapbook.example/specs"
	"gapbook.example/units"
)

// A LowTension is a coil on a battery of which only current and stored energy
// are computed here: the coil of a make-and-break igniter, whose contacts part
// inside the cylinder, or the primary of a trembler coil, whose contacts part
// many times a spark. Every field but Wiring has to be more than nought;
// inductance and closed time may be left out, and so is then what hangs on them.
type LowTension struct {
	Battery Battery
	// Wiring is the resistance of feed and ground path; may be nought.
	Wiring units.Resistance
	// Contact is the resistance of the closed contacts; may be nought.
	Contact units.Resistance
	// Resistance and Inductance of the winding that the battery feeds.
	Resistance units.Resistance
	Inductance units.Inductance
	// Closed is how long the contacts stay closed; nought for long enough.
	Closed units.Time
}

// A LowTensionEvent is what a coil holds as its contacts part. It says nothing
// of the spark: contacts that part in a drawn arc, and trembling ones, have no
// model here.
type LowTensionEvent struct {
	// Current as the contacts part, by V/R (1 - e^(-t R/L)), and Stored, L I²/2:
	// nought where the inductance is.
	Current units.Current
	Stored  units.Energy
	// TimeConstant is L/R of the whole loop.
	TimeConstant units.Time
}

// ComputeLowTension works out current and stored energy. The error is a
// [Problems].
func ComputeLowTension(l LowTension) (LowTensionEvent, error) {
	var ps Problems
	within := func(key string, v, least, most float64, q fmt.Stringer) {
		if !(v >= least && v <= most) {
			ps = append(ps, Problem{key, fmt.Sprintf("it is %v, out of the range that can be computed with", q), ""})
		}
	}
	within("battery.voltage", l.Battery.Voltage.Volts(), 0.1, 1000, l.Battery.Voltage)
	within("battery.resistance", l.Battery.Resistance.Ohms(), 0, 1e6, l.Battery.Resistance)
	within("wiring.resistance", l.Wiring.Ohms(), 0, 1e6, l.Wiring)
	within("contact.resistance", l.Contact.Ohms(), 0, 1e6, l.Contact)
	within("coil.primary_resistance", l.Resistance.Ohms(), 1e-3, 1e6, l.Resistance)
	within("coil.primary_inductance", l.Inductance.Henries(), 0, 100, l.Inductance)
	within("contact.closed", l.Closed.Seconds(), 0, 1e6, l.Closed)
	if ps != nil {
		return LowTensionEvent{}, ps
	}
	r := l.Battery.Resistance.Ohms() + l.Wiring.Ohms() + l.Contact.Ohms() + l.Resistance.Ohms()
	h := l.Inductance.Henries()
	i := l.Battery.Voltage.Volts() / r
	if t := l.Closed.Seconds(); t > 0 && h > 0 {
		i *= -math.Expm1(-t * r / h)
	}
	return LowTensionEvent{amperes(i), joules(h * i * i / 2), seconds(h / r)}, nil
}

// A LowTensionSet is a [LowTension] put together from the book.
type LowTensionSet struct {
	// Engine is the record, and System "trembler" or "make-and-break".
	Engine *specs.Engine
	System string
	// Coil is the set; its Closed is nought: closed for long enough.
	Coil LowTension
	// Known are the values that the record has, Granted the class figures.
	Known, Granted []Origin
}

// LowTensionFromBook puts together the low-tension side of the engine with an
// id, for the kinds of ignition that [FromBook] refuses: trembler and
// make-and-break. An empty system takes the record's. The error is a
// [*specs.UnknownError] or a [*SystemError].
func LowTensionFromBook(book *specs.Book, id, system string) (*LowTensionSet, error) {
	e, err := book.Engine(id)
	if err != nil {
		return nil, err
	}
	if system == "" {
		system = e.Identity.System
	}
	class, attribute, contact, label := "low-tension-coil", "resistance", "igniter", "igniter"
	switch system {
	case "make-and-break":
	case "trembler":
		class, attribute, contact, label = "trembler-coil", "primary", "trembler-coil", "trembler"
	default:
		return nil, &SystemError{e.ID, system}
	}
	g := &gatherer{book: book, set: &Set{Engine: e, System: system, Ratio: 1}, label: label}
	out := &LowTensionSet{Engine: e, System: system}
	out.Coil = LowTension{
		Battery:    Battery{g.voltage("battery.voltage", "", "dry-cells", "rest", ""), g.ohms("battery.resistance", "", "dry-cells", "resistance", "")},
		Wiring:     g.ohms("wiring.resistance", "", common, "wiring", ""),
		Contact:    g.ohms("contact.resistance", "", contact, "contact", ""),
		Resistance: g.ohms("coil.primary_resistance", "primary", class, attribute, ""),
		Inductance: g.henries("coil.primary_inductance", "primary_inductance", "inductance", label),
	}
	out.Known, out.Granted = g.set.Known, g.set.Granted
	return out, nil
}
