package units

// Kind names a kind of quantity at run time. The zero Kind is none of them.
type Kind uint8

type kindInfo struct {
	name        string // the quantity in words
	base        string // the base unit in words
	symbol      string // the base unit as SI writes it
	first, last int    // its units in unitTable
	print       []printGroup
	floor       bool // nothing below zero of the base unit
	open        bool // plus infinity exists
}

// printGroup names the units, best first, that String may print a value in
// when its size is at least from.
type printGroup struct {
	from  float64
	units []uint8
}

// valid reports whether k is one of the kinds.
func (k Kind) valid() bool { return k >= 1 && k <= kindCount }

// Kinds returns every kind, in a fixed order.
func Kinds() []Kind {
	ks := make([]Kind, kindCount)
	for i := range ks {
		ks[i] = Kind(i + 1)
	}
	return ks
}

// String returns the kind in words: "length", "crank angle". The zero Kind
// and numbers that are no kind return "no quantity".
func (k Kind) String() string {
	if !k.valid() {
		return "no quantity"
	}
	return kindTable[k].name
}

// Base returns, in words, the unit that Quantity.SI and FromSI count in:
// the coherent SI unit, except rpm for speeds, degrees for angles, m/° for
// a length per crank angle, mm² for wire sizes, turns for turns.
func (k Kind) Base() string {
	if !k.valid() {
		return ""
	}
	return kindTable[k].base
}

// Units returns the canonical spellings of the kind's units, the usual one
// first. A ratio's first unit is the empty string: a bare number. The zero
// Kind has none.
func (k Kind) Units() []string {
	if !k.valid() {
		return nil
	}
	var names []string
	if k == KindWireSize {
		names = append(names, gaugeUnit)
	}
	info := &kindTable[k]
	for i := info.first; i < info.last; i++ {
		names = append(names, unitTable[i].name)
	}
	return names
}
