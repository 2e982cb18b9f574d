package meter

import (
	"errors"
	"math"
	"strings"
	"testing"

	"gapbook.example/units"
)

func TestParseReading(t *testing.T) {
	for _, c := range []struct {
		kind       units.Kind
		text       string
		form       Form
		value, low string // value, bound or range; low is for intervals
		step       string
		unit       string
		about      bool
	}{
		{resistance, "11.2 kΩ", Single, "11.2 kΩ", "", "0.1 kΩ", "kΩ", false},
		{resistance, " 11.20 kohm ", Single, "11.2 kΩ", "", "0.01 kΩ", "kΩ", false},
		{resistance, "4k7", Single, "4.7 kΩ", "", "0.1 kΩ", "kΩ", false},
		{length, "20 thou", Single, "0.020 in", "", "1 thou", "thou", false},
		{length, "-0.5 mm", Single, "-0.5 mm", "", "0.1 mm", "mm", false},
		{crank, "5° ATDC", Single, "5° ATDC", "", "1°", "° ATDC", false},
		{resistance, "about 5 kΩ", Single, "5 kΩ", "", "1 kΩ", "kΩ", true},
		{resistance, "~5 kΩ", Single, "5 kΩ", "", "1 kΩ", "kΩ", true},
		{resistance, "approx. 5 kΩ", Single, "5 kΩ", "", "1 kΩ", "kΩ", true},
		{length, "between 18 and 20 thou", Interval, "20 thou", "18 thou", "", "thou", false},
		{length, "Between 18 thou and 0.5 mm", Interval, "0.5 mm", "18 thou", "", "mm", false},
		{length, "18 to 20 thou", Interval, "20 thou", "18 thou", "", "thou", false},
		{length, "18-20 thou", Interval, "20 thou", "18 thou", "", "thou", false},
		{length, "1-7/8 in", Single, "1.875 in", "", "", "in", false},
		{length, "18–20 thou", Interval, "20 thou", "18 thou", "", "thou", false},
		{length, "0.45 ... 0.5 mm", Interval, "0.5 mm", "0.45 mm", "", "mm", false},
		{length, "1/64 to 1/32 in", Interval, "1/32 in", "1/64 in", "", "in", false},
		{length, "1/64\" to 1/32\"", Interval, "1/32 in", "1/64 in", "", "in", false},
		{crank, "18 to 20° BTDC", Interval, "20° BTDC", "18° BTDC", "", "° BTDC", false},
		{crank, "18° to 20° BTDC", Interval, "20° BTDC", "18° BTDC", "", "° BTDC", false},
		{crank, "5° ATDC to 5° BTDC", Interval, "5° BTDC", "5° ATDC", "", "° BTDC", false},
		{length, "20 to 20 thou", Single, "20 thou", "", "1 thou", "thou", false},
		{resistance, "over 5 MΩ", Over, "5 MΩ", "", "1 MΩ", "MΩ", false},
		{resistance, "more than 5 MΩ", Over, "5 MΩ", "", "1 MΩ", "MΩ", false},
		{resistance, ">5 MΩ", Over, "5 MΩ", "", "1 MΩ", "MΩ", false},
		{voltage, "under 0.1 V", Under, "0.1 V", "", "0.1 V", "V", false},
		{voltage, "Less than 0.1 V", Under, "0.1 V", "", "0.1 V", "V", false},
		{voltage, "< 0.1 V", Under, "0.1 V", "", "0.1 V", "V", false},
		{resistance, "OL", OverRange, "", "", "", "", false},
		{resistance, "ol", OverRange, "", "", "", "", false},
		{resistance, "over range", OverRange, "", "", "", "", false},
		{resistance, "Open", OverRange, "", "", "", "", false},
		{resistance, "OL on 20 MΩ", OverRange, "20 MΩ", "", "", "MΩ", false},
		{resistance, "OL on the 20 MΩ range", OverRange, "20 MΩ", "", "", "MΩ", false},
		{units.KindCapacitance, "OL on 2 µF", OverRange, "2 µF", "", "", "µF", false},
		{units.KindTemperature, "68 °F", Single, "20 °C", "", "", "°F", false},
	} {
		r, err := ParseReading(c.kind, c.text)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		value := r.Value
		switch c.form {
		case Interval:
			value = r.High
		case OverRange:
			value = r.Range
		}
		same := func(what string, got units.Quantity, want string) {
			if want == "" {
				if what != "step" && got != (units.Quantity{}) {
					t.Errorf("%q: %s %v, want none", c.text, what, got)
				}
				return
			}
			if q, err := units.Parse(c.kind, want); err != nil || got != q {
				t.Errorf("%q: %s %v, want %s (%v)", c.text, what, got, want, err)
			}
		}
		same("value", value, c.value)
		same("low", r.Low, c.low)
		same("step", r.Step, c.step)
		if r.Form != c.form || r.Unit != c.unit || r.About != c.about || r.AsWritten != c.text || r.Kind != c.kind {
			t.Errorf("%q: %+v", c.text, r)
		}
	}
	// A temperature's last digit is a difference: 1 °F is 5/9 K.
	r, _ := ParseReading(units.KindTemperature, "68 °F")
	if r.Step.Kind() != units.KindTemperatureDifference || math.Abs(r.Step.SI()-5.0/9) > 1e-12 {
		t.Errorf("one step of 68 °F is %v", r.Step)
	}
	r, err := ParseReading(resistance, "11.2 ± 0.3 kΩ")
	if err != nil || r.Value != units.Kilohms(11.2).Quantity() || r.Accuracy.Absolute != units.Kilohms(0.3).Quantity() {
		t.Errorf("%+v %v", r, err)
	}
	r, err = ParseReading(resistance, "11.2 kΩ +/- 1 %")
	if err != nil || r.Value != units.Kilohms(11.2).Quantity() || r.Accuracy.Percent != 1 {
		t.Errorf("%+v %v", r, err)
	}
}

