package meter_test

import (
	"fmt"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/ignition/meter"
	"gapbook.example/units"
)

// The figures of these examples are invented.

func ExampleJudge() {
	band := meter.Band{Min: units.Kilohms(2.5).Quantity(), Max: units.Kilohms(5).Quantity()}
	reading, err := meter.ParseReading(units.KindResistance, "1.9 kΩ")
	if err != nil {
		fmt.Println(err)
		return
	}
	reading.Accuracy = meter.Accuracy{Percent: 0.8, Counts: 3}
	result := meter.Judge(reading, band, meter.Rule{})
	fmt.Println(result.Decision)
	fmt.Println(result.ByHowMuch())
	// Output:
	// fail
	// 0.6 kΩ below the minimum (24 %)
}

// A reading that its meter cannot decide says what would.
func ExampleJudge_cannotTell() {
	band := meter.Band{Min: units.Kilohms(10.35).Quantity(), Max: units.Kilohms(12.65).Quantity()}
	reading, _ := meter.ParseReading(units.KindResistance, "10.4 kΩ")
	reading.Accuracy, _ = meter.ParseAccuracy(units.KindResistance, "0.8 % + 3")
	fmt.Println(meter.Judge(reading, band, meter.Rule{}))
	// Output:
	// cannot tell: 10.4 kΩ against 10.35 kΩ to 12.65 kΩ: 0.05 kΩ above the minimum, which this reading does not settle: 59 % likely within the limits, 41 % outside; a meter good to ±0.0527 kΩ (0.506 %) there would settle it, if it read the same
}

// Feeler blades give an interval: one goes, the next does not.
func ExampleJudge_feelerBlades() {
	band := meter.Band{Min: units.Inches(0.018).Quantity(), Max: units.Inches(0.022).Quantity()}
	for _, text := range []string{"between 18 and 20 thou", "16 to 19 thou", "over 24 thou"} {
		reading, _ := meter.ParseReading(units.KindLength, text)
		fmt.Println(meter.Judge(reading, band, meter.Rule{}))
	}
	// Output:
	// pass: between 18 and 20 thou against 0.018 in to 0.022 in: about 1 thou above the minimum, more than 99.9 % sure within the limits
	// cannot tell: 16 to 19 thou against 0.018 in to 0.022 in: about 0.5 thou below the minimum (2.78 %), which this reading does not settle: 33 % likely within the limits, 67 % outside; try a blade of 18 thou, the limit itself: it goes, or it does not
	// fail: over 24 thou against 0.018 in to 0.022 in: at least 2 thou above the maximum (9.09 %), whatever the value is
}

// OL passes a minimum only if the meter's range is known to reach it.
func ExampleJudge_overRange() {
	insulation := meter.Band{Min: units.Megohms(5).Quantity()}
	for _, text := range []string{"OL", "OL on 2 MΩ", "OL on 20 MΩ"} {
		reading, _ := meter.ParseReading(units.KindResistance, text)
		fmt.Println(meter.Judge(reading, insulation, meter.Rule{}))
	}
	// Output:
	// cannot tell: OL against at least 5 MΩ: OL says only that it is over the meter's range, which is not stated; say the meter's range, as in "OL on 20 MΩ"
	// cannot tell: OL on 2 MΩ against at least 5 MΩ: the reading does not say on which side of the limit the value lies; read it on a higher range
	// pass: OL on 20 MΩ against at least 5 MΩ: whatever the value is, it is within the limits
}

// A hot winding is brought to the temperature that its limits hold at.
func ExampleJudge_hotCoil() {
	band := meter.Band{Min: units.Ohms(3).Quantity(), Max: units.Ohms(4).Quantity(),
		Temperature: ignition.Know(units.Celsius(20))}
	reading, _ := meter.ParseReading(units.KindResistance, "4.31 Ω")
	reading.Accuracy = meter.Accuracy{Percent: 0.8, Counts: 2}
	reading.Temperature = ignition.Know(units.Celsius(75))
	result := meter.Judge(reading, band, meter.Rule{Copper: true})
	fmt.Println(result.Decision, result.Value.Display())
	// Output:
	// pass 3.544 Ω
}

func ExampleBand_Open() {
	band := meter.Band{Nominal: units.Kilohms(11.5).Quantity(), Source: "invented workshop sheet"}
	band = band.Open(meter.Tolerance{Name: "ten percent for windings", Relative: 0.1})
	reading, _ := meter.ParseReading(units.KindResistance, "11.0 kΩ")
	result := meter.Judge(reading, band, meter.Rule{})
	fmt.Println(band, "may condemn:", band.CanCondemn())
	fmt.Println(result.Decision, result.Assumptions())
	// Output:
	// 10.35 kΩ to 12.65 kΩ may condemn: false
	// pass [the source gives no tolerance; the limits assume ten percent for windings]
}

