package units

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The 128-bit path and the big rational path round alike, for every unit.
func TestFastPathAgreesWithSlow(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	taken := 0
	try := func(d decimal, u *unit) {
		v, ok := d.fast(u)
		if !ok {
			return
		}
		taken++
		if slow := d.slow(u); math.Float64bits(v) != math.Float64bits(slow) && (v != 0 || slow != 0) {
			t.Fatalf("%+v %s: fast %v, slow %v", d, u.name, v, slow)
		}
	}
	for i := range unitTable {
		u := &unitTable[i]
		for range 2000 {
			d := decimal{neg: r.IntN(2) == 0, mant: r.Uint64() >> r.IntN(64), exp: r.IntN(45) - 22, den: 1}
			if r.IntN(4) == 0 {
				d.den = 1 + r.Uint64N(128)
			}
			try(d, u)
		}
	}
	if want := len(unitTable) * 500; taken < want {
		t.Errorf("the fast path was taken %d times, want %d", taken, want)
	}
}

// Quotients that fall exactly between two float64s, and those a hair off,
// go to even and to the near side.
func TestQuotientTies(t *testing.T) {
	for _, c := range []struct {
		hi, lo, d uint64
		want      float64
	}{
		{0, 1<<53 + 1, 1, 1 << 53},
		{0, 1<<53 + 3, 1, 1<<53 + 4},
		{0, (1<<53+1)*3 + 1, 3, 1<<53 + 2}, // a third above the tie
		{0, (1<<53+1)*3 - 1, 3, 1 << 53},   // a third below it
		{1<<63 | 0x400, 0, 1, 0x1p127},
		{1<<63 | 0x400, 1, 1, 0x1p127 + 0x1p75}, // a hair above the tie
		{1, 0, 1, 0x1p64},
		{math.MaxUint64, math.MaxUint64, 1, 0x1p128},
		{0, 1, math.MaxUint64, 0x1p-64},
		{0, 1, 3, 1.0 / 3},
		{0, 2, 3, 2.0 / 3},
	} {
		if got := quotient(c.hi, c.lo, c.d); got != c.want {
			t.Errorf("(%d, %d) / %d = %v, want %v", c.hi, c.lo, c.d, got, c.want)
		}
	}
}

// Every unit that prints, of every kind, has its group sorted largest first
// and ending at zero, or choose would miss.
func TestPrintGroups(t *testing.T) {
	for _, k := range Kinds() {
		groups := kindTable[k].print
		last := math.Inf(1)
		for _, g := range groups {
			if g.from >= last || len(g.units) == 0 {
				t.Errorf("%s: groups out of order", k)
			}
			last = g.from
		}
		if last != 0 {
			t.Errorf("%s: no group for small values", k)
		}
	}
}
