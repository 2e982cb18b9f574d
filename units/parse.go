package units

import (
	"math"
	"math/big"
	"strconv"
	"strings"
	"unicode/utf8"
)

// maxRunes bounds the text of one quantity; what a person or a program
// writes is well inside it.
const maxRunes = 64

// maxZeroExponent bounds what stands behind a nought, so that one step of its
// last place is finite in every unit.
const maxZeroExponent = 290

// gaugeUnit is the unit of a wire size that is a gauge number.
const gaugeUnit = "AWG"

// Written is a quantity with the way it was written.
type Written struct {
	Quantity Quantity
	// Unit is the canonical spelling of the unit that was used: "kΩ" for
	// "4k7". It is empty for a bare number and for OL.
	Unit string
	// Number is the number in plain form: "4.7" for "4k7", "0.22" for
	// ".22", "1-1/32" for "1 1/32", "OL".
	Number string
	// Step is one step of the last written decimal place, in the base
	// unit: 100 for "11.2 kΩ", 1/64 inch for "3/64 in". It is zero where
	// there is none: OL and gauge numbers.
	Step float64
}

// ParseWritten reads a quantity of kind k, strictly or not, and tells how it
// was written. The error is a *ParseError. It panics if k is not a kind.
func ParseWritten(k Kind, s string, strict bool) (Written, error) {
	p, err := read(k, s, strict)
	if err != nil {
		return Written{}, err
	}
	w := Written{Quantity: Quantity{k, p.value}, Number: p.number(), Unit: p.unitName()}
	if p.unit != nil {
		step := decimal{mant: 1, exp: p.dec.exp, den: p.dec.den}
		scale := *p.unit
		scale.before, scale.neg = 0, false
		w.Step = step.in(&scale)
	}
	return w, nil
}

func parse(k Kind, s string, strict bool) (float64, error) {
	p, err := read(k, s, strict)
	return p.value, err
}

// parsed is one quantity taken apart.
type parsed struct {
	value float64 // in base units
	dec   decimal
	whole uint64 // the whole number before a fraction
	frac  bool
	unit  *unit // nil for OL and for a gauge number
	gauge int
	open  bool
}

func (p *parsed) unitName() string {
	switch {
	case p.unit != nil:
		return p.unit.name
	case p.open:
		return ""
	}
	return gaugeUnit
}

func (p *parsed) number() string {
	switch {
	case p.open:
		return overRange
	case p.unit == nil:
		return gaugeName(p.gauge)
	case p.frac:
		s := ""
		if p.dec.neg {
			s = "-"
		}
		num := p.dec.mant
		if p.whole > 0 {
			s += strconv.FormatUint(p.whole, 10) + "-"
			num -= p.whole * p.dec.den
		}
		return s + strconv.FormatUint(num, 10) + "/" + strconv.FormatUint(p.dec.den, 10)
	}
	if e := p.dec.exp; e < -maxRunes || e > maxRunes {
		d := p.dec
		d.exp = 0
		return string(d.appendPlain(nil, 0)) + "e" + strconv.Itoa(e)
	}
	return string(p.dec.appendPlain(nil, max(0, -p.dec.exp)))
}

// reader walks over the text of one quantity.
type reader struct {
	kind   Kind
	strict bool
	input  string // as given
	s      string // normalised
	i      int
}

// read is the whole parser.
func read(k Kind, input string, strict bool) (parsed, error) {
	if !k.valid() {
		panic("units: parsing without a kind")
	}
	p, err := readOnce(k, input, strict)
	if err != nil {
		if strict {
			err.bookForm()
		}
		return parsed{}, err
	}
	return p, nil
}

// bookForm makes e, which refused text for the book, say how the book writes
// what lenient parsing understands.
func (e *ParseError) bookForm() {
	p, err := readOnce(e.Kind, e.Input, false)
	if err != nil {
		if err.Code == Ambiguous {
			*e = *err
		}
		return
	}
	if p.frac && p.whole == 0 && p.dec.mant >= p.dec.den {
		p.whole = p.dec.mant / p.dec.den
		if p.dec.mant%p.dec.den == 0 {
			p.frac, p.dec = false, decimal{neg: p.dec.neg, mant: p.whole, den: 1}
		}
	}
	num, u := p.number(), p.unit
	if u == nil {
		e.Want = "write " + strconv.Quote(strings.TrimSpace(num+" "+p.unitName()))
		return
	}
	if p.frac && u.fraction != fractionStrict {
		return
	}
	if p.dec.neg && u.kind == KindCrankAngle && u.tight {
		switch u {
		case &unitTable[btdcUnit]:
			u, num = &unitTable[atdcUnit], num[1:]
		case &unitTable[atdcUnit]:
			u, num = &unitTable[btdcUnit], num[1:]
		}
	}
	e.Want = "write " + strconv.Quote(num+join(u)+u.name)
}

