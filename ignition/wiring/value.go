package wiring

import (
	"math"
	"strconv"
	"strings"

	"gapbook.example/specs"
	"gapbook.example/units"
)

// Value is a figure of a part, with the range that the part may lie in. Min
// and Max equal Nominal where nothing is said of a tolerance. The zero Value
// is absent.
type Value struct {
	Nominal, Min, Max units.Quantity
	// Assumed is true where the harness did not say and the book's class figure
	// stands; Source is then the id of its source, with Place and Basis.
	Assumed       bool
	Source, Place string
	Basis         specs.Basis
}

// Of returns a value without tolerance of its own, from any quantity of
// package units: Of(units.Ohms(3.4)).
func Of[T interface{ Quantity() units.Quantity }](nominal T) Value {
	q := nominal.Quantity()
	return Value{Nominal: q, Min: q, Max: q}
}

// Within returns a value with its limits.
func Within[T interface{ Quantity() units.Quantity }](low, nominal, high T) Value {
	return Value{Nominal: nominal.Quantity(), Min: low.Quantity(), Max: high.Quantity()}
}

// IsZero reports whether the value is absent.
func (v Value) IsZero() bool { return v.Nominal.Kind() == 0 }

// String returns the value as [ParseValue] reads it.
func (v Value) String() string {
	switch {
	case v.IsZero():
		return ""
	case v.Min == v.Nominal && v.Max == v.Nominal:
		return v.Nominal.String()
	}
	return v.Nominal.String() + " (" + v.Min.String() + " to " + v.Max.String() + ")"
}

// ParseValue reads "3.4 Ω", "3.4 Ω ± 10 %", "3.4 Ω ± 0.2 Ω", "3.2 to 3.6 Ω"
// and "3.4 Ω (3.2 Ω to 3.6 Ω)". The error is a [*units.ParseError].
func ParseValue(k units.Kind, text string) (Value, error) {
	number := func(s string) (units.Quantity, error) { return units.Parse(k, strings.TrimSpace(s)) }
	pair := func(s string) (lo, hi units.Quantity, err error) {
		a, b, _ := strings.Cut(s, " to ")
		if hi, err = number(b); err != nil {
			return
		}
		if lo, err = number(a); err != nil && !strings.Contains(strings.TrimSpace(a), " ") {
			// "3.2 to 3.6 Ω" says the unit once.
			if _, unit, ok := strings.Cut(strings.TrimSpace(b), " "); ok {
				lo, err = number(a + " " + unit)
			}
		}
		if err == nil && lo.Cmp(hi) > 0 {
			lo, hi = hi, lo
		}
		return
	}
	if head, rest, ok := strings.Cut(text, " ("); ok && strings.HasSuffix(rest, ")") && strings.Contains(rest, " to ") {
		nominal, err := number(head)
		if err != nil {
			return Value{}, err
		}
		lo, hi, err := pair(strings.TrimSuffix(rest, ")"))
		if err == nil && (nominal.Cmp(lo) < 0 || nominal.Cmp(hi) > 0) {
			err = &units.ParseError{Input: text, Code: units.OutOfRange, Problem: "the figure lies outside its own limits", Want: "write the lesser limit first and the figure between them"}
		}
		return Value{Nominal: nominal, Min: lo, Max: hi}, err
	}
	for _, sign := range []string{"±", "+/-", "+-"} {
		head, rest, ok := strings.Cut(text, sign)
		if !ok {
			continue
		}
		nominal, err := number(head)
		if err != nil {
			return Value{}, err
		}
		distance := 0.0
		if share, err := units.Parse(units.KindRatio, strings.TrimSpace(rest)); err == nil && strings.Contains(rest, "%") {
			distance = share.SI() * abs(nominal.SI())
		} else {
			q, err := number(rest)
			if err != nil {
				return Value{}, err
			}
			distance = abs(q.SI())
		}
		return around(nominal, distance), nil
	}
	if strings.Contains(text, " to ") {
		lo, hi, err := pair(text)
		if err != nil {
			return Value{}, err
		}
		return Value{Nominal: units.FromSI(k, lo.SI()/2+hi.SI()/2), Min: lo, Max: hi}, nil
	}
	nominal, err := number(text)
	return Value{Nominal: nominal, Min: nominal, Max: nominal}, err
}

func around(nominal units.Quantity, distance float64) Value {
	if math.IsInf(nominal.SI(), 0) || distance == 0 {
		return Value{Nominal: nominal, Min: nominal, Max: nominal} // an open circuit is open
	}
	lo, hi := nominal.SI()-distance, nominal.SI()+distance
	if nominal.SI() >= 0 {
		lo = max(lo, 0)
	}
	return Value{Nominal: nominal, Min: units.FromSI(nominal.Kind(), tidy(lo)), Max: units.FromSI(nominal.Kind(), tidy(hi))}
}

// tidy rounds to ten digits, so that ten per cent of 3.4 Ω prints as 0.34 Ω.
func tidy(x float64) float64 {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 10, 64), 64)
	if err != nil {
		return x
	}
	return y
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}
