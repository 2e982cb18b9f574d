package units

import (
	"math"
	"strconv"
)

// Numbers with more zeros than these, after the point or on the end, are
// printed with an exponent.
const (
	maxLeadingZeros = 6
	maxIntDigits    = 15
)

// countDigits returns the number of digits of d, which has no zeros on the
// end.
func (d *decimal) countDigits() int {
	n := 0
	for m := d.mant; m > 0; m /= 10 {
		n++
	}
	return max(n, 1)
}

// appendText appends d as it prints: plain with at least the customary
// decimals, or with an exponent where plain would be all zeros.
func (d *decimal) appendText(b []byte, decimals int) []byte {
	point := d.countDigits() + d.exp // digits before the decimal point
	if d.mant == 0 || point > -maxLeadingZeros && point <= maxIntDigits {
		return d.appendPlain(b, max(decimals, -d.exp))
	}
	if d.neg {
		b = append(b, '-')
	}
	var buf [24]byte
	digits := strconv.AppendUint(buf[:0], d.mant, 10)
	b = append(b, digits[0])
	if len(digits) > 1 {
		b = append(b, '.')
		b = append(b, digits[1:]...)
	}
	b = append(b, 'e')
	e := point - 1
	if e < 0 {
		b = append(b, '-')
		e = -e
	} else {
		b = append(b, '+')
	}
	if e < 10 {
		b = append(b, '0')
	}
	return strconv.AppendInt(b, int64(e), 10)
}

// appendPlain appends d without an exponent and with the given number of
// decimals, which are at least those that d has.
func (d *decimal) appendPlain(b []byte, decimals int) []byte {
	if d.neg && !d.zero() {
		b = append(b, '-')
	}
	var buf [24]byte
	digits := strconv.AppendUint(buf[:0], d.mant, 10)
	if d.big != nil {
		digits = d.big.Append(nil, 10)
	}
	exp := d.exp
	if d.zero() {
		exp = 0
	}
	point := len(digits) + exp
	if point <= 0 {
		b = append(b, '0')
	}
	for i := range max(point, 0) {
		if i < len(digits) {
			b = append(b, digits[i])
		} else {
			b = append(b, '0')
		}
	}
	if decimals <= 0 {
		return b
	}
	b = append(b, '.')
	for i := range decimals {
		if j := point + i; j >= 0 && j < len(digits) {
			b = append(b, digits[j])
		} else {
			b = append(b, '0')
		}
	}
	return b
}

// round returns d to the given decimals, halves away from zero.
func (d decimal) round(decimals int) decimal {
	drop := -decimals - d.exp
	if drop <= 0 {
		return d
	}
	if drop > 19 {
		return decimal{den: 1}
	}
	p := pow10[drop]
	q, rem := d.mant/p, d.mant%p
	if rem >= p-rem {
		q++
	}
	r := decimal{neg: d.neg, mant: q, exp: d.exp + drop, den: 1}
	return r.trim()
}

// group returns the customary units of q's size, the usual one first.
func (q Quantity) group() []uint8 {
	if q.kind == KindCrankAngle && q.si < 0 {
		return atdcGroup[:]
	}
	if q.si == 0 && q.kind != KindTemperature {
		return []uint8{uint8(kindTable[q.kind].first)}
	}
	size := math.Abs(q.si)
	var units []uint8
	for _, g := range kindTable[q.kind].print {
		units = g.units
		if size >= g.from {
			break
		}
	}
	return units
}

// choose returns the unit that q prints in, and q in it: of its group the
// one that needs the fewest digits, the first of those that need the same.
func (q Quantity) choose() (*unit, decimal) {
	group := q.group()
	var best *unit
	var least decimal
	for _, i := range group {
		u := &unitTable[i]
		d, ok := nearDecimal(q.si, u)
		if ok && (best == nil || d.countDigits() < least.countDigits()) {
			best, least = u, d
		}
	}
	if best == nil {
		best = &unitTable[group[0]]
		least = shortest(q.si, best)
	}
	return best, least
}

// appendIn appends d and its unit.
func appendIn(b []byte, d *decimal, u *unit) []byte {
	b = d.appendText(b, u.decimals)
	b = append(b, join(u)...)
	return append(b, u.name...)
}

// String returns the quantity in the shortest decimal that reads back to the
// same bits, in the customary unit that needs the fewest digits: "0.020 in",
// "0.5 mm", "11.5 kΩ", "OL", "23° BTDC", "18 AWG". The zero Quantity prints
// "nothing".
func (q Quantity) String() string {
	var buf [48]byte
	b, _ := q.AppendText(buf[:0])
	return string(b)
}

// AppendText appends String to b. The error is always nil.
func (q Quantity) AppendText(b []byte) ([]byte, error) {
	switch {
	case !q.kind.valid():
		return append(b, "nothing"...), nil
	case math.IsInf(q.si, 1):
		return append(b, overRange...), nil
	case q.kind == KindWireSize:
		if n, ok := (WireSize{q.si}).AWG(); ok {
			b = append(b, gaugeName(n)...)
			return append(b, " "+gaugeUnit...), nil
		}
	}
	u, d := q.choose()
	return appendIn(b, &d, u), nil
}