func ExampleJudgeAll() {
	manual := meter.Band{Min: units.Thou(18).Quantity(), Max: units.Thou(22).Quantity(), Source: "shop manual"}
	club := meter.Band{Min: units.Thou(12).Quantity(), Max: units.Thou(16).Quantity(), Source: "club page", Hearsay: true}
	reading, _ := meter.ParseReading(units.KindLength, "0.020 in")
	both := meter.JudgeAll(reading, []meter.Band{manual, club}, meter.Rule{})
	fmt.Println(both.Decision)
	fmt.Println(both.Words())
	// Output:
	// cannot tell
	// the sources part: 0.018 in to 0.022 in [shop manual]: pass, 0.002 in above the minimum; 0.012 in to 0.016 in [club page]: fail, 0.004 in above the maximum (25 %); no value satisfies them all
}

func ExampleParseReading() {
	for _, text := range []string{"11.2 kΩ", "4k7", "18 to 20 thou", "11,2 kΩ"} {
		kind := units.KindResistance
		if text == "18 to 20 thou" {
			kind = units.KindLength
		}
		r, err := meter.ParseReading(kind, text)
		if err != nil {
			fmt.Println(err)
			continue
		}
		if r.Form == meter.Interval {
			fmt.Println(r.Form, r.Low, r.High)
		} else {
			fmt.Println(r.Form, r.Value)
		}
	}
	// Output:
	// single 11.2 kΩ
	// single 4.7 kΩ
	// interval 0.018 in 0.020 in
	// reading "11,2 kΩ" cannot be read: resistance "11,2 kΩ": a decimal comma; write "11.2 kΩ", with a point
}

func ExampleParseAccuracy() {
	a, err := meter.ParseAccuracy(units.KindResistance, "±1.5 % ± 2 counts")
	fmt.Println(a, err)
	_, err = meter.ParseAccuracy(units.KindResistance, "3 % of full scale")
	fmt.Println(err)
	// Output:
	// ±(1.5 % + 2 counts) <nil>
	// meter accuracy "3 % of full scale" is a percentage of "full scale", not of the reading; work it out for the scale used and write the amount: 3 % of a 500 Ω scale is ±15 Ω
}

// What a rule does over many parts: the inspection of resistors of JCGM 106
// clause 9, inputs read in a teaching script.
func ExampleProcess_Risks() {
	p := meter.Process{Mean: 1500, Sigma: 0.12, Uncertainty: 0.04}
	consumer, producer := p.Risks(1499.8, 1500.2, 1499.82, 1500.18)
	fmt.Printf("bad accepted %.4f, good rejected %.4f\n", consumer, producer)
	// Output:
	// bad accepted 0.0099, good rejected 0.0690
}

func BenchmarkJudge(b *testing.B) {
	decided, _ := meter.ParseReading(units.KindResistance, "11.2 kΩ")
	decided.Accuracy = meter.Accuracy{Percent: 0.8, Counts: 3}
	undecided, _ := meter.ParseReading(units.KindResistance, "10.4 kΩ")
	undecided.Accuracy = decided.Accuracy
	blades, _ := meter.ParseReading(units.KindLength, "between 18 and 20 thou")
	coil := meter.Band{Min: units.Kilohms(10.35).Quantity(), Max: units.Kilohms(12.65).Quantity()}
	gap := meter.Band{Min: units.Thou(18).Quantity(), Max: units.Thou(22).Quantity()}
	for _, c := range []struct {
		name    string
		reading meter.Reading
		band    meter.Band
	}{{"decided", decided, coil}, {"undecided", undecided, coil}, {"interval", blades, gap}} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				meter.Judge(c.reading, c.band, meter.Rule{Copper: true})
			}
		})
	}
}

func BenchmarkParseReading(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := meter.ParseReading(units.KindLength, "between 18 and 20 thou"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWhy(b *testing.B) {
	reading, _ := meter.ParseReading(units.KindResistance, "10.4 kΩ")
	result := meter.Judge(reading, meter.Band{Min: units.Kilohms(10.35).Quantity()}, meter.Rule{})
	b.ReportAllocs()
	for b.Loop() {
		result.Why()
	}
}

func BenchmarkRisks(b *testing.B) {
	p := meter.Process{Mean: 1500, Sigma: 0.12, Uncertainty: 0.04}
	for b.Loop() {
		p.Risks(1499.8, 1500.2, 1499.82, 1500.18)
	}
}
