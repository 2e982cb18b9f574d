package units_test

import (
	"testing"

	"gapbook.example/units"
)

// Reading and printing as the book and its reports do. Allocation limits
// are tests; times are for whoever runs them.

var benchTexts = []struct {
	name string
	kind units.Kind
	text string
}{
	{"Inches", units.KindLength, "0.020 in"},
	{"Kilohms", units.KindResistance, "11.5 kΩ"},
	{"PoundFeet", units.KindTorque, "15 lb-ft"},
	{"Fahrenheit", units.KindTemperature, "70 °F"},
	{"BTDC", units.KindCrankAngle, "23° BTDC"},
	{"Digits17", units.KindResistance, "0.30000000000000004 kΩ"},
	{"Digits22", units.KindResistance, "0.3000000000000000400001 kΩ"},
}

func BenchmarkParseStrict(b *testing.B) {
	for _, c := range benchTexts {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := units.ParseStrict(c.kind, c.text); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkRefuse(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := units.Parse(units.KindLength, "20 thuo"); err == nil {
			b.Fatal("accepted")
		}
	}
}

func BenchmarkString(b *testing.B) {
	for _, c := range benchTexts {
		q := must(units.Parse(c.kind, c.text))
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_ = q.String()
			}
		})
	}
	q := units.FromSI(units.KindLength, 1.0/3000)
	b.Run("Computed", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			_ = q.String()
		}
	})
}

func BenchmarkDisplay(b *testing.B) {
	q := units.FromSI(units.KindLength, 1.0/3000)
	b.ReportAllocs()
	for b.Loop() {
		_ = q.DisplayBoth("")
	}
}

func BenchmarkConstructor(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_ = units.Thou(20)
	}
}

func BenchmarkAccessor(b *testing.B) {
	q := units.Thou(20)
	b.ReportAllocs()
	for b.Loop() {
		_ = q.Thou()
	}
}

func TestAllocations(t *testing.T) {
	for _, c := range []struct {
		name string
		most float64
		f    func()
	}{
		{"parse", 0, func() { units.ParseStrict(units.KindLength, "0.020 in") }},
		{"parse beyond ASCII", 1, func() { units.ParseStrict(units.KindResistance, "11.5 kΩ") }},
		{"String", 1, func() { _ = units.Thou(20).String() }},
		{"constructor", 0, func() { _ = units.Thou(20) }},
		{"Cmp", 0, func() { _ = units.Thou(20).Cmp(units.Thou(18)) }},
	} {
		if got := testing.AllocsPerRun(100, c.f); got > c.most {
			t.Errorf("%s: %v allocations, at most %v", c.name, got, c.most)
		}
	}
}
