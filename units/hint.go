package units

import (
	"strconv"
	"strings"
	"unicode"
)

// want says what a quantity of the kind looks like.
func (r *reader) want() string {
	names := r.kind.Units()
	switch r.kind {
	case KindRatio:
		return "write a bare number, or one with %"
	case KindWireSize:
		return `write "18 AWG" or "0.75 mm²"`
	}
	if len(names) == 1 {
		return "write a number and " + names[0]
	}
	return "write a number and one of " + strings.Join(names, ", ")
}

// noNumber says what stands where a number should.
func (r *reader) noNumber() *ParseError {
	rest := r.s[r.i:]
	if rest == "" {
		return r.fail(BadNumber, "a sign without a number", r.want())
	}
	for _, w := range []string{"NaN", "nan", "NAN", "Inf", "inf", "INF", "Infinity", "infinity", "infinite", "∞"} {
		if rest == w || strings.HasPrefix(rest, w+" ") {
			want := r.want()
			if r.kind == KindResistance && w[0] != 'N' && w[0] != 'n' {
				want = `write "OL" for a meter that shows over range`
			}
			return r.fail(NotFinite, "not a finite number", want)
		}
	}
	if r.kind == KindResistance {
		for _, w := range []string{"ol", "Ol", "oL", "open", "Open", "OPEN"} {
			if rest == w {
				return r.fail(BadNumber, "not a number", `write "OL" for a meter that shows over range`)
			}
		}
	}
	if strings.IndexByte("<>=~", rest[0]) >= 0 {
		return r.fail(BadNumber, "more than one number is meant by "+strconv.Quote(rest[:1]), "write the one number; limits have fields of their own")
	}
	if c := rest[0]; c == ',' {
		return r.fail(DecimalComma, "a decimal comma", "write 0."+strings.TrimLeft(rest, ",")+", with a point")
	}
	return r.fail(BadNumber, "it does not begin with a number", r.want())
}

// afterNumber refuses what looks like more of the number: a comma, grouping,
// a range, a tolerance.
func (r *reader) afterNumber(start int) *ParseError {
	head, rest := r.s[:r.i], r.s[r.i:]
	if rest == "" {
		return nil
	}
	trimmed := strings.TrimLeft(rest, " ")
	switch c := rest[0]; {
	case c == ',':
		return r.comma(start)
	case c == '_' || c == '\'' && len(rest) > 1 && isDigit(rest[1]):
		return r.fail(BadNumber, "a mark inside the number", "write the digits without marks between them")
	case c == '.' && !strings.HasPrefix(rest, ".."):
		return r.fail(BadNumber, "two decimal points", "")
	case c == ' ' && trimmed != "" && isDigit(trimmed[0]):
		return r.fail(BadNumber, "a space inside the number", "write the digits together")
	}
	if trimmed == "" {
		return nil
	}
	if strings.HasPrefix(trimmed, "-") && len(trimmed) > 1 && (isDigit(trimmed[1]) || trimmed[1] == '.' || trimmed[1] == ' ') ||
		strings.HasPrefix(trimmed, "to ") && len(trimmed) > 3 && (isDigit(trimmed[3]) || trimmed[3] == '.') && !(r.kind == KindRatio && trimmed == "to 1") ||
		strings.HasPrefix(trimmed, "..") {
		return r.fail(BadNumber, "a range, not one number", "write each end by itself, as a min and a max")
	}
	if strings.HasPrefix(trimmed, "+/-") || strings.HasPrefix(trimmed, "+-") || strings.HasPrefix(trimmed, "±") {
		return r.fail(BadNumber, "a tolerance, not one number", "write "+strconv.Quote(strings.TrimRight(head, " "))+" with its unit, and the tolerance by itself")
	}
	return nil
}

// comma says what a comma might have meant.
func (r *reader) comma(start int) *ParseError {
	s := r.s[start:]
	end := 0
	for end < len(s) && (isDigit(s[end]) || s[end] == ',' || s[end] == '.') {
		end++
	}
	num, tail := s[:end], s[end:]
	plain := strings.ReplaceAll(num, ",", "")
	before, after, _ := strings.Cut(num, ",")
	point := strings.ReplaceAll(before, ".", "") + "." + strings.ReplaceAll(after, ",", "")
	one := strings.Count(num, ",") == 1
	grouped := len(before) <= 3 && before != "0" && !strings.Contains(before, ".")
	for _, g := range strings.Split(strings.SplitN(after, ".", 2)[0], ",") {
		grouped = grouped && len(g) == 3
	}
	switch {
	case grouped && one && !strings.Contains(num, "."):
		return r.fail(DecimalComma, "a comma in the number", "write "+strconv.Quote(plain+tail)+" if it parts thousands, "+strconv.Quote(point+tail)+" if it is a decimal point")
	case grouped:
		return r.fail(DecimalComma, "commas in the number", "write "+strconv.Quote(plain+tail))
	}
	return r.fail(DecimalComma, "a decimal comma", "write "+strconv.Quote(point+tail)+", with a point")
}

