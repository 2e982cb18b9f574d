package meter

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/units"
)

// band makes a band from text; an empty limit is not given.
func band(t testing.TB, k units.Kind, lower, upper string) Band {
	t.Helper()
	var b Band
	for text, limit := range map[string]*units.Quantity{lower: &b.Min, upper: &b.Max} {
		if text == "" {
			continue
		}
		q, err := units.Parse(k, text)
		if err != nil {
			t.Fatal(err)
		}
		*limit = q
	}
	if lower == upper {
		b.Min = b.Max
	}
	return b
}

// read makes a reading from text, with the accuracy given, if any.
func read(t testing.TB, k units.Kind, text, accuracy string) Reading {
	t.Helper()
	r, err := ParseReading(k, text)
	if err != nil {
		t.Fatal(err)
	}
	if accuracy != "" {
		if r.Accuracy, err = ParseAccuracy(k, accuracy); err != nil {
			t.Fatal(err)
		}
	}
	return r
}

const (
	length     = units.KindLength
	resistance = units.KindResistance
	voltage    = units.KindVoltage
	crank      = units.KindCrankAngle
)

// TestJudge walks the decisions a bench meets. Figures are invented; the
// expected decision is what a careful person would say, worked out by hand.
func TestJudge(t *testing.T) {
	for _, c := range []struct {
		kind                  units.Kind
		reading, lower, upper string
		accuracy              string
		want                  Decision
		reason                Reason
		side                  Side
		settle                Settle
	}{
		// Single values: u from the last digit alone.
		{length, "20 thou", "0.018 in", "0.022 in", "", Pass, ReasonProbability, LowerLimit, SettleNothing},
		{length, "0.019 in", "0.018 in", "0.022 in", "", Pass, ReasonProbability, LowerLimit, SettleNothing},
		{length, "0.018 in", "0.018 in", "0.022 in", "", Undecided, ReasonProbability, LowerLimit, SettleNoMeter},
		{length, "0.022 in", "0.018 in", "0.022 in", "", Undecided, ReasonProbability, UpperLimit, SettleNoMeter},
		{length, "0.023 in", "0.018 in", "0.022 in", "", Fail, ReasonProbability, UpperLimit, SettleNothing},
		{length, "0.015 in", "0.018 in", "", "", Fail, ReasonProbability, LowerLimit, SettleNothing},
		{length, "0.5 mm", "0.018 in", "0.022 in", "", Undecided, ReasonProbability, LowerLimit, SettleMeter},
		{length, "0.5 mm", "0.018 in", "0.022 in", "0.01 mm", Pass, ReasonProbability, LowerLimit, SettleNothing},
		{resistance, "10.4 kΩ", "10.35 kΩ", "12.65 kΩ", "0.8 % + 3", Undecided, ReasonProbability, LowerLimit, SettleMeter},
		{resistance, "1.9 kΩ", "2.5 kΩ", "5.0 kΩ", "0.8 % + 3", Fail, ReasonProbability, LowerLimit, SettleNothing},
		// A meter too coarse for the band condemns nothing, and clears nothing.
		{resistance, "2.05 kΩ", "2.0 kΩ", "2.01 kΩ", "±1 kΩ", Undecided, ReasonProbability, UpperLimit, SettleMeter},
		{resistance, "2.005 kΩ", "2.0 kΩ", "2.01 kΩ", "±1 kΩ", Undecided, ReasonProbability, UpperLimit, SettleMeter},
		// Crank angles: before top dead centre is positive.
		{crank, "5° ATDC", "2° BTDC", "6° BTDC", "", Fail, ReasonProbability, LowerLimit, SettleNothing},
		{crank, "21.5° BTDC", "20° BTDC", "24° BTDC", "1°", Pass, ReasonProbability, LowerLimit, SettleNothing},
		// Feeler intervals.
		{length, "between 18 and 20 thou", "0.018 in", "0.022 in", "", Pass, ReasonProbability, LowerLimit, SettleNothing},
		{length, "16 to 19 thou", "0.018 in", "0.022 in", "", Undecided, ReasonProbability, LowerLimit, SettleBlades},
		{length, "14 to 16 thou", "0.018 in", "0.022 in", "", Fail, ReasonProbability, LowerLimit, SettleNothing},
		{length, "22 to 24 thou", "0.018 in", "0.022 in", "", Fail, ReasonProbability, UpperLimit, SettleNothing},
		{length, "16 to 24.2 thou", "0.018 in", "0.022 in", "0.0001 in", Undecided, ReasonProbability, UpperLimit, SettleBlades},
		// Over and under.
		{length, "over 22 thou", "0.018 in", "0.022 in", "", Fail, ReasonBound, UpperLimit, SettleNothing},
		{length, "over 0.5588 mm", "0.018 in", "0.022 in", "", Fail, ReasonBound, UpperLimit, SettleNothing},
		{length, "over 20 thou", "0.018 in", "0.022 in", "", Undecided, ReasonBound, NoSide, SettleRange},
		{length, "under 18 thou", "0.018 in", "0.022 in", "", Fail, ReasonBound, LowerLimit, SettleNothing},
		{length, "under 20 thou", "0.018 in", "0.022 in", "", Undecided, ReasonBound, NoSide, SettleRange},
		{resistance, "over 5 MΩ", "5 MΩ", "", "", Pass, ReasonBound, NoSide, SettleNothing},
		{resistance, "over 2 MΩ", "5 MΩ", "", "", Undecided, ReasonBound, NoSide, SettleRange},
		{voltage, "under 0.1 V", "", "0.1 V", "", Pass, ReasonBound, NoSide, SettleNothing},
		{voltage, "under 0.1 V", "0 V", "0.1 V", "", Pass, ReasonBound, NoSide, SettleNothing},
		{voltage, "under 0.2 V", "", "0.1 V", "", Undecided, ReasonBound, NoSide, SettleRange},
		{crank, "under 5° BTDC", "0° BTDC", "10° BTDC", "", Undecided, ReasonBound, NoSide, SettleRange},
		// Over range.
		{resistance, "OL", "2.5 kΩ", "5 kΩ", "0.8 % + 3", Fail, ReasonRangeUnknown, UpperLimit, SettleNothing},
		{resistance, "OL", "", "1 MΩ", "", Fail, ReasonRangeUnknown, UpperLimit, SettleNothing},
		{resistance, "OL", "", "1.1 MΩ", "", Undecided, ReasonRangeUnknown, NoSide, SettleRange},
		{resistance, "OL", "5 MΩ", "", "", Undecided, ReasonRangeUnknown, NoSide, SettleRange},
		{resistance, "OL", "100 Ω", "", "", Undecided, ReasonRangeUnknown, NoSide, SettleRange},
		{resistance, "OL on 20 MΩ", "5 MΩ", "", "", Pass, ReasonBound, NoSide, SettleNothing},
		{resistance, "OL on 20 MΩ", "20 MΩ", "", "", Pass, ReasonBound, NoSide, SettleNothing},
		{resistance, "OL on 2 MΩ", "5 MΩ", "", "", Undecided, ReasonBound, NoSide, SettleRange},
		{resistance, "OL on 200 Ω", "2.5 kΩ", "5 kΩ", "", Undecided, ReasonBound, NoSide, SettleRange},
		{resistance, "OL on 5 kΩ", "2.5 kΩ", "5 kΩ", "", Fail, ReasonBound, UpperLimit, SettleNothing},
		{units.KindCapacitance, "OL", "0.18 µF", "0.25 µF", "", Undecided, ReasonRangeUnknown, NoSide, SettleRange},
		{units.KindCapacitance, "OL on 2 µF", "0.18 µF", "0.25 µF", "", Fail, ReasonBound, UpperLimit, SettleNothing},
		// A band that asks for open.
		{resistance, "OL", "OL", "", "", Pass, ReasonOpenWanted, NoSide, SettleNothing},
		{resistance, "3 MΩ", "OL", "", "", Fail, ReasonOpenWanted, LowerLimit, SettleNothing},
		{resistance, "over 3 MΩ", "OL", "", "", Undecided, ReasonOpenWanted, NoSide, SettleRange},
		{resistance, "3 MΩ", "1 MΩ", "OL", "5 %", Pass, ReasonProbability, LowerLimit, SettleNothing},
		// Nothing to judge by.
		{resistance, "3 Ω", "", "", "", Undecided, ReasonNoLimits, NoSide, SettleTolerance},
		{resistance, "3 Ω", "", "OL", "", Undecided, ReasonNoLimits, NoSide, SettleTolerance},
		{resistance, "3 Ω", "5 Ω", "4 Ω", "", Undecided, ReasonBadBand, NoSide, SettleNothing},
	} {
		res := Judge(read(t, c.kind, c.reading, c.accuracy), band(t, c.kind, c.lower, c.upper), Rule{})
		if res.Decision != c.want || res.Reason != c.reason || res.Side != c.side || res.Need.Settle != c.settle {
			t.Errorf("%s (%s) in [%s, %s]: %v, reason %d, %v, settle %d; want %v, %d, %v, %d\n\t%s",
				c.reading, c.accuracy, c.lower, c.upper, res.Decision, res.Reason, res.Side, res.Need.Settle,
				c.want, c.reason, c.side, c.settle, res)
		}
		if res.Open != (c.kind == resistance && strings.HasPrefix(c.reading, "OL")) {
			t.Errorf("%s: open %v", c.reading, res.Open)
		}
		if res.Why() == "" || strings.Contains(res.String(), "unknown amount") {
			t.Errorf("%s: says %q", c.reading, res.String())
		}
	}
	if res := Judge(Reading{}, band(t, length, "1 mm", ""), Rule{}); res.Reason != ReasonNoReading || res.Decision != Undecided {
		t.Errorf("no reading: %v", res)
	}
	if res := Judge(read(t, length, "1 mm", ""), band(t, resistance, "1 Ω", ""), Rule{}); res.Reason != ReasonMixedKinds ||
		res.Why() != "a length was read where a resistance is wanted" {
		t.Errorf("mixed kinds: %v", res)
	}
	// An accuracy that no meter has leads nowhere, and says so.
	huge := Reading{Value: units.Ohms(1e10).Quantity(), Accuracy: Accuracy{Percent: math.MaxFloat64}}
	if res := Judge(huge, band(t, resistance, "1 Ω", ""), Rule{}); res.Reason != ReasonNotFinite || res.Decision != Undecided || res.Chance.IsKnown() {
		t.Errorf("endless doubt: %v", res)
	}
	// A reading built by hand from a resistance that is OL is over range.
	if res := Judge(Reading{Value: units.MustResistance("OL").Quantity()}, band(t, resistance, "", "5 kΩ"), Rule{}); res.Decision != Fail || !res.Open {
		t.Errorf("OL as a value: %v", res)
	}
}