// readOnce reads text in one of the two ways.
func readOnce(k Kind, input string, strict bool) (parsed, *ParseError) {
	r := reader{kind: k, strict: strict, input: input, s: input}
	if err := r.normalise(); err != nil {
		return parsed{}, err
	}
	if k == KindResistance {
		if p, ok, err := r.overRange(); ok {
			return p, err
		}
	}
	if k == KindWireSize {
		if p, ok, err := r.gauge(); ok {
			return p, err
		}
	}
	if !strict && (k == KindResistance || k == KindCapacitance) {
		if p, ok, err := r.letterCode(); ok {
			return p, err
		}
	}
	p := parsed{}
	if err := r.number(&p); err != nil {
		return parsed{}, err
	}
	if err := r.unit(&p); err != nil {
		return parsed{}, err
	}
	if err := r.evaluate(&p); err != nil {
		return parsed{}, err
	}
	return p, nil
}

// fail builds the error.
func (r *reader) fail(c Code, problem, want string) *ParseError {
	in := r.input
	if utf8.RuneCountInString(in) > maxRunes {
		in = string([]rune(in)[:maxRunes]) + "..."
	}
	return &ParseError{Kind: r.kind, Input: in, Code: c, Problem: problem, Want: want}
}

// normalise checks length and characters, folds the twin micro, ohm and
// minus signs, and trims (lenient only).
func (r *reader) normalise() *ParseError {
	s := r.s
	if len(s) > maxRunes*4 || utf8.RuneCountInString(s) > maxRunes {
		if len(s) > maxRunes*4 {
			r.input = strings.ToValidUTF8(s[:maxRunes], "") + "..."
		}
		return r.fail(BadNumber, "longer than "+strconv.Itoa(maxRunes)+" characters", r.want())
	}
	ascii := true
	for i := 0; i < len(s); i++ {
		if s[i] >= utf8.RuneSelf || s[i] < ' ' || s[i] == 0x7f {
			ascii = false
			break
		}
	}
	if !ascii {
		if err := r.runes(); err != nil {
			return err
		}
		s = r.s
	}
	t := strings.Trim(s, " \t\r\n")
	if t == "" {
		return r.fail(BadNumber, "nothing is written", r.want())
	}
	if r.strict && t != s {
		return r.fail(BadNumber, "space before or after it", "write "+strconv.Quote(t))
	}
	r.s = t
	return nil
}

// evaluate turns number and unit into a value, and judges its range.
func (r *reader) evaluate(p *parsed) *ParseError {
	v := p.dec.in(p.unit)
	switch {
	case p.dec.zero() && p.dec.exp > maxZeroExponent:
		return r.fail(OutOfRange, "nought with an exponent that large", "write 0")
	case math.IsInf(v, 0):
		return r.fail(OutOfRange, "too large to be kept", "")
	case v == 0 && !p.dec.zero() && p.unit.before == 0:
		return r.fail(OutOfRange, "too small to be kept apart from zero", "write 0 if that is what was read")
	case v < 0 && kindTable[r.kind].floor:
		if r.kind == KindTemperature {
			return r.fail(OutOfRange, "below absolute zero", "")
		}
		return r.fail(OutOfRange, "a "+r.kind.String()+" below zero", "")
	}
	p.value = v
	return nil
}

