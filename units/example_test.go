package units_test

import (
	"errors"
	"flag"
	"fmt"

	"gapbook.example/units"
)

// A gap is the same gap in whatever unit it is written.
func Example() {
	inch := units.MustLength("0.020 in")
	thou := units.Thou(20)
	metric := units.MustLength("0.508mm")
	fmt.Println(inch == thou, thou == metric)
	fmt.Println(metric, "is", metric.Thou(), "thou")
	// Output:
	// true true
	// 0.020 in is 20 thou
}

// Parse errors say what is wrong and what would be right.
func ExampleParseLength() {
	for _, s := range []string{`.035"`, "1-1/32 in", "20 thuo", "0,5 mm", "20 mil", "5 Ω"} {
		gap, err := units.ParseLength(s)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(gap)
	}
	// Output:
	// 0.035 in
	// 1.03125 in
	// length "20 thuo": unknown unit "thuo"; did you mean "thou"?
	// length "0,5 mm": a decimal comma; write "0.5 mm", with a point
	// length "20 mil": "mil" is a thousandth of an inch to some and a millimetre to others; write thou or mm
	// length "5 Ω": "Ω" is a unit of resistance, not of length; write a number and one of mm, in, thou, µm, m, cm, ft, km, mi
}

// Codes tell programs what people read in the message.
func ExampleParseError() {
	_, err := units.ParseCapacitance("0.22 MF")
	var pe *units.ParseError
	if errors.As(err, &pe) {
		fmt.Println(pe.Code)
		fmt.Println(pe.Want)
	}
	// Output:
	// ambiguous
	// write µF (uF), or mfd for an old part's microfarads
}

// The book takes one spelling, and says which.
func ExampleParseResistanceStrict() {
	_, err := units.ParseResistanceStrict("4k7")
	fmt.Println(err)
	// Output:
	// resistance "4k7": unknown unit "k7"; write "4.7 kΩ"
}

// A reading that shows over range is a resistance too.
func ExampleResistance() {
	open := units.MustResistance("OL")
	lead := units.Ohms(0.2)
	fmt.Println(open, open.Cmp(units.Megohms(40)), open.Sub(lead))
	// Output:
	// OL 1 OL
}

// Before top dead centre is positive.
func ExampleCrankAngle() {
	full, static := units.BTDC(23), units.ATDC(5)
	fmt.Println(full, static, full.Sub(static).CrankDegrees())
	// Output:
	// 23° BTDC 5° ATDC 28
}

// A point on the scale and a rise are different types.
func ExampleTemperature_Sub() {
	coil, bench := units.Fahrenheit(176), units.Celsius(20)
	rise := coil.Sub(bench)
	fmt.Println(coil, rise, rise.FahrenheitDifference())
	// Output:
	// 80 °C 60 K 108
}

// Gauge and metric sizes compare by area.
func ExampleWireSize() {
	old := units.AWG(18)
	fmt.Println(old, old.Cmp(units.MustWireSize("0.75 mm²")) > 0)
	ohms := old.Copper(units.Celsius(20)).OhmsPerThousandFeet()
	fmt.Printf("%.3f Ω in 1,000 ft\n", ohms)
	// Output:
	// 18 AWG true
	// 6.385 Ω in 1,000 ft
}

// A reading's last written place says how finely it was read.
func ExampleParseWritten() {
	w, err := units.ParseWritten(units.KindResistance, "11.2k", false)
	fmt.Println(w.Number, w.Unit, w.Step, err)
	// Output:
	// 11.2 kΩ 100 <nil>
}

// Reports show two units, for whichever gauge is at hand.
func ExampleQuantity_DisplayBoth() {
	fmt.Println(units.Millimetres(0.35).Quantity().DisplayBoth(""))
	fmt.Println(units.Millimetres(0.508).Quantity().DisplayBoth("thou"))
	fmt.Println(units.PoundFeet(15).Quantity().DisplayBoth(""))
	// Output:
	// 0.35 mm (0.014 in)
	// 20 thou (0.51 mm)
	// 15 lb-ft (20.3 N·m)
}

// In and Text give the unit a page or a reader asks for.
func ExampleQuantity_In() {
	gap := units.Thou(20).Quantity()
	mm, _ := gap.In("mm")
	fmt.Println(mm, gap.Text("mm", 2))
	// Output:
	// 0.508 mm 0.51 mm
}

// Quantities are text, so flag.TextVar makes them flags.
func ExampleLength_UnmarshalText() {
	fs := flag.NewFlagSet("bench", flag.ContinueOnError)
	var gap units.Length
	fs.TextVar(&gap, "gap", units.Thou(20), "points gap")
	err := fs.Parse([]string{"-gap", "0.018in"})
	fmt.Println(gap, err)
	// Output:
	// 0.018 in <nil>
}