// TestModuleStillGood is common practice, no source: a breakerless module of
// nominal 11.5 kΩ from plug terminal to ground, open from its trigger tab to
// ground, is still good at 11.0 kΩ. The tolerance that says so is assumed.
func TestModuleStillGood(t *testing.T) {
	nominal := Band{Nominal: units.Kilohms(11.5).Quantity()}
	if res := Judge(read(t, resistance, "11.0 kΩ", "0.8 % + 3"), nominal, Rule{Copper: true}); res.Decision != Undecided || res.Reason != ReasonNoLimits {
		t.Errorf("a bare nominal must not decide: %v", res)
	}
	b := nominal.Open(Tolerance{Name: "ten percent for windings", Relative: 0.1})
	if b.String() != "10.35 kΩ to 12.65 kΩ" || b.CanCondemn() {
		t.Errorf("opened to %v, may condemn: %v", b, b.CanCondemn())
	}
	res := Judge(read(t, resistance, "11.0 kΩ", "0.8 % + 3"), b, Rule{Copper: true})
	if res.Decision != Pass || len(res.Assumptions()) != 2 ||
		res.Assumptions()[0] != "the source gives no tolerance; the limits assume ten percent for windings" {
		t.Errorf("%v, assuming %q", res, res.Assumptions())
	}
	open := Band{Min: units.MustResistance("OL").Quantity()}
	if res := Judge(read(t, resistance, "OL", ""), open, Rule{}); res.Decision != Pass {
		t.Errorf("trigger tab to ground: %v", res)
	}
}

