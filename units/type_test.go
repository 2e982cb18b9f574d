package units_test

import (
	"encoding"
	"strings"
	"testing"

	"gapbook.example/units"
)

// value is what every type has.
type value[T any] interface {
	comparable
	encoding.TextMarshaler
	encoding.TextAppender
	String() string
	Equal(T) bool
	Cmp(T) int
	IsZero() bool
	Quantity() units.Quantity
}

// testType puts the methods of one type through their paces, each against
// the Quantity of the same bits.
func testType[T value[T], P interface {
	*T
	encoding.TextUnmarshaler
}](t *testing.T, k units.Kind, parse, strict func(string) (T, error), mustParse func(string) T, back func(units.Quantity) (T, bool)) {
	t.Run(strings.ReplaceAll(k.String(), " ", "-"), func(t *testing.T) {
		var zero T
		if !zero.IsZero() || zero.Quantity() != units.FromSI(k, 0) {
			t.Errorf("zero is %v", zero)
		}
		small, _ := back(units.FromSI(k, 0.75))
		large, ok := back(units.FromSI(k, 1234.5))
		if !ok || small.IsZero() || small.Quantity().SI() != 0.75 || small.Quantity().Kind() != k {
			t.Fatalf("%v, %v", small.Quantity(), ok)
		}
		for _, other := range units.Kinds() {
			if other != k {
				if v, ok := back(units.FromSI(other, 0.75)); ok || v != zero {
					t.Errorf("a %s became a %s", other, k)
				}
			}
		}
		if small.Cmp(large) != -1 || large.Cmp(small) != 1 || small.Cmp(small) != 0 || small.Equal(large) || !small.Equal(small) {
			t.Error("out of order")
		}
		text := large.String()
		if text != large.Quantity().String() {
			t.Errorf("String %q, Quantity %q", text, large.Quantity())
		}
		marshalled, err := large.MarshalText()
		if string(marshalled) != text || err != nil {
			t.Errorf("MarshalText %q %v, String %q", marshalled, err, text)
		}
		appended, err := large.AppendText([]byte("x "))
		if string(appended) != "x "+text || err != nil {
			t.Errorf("AppendText %q %v, String %q", appended, err, text)
		}
		for name, p := range map[string]func(string) (T, error){
			"lenient": parse,
			"strict":  strict,
			"must":    func(s string) (T, error) { return mustParse(s), nil },
		} {
			if v, err := p(text); v != large || err != nil {
				t.Errorf("%s %q: %v, %v", name, text, v, err)
			}
		}
		v := small
		if err := P(&v).UnmarshalText([]byte(text)); err != nil || v != large {
			t.Errorf("unmarshal %q: %v, %v", text, v, err)
		}
		if err := P(&v).UnmarshalText([]byte(text + " furlong")); err == nil || v != large {
			t.Errorf("a bad text was unmarshalled to %v", v)
		}
		if _, err := parse(" " + text + " "); err != nil {
			t.Error(err)
		}
		if v, err := strict(" " + text); err == nil || v != zero {
			t.Errorf("strict took a space: %v", v)
		}
		mustPanic(t, "must", func() { mustParse("furlong") })
	})
}

// testSum tries arithmetic on binary fractions, which add without rounding.
func testSum[T interface {
	comparable
	Add(T) T
	Sub(T) T
	Scale(float64) T
}](t *testing.T, back func(units.Quantity) (T, bool), k units.Kind) {
	of := func(x float64) T {
		v, ok := back(units.FromSI(k, x))
		if !ok {
			t.Fatal(k)
		}
		return v
	}
	if got := of(0.75).Add(of(0.5)); got != of(1.25) {
		t.Errorf("%s: 0.75 + 0.5 = %v", k, got)
	}
	if got := of(0.5).Sub(of(0.75)); got != of(-0.25) {
		t.Errorf("%s: 0.5 - 0.75 = %v", k, got)
	}
	if got := of(0.75).Scale(-3); got != of(-2.25) {
		t.Errorf("%s: 0.75 × -3 = %v", k, got)
	}
}