// digits reads a run of digits into d, counting decimals where point is set.
func (r *reader) digits(d *decimal, point bool) int {
	n := 0
	for ; r.i < len(r.s) && isDigit(r.s[r.i]); r.i++ {
		c := uint64(r.s[r.i] - '0')
		switch {
		case d.big != nil:
			d.big.Mul(d.big, big.NewInt(10)).Add(d.big, new(big.Int).SetUint64(c))
		case d.mant > (math.MaxUint64-9)/10:
			d.big = new(big.Int).SetUint64(d.mant)
			d.big.Mul(d.big, big.NewInt(10)).Add(d.big, new(big.Int).SetUint64(c))
		default:
			d.mant = d.mant*10 + c
		}
		if point {
			d.exp--
		}
		n++
	}
	return n
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// peek returns the byte at n from here, or 0.
func (r *reader) peek(n int) byte {
	if r.i+n < len(r.s) {
		return r.s[r.i+n]
	}
	return 0
}

// number reads the number, up to its unit.
func (r *reader) number(p *parsed) *ParseError {
	d := &p.dec
	d.den = 1
	switch r.peek(0) {
	case '-':
		d.neg = true
		r.i++
	case '+':
		if r.strict {
			return r.fail(BadNumber, "a plus sign", "leave it out")
		}
		r.i++
	}
	start := r.i
	whole := r.digits(d, false)
	if whole == 0 && r.peek(0) != '.' {
		return r.noNumber()
	}
	if whole == 1 && r.s[start] == '0' && strings.IndexByte("xXbBoO", r.peek(0)) >= 0 && r.peek(0) != 0 {
		return r.fail(BadNumber, "not a decimal number", "write it in plain digits")
	}
	if r.strict && whole > 1 && r.s[start] == '0' {
		return r.fail(BadNumber, "zeros before the number", "leave them out")
	}
	if done, err := r.fraction(p, whole); done || err != nil {
		return err
	}
	if r.peek(0) == '.' {
		r.i++
		after := r.digits(d, true)
		switch {
		case after == 0:
			return r.fail(BadNumber, "no digit after the decimal point", "write 5 or 5.0, not 5.")
		case whole == 0 && r.strict:
			return r.fail(BadNumber, "no digit before the decimal point", "write 0"+r.s[start:r.i])
		}
	}
	if c := r.peek(0); (c == 'e' || c == 'E' && !r.strict) && (isDigit(r.peek(1)) || (r.peek(1) == '-' || r.peek(1) == '+') && isDigit(r.peek(2))) {
		r.i++
		sign := 1
		switch r.peek(0) {
		case '-':
			sign = -1
			r.i++
		case '+':
			r.i++
		}
		e, n := 0, 0
		for ; isDigit(r.peek(0)); r.i++ {
			if e < 10000 {
				e = e*10 + int(r.peek(0)-'0')
			}
			n++
		}
		if e > 999 {
			return r.fail(OutOfRange, "the exponent is too large", "write the number in the unit that keeps it short")
		}
		d.exp += sign * e
	}
	return r.afterNumber(start)
}

// fraction reads 3/64, 1-1/32 and, leniently, 1 1/32 from after the first
// digits. It leaves everything as it was where there is none.
func (r *reader) fraction(p *parsed, whole int) (bool, *ParseError) {
	if whole == 0 || p.dec.big != nil {
		return false, nil
	}
	at := r.i
	num := decimal{den: 1}
	mixed := false
	switch {
	case r.peek(0) == '/' && isDigit(r.peek(1)):
		num.mant = p.dec.mant
	case (r.peek(0) == '-' || r.peek(0) == ' ') && isDigit(r.peek(1)):
		r.i++
		r.digits(&num, false)
		if r.peek(0) != '/' || !isDigit(r.peek(1)) {
			r.i = at
			return false, nil
		}
		mixed = true
	default:
		return false, nil
	}
	r.i++
	den := decimal{den: 1}
	r.digits(&den, false)
	switch {
	case r.strict && mixed && r.s[at] == ' ':
		return true, r.fail(BadNumber, "a space inside the number", "write 1-1/32, with a hyphen")
	case den.zero():
		return true, r.fail(BadNumber, "a fraction over nought", "")
	case den.big != nil || den.mant > 128:
		return true, r.fail(BadNumber, "a fraction finer than 1/128", "write it as a decimal")
	case num.big != nil || num.mant > 1e6 || p.dec.mant > 1e6:
		return true, r.fail(BadNumber, "too large for a fraction", "write it as a decimal")
	case num.mant >= den.mant && (mixed || r.strict):
		return true, r.fail(BadNumber, "a fraction of one or more", "write it as a whole number and a fraction, or as a decimal")
	}
	p.frac = true
	if mixed {
		p.whole = p.dec.mant
	}
	p.dec.mant = p.whole*den.mant + num.mant
	p.dec.den = den.mant
	return true, nil
}

// unit reads the rest of the text as a unit.
func (r *reader) unit(p *parsed) *ParseError {
	rest := r.s[r.i:]
	name := strings.TrimLeft(rest, " \t")
	index, strictOK, ok := lookup(r.kind, name)
	if !ok {
		return r.badUnit(p, name)
	}
	u := &unitTable[index]
	if r.strict {
		space := len(rest) - len(name)
		switch {
		case !strictOK:
			return r.fail(UnknownUnit, "the book does not spell a unit "+strconv.Quote(name), r.want())
		case name != "" && space != 1 && !(u.tight && space == 0):
			return r.fail(UnknownUnit, "not one space between number and unit", r.want())
		case p.dec.neg && r.kind == KindCrankAngle && (index == btdcUnit || index == atdcUnit):
			return r.fail(BadNumber, "a negative angle with its sense named", "name the other sense")
		}
	}
	if p.frac && (u.fraction == 0 || r.strict && u.fraction != fractionStrict) {
		return r.fail(BadNumber, "a fraction of "+aUnit(u), "write a decimal")
	}
	p.unit = u
	return nil
}

func aUnit(u *unit) string {
	if u.name == "" {
		return "a bare number"
	}
	return u.name
}

// join returns what stands between a number and its unit.
func join(u *unit) string {
	if u.tight || u.name == "" {
		return ""
	}
	return " "
}
