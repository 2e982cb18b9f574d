package spark

import "gapbook.example/specs"

// Conditions are what a plug is like, beyond its gap. The zero value is a sound
// plug: new edges, centre electrode negative, not glowing.
type Conditions struct {
	// Worn edges are burned round and ask for more.
	Worn bool
	// Reversed polarity makes the centre electrode positive, which asks for
	// more.
	Reversed bool
	// Hot is a centre electrode that glows dull at work, which asks for less.
	Hot bool
}

// Factors turns the conditions into factors of a [Demand], with the figures of
// the book's class for sparks: electrode edges or worn ones, the mixture, and
// polarity and heat where they apply. All are orders of magnitude from no single
// source, and the book says so.
func (c Conditions) Factors(book *specs.Book) []Factor {
	var list []Factor
	add := func(name, label string) {
		class, ok := book.PartClass(common)
		if !ok {
			return
		}
		v, ok := class.Typical("factor", label, none)
		if !ok {
			return
		}
		low, high := ends(v.Band, v.Spread)
		list = append(list, Factor{name, low.SI(), high.SI()})
	}
	if c.Worn {
		add("worn electrodes", "worn")
	} else {
		add("electrode edges", "edges")
	}
	add("mixture", "mixture")
	if c.Reversed {
		add("reversed polarity", "reversed")
	}
	if c.Hot {
		add("hot electrode", "hot")
	}
	return list
}