// TestLimitInAnyUnit is the exactness of limits: a reading of the limit's own
// value, written in another unit, is judged like the limit itself, and one of
// the smallest written step beyond it is outside, for a thousand gaps.
func TestLimitInAnyUnit(t *testing.T) {
	disagreements := 0
	for i := 1; i <= 1000; i++ {
		inches := fmt.Sprintf("%d.%04d in", 0, i)
		micrometres := fmt.Sprintf("%d.%02d µm", i*254/100, i*254%100) // 0.0001 in is 2.54 µm
		tenths := fmt.Sprintf("%d.%d thou", i/10, i%10)
		for _, limits := range []Band{band(t, length, inches, ""), band(t, length, "", inches)} {
			for _, text := range []string{inches, micrometres, tenths} {
				r := read(t, length, text, "")
				r.Step = units.Quantity{} // no doubt: limits are inclusive
				res := Judge(r, limits, Rule{})
				if res.Decision != Pass || !res.AtLimit() {
					disagreements++
				}
				r.Step = units.Micrometres(1).Quantity()
				if res := Judge(r, limits, Rule{}); res.Chance != ignition.Know(0.5) || res.Need.Settle != SettleNoMeter {
					disagreements++
				}
			}
		}
		beyond := read(t, length, fmt.Sprintf("%d.%02d µm", i*254/100, i*254%100+1), "")
		beyond.Step = units.Quantity{}
		if i*254%100 < 99 && Judge(beyond, band(t, length, "", inches), Rule{}).Decision != Fail {
			disagreements++
		}
	}
	if disagreements != 0 {
		t.Errorf("%d disagreements", disagreements)
	}
}

// TestOpenedLimits checks that a tolerance opens decimals into decimals: the
// limit equals the text a person would write for it, bit for bit.
func TestOpenedLimits(t *testing.T) {
	for _, c := range []struct {
		kind                 units.Kind
		nominal              string
		tolerance            Tolerance
		wantLower, wantUpper string
	}{
		{length, "0.020 in", Tolerance{"t", 0.1, units.Quantity{}, units.Quantity{}}, "0.018 in", "0.022 in"},
		{length, "0.35 mm", Tolerance{"t", 0, units.Millimetres(0.05).Quantity(), units.Millimetres(0.05).Quantity()}, "0.3 mm", "0.4 mm"},
		{length, "0.020 in", Tolerance{"t", 0, units.Thou(2).Quantity(), units.Quantity{}}, "0.018 in", ""},
		{length, "0.020 in", Tolerance{"t", 0, units.Quantity{}, units.Thou(2).Quantity()}, "", "0.022 in"},
		{units.KindCapacitance, "0.22 µF", Tolerance{"t", 0.2, units.Quantity{}, units.Quantity{}}, "0.176 µF", "0.264 µF"},
		{crank, "5° ATDC", Tolerance{"t", 0.2, units.Quantity{}, units.Quantity{}}, "6° ATDC", "4° ATDC"},
		{length, "0.020 in", Tolerance{"t", 0, units.Kilohms(2).Quantity(), units.Quantity{}}, "", ""},
		{length, "0.020 in", Tolerance{"t", math.NaN(), units.Quantity{}, units.Quantity{}}, "", ""},
	} {
		nominal, err := units.Parse(c.kind, c.nominal)
		if err != nil {
			t.Fatal(err)
		}
		got := Band{Nominal: nominal}.Open(c.tolerance)
		want := band(t, c.kind, c.wantLower, c.wantUpper)
		if got.Min != want.Min || got.Max != want.Max || (got.Assumed != "") != got.HasLimits() {
			t.Errorf("%s: %v, want %v", c.nominal, got, want)
		}
	}
	own := band(t, length, "1 mm", "")
	own.Nominal = units.Millimetres(2).Quantity()
	if own.Open(Tolerance{Name: "t", Relative: 0.1}) != own {
		t.Error("a band with a limit of its own was opened")
	}
}

