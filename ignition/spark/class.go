package spark

import "gapbook.example/specs"

// FromClass puts together a set of one kind of ignition from class figures
// alone, for an engine that the book does not have. The error is a
// [*SystemError] where the kind has no model: unknown, trembler, make-and-break.
func FromClass(book *specs.Book, system string) (*Set, error) {
	e := &specs.Engine{ID: "an engine of this class", Identity: specs.Identity{System: system}}
	label, ok := labelOf[system]
	if !ok {
		return nil, &SystemError{e.ID, system}
	}
	g := &gatherer{book: book, set: &Set{Engine: e, System: system, Ratio: 1}, label: label}
	switch label {
	case "battery":
		g.battery(system == "battery-breakerless")
	case "discharge":
		g.discharge()
	default:
		g.magneto()
	}
	g.situations()
	return g.set, nil
}