// MarshalText returns String as bytes. The error is always nil. There is no
// way back without a kind: see Parse.
func (q Quantity) MarshalText() ([]byte, error) { return q.AppendText(nil) }

// unitNamed finds a unit of q's kind by any of its spellings.
func (q Quantity) unitNamed(name string) (*unit, bool) {
	i, _, ok := lookup(q.kind, name)
	if !ok {
		return nil, false
	}
	return &unitTable[i], true
}

// In returns the quantity in the unit named, as the shortest decimal that
// reads back to the same bits; ok is false if q's kind has no such unit, if
// the unit is AWG and q is not exactly a gauge, or if q is a temperature too
// near absolute zero to be told in °C or °F. OL is OL in any unit.
func (q Quantity) In(unit string) (text string, ok bool) {
	if q.kind == KindWireSize && unit == gaugeUnit {
		n, ok := (WireSize{q.si}).AWG()
		if !ok {
			return "", false
		}
		return gaugeName(n) + " " + gaugeUnit, true
	}
	u, ok := q.unitNamed(unit)
	switch {
	case !ok:
		return "", false
	case math.IsInf(q.si, 1):
		return overRange, true
	}
	d := shortest(q.si, u)
	if d.in(u) != q.si {
		return "", false
	}
	return string(appendIn(nil, &d, u)), true
}

// Text returns the quantity in the unit named, rounded for a report to the
// given decimals, halves away from zero, zeros kept: "0.50 mm". OL is OL; a
// gauge in AWG has no decimals, and what is no gauge prints in mm². It
// panics if q's kind has no such unit or decimals is below zero.
func (q Quantity) Text(unit string, decimals int) string {
	if decimals < 0 {
		panic("units: decimals below zero")
	}
	if q.kind == KindWireSize && unit == gaugeUnit {
		if text, ok := q.In(unit); ok {
			return text
		}
		unit = "mm²"
	}
	u, ok := q.unitNamed(unit)
	switch {
	case !ok:
		panic("units: a " + q.kind.String() + " has no unit " + strconv.Quote(unit))
	case math.IsInf(q.si, 1):
		return overRange
	}
	d := shortest(q.si, u)
	d = d.round(decimals)
	b := d.appendPlain(nil, decimals)
	b = append(b, join(u)...)
	return string(append(b, u.name...))
}

// displayDigits is how many digits of a computed value a report shows.
const displayDigits = 4

// writtenDigits is how many digits a person may have written; a value with
// more was computed, and shows in the usual unit.
const writtenDigits = 9

// Display returns the quantity for a report: as String where that has at
// most four digits, else rounded to four in its customary unit.
func (q Quantity) Display() string {
	if !q.kind.valid() || math.IsInf(q.si, 1) {
		return q.String()
	}
	if q.kind == KindWireSize {
		if _, ok := (WireSize{q.si}).AWG(); ok {
			return q.String()
		}
	}
	u := q.displayUnit()
	return q.rounded(u, displayDigits)
}

// DisplayBoth returns the quantity for a report in two units, as shops that
// own both kinds of gauge want it: "0.35 mm (0.014 in)", "15 lb-ft
// (20.3 N·m)". The first unit is the one named, or that of Display if name
// is empty; quantities that everybody counts alike show only that. It
// panics if q's kind has no such unit.
func (q Quantity) DisplayBoth(name string) string {
	if !q.kind.valid() || math.IsInf(q.si, 1) {
		return q.String()
	}
	if q.kind == KindWireSize {
		area := q.rounded(&unitTable[kindTable[q.kind].first], displayDigits)
		if _, ok := (WireSize{q.si}).AWG(); ok && (name == "" || name == gaugeUnit) {
			return q.String() + " (" + area + ")"
		}
		return area
	}
	var u *unit
	var first string
	if name == "" && q.kind != KindRatio {
		u = q.displayUnit()
		first = q.Display()
	} else {
		var ok bool
		if u, ok = q.unitNamed(name); !ok {
			panic("units: a " + q.kind.String() + " has no unit " + strconv.Quote(name))
		}
		first = q.rounded(u, displayDigits)
	}
	if u.twin == 0 {
		return first
	}
	t := &unitTable[u.twin-1]
	d := about(q.si, t)
	// At least two digits, so that a small value does not vanish.
	decimals := max(t.report, 2-(d.countDigits()+d.exp))
	d = d.round(decimals)
	text := d.appendPlain(nil, max(t.report, -d.exp))
	return first + " (" + string(text) + join(t) + t.name + ")"
}

// rounded returns q in unit u, rounded to so many digits.
func (q Quantity) rounded(u *unit, digits int) string {
	d := about(q.si, u)
	d = d.round(digits - (d.countDigits() + d.exp))
	return string(appendIn(nil, &d, u))
}

// displayUnit returns the unit that Display shows.
func (q Quantity) displayUnit() *unit {
	u, d := q.choose()
	if d.countDigits() > writtenDigits {
		return &unitTable[q.group()[0]]
	}
	return u
}