// TestCopper checks the correction to the band's temperature.
func TestCopper(t *testing.T) {
	judge := func(reading, readAt, bandAt string) Result {
		r := read(t, resistance, reading, "")
		if readAt != "" {
			r.Temperature = ignition.Know(units.MustTemperature(readAt))
		}
		b := band(t, resistance, "1 Ω", "")
		if bandAt != "" {
			b.Temperature = ignition.Know(units.MustTemperature(bandAt))
		}
		return Judge(r, b, Rule{Copper: true})
	}
	// (234.5 + 75)/(234.5 + 20) = 1.21611: from the constant of a winding
	// temperature-rise note (IEEE 118, IEC 60034-1); it agrees with the ratio of
	// wire-table values at the two temperatures.
	near(t, "20 to 75 °C", judge("1 kΩ", "20 °C", "75 °C").Value.SI()/1000, 1.21611, 5e-5)
	// 25 to 110 °C: 1.3276; the coefficient 0.00393 wrongly used at 25 °C gives 1.334.
	near(t, "25 to 110 °C", judge("1 kΩ", "25 °C", "110 °C").Value.SI()/1000, 1.3276, 5e-5)
	// 80 Ω at 20 °C reads 100 Ω at 83.63 °C: a worked problem in a general
	// physics forum; 0.01 K is 0.003 Ω here.
	near(t, "100 Ω hot, at 20 °C", judge("100 Ω", "83.63 °C", "20 °C").Value.SI(), 80, 0.003)
	near(t, "°F", judge("100 Ω", "182.534 °F", "68 °F").Value.SI(), 80, 0.003)

	// The doubt: ±10 K, rectangular, on 254.5 K is 2.27 %.
	share := func(res Result) float64 { return res.Uncertainty.SI() / res.Value.SI() }
	const spread, step = 10 / 254.5 / 1.7320508, 1 / 1000.0 / 3.4641016
	for name, res := range map[string]Result{
		"reading's not known": judge("1.000 kΩ", "", "20 °C"),
		"band's not known":    judge("1.000 kΩ", "20 °C", ""),
		"neither known":       judge("1.000 kΩ", "", ""),
	} {
		near(t, name, share(res), math.Hypot(spread, step), 1e-6)
		if len(res.Assumptions()) != 1 {
			t.Errorf("%s: assumed %q", name, res.Assumptions())
		}
	}
	near(t, "both known", share(judge("1.000 kΩ", "20 °C", "20 °C")), step, 1e-6)
	if n := len(judge("1 kΩ", "20 °C", "20 °C").Assumptions()); n != 0 {
		t.Errorf("both known, %d assumptions", n)
	}

	r := read(t, resistance, "100 Ω", "")
	r.Temperature, r.TemperatureDoubt = ignition.Know(units.Celsius(20)), units.MustTemperatureDifference("5 K")
	b := band(t, resistance, "99 Ω", "")
	b.Temperature = r.Temperature
	res := Judge(r, b, Rule{Copper: true})
	near(t, "own doubt about the temperature", res.Uncertainty.SI(), math.Hypot(100*5/254.5/math.Sqrt(3), 1/math.Sqrt(12)), 1e-9)
	res = Judge(r, b, Rule{})
	near(t, "not copper", res.Uncertainty.SI(), 1/math.Sqrt(12), 1e-9)

	// Rule's own ambient and spread.
	r.Temperature, r.TemperatureDoubt = ignition.Known[units.Temperature]{}, units.TemperatureDifference{}
	res = Judge(r, b, Rule{Copper: true, Ambient: ignition.Know(units.Celsius(30)), Spread: units.MustTemperatureDifference("3 K")})
	near(t, "own ambient", res.Value.SI(), 100*254.5/264.5, 1e-9)
	near(t, "own spread", res.Uncertainty.SI(), 254.5/264.5*math.Hypot(100*3/264.5/math.Sqrt(3), 1/math.Sqrt(12)), 1e-9)

	r.Temperature = ignition.Know(units.Celsius(-250))
	if res := Judge(r, b, Rule{Copper: true}); res.Reason != ReasonNotFinite || res.Decision != Undecided {
		t.Errorf("copper at -250 °C: %v", res)
	}
	// Leads, interval and the meter's promise all scale with the value.
	hot := read(t, resistance, "10 to 12 Ω", "1 Ω")
	hot.Temperature = ignition.Know(units.Celsius(75))
	hot.LeadZero, hot.LeadZeroStep = units.Ohms(1).Quantity(), units.Ohms(0.1).Quantity()
	res = Judge(hot, b, Rule{Copper: true})
	const ratio = 254.5 / 309.5
	near(t, "interval, value", res.Value.SI(), 10*ratio, 1e-9)
	near(t, "interval, half width", res.HalfWidth.SI(), ratio, 1e-9)
	near(t, "interval, uncertainty", res.Uncertainty.SI(), ratio*math.Sqrt(2.0/3), 1e-9)

	// Length is no winding, whatever the rule says.
	if res := Judge(read(t, length, "1.00 mm", ""), band(t, length, "0.99 mm", ""), Rule{Copper: true}); res.Assumed != 0 {
		t.Error("a gap was brought to temperature")
	}
}

