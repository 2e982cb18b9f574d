package units_test

import (
	"math"
	"math/big"
	"math/rand/v2"
	"strings"
	"testing"

	"gapbook.example/units"
)

// randomSI returns bits of every size: values of the trade, and any at all.
func randomSI(r *rand.Rand, k units.Kind) float64 {
	for {
		var v float64
		switch r.IntN(4) {
		case 0:
			v = math.Exp(r.NormFloat64() * 8)
		case 1:
			v = float64(r.IntN(100000)) / 1000
		case 2:
			v = math.Float64frombits(r.Uint64() >> (12 + r.IntN(50))) // denormal
		default:
			v = math.Float64frombits(r.Uint64())
		}
		if math.IsNaN(v) || math.IsInf(v, 0) {
			continue
		}
		if k == units.KindTemperature || k == units.KindWireSize {
			return math.Abs(v)
		}
		if r.IntN(3) == 0 {
			v = -v
		}
		return v
	}
}

// String reads back to the same bits, strictly, for every kind.
func TestRoundTrip(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	edges := []float64{0, 5e-324, 0x1p-1022, math.Nextafter(0x1p-1022, 0), math.MaxFloat64, math.Nextafter(math.MaxFloat64, 0), 1, 0.1, 1e15, 1e16, 1e-6, 1e-7, 273.15, math.Nextafter(293.15, 400)}
	for _, k := range units.Kinds() {
		for i := range 800 {
			si := randomSI(r, k)
			if i < len(edges) {
				si = edges[i]
			}
			q := units.FromSI(k, si)
			text := q.String()
			back, err := units.ParseStrict(k, text)
			if err != nil || back != q {
				t.Fatalf("%s %v prints %q, which reads back as %v, %v", k, si, text, back.SI(), err)
			}
			if i < 60 {
				for _, unit := range k.Units() {
					in, ok := q.In(unit)
					if !ok && (unit == "AWG" || k == units.KindTemperature && si < 1 && unit != "K") {
						continue
					}
					back, err := units.Parse(k, in)
					if !ok || err != nil || back != q {
						t.Fatalf("%s %v in %s: %q reads back as %v, %v", k, si, unit, in, back.SI(), err)
					}
				}
			}
		}
	}
}

// OL, and every gauge, round trip too.
func TestRoundTripSpecial(t *testing.T) {
	ol := units.FromSI(units.KindResistance, math.Inf(1))
	if back, err := units.ParseStrict(units.KindResistance, ol.String()); err != nil || back != ol || ol.String() != "OL" {
		t.Errorf("OL: %q %v %v", ol.String(), back, err)
	}
	for n := -3; n <= 56; n++ {
		w := units.AWG(n)
		back, err := units.ParseWireSizeStrict(w.String())
		if got, ok := back.AWG(); err != nil || back != w || !ok || got != n || !strings.HasSuffix(w.String(), " AWG") {
			t.Errorf("AWG %d: %q, %v, %v", n, w, back, err)
		}
	}
}

// No text with fewer digits in the same unit reads back to the same bits.
// The neighbours of the value rounded to one digit less are tried.
func TestShortest(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	for _, k := range units.Kinds() {
		for range 50 {
			q := units.FromSI(k, randomSI(r, k))
			if r.IntN(2) == 0 { // a decimal a person may write
				q = units.FromSI(k, float64(r.IntN(1e6))/1e4)
			}
			for _, unit := range k.Units() {
				text, ok := q.In(unit)
				if !ok {
					continue
				}
				number := strings.TrimSuffix(strings.TrimSuffix(text, unit), " ")
				digits := significant(number)
				if digits < 2 {
					continue
				}
				x, _ := new(big.Rat).SetString(number)
				for step := -1; step <= 1; step++ {
					f := new(big.Float).SetPrec(1000).SetRat(x)
					short := f.Text('e', digits-2)
					y, _ := new(big.Rat).SetString(short)
					ulp, _ := new(big.Rat).SetString("1e" + exponent(short, digits-2))
					y.Add(y, ulp.Mul(ulp, big.NewRat(int64(step), 1)))
					again := new(big.Float).SetPrec(1000).SetRat(y).Text('e', digits-2)
					if back, err := units.Parse(k, join(again, unit)); err == nil && back == q && y.Sign() != 0 {
						t.Errorf("%s: %q, but %s would do", k, text, join(again, unit))
					}
				}
			}
		}
	}
}

// significant counts the digits of a number without its zeros on the ends.
func significant(number string) int {
	mantissa, _, _ := strings.Cut(number, "e")
	digits := strings.Trim(strings.NewReplacer("-", "", ".", "").Replace(mantissa), "0")
	return len(digits)
}

// exponent returns the power of ten of the last of the decimals of 1.23e+04.
func exponent(number string, decimals int) string {
	_, e, _ := strings.Cut(number, "e")
	x, _ := new(big.Int).SetString(e, 10)
	return x.Sub(x, big.NewInt(int64(decimals))).String()
}
