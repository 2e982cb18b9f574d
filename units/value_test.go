package units_test

import (
	"encoding/json"
	"errors"
	"flag"
	"math"
	"strings"
	"testing"

	"gapbook.example/units"
	"github.com/google/go-cmp/cmp"
)

func TestJSON(t *testing.T) {
	type sheet struct {
		Gap      units.Length      `json:"gap"`
		Coil     units.Resistance  `json:"coil"`
		Timing   units.CrankAngle  `json:"timing"`
		Wire     units.WireSize    `json:"wire"`
		Bench    units.Temperature `json:"bench,omitzero"`
		NotGiven units.Temperature `json:"not_given,omitzero"`
		Any      map[units.Length]units.Quantity
	}
	in := sheet{Gap: units.Thou(20), Coil: units.MustResistance("OL"), Timing: units.ATDC(5), Wire: units.AWG(18), Bench: units.Celsius(0), Any: map[units.Length]units.Quantity{units.Inches(0.02): units.Volts(12).Quantity()}}
	data, err := json.Marshal(in)
	if err != nil {
		t.Fatal(err)
	}
	const want = `{"gap":"0.020 in","coil":"OL","timing":"5° ATDC","wire":"18 AWG","bench":"0 °C","Any":{"0.020 in":"12 V"}}`
	if string(data) != want {
		t.Errorf("got  %s\nwant %s", data, want)
	}
	var out sheet
	err = json.Unmarshal([]byte(`{"gap":"20 thou","coil":"OL","timing":"-5 deg BTDC","wire":"AWG 18","bench":"32 °F"}`), &out)
	if err != nil {
		t.Fatal(err)
	}
	in.Any = nil
	if d := cmp.Diff(in, out); d != "" {
		t.Error(d)
	}
	if err := json.Unmarshal([]byte(`{"gap":0.02}`), &out); err == nil {
		t.Error("a bare JSON number became a length")
	}
	out.Gap = units.Thou(7)
	err = json.Unmarshal([]byte(`{"gap":"7 Ω"}`), &out)
	var pe *units.ParseError
	if !errors.As(err, &pe) || pe.Code != units.WrongQuantity || out.Gap != units.Thou(7) {
		t.Errorf("got %v, gap %v", err, out.Gap)
	}
}

func TestFlag(t *testing.T) {
	fs := flag.NewFlagSet("bench", flag.ContinueOnError)
	fs.SetOutput(new(strings.Builder))
	var gap units.Length
	fs.TextVar(&gap, "gap", units.Thou(18), "points gap")
	if err := fs.Parse([]string{"-gap", "0.5mm"}); err != nil || gap != units.Millimetres(0.5) {
		t.Errorf("%v %v", gap, err)
	}
	if err := fs.Parse([]string{"-gap", "0.5"}); err == nil {
		t.Error("a flag without a unit was taken")
	}
	if def := fs.Lookup("gap").DefValue; def != "0.018 in" {
		t.Errorf("default %q", def)
	}
}

func TestCmp(t *testing.T) {
	if d := cmp.Diff([]units.Length{units.Thou(20)}, []units.Length{units.Inches(0.02)}); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff(units.Thou(20).Quantity(), units.Thou(21).Quantity()); d == "" {
		t.Error("no difference seen")
	}
	a, b := units.Thou(18), units.Millimetres(0.5)
	if a.Cmp(b) != -1 || b.Cmp(a) != 1 || a.Cmp(a) != 0 || a.Equal(b) || !a.Equal(units.Inches(0.018)) {
		t.Error("lengths out of order")
	}
	if a.Quantity().Cmp(b.Quantity()) != -1 {
		t.Error("quantities out of order")
	}
	mustPanic(t, "comparing kinds", func() { a.Quantity().Cmp(units.Volts(1).Quantity()) })
	if units.AWG(18).Cmp(units.MustWireSize("0.75 mm²")) != 1 || units.AWG(20).Cmp(units.MustWireSize("0.75 mm²")) != -1 {
		t.Error("0.75 mm² should fall between 20 and 18 AWG")
	}
}

func TestArithmetic(t *testing.T) {
	if units.Thou(1).Add(units.Thou(2)) == units.Thou(3) {
		t.Error("the package comment says that this sum misses by a bit")
	}
	if got := units.Thou(18).Add(units.Thou(2)); math.Abs(got.Thou()-20) > 1e-12 {
		t.Errorf("18 + 2 thou = %v", got)
	}
	if got := units.Ohms(3.5).Sub(units.Ohms(0.5)); got != units.Ohms(3) {
		t.Errorf("got %v", got)
	}
	if got := units.Volts(6).Scale(2); got != units.Volts(12) {
		t.Errorf("got %v", got)
	}
	if got := units.BTDC(10).Sub(units.BTDC(25)); got != units.ATDC(15) || got.String() != "15° ATDC" {
		t.Errorf("got %v", got)
	}
	if got := units.Celsius(75).Sub(units.Fahrenheit(68)); got != units.KelvinDifference(55) {
		t.Errorf("got %v", got)
	}
	if got := units.Celsius(20).Add(units.FahrenheitDifference(99)); got != units.Celsius(75) {
		t.Errorf("got %v", got)
	}
	if got := units.Celsius(20).Add(units.KelvinDifference(-300)); got != units.Kelvins(0) {
		t.Errorf("got %v", got)
	}
}