// TestTemperatureSettles: a hot coil that looks low in resistance only because
// nobody said how warm the limits are.
func TestTemperatureSettles(t *testing.T) {
	r := read(t, resistance, "10.45 kΩ", "0.2 % + 1")
	b := band(t, resistance, "10.35 kΩ", "12.65 kΩ")
	b.Temperature = ignition.Know(units.Celsius(20))
	res := Judge(r, b, Rule{Copper: true})
	if res.Decision != Undecided || res.Need.Settle != SettleTemperature || !strings.Contains(res.Why(), "read the temperature of the winding: it matters") {
		t.Errorf("%v", res)
	}
	r.Temperature = ignition.Know(units.Celsius(20))
	if res := Judge(r, b, Rule{Copper: true}); res.Decision != Pass {
		t.Errorf("%v", res)
	}
	// A better meter would do too, but the temperature is the cheaper thing to ask.
	further := read(t, resistance, "10.76 kΩ", "0.8 % + 8")
	further.Temperature, b.Temperature = ignition.Known[units.Temperature]{}, ignition.Know(units.Celsius(20))
	if res := Judge(further, b, Rule{Copper: true}); res.Decision != Undecided || res.Need.Settle != SettleTemperature {
		t.Errorf("%v", res)
	}
	r.TemperatureDoubt = units.MustTemperatureDifference("10 K")
	if res := Judge(r, b, Rule{Copper: true}); res.Need.Settle != SettleTemperature || !strings.Contains(res.Why(), "more closely") {
		t.Errorf("%v", res)
	}
}

// TestBudget works one budget by hand. 3.42 Ω with leads at 0.21 Ω on a meter
// of 1 % + 2 counts, step 0.01 Ω:
// reading (0.0342 + 0.02)/√3 and 0.01/√12; leads (0.0021 + 0.02)/√3 and 0.01/√12.
func TestBudget(t *testing.T) {
	r, err := read(t, resistance, "3.42 Ω", "1 % + 2 counts").WithLeadZero("0.21 Ω")
	if err != nil {
		t.Fatal(err)
	}
	res := Judge(r, band(t, resistance, "3 Ω", "4 Ω"), Rule{})
	near(t, "value", res.Value.SI(), 3.21, 1e-12)
	near(t, "uncertainty", res.Uncertainty.SI(), math.Sqrt((0.0542*0.0542+0.0221*0.0221)/3+2*0.0001/12), 1e-12)
	near(t, "chance", res.Chance.Or(0), 1, 1e-6)
	if res.Off.SI() > -0.2099999 || res.Off.SI() < -0.2100001 || res.Side != LowerLimit {
		t.Errorf("off by %v of the %v", res.Off, res.Side)
	}
	// Leads come off a bound too: over 2.1 Ω with them is over 1.89 Ω without.
	r.Form, r.Value = Over, units.Ohms(2.1).Quantity()
	if res := Judge(r, band(t, resistance, "", "2 Ω"), Rule{}); res.Decision != Undecided {
		t.Errorf("%v", res)
	}
	if res := Judge(r, band(t, resistance, "", "1.89 Ω"), Rule{}); res.Decision != Fail {
		t.Errorf("%v", res)
	}
	for _, bad := range []string{"OL", "0.2 to 0.3 Ω", "-0.2 Ω", "0.2 V", ""} {
		if _, err := r.WithLeadZero(bad); err == nil || !strings.HasPrefix(err.Error(), "lead zero ") {
			t.Errorf("lead zero %q: %v", bad, err)
		}
	}
	about := Judge(read(t, resistance, "about 5 kΩ", ""), band(t, resistance, "1 kΩ", ""), Rule{})
	near(t, "about", about.Uncertainty.SI(), 2000/math.Sqrt(12), 1e-9)
	both := Judge(read(t, resistance, "about 11.2 ± 0.3 kΩ", ""), band(t, resistance, "1 kΩ", ""), Rule{})
	near(t, "about, with the reader's own limits", both.Uncertainty.SI(), math.Sqrt(300*300/3.0+200*200/12.0), 1e-9)
	counted := Judge(read(t, length, "1.00 mm", "0.02 mm + 1 count"), band(t, length, "0.5 mm", ""), Rule{})
	near(t, "an amount and counts, mm", 1000*counted.Uncertainty.SI(), math.Sqrt(0.03*0.03/3+0.01*0.01/12), 1e-9)
	fixed, err := read(t, resistance, "3.42 Ω", "0.05 Ω").WithLeadZero("0.2 Ω")
	if err != nil {
		t.Fatal(err)
	}
	res = Judge(fixed, band(t, resistance, "3 Ω", "4 Ω"), Rule{})
	near(t, "an amount covers the digits of both", res.Uncertainty.SI(), 0.05*math.Sqrt(2.0/3), 1e-9)
	own := Judge(read(t, resistance, "11.2 ± 0.3 kΩ", ""), band(t, resistance, "1 kΩ", ""), Rule{})
	near(t, "the reader's own limits", own.Uncertainty.SI(), 300/math.Sqrt(3), 1e-9)
}