// badUnit says why name is no unit of the kind.
func (r *reader) badUnit(p *parsed, name string) *ParseError {
	if name == "" {
		return r.fail(NoUnit, "a number without a unit", r.want())
	}
	switch r.kind {
	case KindLength, KindLengthPerCrankAngle:
		switch name {
		case "mil", "mils":
			return r.fail(Ambiguous, `"mil" is a thousandth of an inch to some and a millimetre to others`, "write thou or mm")
		}
	case KindCapacitance:
		switch name {
		case "mF", "MF", "mf", "Mf", "m":
			return r.fail(Ambiguous, strconv.Quote(name)+" is millifarads by the book but microfarads on old parts", "write µF (uF), or mfd for an old part's microfarads")
		}
	case KindResistance:
		if name == "m" {
			return r.fail(Ambiguous, `"m" may be milliohms or megohms`, "write mΩ or MΩ")
		}
	case KindTemperatureDifference:
		switch name {
		case "°C", "degC", "deg C", "C":
			return r.fail(WrongQuantity, name+" marks a temperature, not a difference", "write K")
		case "°F", "degF", "deg F", "F":
			return r.fail(WrongQuantity, name+" marks a temperature, not a difference", "write °F diff")
		}
	case KindCamAngle, KindMagnetAngle:
		if u := r.kind.Units()[0]; name == "°" || name == "deg" || name == "degrees" || name == "degree" {
			return r.fail(Ambiguous, "degrees of which shaft?", "write "+u)
		}
	}
	if kinds := unitOf(name); len(kinds) > 0 {
		return r.fail(WrongQuantity, strconv.Quote(name)+" is a unit of "+orList(kinds)+", not of "+r.kind.String(), r.want())
	}
	want := r.want()
	if near := r.nearest(name); len(near) > 0 {
		want = "did you mean " + orList(near) + "?"
	}
	return r.fail(UnknownUnit, "unknown unit "+strconv.Quote(name), want)
}

// unitOf lists the kinds that have a unit of this spelling.
func unitOf(name string) []string {
	if name == gaugeUnit {
		return []string{KindWireSize.String()}
	}
	var kinds []string
	for _, k := range Kinds() {
		if _, _, ok := lookup(k, name); ok {
			kinds = append(kinds, k.String())
		}
	}
	return kinds
}

func orList(words []string) string {
	if len(words) == 1 {
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

// nearest returns the spellings, quoted, one a unit, that are fewest slips
// away from name, if that is few enough for its length.
func (r *reader) nearest(name string) []string {
	var best []string
	least := slipCost * (1 + len([]rune(name))/3)
	keep := func(s string, d int) {
		switch {
		case d < least:
			best, least = append(best[:0], strconv.Quote(s)), d
		case d == least:
			best = append(best, strconv.Quote(s))
		}
	}
	info := &kindTable[r.kind]
	for i := info.first; i < info.last; i++ {
		near, d := "", slipCost*maxRunes*2
		for j, s := range spellings[i] {
			if s == "" || r.strict && j > 0 {
				break
			}
			if n := slips(name, s); n < d {
				near, d = s, n
			}
		}
		if near != "" {
			keep(near, d)
		}
	}
	if r.kind == KindWireSize {
		keep("18 AWG", slips(name, gaugeUnit))
	}
	return best
}

// A slip costs two; a letter in the wrong case, the likeliest, costs one. Not
// so m for M: milli and mega are too far apart to nudge anybody.
const (
	slipCost = 2
	caseCost = 1
)

// slips adds up the insertions, deletions, changes and swaps of neighbours
// that turn a into b.
func slips(a, b string) int {
	x, y := []rune(a), []rune(b)
	before, prev, cur := make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range prev {
		prev[j] = j * slipCost
	}
	for i := 1; i <= len(x); i++ {
		cur[0] = i * slipCost
		for j := 1; j <= len(y); j++ {
			cost := slipCost
			switch {
			case x[i-1] == y[j-1]:
				cost = 0
			case x[i-1]^y[j-1] == 'a'^'A' && unicode.IsLetter(x[i-1]) && x[i-1]|('a'^'A') != 'm':
				cost = caseCost
			}
			cur[j] = min(prev[j]+slipCost, cur[j-1]+slipCost, prev[j-1]+cost)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				cur[j] = min(cur[j], before[j-2]+slipCost)
			}
		}
		before, prev, cur = prev, cur, before
	}
	return prev[len(y)]
}
