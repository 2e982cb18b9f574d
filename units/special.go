package units

import "math"

// overRange is how a meter shows a resistance over its range.
const overRange = "OL"

// overRange reads OL.
func (r *reader) overRange() (parsed, bool, *ParseError) {
	switch r.s {
	case overRange:
	case "O.L", "O.L.", ".OL", "OL.":
		if r.strict {
			return parsed{}, true, r.fail(UnknownUnit, "the book does not spell it so", `write "OL"`)
		}
	case "0L", "0.L", ".0L":
		return parsed{}, true, r.fail(Ambiguous, "0L may be OL, or nought milliohms", `write "OL" with the letter O, or "0 mΩ"`)
	case "-OL", "+OL":
		return parsed{}, true, r.fail(NotFinite, "over range has no sign", `write "OL"`)
	default:
		return parsed{}, false, nil
	}
	return parsed{value: math.Inf(1), open: true}, true, nil
}

// letterCode reads a value in the letter code of IEC 60062, where the
// letter stands for both unit and decimal point: 4k7, R47, n22. It leaves a
// letter on the end, 470R, to the units.
func (r *reader) letterCode() (parsed, bool, *ParseError) {
	s := r.s
	i := 0
	neg := false
	if s[0] == '-' {
		neg = true
		i++
	}
	start := i
	for i < len(s) && isDigit(s[i]) {
		i++
	}
	head := i
	size := 1
	if i < len(s) && s[i] == 0xc2 && i+1 < len(s) && s[i+1] == 0xb5 {
		size = 2 // µ
	}
	if i+size >= len(s) {
		return parsed{}, false, nil
	}
	letter := s[i : i+size]
	for j := i + size; j < len(s); j++ {
		if !isDigit(s[j]) {
			return parsed{}, false, nil
		}
	}
	name := ""
	switch r.kind {
	case KindResistance:
		switch letter {
		case "L":
			name = "mΩ"
		case "R":
			name = "Ω"
		case "k", "K":
			name = "kΩ"
		case "M":
			name = "MΩ"
		case "G":
			name = "GΩ"
		case "m":
			return parsed{}, true, r.fail(Ambiguous, "m is milli, which no resistance code uses", "write "+s[:i]+"M"+s[i+1:]+" for megohms, "+s[:i]+"L"+s[i+1:]+" for milliohms")
		}
	case KindCapacitance:
		switch letter {
		case "p":
			name = "pF"
		case "n":
			name = "nF"
		case "µ", "u":
			name = "µF"
		case "m":
			name = "F" // milli: three more decimals
		}
	}
	if name == "" {
		return parsed{}, false, nil
	}
	p := parsed{dec: decimal{neg: neg, den: 1}}
	r.i = start
	r.digits(&p.dec, false)
	r.i = head + size
	r.digits(&p.dec, true)
	if letter == "m" {
		p.dec.exp -= 3
	}
	index, _, _ := lookup(r.kind, name)
	p.unit = &unitTable[index]
	return p, true, r.evaluate(&p)
}