// TestBudgetAgainstSampling draws the errors that the budget names and
// compares the spread of the corrected value with the combined uncertainty.
func TestBudgetAgainstSampling(t *testing.T) {
	rng := rand.New(rand.NewPCG(100, 2008))
	flat := func(a float64) float64 { return a * (2*rng.Float64() - 1) }
	r, err := read(t, resistance, "3.42 Ω", "1 % + 2 counts").WithLeadZero("0.21 Ω")
	if err != nil {
		t.Fatal(err)
	}
	r.Temperature, r.TemperatureDoubt = ignition.Know(units.Celsius(60)), units.MustTemperatureDifference("8 K")
	b := band(t, resistance, "2 Ω", "4 Ω")
	res := Judge(r, b, Rule{Copper: true}) // the band's temperature: 20 °C ± 10 K
	const draws = 200_000
	var sum, squares float64
	for range draws {
		ohms := 3.42 + flat(0.0342+0.02) + flat(0.005) - (0.21 + flat(0.0021+0.02) + flat(0.005))
		ohms *= (234.5 + 20 + flat(10)) / (234.5 + 60 + flat(8))
		sum, squares = sum+ohms, squares+ohms*ohms
	}
	mean := sum / draws
	near(t, "value", mean, res.Value.SI(), 0.001)
	// 1 %: sampling 0.2 %, and second-order terms of the temperature 0.1 %.
	near(t, "uncertainty over sampled", res.Uncertainty.SI()/math.Sqrt(squares/draws-mean*mean), 1, 0.01)
}

func TestThresholds(t *testing.T) {
	for _, c := range []struct {
		rule       Rule
		pass, fail float64
	}{
		{Rule{}, 0.95, 0.05}, {Rule{Pass: 0.8}, 0.8, 0.2}, {Rule{Pass: 0.9, Fail: 0.01}, 0.9, 0.01},
		{Rule{Pass: 0.3, Fail: 0.7}, 0.95, 0.05}, {Rule{Pass: math.NaN(), Fail: math.NaN()}, 0.95, 0.05}, {Rule{Fail: 0.1}, 0.95, 0.1},
	} {
		pass, fail := c.rule.thresholds()
		near(t, "pass", pass, c.pass, 1e-15)
		near(t, "fail", fail, c.fail, 1e-15)
	}
	// Φ(1) = 0.8413, Φ(-1) = 0.1587 (standard normal tables).
	r := Reading{Value: units.Ohms(101).Quantity(), Accuracy: Accuracy{Absolute: units.Ohms(math.Sqrt(3)).Quantity()}}
	if res := Judge(r, band(t, resistance, "100 Ω", ""), Rule{}); res.Decision != Undecided || math.Abs(res.Chance.Or(0)-0.8413) > 5e-5 {
		t.Errorf("%v %v", res, res.Chance)
	}
	if res := Judge(r, band(t, resistance, "100 Ω", ""), Rule{Pass: 0.84}); res.Decision != Pass {
		t.Errorf("%v", res)
	}
	if res := Judge(r, band(t, resistance, "", "100 Ω"), Rule{Pass: 0.84}); res.Decision != Fail {
		t.Errorf("%v", res)
	}
	if res := Judge(r, band(t, resistance, "", "100 Ω"), Rule{Pass: 0.85}); res.Decision != Undecided {
		t.Errorf("%v", res)
	}
	if res := Judge(read(t, resistance, "OL", ""), band(t, resistance, "", "5 kΩ"), Rule{OpenAbove: units.Kilohms(2)}); res.Decision != Undecided {
		t.Errorf("%v", res)
	}
}

// TestNeedSettles takes the meter that an undecided reading asks for, and the
// same value again: it is then decided, and with one a little worse it is not.
func TestNeedSettles(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	b := band(t, resistance, "95 Ω", "105 Ω")
	asked := 0
	for range 3000 {
		r := Reading{Value: units.Ohms(100 + 8*rng.NormFloat64()).Quantity(), Unit: "Ω",
			Accuracy: Accuracy{Percent: 10 * rng.Float64(), Absolute: units.Ohms(rng.Float64()).Quantity()}}
		res := Judge(r, b, Rule{})
		if res.Decision != Undecided {
			continue
		}
		if res.Need.Settle != SettleMeter {
			t.Fatalf("%v: %+v", res, res.Need)
		}
		asked++
		r.Accuracy = Accuracy{Absolute: res.Need.Accuracy}
		if again := Judge(r, b, Rule{}); again.Decision == Undecided {
			t.Fatalf("asked for ±%v, still %v", res.Need.Accuracy, again)
		}
		worse, _ := res.Need.Accuracy.Resistance()
		r.Accuracy = Accuracy{Absolute: worse.Scale(1.01).Quantity()}
		if again := Judge(r, b, Rule{}); again.Decision != Undecided {
			t.Fatalf("a meter 1 %% worse than ±%v decides: %v", res.Need.Accuracy, again)
		}
		if math.Abs(res.Need.Share*res.Value.SI()/res.Need.Accuracy.SI()-1) > 1e-9 {
			t.Fatalf("share %v of %v is not %v", res.Need.Share, res.Value, res.Need.Accuracy)
		}
	}
	if asked < 300 {
		t.Errorf("only %d undecided readings tried", asked)
	}
	near100 := read(t, resistance, "95.01 Ω", "0.5 %")
	if res := Judge(near100, b, Rule{Finest: 0.001}); res.Need.Settle != SettleNoMeter || !strings.Contains(res.Why(), "finer than can be had") {
		t.Errorf("%v", res)
	}
}