// No arithmetic on finite values makes NaN, an infinity or minus zero, and
// whatever OL touches is OL.
func TestArithmeticSaturates(t *testing.T) {
	big := units.Metres(math.MaxFloat64)
	for _, q := range []units.Length{big.Add(big), big.Scale(2), big.Sub(big.Scale(-1)), big.Scale(-1).Sub(big), big.Scale(-2), units.Metres(5e-324).Scale(-0.1), units.Metres(0).Scale(-1)} {
		if v := q.Metres(); math.IsNaN(v) || math.IsInf(v, 0) || v == 0 && math.Signbit(v) {
			t.Errorf("got %v", v)
		}
		if back, err := units.ParseLengthStrict(q.String()); err != nil || back != q {
			t.Errorf("%v does not read back: %v", q, err)
		}
	}
	ol, r := units.MustResistance("OL"), units.Ohms(0.2)
	for i, q := range []units.Resistance{ol.Add(r), r.Add(ol), ol.Sub(r), r.Sub(ol), ol.Sub(ol), ol.Scale(0), ol.Scale(-1)} {
		if q != ol {
			t.Errorf("%d: %v, want OL", i, q)
		}
	}
	if ol.Cmp(units.Gigohms(1e9)) != 1 || ol.Megohms() != math.Inf(1) || units.Megohms(math.Inf(1)) != ol {
		t.Error("OL is not above everything")
	}
	for name, f := range map[string]func(){
		"NaN length":     func() { units.Thou(math.NaN()) },
		"NaN base":       func() { units.Metres(math.NaN()) },
		"infinite":       func() { units.Volts(math.Inf(1)) },
		"minus infinite": func() { units.Ohms(math.Inf(-1)) },
		"NaN resistance": func() { units.Kilohms(math.NaN()) },
		"too large":      func() { units.Kilovolts(math.MaxFloat64) },
		"cold":           func() { units.Celsius(-274) },
		"thin":           func() { units.SquareMillimetres(-1) },
		"NaN scale":      func() { units.Volts(1).Scale(math.NaN()) },
		"infinite scale": func() { ol.Scale(math.Inf(1)) },
		"NaN SI":         func() { units.FromSI(units.KindTime, math.NaN()) },
		"no kind":        func() { units.FromSI(0, 1) },
		"parse no kind":  func() { units.Parse(0, "1 mm") },
		"must":           func() { units.MustLength("5") },
		"gauge":          func() { units.AWG(57) },
		"no unit":        func() { units.Volts(1).Quantity().Text("mm", 1) },
		"decimals":       func() { units.Volts(1).Quantity().Text("V", -1) },
		"both":           func() { units.Volts(1).Quantity().DisplayBoth("mm") },
		"no wire":        func() { units.WireSize{}.Copper(units.Celsius(20)) },
	} {
		mustPanic(t, name, f)
	}
}

func mustPanic(t *testing.T, name string, f func()) {
	t.Helper()
	defer func() {
		if recover() == nil {
			t.Errorf("%s: no panic", name)
		}
	}()
	f()
}

