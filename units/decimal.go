package units

import (
	"math"
	"math/big"
	"math/bits"
	"strconv"
)

// unit is one unit of one kind: a value of x units is
// (x + before/100) × num/den base units.
type unit struct {
	name     string
	kind     Kind
	num, den uint64
	scale    float64 // num/den with its sign, rounded
	before   int64   // hundredths
	neg      bool    // counts the other way
	tight    bool    // no space before the name
	decimals int     // String pads to these
	report   int     // decimals as the second unit of a report
	twin     uint8   // 1 + index of the other unit of a report
	fraction uint8
}

const (
	fractionLenient = 1 + iota
	fractionStrict
)

// base reports whether the unit is the base unit itself.
func (u *unit) base() bool { return u.num == 1 && u.den == 1 && u.before == 0 && !u.neg }

// decimal is an exact number as written: mant × 10^exp / den. Digits beyond
// 64 bits are kept in big instead of mant.
type decimal struct {
	neg  bool
	mant uint64
	big  *big.Int
	exp  int
	den  uint64 // at least 1; more than 1 for a fraction
}

func (d *decimal) zero() bool { return d.mant == 0 && d.big == nil }

// in returns d of unit u in base units, rounded once to nearest even. It
// may be infinite, or zero though d is not: the caller judges that.
func (d *decimal) in(u *unit) float64 {
	if v, ok := d.fast(u); ok {
		return v
	}
	return d.slow(u)
}

// fast works in 128-bit integers, where the numbers fit. It rounds exactly
// as slow does; a test compares them.
func (d *decimal) fast(u *unit) (float64, bool) {
	if d.big != nil || d.exp < -19 || d.exp > 19 {
		return 0, false
	}
	neg, m, exp, den := d.neg, d.mant, d.exp, d.den
	if u.before != 0 {
		// (m/10^k + before/100) = (100 m + before 10^k) / (100 10^k)
		if exp > 0 && exp < 12 && m < 1e4 {
			m, exp = m*pow10[exp], 0
		}
		if den != 1 || exp > 0 || exp < -12 || m > 1e16 {
			return 0, false
		}
		s := int64(m) * 100
		if neg {
			s = -s
		}
		s += u.before * int64(pow10[-exp])
		neg = s < 0
		m = uint64(max(s, -s))
		den = 100
	}
	if m == 0 {
		return 0, true
	}
	num := u.num
	hi, den := bits.Mul64(den, u.den)
	if hi != 0 {
		return 0, false
	}
	if exp < 0 {
		hi, den = bits.Mul64(den, pow10[-exp])
	} else {
		hi, num = bits.Mul64(num, pow10[exp])
	}
	if hi != 0 {
		return 0, false
	}
	hi, lo := bits.Mul64(m, num)
	v := quotient(hi, lo, den)
	if neg != u.neg {
		v = -v
	}
	return v, true
}

var pow10 = [...]uint64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19}

// quotient returns (hi·2^64 + lo) / d rounded to nearest even. Numerator and
// d are not zero.
func quotient(hi, lo, d uint64) float64 {
	exp := 0
	// Normalise both to a leading one, then the quotient has 64 or 65 bits.
	if hi == 0 {
		hi, lo = lo, 0
		exp -= 64
	}
	if n := bits.LeadingZeros64(hi); n > 0 {
		hi = hi<<n | lo>>(64-n)
		lo <<= n
		exp -= n
	}
	n := bits.LeadingZeros64(d)
	d <<= n
	exp += n
	var sticky uint64
	if hi >= d {
		sticky = lo & 1
		lo = lo>>1 | hi<<63
		hi >>= 1
		exp++
	}
	q, rem := bits.Div64(hi, lo, d)
	if rem != 0 {
		sticky = 1
	}
	// q has exactly 64 bits: keep 53.
	const drop = 64 - 53
	low := q & (1<<drop - 1)
	q >>= drop
	const half = 1 << (drop - 1)
	if low > half || low == half && (sticky == 1 || q&1 == 1) {
		q++
	}
	return math.Ldexp(float64(q), exp+drop)
}

// slow works in rationals of any size.
func (d *decimal) slow(u *unit) float64 {
	v, _ := d.rat(u).Float64()
	return v
}

// rat returns d of unit u in base units, exactly.
func (d *decimal) rat(u *unit) *big.Rat {
	n := d.big
	if n == nil {
		n = new(big.Int).SetUint64(d.mant)
	}
	if d.neg {
		n = new(big.Int).Neg(n)
	}
	r := new(big.Rat).SetInt(n)
	scale := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(max(d.exp, -d.exp))), nil)
	if d.exp >= 0 {
		r.Mul(r, new(big.Rat).SetInt(scale))
	} else {
		r.Quo(r, new(big.Rat).SetInt(scale))
	}
	r.Quo(r, new(big.Rat).SetInt(new(big.Int).SetUint64(d.den)))
	if u.before != 0 {
		r.Add(r, big.NewRat(u.before, 100))
	}
	return r.Mul(r, u.ratio())
}

// ratio returns num/den with its sign.
func (u *unit) ratio() *big.Rat {
	r := new(big.Rat).SetFrac(new(big.Int).SetUint64(u.num), new(big.Int).SetUint64(u.den))
	if u.neg {
		r.Neg(r)
	}
	return r
}