func TestParseReadingRefuses(t *testing.T) {
	for _, c := range []struct {
		kind       units.Kind
		text, says string
	}{
		{resistance, "", "empty"},
		{resistance, "   ", "empty"},
		{resistance, "11.2", "without a unit"},
		{resistance, "11,2 kΩ", "decimal comma"},
		{resistance, "11.2 mm", "length"},
		{length, "18 to 20", "without a unit"},
		{length, "20 to 18 thou", "wrong way round"},
		{length, "between 18 thou", `without "and"`},
		{resistance, "OL maybe", "more after OL"},
		{resistance, "OL on 0 Ω", "no meter has"},
		{resistance, "OL on OL", "no meter has"},
		{resistance, "OL on 5 V", "voltage"},
		{resistance, "over OL", "OL as a number"},
		{resistance, "1 kΩ to OL", "OL as a number"},
		{resistance, "NaN kΩ", "cannot be read"},
		{resistance, "1e999 Ω", "cannot be read"},
		{resistance, "over over 5 Ω", "cannot be read"},
		{length, "open", "cannot be read"},
		{resistance, "open 5 Ω", "cannot be read"},
		{resistance, "OLx", "cannot be read"},
		{resistance, "5 ± fish", "cannot be read"},
		{resistance, "5 Ω ± 5 V", "doubt that cannot be read"},
		{resistance, "\xff", "not text"},
		{resistance, strings.Repeat("9", 300), "too long"},
	} {
		_, err := ParseReading(c.kind, c.text)
		var input *InputError
		if !errors.As(err, &input) || !strings.Contains(err.Error(), c.says) || input.Input != c.text || len(err.Error()) > 1000 {
			t.Errorf("%q: %v, want it to say %q", c.text, err, c.says)
		}
	}
	// The error of package units is within reach.
	_, err := ParseReading(resistance, "11.2 mm")
	var parse *units.ParseError
	if !errors.As(err, &parse) || parse.Code != units.WrongQuantity {
		t.Errorf("%v", err)
	}
}