func TestMinusZeroIsZero(t *testing.T) {
	minus := math.Copysign(0, -1)
	for _, q := range []units.Quantity{units.Thou(minus).Quantity(), units.Metres(minus).Quantity(), units.ATDC(0).Quantity(), units.FromSI(units.KindVoltage, minus), must(units.Parse(units.KindLength, "-0 mm")), must(units.Parse(units.KindCrankAngle, "0° ATDC"))} {
		if math.Signbit(q.SI()) || !q.IsZero() {
			t.Errorf("%v: %v", q, q.SI())
		}
	}
	if v := (units.CrankAngle{}).ATDC(); v != 0 || math.Signbit(v) {
		t.Errorf("ATDC of nothing is %v", v)
	}
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func TestText(t *testing.T) {
	for _, c := range []struct {
		q        units.Quantity
		unit     string
		decimals int
		want     string
	}{
		{units.Millimetres(0.35).Quantity(), "in", 3, "0.014 in"},
		{units.Millimetres(0.5).Quantity(), "mm", 2, "0.50 mm"},
		{units.Inches(0.0125).Quantity(), "in", 3, "0.013 in"}, // a written half goes up
		{units.Inches(-0.0125).Quantity(), "in", 3, "-0.013 in"},
		{units.Inches(0.0004).Quantity(), "in", 3, "0.000 in"},
		{units.Inches(-0.0004).Quantity(), "in", 3, "0.000 in"},
		{units.Inches(0.9996).Quantity(), "in", 3, "1.000 in"},
		{units.Kilohms(11.5).Quantity(), "Ω", 0, "11500 Ω"},
		{units.MustResistance("OL").Quantity(), "kΩ", 1, "OL"},
		{units.BTDC(20).Quantity(), "° ATDC", 0, "-20° ATDC"},
		{units.AWG(18).Quantity(), "AWG", 2, "18 AWG"},
		{units.AWG(18).Quantity(), "mm²", 2, "0.82 mm²"},
		{units.SquareMillimetres(0.75).Quantity(), "AWG", 2, "0.75 mm²"},
		{units.Number(0.4567).Quantity(), "%", 1, "45.7 %"},
		{units.Fahrenheit(70).Quantity(), "°C", 1, "21.1 °C"},
		{units.Kilometres(1e300).Quantity(), "km", 0, "1" + strings.Repeat("0", 300) + " km"},
	} {
		if got := c.q.Text(c.unit, c.decimals); got != c.want {
			t.Errorf("%v in %s to %d: %q, want %q", c.q, c.unit, c.decimals, got, c.want)
		}
	}
}

func TestDisplay(t *testing.T) {
	si := func(k units.Kind, v float64) units.Quantity { return units.FromSI(k, v) }
	for _, c := range []struct {
		q          units.Quantity
		want, both string
	}{
		{units.Millimetres(0.35).Quantity(), "0.35 mm", "0.35 mm (0.014 in)"},
		{units.Thou(20).Quantity(), "0.020 in", "0.020 in (0.51 mm)"},
		{units.Inches(1.03125).Quantity(), "1.031 in", "1.031 in (26.19 mm)"},
		{si(units.KindLength, 1.0/3000), "0.3333 mm", "0.3333 mm (0.013 in)"},
		{si(units.KindLength, 1.0/3e5), "3.333 µm", "3.333 µm (0.13 thou)"},
		{units.Millimetres(0.005).Quantity(), "5 µm", "5 µm (0.2 thou)"},
		{units.PoundFeet(15).Quantity(), "15 lb-ft", "15 lb-ft (20.3 N·m)"},
		{units.PoundsPerSquareInch(90).Quantity(), "90 psi", "90 psi (621 kPa)"},
		{units.Celsius(20).Quantity(), "20 °C", "20 °C (68 °F)"},
		{units.Kilohms(11.5).Quantity(), "11.5 kΩ", "11.5 kΩ"},
		{si(units.KindResistance, 11234.56789), "11.23 kΩ", "11.23 kΩ"},
		{units.MustResistance("OL").Quantity(), "OL", "OL"},
		{si(units.KindCrankAngle, -1.0/3), "0.3333° ATDC", "0.3333° ATDC"},
		{si(units.KindCrankAngle, 1.0/3), "0.3333° BTDC", "0.3333° BTDC"},
		{units.AWG(18).Quantity(), "18 AWG", "18 AWG (0.823 mm²)"},
		{units.SquareMillimetres(0.75).Quantity(), "0.75 mm²", "0.75 mm²"},
		{units.Number(2.0 / 3).Quantity(), "0.6667", "0.6667"},
		{units.Length{}.Quantity(), "0 mm", "0 mm (0.000 in)"},
	} {
		if got := c.q.Display(); got != c.want {
			t.Errorf("%v: Display %q, want %q", c.q, got, c.want)
		}
		if got := c.q.DisplayBoth(""); got != c.both {
			t.Errorf("%v: DisplayBoth %q, want %q", c.q, got, c.both)
		}
	}
	for _, c := range []struct {
		q          units.Quantity
		unit, want string
	}{
		{units.Thou(20).Quantity(), "thou", "20 thou (0.51 mm)"},
		{units.Thou(20).Quantity(), "mm", "0.508 mm (0.020 in)"},
		{units.AWG(18).Quantity(), "mm²", "0.823 mm²"},
		{units.AWG(18).Quantity(), "AWG", "18 AWG (0.823 mm²)"},
		{units.Number(0.45).Quantity(), "%", "45 %"},
		{units.ATDC(5).Quantity(), "° ATDC", "5° ATDC"},
	} {
		if got := c.q.DisplayBoth(c.unit); got != c.want {
			t.Errorf("%v: DisplayBoth(%s) %q, want %q", c.q, c.unit, got, c.want)
		}
	}
}

func TestParseErrorText(t *testing.T) {
	_, err := units.ParseLength("20 thuo")
	const want = `length "20 thuo": unknown unit "thuo"; did you mean "thou"?`
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
	long := strings.Repeat("9", 1_000_000)
	_, err = units.ParseLength(long)
	if err == nil || len(err.Error()) > 500 {
		t.Errorf("a long text gives an error of %d bytes", len(err.Error()))
	}
}