// TestJudgeProperties: what must hold for any reading and band.
func TestJudgeProperties(t *testing.T) {
	rng := rand.New(rand.NewPCG(106, 2012))
	for range 5000 {
		lower := 100 * rng.Float64()
		upper := lower + 50*rng.Float64()
		b := Band{Min: units.Ohms(lower).Quantity(), Max: units.Ohms(upper).Quantity()}
		ohms := 200 * rng.Float64()
		r := Reading{Value: units.Ohms(ohms).Quantity(), Accuracy: Accuracy{Percent: 5 * rng.Float64()}}
		res := Judge(r, b, Rule{})
		p := res.Chance.Or(-1)
		if !(p >= 0 && p <= 1) {
			t.Fatalf("chance %v", res.Chance)
		}
		if res.Decision == Fail && lower <= ohms && ohms <= upper || res.Decision == Pass && (ohms < lower || ohms > upper) {
			t.Fatalf("%g in [%g, %g]: %v", ohms, lower, upper, res.Decision)
		}
		if (res.Off.SI() > 0) != (ohms < lower || ohms > upper) {
			t.Fatalf("%g in [%g, %g]: off by %v", ohms, lower, upper, res.Off)
		}
		// The same in kilohms and as a current of the same number.
		kilo := func(x float64) units.Quantity { return units.FromSI(resistance, 1000*x) }
		thousandfold := Judge(Reading{Value: kilo(ohms), Accuracy: r.Accuracy}, Band{Min: kilo(lower), Max: kilo(upper)}, Rule{})
		if thousandfold.Decision != res.Decision || math.Abs(thousandfold.Chance.Or(-1)-p) > 1e-9 {
			t.Fatalf("scaled: %v %v", thousandfold.Chance, res.Chance)
		}
		// A better meter that shows the same never undoes a decision.
		r.Accuracy.Percent /= 2
		if finer := Judge(r, b, Rule{}); res.Decision != Undecided && finer.Decision != res.Decision {
			t.Fatalf("%g in [%g, %g]: finer meter turns %v into %v", ohms, lower, upper, res.Decision, finer.Decision)
		}
	}
}

func TestJudgeAllocatesNothing(t *testing.T) {
	r := read(t, resistance, "10.4 kΩ", "0.8 % + 3")
	b := band(t, resistance, "10.35 kΩ", "12.65 kΩ")
	b.Temperature = ignition.Know(units.Celsius(20))
	interval := read(t, length, "16 to 19 thou", "")
	gap := band(t, length, "0.018 in", "0.022 in")
	open := read(t, resistance, "OL", "")
	var sink Result
	if n := testing.AllocsPerRun(100, func() {
		sink = Judge(r, b, Rule{Copper: true})
		sink = Judge(r, b, Rule{})
		sink = Judge(interval, gap, Rule{})
		sink = Judge(open, b, Rule{})
	}); n != 0 {
		t.Errorf("%g allocations", n)
	}
	_ = sink
}

func TestGrossFactor(t *testing.T) {
	b := band(t, resistance, "2.5 kΩ", "5 kΩ")
	for _, c := range []struct {
		value string
		want  float64
	}{
		{"15 kΩ", 3}, {"5 kΩ", 1}, {"3 kΩ", 1}, {"2.5 kΩ", 1}, {"250 Ω", 0.1}, {"0 Ω", 0}, {"OL", math.MaxFloat64},
	} {
		near(t, c.value, GrossFactor(units.MustResistance(c.value).Quantity(), b), c.want, 1e-12)
	}
	nominal := Band{Nominal: units.Kilohms(10).Quantity()}
	near(t, "twice nominal", GrossFactor(units.Kilohms(20).Quantity(), nominal), 2, 1e-12)
	near(t, "half nominal", GrossFactor(units.Kilohms(5).Quantity(), nominal), 0.5, 1e-12)
	near(t, "other kind", GrossFactor(units.Volts(5).Quantity(), b), 1, 0)
	near(t, "crank angle", GrossFactor(units.BTDC(50).Quantity(), band(t, crank, "2° BTDC", "6° BTDC")), 1, 0)
	near(t, "limit of zero", GrossFactor(units.Ohms(5).Quantity(), band(t, resistance, "", "0 Ω")), 1, 0)
	near(t, "no quantity", GrossFactor(units.Quantity{}, Band{}), 1, 0)
}