func TestParseAccuracy(t *testing.T) {
	absolute := func(text string) units.Quantity { return units.MustLength(text).Quantity() }
	for _, c := range []struct {
		text string
		want Accuracy
		back string
	}{
		{"0.8 % + 3", Accuracy{Percent: 0.8, Counts: 3}, "±(0.8 % + 3 counts)"},
		{"±1.5 % ± 2 counts", Accuracy{Percent: 1.5, Counts: 2}, "±(1.5 % + 2 counts)"},
		{"0.5 %", Accuracy{Percent: 0.5}, "±0.5 %"},
		{"±(0.8% of reading + 1 digit)", Accuracy{Percent: 0.8, Counts: 1}, "±(0.8 % + 1 count)"},
		{"+/-0.5 % rdg +/- 2 dgt", Accuracy{Percent: 0.5, Counts: 2}, "±(0.5 % + 2 counts)"},
		{"2 counts", Accuracy{Counts: 2}, "±2 counts"},
		{"0.02 mm", Accuracy{Absolute: absolute("0.02 mm")}, "±0.02 mm"},
		{"0.5 % + 0.01 mm + 2d", Accuracy{Percent: 0.5, Counts: 2, Absolute: absolute("0.01 mm")}, "±(0.5 % + 2 counts + 0.01 mm)"},
		{"1 percent", Accuracy{Percent: 1}, "±1 %"},
	} {
		got, err := ParseAccuracy(length, c.text)
		if err != nil || got != c.want {
			t.Errorf("%q: %+v, %v", c.text, got, err)
		}
		if got.String() != c.back {
			t.Errorf("%q prints %q, want %q", c.text, got, c.back)
		}
		if again, err := ParseAccuracy(length, got.String()); err != nil || again != got {
			t.Errorf("%q: printed, it reads back as %+v, %v", c.text, again, err)
		}
	}
	if s := (Accuracy{}).String(); s != "none" || !(Accuracy{}).IsZero() || (Accuracy{Counts: 1}).IsZero() {
		t.Errorf("no accuracy prints %q", s)
	}
	for text, says := range map[string]string{
		"":                       "ends where a term should follow",
		"0.8 % +":                "ends where a term should follow",
		"±":                      "ends where a term should follow",
		"3":                      "does not say what 3 counts",
		"3 % of full scale":      "not of the reading",
		"3 % fs":                 "not of the reading",
		"1 % + 2 %":              "two percentages",
		"1 count + 2 counts":     "two numbers of counts",
		"1 mm + 2 mm":            "two fixed amounts",
		"200 %":                  "no better than",
		"99999 counts":           "99999 counts",
		"0,5 %":                  "0",
		"fish":                   "plain number",
		"-1 %":                   "plain number",
		"1.2.3 %":                "plain number",
		"2 Ω":                    "no amount of the reading",
		"NaN %":                  "plain number",
		strings.Repeat("1", 300): "too long",
	} {
		_, err := ParseAccuracy(length, text)
		var input *InputError
		if !errors.As(err, &input) || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, want it to say %q", text, err, says)
		}
	}
}

// kinds are tried by the fuzz targets in turn.
var kinds = units.Kinds()

func FuzzParseReading(f *testing.F) {
	for _, s := range []string{"11.2 kΩ", "between 18 and 20 thou", "18° to 20° BTDC", "OL on 20 MΩ", "over 5 MΩ",
		"under 0.1 V", "about 5 kΩ", "11.2 ± 0.3 kΩ", "1/64 to 1/32 in", "18 AWG", "0.5 ± 1 % + 2", "68 °F", "OL", "1e308 Ω to 1e309 Ω",
		"± ", "~", "to", "-459.67 °F ± 1 K", "1-1/2 to 2 in", "5 to –6 mm", "<>", "OL on the range"} {
		for i := range kinds {
			f.Add(s, uint8(i))
		}
	}
	f.Fuzz(func(t *testing.T, text string, k uint8) {
		kind := kinds[int(k)%len(kinds)]
		r, err := ParseReading(kind, text)
		if err != nil {
			var input *InputError
			if !errors.As(err, &input) || input.Input != text || len(err.Error()) > 3000 {
				t.Fatalf("%q: %v", text, err)
			}
			return
		}
		if r.AsWritten != text || r.Kind != kind || len(text) > maxInput {
			t.Fatalf("%q: %+v", text, r)
		}
		if r.Form == Interval && r.Low.Cmp(r.High) >= 0 {
			t.Fatalf("%q: interval %v to %v", text, r.Low, r.High)
		}
		checkFinite(t, Judge(r, Band{Min: quantity(kind, 0.5), Max: quantity(kind, 2)}, Rule{Copper: true}))
		checkFinite(t, Judge(r, Band{Nominal: quantity(kind, 1)}.Open(Tolerance{Relative: 0.1}), Rule{}))
	})
}