// construct returns the shortest decimal of x, in unit i, in base units. It
// panics where the program has no business: NaN, infinities other than OL,
// results out of range.
func construct(i uint8, x float64) float64 {
	u := &unitTable[i]
	if u.base() || math.IsInf(x, 0) || math.IsNaN(x) {
		return admit(u.kind, x)
	}
	var buf [32]byte
	d := readDecimal(strconv.AppendFloat(buf[:0], x, 'e', -1, 64))
	return admit(u.kind, d.in(u))
}

// readDecimal reads what strconv printed: -d.ddde±dd or plain digits.
func readDecimal(b []byte) decimal {
	d := decimal{den: 1}
	point := false
	for i := 0; i < len(b); i++ {
		switch c := b[i]; {
		case c == '-':
			d.neg = true
		case c == '.':
			point = true
		case c == 'e':
			e, _ := strconv.Atoi(string(b[i+1:]))
			d.exp += e
			return d.trim()
		default:
			d.mant = d.mant*10 + uint64(c-'0')
			if point {
				d.exp--
			}
		}
	}
	return d.trim()
}

// trim drops zeros off the end of the digits.
func (d decimal) trim() decimal {
	if d.mant == 0 {
		d.exp = 0
		return d
	}
	for d.mant%10 == 0 {
		d.mant /= 10
		d.exp++
	}
	return d
}

// convert returns v base units in unit i, by the rule of nearDecimal where
// that finds a decimal, else as the rounded quotient.
func convert(i uint8, v float64) float64 {
	u := &unitTable[i]
	if u.base() || math.IsInf(v, 1) {
		return v
	}
	if d, ok := nearDecimal(v, u); ok {
		var buf [32]byte
		b := buf[:0]
		if d.neg {
			b = append(b, '-')
		}
		b = strconv.AppendUint(b, d.mant, 10)
		b = append(b, 'e')
		b = strconv.AppendInt(b, int64(d.exp), 10)
		if x, err := strconv.ParseFloat(string(b), 64); err == nil {
			return x
		}
	}
	x := v/u.scale - float64(u.before)/100
	if x == 0 {
		return 0
	}
	return x
}

// smallestNormal is the least float64 with all of its 53 bits.
const smallestNormal = 0x1p-1022

// nearDigits is how many digits any decimal keeps in a float64.
const nearDigits = 15

// nearDecimal returns the decimal of at most 15 digits that reads back to v
// in unit u. No two such decimals can, since 15 digits are coarser than the
// bits; so its digits, without zeros on the end, are the fewest possible.
// Where it does not know, at the ends of the float range, it returns the
// zero decimal.
func nearDecimal(v float64, u *unit) (decimal, bool) {
	if v == 0 && u.before == 0 {
		return decimal{den: 1}, true
	}
	if a := math.Abs(v); a < smallestNormal {
		return decimal{}, false
	}
	x := v/u.scale - float64(u.before)/100
	if a := math.Abs(x); a < smallestNormal || a > math.MaxFloat64 {
		if x != 0 {
			return decimal{}, false
		}
	}
	var buf [48]byte
	var b []byte
	if u.before != 0 {
		// Beside a large offset only the first decimals mean anything.
		if math.Abs(x) > 1e5 {
			return decimal{}, false
		}
		b = strconv.AppendFloat(buf[:0], x, 'f', 9, 64)
	} else {
		b = strconv.AppendFloat(buf[:0], x, 'e', nearDigits-1, 64)
	}
	d := readDecimal(b)
	if d.mant == 0 {
		d.neg = false
	}
	return d, d.in(u) == v
}

// maxDigits is how many digits are tried for a value: 17 tell any two
// apart in a unit that is a ratio; an offset costs some more.
const maxDigits = 19

// shortest returns the decimal with the fewest digits that reads back to v
// in unit u. A temperature near absolute zero has none in a unit that
// begins elsewhere; it gets a rounded one.
func shortest(v float64, u *unit) decimal {
	if u.base() {
		var buf [32]byte
		return readDecimal(strconv.AppendFloat(buf[:0], v, 'e', -1, 64))
	}
	near, ok := nearDecimal(v, u)
	if ok {
		return near
	}
	// x = v / ratio - before, exactly.
	x := new(big.Rat).SetFloat64(v)
	x.Quo(x, u.ratio())
	x.Sub(x, big.NewRat(u.before, 100))
	if x.Sign() == 0 {
		return decimal{den: 1}
	}
	f := new(big.Float).SetPrec(256).SetRat(x)
	digits := 1
	if u.before == 0 && near.den != 0 {
		digits = nearDigits + 1 // nearDecimal has tried the fewer
	}
	for ; ; digits++ {
		d := readDecimal(f.Append(nil, 'e', digits-1))
		if d.in(u) == v || digits == maxDigits {
			return d
		}
	}
}

// about returns v in unit u to at least 15 digits, for rounding to fewer.
func about(v float64, u *unit) decimal {
	if u.base() {
		return shortest(v, u)
	}
	if d, _ := nearDecimal(v, u); d.den != 0 {
		return d
	}
	return shortest(v, u)
}