func TestJudgeAll(t *testing.T) {
	book, club := band(t, length, "0.018 in", "0.022 in"), band(t, length, "0.012 in", "0.019 in")
	book.Source, club.Source = "shop manual", "club page"
	bare := Band{Nominal: units.Thou(20).Quantity()}

	s := JudgeAll(read(t, length, "0.021 in", ""), []Band{book, club, bare}, Rule{})
	if s.Decision != Undecided || !s.Parted || len(s.Results) != 3 || s.Results[0].Decision != Pass || s.Results[1].Decision != Fail {
		t.Errorf("%+v", s)
	}
	want := "the sources part: 0.018 in to 0.022 in [shop manual]: pass, 0.001 in below the maximum; " +
		"0.012 in to 0.019 in [club page]: fail, 0.002 in above the maximum (10.5 %); " +
		"0.020 in, no limits given: cannot tell; all allow 0.018 in to 0.019 in"
	if s.Words() != want {
		t.Errorf("%s", s.Words())
	}
	s = JudgeAll(read(t, length, "0.0185 in", ""), []Band{bare, book, club}, Rule{})
	if s.Decision != Pass || s.Parted || !strings.HasPrefix(s.Words(), "the sources differ in figures and agree on this reading, pass") {
		t.Errorf("%v %s", s.Decision, s.Words())
	}
	s = JudgeAll(read(t, length, "0.030 in", ""), []Band{book, club}, Rule{})
	if s.Decision != Fail || s.Parted {
		t.Errorf("%v %s", s.Decision, s.Words())
	}
	club.Hearsay = true
	if club.CanCondemn() || !book.CanCondemn() {
		t.Error("hearsay must not condemn, a published limit may")
	}
	if common, ok := JudgeAll(read(t, length, "0.030 in", ""), []Band{book, club}, Rule{}).Common(); !ok || !common.Hearsay {
		t.Errorf("what two sources share is no better than the worse: %+v", common)
	}
	apart := JudgeAll(read(t, length, "0.021 in", ""), []Band{book, band(t, length, "", "0.010 in")}, Rule{})
	if _, ok := apart.Common(); ok || !strings.HasSuffix(apart.Words(), "no value satisfies them all") {
		t.Errorf("%s", apart.Words())
	}
	one := JudgeAll(read(t, length, "0.021 in", ""), []Band{book}, Rule{})
	if one.Decision != Pass || one.Words() != "" {
		t.Errorf("%+v", one)
	}
	if none := JudgeAll(read(t, length, "0.021 in", ""), nil, Rule{}); none.Decision != Undecided || none.Parted {
		t.Errorf("%+v", none)
	}
	touching := JudgeAll(read(t, length, "0.021 in", ""), []Band{book, band(t, length, "0.022 in", "")}, Rule{})
	if !strings.HasSuffix(touching.Words(), "all allow only 0.022 in") {
		t.Errorf("%s", touching.Words())
	}
	// Undecided by one of three must not be forgotten by the third.
	s = JudgeAll(read(t, length, "0.018 in", ""), []Band{book, club, book}, Rule{})
	if s.Decision != Undecided || !s.Parted {
		t.Errorf("%+v", s.Decision)
	}
}

func TestByHowMuch(t *testing.T) {
	for _, c := range []struct {
		kind                  units.Kind
		reading, lower, upper string
		want                  string
	}{
		{resistance, "1.9 kΩ", "2.5 kΩ", "5 kΩ", "0.6 kΩ below the minimum (24 %)"},
		{resistance, "1900 Ω", "2.5 kΩ", "5 kΩ", "600 Ω below the minimum (24 %)"},
		{length, "0.024 in", "0.018 in", "0.022 in", "0.002 in above the maximum (9.09 %)"},
		{length, "20 thou", "0.018 in", "0.022 in", "2 thou above the minimum"},
		{length, "21 thou", "0.018 in", "0.022 in", "1 thou below the maximum"},
		{length, "0.022 in", "0.018 in", "0.022 in", "on the maximum"},
		{length, "24 to 26 thou", "0.018 in", "0.022 in", "about 3 thou above the maximum (13.6 %)"},
		{crank, "5° ATDC", "2° BTDC", "6° BTDC", "7° below the minimum"},
		{voltage, "over 0.3 V", "", "0.1 V", "at least 0.2 V above the maximum (200 %)"},
		{length, "over 22 thou", "", "0.022 in", "above the maximum"},
		{resistance, "OL", "", "5 kΩ", "open: over any range"},
		{resistance, "OL on 20 kΩ", "", "5 kΩ", "at least 15 kΩ above the maximum (300 %)"},
		{resistance, "OL on 2 MΩ", "5 MΩ", "", ""},
		{resistance, "3 Ω", "OL", "", ""},
	} {
		res := Judge(read(t, c.kind, c.reading, ""), band(t, c.kind, c.lower, c.upper), Rule{})
		if got := res.ByHowMuch(); got != c.want {
			t.Errorf("%s in [%s, %s]: %q, want %q", c.reading, c.lower, c.upper, got, c.want)
		}
	}
	// A reading without a unit of its own still has words.
	res := Judge(Reading{Value: units.Ohms(3).Quantity()}, band(t, resistance, "5 Ω", ""), Rule{})
	if res.ByHowMuch() != "2 Ω below the minimum (40 %)" {
		t.Error(res.ByHowMuch())
	}
}

// TestSureNeverCertain: rounding never claims more than is known.
func TestSureNeverCertain(t *testing.T) {
	for p, want := range map[float64]string{1: "more than 99.9 % sure", 0.9995: "more than 99.9 % sure", 0.9989: "99.8 % sure",
		0.9899: "98 % sure", 0.95: "95 % sure", 0.004: "0.4 % sure", 0: "less than 0.1 % sure"} {
		if got := sure(p); got != want {
			t.Errorf("%g: %q, want %q", p, got, want)
		}
	}
}

func TestNames(t *testing.T) {
	var names []string
	for i := range uint8(5) {
		names = append(names, Form(i).String(), Decision(i).String(), Side(i).String(), Zone(i).String(), Guard(i).String())
	}
	if slices.Contains(names, "") || Form(9).String() != "over range" {
		t.Errorf("%q", names)
	}
}

func knowTemperature(t units.Temperature) ignition.Known[units.Temperature] { return ignition.Know(t) }
