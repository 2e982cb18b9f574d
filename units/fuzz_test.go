package units_test

import (
	"errors"
	"math"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"gapbook.example/units"
)

// plainNumber is the number grammar of the book, fractions aside.
var plainNumber = regexp.MustCompile(`^-?(0|[1-9][0-9]*|[0-9]+)(\.[0-9]+)?(e[+-]?[0-9]+)?$`)

// FuzzParse reads any text as every kind, both ways: no panic, and what is
// accepted is finite (or OL), reads back from String to the same bits, and
// is accepted leniently too.
func FuzzParse(f *testing.F) {
	for _, row := range corpus(f, "valid.tsv", 8) {
		f.Add(unquote(f, row[1]))
	}
	for _, row := range corpus(f, "invalid.tsv", 5) {
		f.Add(unquote(f, row[2]))
	}
	f.Add("1-1/32 in\xff")
	f.Add(strings.Repeat("9", 64))
	f.Add("0e-999 mm")
	f.Fuzz(func(t *testing.T, text string) {
		for _, k := range units.Kinds() {
			lenient, lerr := units.ParseWritten(k, text, false)
			check(t, k, text, lenient, lerr)
			strict, serr := units.ParseWritten(k, text, true)
			check(t, k, text, strict, serr)
			if serr != nil {
				continue
			}
			if lerr != nil || strict != lenient {
				t.Fatalf("%s %q: strict %+v, lenient %+v, %v", k, text, strict, lenient, lerr)
			}
			if n := strict.Number; n != "OL" && strict.Unit != "AWG" && !strings.Contains(n, "/") && !plainNumber.MatchString(n) {
				t.Fatalf("%s %q: the number %q", k, text, n)
			}
			if utf8.RuneCountInString(text) > 64 || strings.ContainsAny(text, "\t\n\r,_") {
				t.Fatalf("strict %s accepted %q", k, text)
			}
		}
	})
}

func check(t *testing.T, k units.Kind, text string, w units.Written, err error) {
	t.Helper()
	if err != nil {
		var pe *units.ParseError
		if !errors.As(err, &pe) || pe.Code == "" || pe.Problem == "" || pe.Kind != k || w != (units.Written{}) {
			t.Fatalf("%s %q: error %#v with %+v", k, text, err, w)
		}
		if m := err.Error(); !utf8.ValidString(m) || len(m) > 1500 {
			t.Fatalf("%s %q: message %q", k, text, m)
		}
		return
	}
	q := w.Quantity
	v := q.SI()
	if math.IsNaN(v) || math.IsInf(v, -1) || math.IsInf(v, 1) && k != units.KindResistance || v == 0 && math.Signbit(v) || q.Kind() != k {
		t.Fatalf("%s %q: accepted as %v", k, text, v)
	}
	if !(w.Step >= 0) || math.IsInf(w.Step, 0) {
		t.Fatalf("%s %q: step %v", k, text, w.Step)
	}
	s := q.String()
	back, err := units.ParseStrict(k, s)
	if err != nil || back != q {
		t.Fatalf("%s %q prints %q, which reads back as %v, %v", k, text, s, back, err)
	}
	again, err := units.Parse(k, strings.TrimSpace(w.Number+" "+w.Unit))
	if len(w.Number) < 50 && (err != nil || again != q) {
		t.Fatalf("%s %q: as written %q %q it is %v, %v", k, text, w.Number, w.Unit, again, err)
	}
	for _, report := range []string{q.Display(), q.DisplayBoth("")} {
		if report == "" || strings.Contains(report, "NaN") {
			t.Fatalf("%s %q: report %q", k, text, report)
		}
	}
}

// FuzzConstruct builds every unit from any float and takes it out again:
// what the constructor takes prints and reads back to the same bits.
func FuzzConstruct(f *testing.F) {
	for _, x := range []float64{0, 1, 0.020, 20, 1e-300, 1e300, 5e-324, math.MaxFloat64, 293.15, 0.1 + 0.2} {
		f.Add(x, uint8(1))
	}
	f.Fuzz(func(t *testing.T, x float64, which uint8) {
		p := pairs[int(which)%len(pairs)]
		var q units.Quantity
		refused := func() (refused bool) {
			defer func() { refused = recover() != nil }()
			q = p.make(x)
			return false
		}()
		if refused {
			return
		}
		back, err := units.ParseStrict(q.Kind(), q.String())
		if err != nil || back != q {
			t.Fatalf("%v %s prints %q, which reads back as %v, %v", x, p.unit, q, back, err)
		}
		if y := p.get(q); math.IsNaN(y) {
			t.Fatalf("%v %s leaves as NaN", x, p.unit)
		}
	})
}
