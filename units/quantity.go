package units

import (
	"fmt"
	"math"
)

// Quantity is a value whose kind is known only at run time, as the values of
// the book and of job files are. Two are == when kind and bits are the same.
//
// The zero Quantity is no quantity at all: its Kind is 0.
type Quantity struct {
	kind Kind
	si   float64
}

// Parse reads a quantity of kind k as people write it. The error is a
// *ParseError. It panics if k is not a kind.
func Parse(k Kind, s string) (Quantity, error) {
	v, err := parse(k, s, false)
	if err != nil {
		return Quantity{}, err
	}
	return Quantity{k, v}, nil
}

// ParseStrict reads a quantity of kind k in the one way the book allows:
// number, one space, unit in its canonical spelling or plain ASCII twin.
// The error is a *ParseError. It panics if k is not a kind.
func ParseStrict(k Kind, s string) (Quantity, error) {
	v, err := parse(k, s, true)
	if err != nil {
		return Quantity{}, err
	}
	return Quantity{k, v}, nil
}

// FromSI returns the quantity of kind k that is v of the kind's base unit,
// which Kind.Base names. It panics if k is not a kind or v is NaN, infinite
// (a resistance may be plus infinity, OL), or below absolute zero or zero
// wire: those are errors of the program, to be ruled out before the call.
func FromSI(k Kind, v float64) Quantity {
	return Quantity{k, admit(k, v)}
}

// admit returns v, with minus zero made zero, or panics if no quantity of
// kind k can have that value.
func admit(k Kind, v float64) float64 {
	if !k.valid() {
		panic(fmt.Sprintf("units: no kind %d", uint8(k)))
	}
	info := &kindTable[k]
	switch {
	case math.IsNaN(v), math.IsInf(v, -1), math.IsInf(v, 1) && !info.open, v < 0 && info.floor:
		panic(fmt.Sprintf("units: no %s is %v %s", info.name, v, info.symbol))
	case v == 0:
		return 0
	}
	return v
}

// Kind returns what the quantity is.
func (q Quantity) Kind() Kind { return q.kind }

// SI returns the value in the base unit of its kind, which Kind.Base names.
func (q Quantity) SI() float64 { return q.si }

// IsZero reports whether the value is zero of its base unit. It is also true
// of the zero Quantity.
func (q Quantity) IsZero() bool { return q.si == 0 }

// Equal reports whether q and p have the same kind and bits, as == does.
func (q Quantity) Equal(p Quantity) bool { return q == p }

// Cmp returns -1, 0 or +1 as q is less than, equal to or greater than p. It
// panics if their kinds differ.
func (q Quantity) Cmp(p Quantity) int {
	if q.kind != p.kind {
		panic("units: comparing a " + q.kind.String() + " with a " + p.kind.String())
	}
	return compare(q.si, p.si)
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// sum, difference and product saturate, so that no sequence of calls on
// finite quantities makes an infinity or a NaN.

func sum(a, b float64) float64        { return saturate(a + b) }
func difference(a, b float64) float64 { return saturate(a - b) }

func product(a, x float64) float64 {
	return saturate(a * factor(x))
}

func saturate(v float64) float64 {
	switch {
	case v > math.MaxFloat64:
		return math.MaxFloat64
	case v < -math.MaxFloat64:
		return -math.MaxFloat64
	case v == 0:
		return 0 // also of minus zero
	}
	return v
}

// factor panics on what cannot scale a quantity.
func factor(x float64) float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		panic(fmt.Sprintf("units: scaling by %v", x))
	}
	return x
}

// sumOpen, differenceOpen and productOpen are the same where plus infinity
// is a value, OL: whatever OL touches is OL.

func sumOpen(a, b float64) float64 {
	if math.IsInf(a, 1) || math.IsInf(b, 1) {
		return math.Inf(1)
	}
	return sum(a, b)
}

func differenceOpen(a, b float64) float64 {
	if math.IsInf(a, 1) || math.IsInf(b, 1) {
		return math.Inf(1)
	}
	return difference(a, b)
}

func productOpen(a, x float64) float64 {
	x = factor(x)
	if math.IsInf(a, 1) {
		return a
	}
	return product(a, x)
}