// checkFinite fails on a result that leaks an impossible number, in figures or
// in words.
func checkFinite(t *testing.T, res Result) {
	t.Helper()
	if p, ok := res.Chance.Get(); ok && !(p >= 0 && p <= 1) {
		t.Fatalf("chance %v", p)
	}
	for _, q := range []units.Quantity{res.Value, res.HalfWidth, res.Uncertainty, res.Off, res.Need.Accuracy, res.Need.Uncertainty} {
		if !isFinite(q.SI()) {
			t.Fatalf("not finite: %+v", res)
		}
	}
	if !isFinite(res.Need.Share) || res.OffShare().IsKnown() && !isFinite(res.OffShare().Or(0)) {
		t.Fatalf("share: %+v", res)
	}
	if p, ok := res.Chance.Get(); res.Decision == Pass && ok && p < 0.5 || res.Decision == Fail && ok && p > 0.5 {
		t.Fatalf("%v at chance %v", res.Decision, p)
	}
	words := res.String() + strings.Join(res.Assumptions(), " ")
	written := res.Reading.AsWritten
	if strings.Contains(strings.ReplaceAll(words, written, ""), "NaN") || strings.Contains(strings.ReplaceAll(words, written, ""), "Inf") {
		t.Fatalf("words: %q", words)
	}
	if g := GrossFactor(res.Value, res.Band); !(g >= 0) || !isFinite(g) {
		t.Fatalf("gross factor %v", g)
	}
}

func FuzzJudge(f *testing.F) {
	f.Add(uint8(1), uint8(0), 11200.0, 100.0, 0.8, 3.0, 0.0, 10350.0, 12650.0, 293.15, 293.15, uint8(255))
	f.Add(uint8(1), uint8(1), 18.0, 20.0, 0.0, 0.0, 0.1, 18.0, 22.0, 0.0, 0.0, uint8(3))
	f.Add(uint8(1), uint8(4), math.Inf(1), 2e6, 1.0, 0.0, 0.0, 0.0, 5e3, 0.0, 300.0, uint8(7))
	f.Add(uint8(11), uint8(2), -1e308, 1e308, 100.0, 1e9, 1e300, -1e308, 1e308, 1e308, 1e-308, uint8(255))
	f.Add(uint8(1), uint8(0), 5e-324, 5e-324, 5e-324, 5e-324, 5e-324, 5e-324, 5e-324, 1.0, 38.65, uint8(255))
	f.Add(uint8(1), uint8(0), 1e300, 0.0, math.NaN(), math.Inf(1), 1e-300, 1e300, 1e300, 1.0, 0.0, uint8(255))
	f.Fuzz(func(t *testing.T, k, form uint8, a, b, percent, counts, absolute, lower, upper, readAt, bandAt float64, given uint8) {
		kind := kinds[int(k)%len(kinds)]
		q := func(x float64, bit uint8) units.Quantity {
			if given&bit == 0 {
				return units.Quantity{}
			}
			if kind == resistance && math.IsInf(x, 1) {
				return units.FromSI(kind, x)
			}
			return quantity(kind, x)
		}
		at := func(x float64) (temperature units.Temperature) {
			if q := quantity(units.KindTemperature, x); q.Kind() != 0 {
				temperature, _ = q.Temperature()
			}
			return temperature
		}
		r := Reading{Kind: kind, Form: Form(form % 6), Value: q(a, 1), Low: q(a, 1), High: q(b, 2), Range: q(b, 2), Step: q(b, 4),
			Accuracy: Accuracy{percent, counts, q(absolute, 8)}, LeadZero: q(absolute, 16), LeadZeroStep: q(b, 16), About: given&32 != 0}
		var limits Band
		limits.Min, limits.Max = q(lower, 64), q(upper, 128)
		rule := Rule{Copper: given&1 != 0, Pass: percent, Fail: counts, Finest: absolute}
		if given&2 != 0 {
			r.Temperature = knowTemperature(at(readAt))
		}
		if given&4 != 0 {
			limits.Temperature = knowTemperature(at(bandAt))
		}
		res := Judge(r, limits, rule)
		checkFinite(t, res)
		if again := Judge(r, limits, rule); again.Decision != res.Decision || again.Reason != res.Reason {
			t.Fatal("not the same twice")
		}
		limits.Nominal = q(lower, 64)
		limits.Min = units.Quantity{}
		checkFinite(t, Judge(r, limits.Open(Tolerance{Relative: percent, Minus: q(absolute, 8), Plus: q(b, 2)}), rule))
		s := JudgeAll(r, []Band{limits, {Min: q(lower, 64)}, {Max: q(upper, 128)}}, rule)
		_ = s.Words()
	})
}
