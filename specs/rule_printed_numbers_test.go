package specs

import (
	"testing"

	"gapbook.example/units"
)

// TestPrintedNumbers reads figures out of text as pages print it. The texts
// are of the forms met in workshop books and their scans; what each means is
// what a reader with the page in hand would say.
func TestPrintedNumbers(t *testing.T) {
	for _, c := range []struct {
		kind    units.Kind
		printed string
		value   string
		end     string
		found   bool
		scan    bool
	}{
		{length, `.020"`, "0.020 in", "nominal", true, false},
		{length, `.020"`, "0.021 in", "nominal", false, false},
		{length, `.020"`, "0.20 in", "nominal", false, false},
		{length, `.020"`, "0.020 mm", "nominal", false, false},
		{length, ".020", "0.020 in", "nominal", true, false},
		{length, ".020 inch (0.51 mm)", "0.51 mm", "nominal", true, false},
		{length, `1-7/8"`, "1.875 in", "nominal", true, false},
		{length, "1 7/8 in", "1.875 in", "nominal", true, false},
		{length, "3/16 inch", "0.1875 in", "nominal", true, false},
		{length, "3/16 inch", "0.188 in", "nominal", true, false}, // a rounded fraction
		{length, "3/16 inch", "0.19 mm", "nominal", false, false},
		{length, "7½ mm", "7.5 mm", "nominal", true, false},
		{length, "0,6...0,7 mm", "0.7 mm", "max", true, false},
		{length, "0.20-0.30mm", "0.20 mm", "min", true, false},
		{length, "82.5 m.m.", "82.5 mm", "nominal", true, false},
		{length, "ogni 6.000 km", "6000 km", "nominal", true, false},
		{length, "6.000 mm", "6000 mm", "nominal", false, false},
		{length, "20 thousandths", "0.020 in", "nominal", true, false},
		{ohms, "10 thousand ohms", "10 kΩ", "nominal", true, false},
		{ohms, "3 hundred ohms", "300 Ω", "nominal", true, false},
		{length, "35 hundredths mm", "0.35 mm", "nominal", true, false},
		{length, "0 025 inch", "0.025 in", "nominal", true, true},
		// A bare 4 stands there, so nothing need be mended for 4.00.
		{length, "3 50 4 00 mm", "3.50 mm", "min", true, true},
		{length, "3 50 4 00 mm", "4.00 mm", "max", true, false},
		{length, "3 50 4 00 mm", "50.4 mm", "nominal", true, true},
		{length, "045 in", "0.045 in", "nominal", true, true},
		{length, "0,045 in", "0.045 in", "nominal", true, false},
		{length, "l.5 mm", "1.5 mm", "nominal", true, true},
		{length, "0.O20 in", "0.020 in", "nominal", true, true},
		{ohms, "14,500-19,800 ohms", "14500 Ω", "min", true, false},
		{ohms, "14,500-19,800 ohms", "14.5 kΩ", "min", true, false},
		{ohms, "14,500-19,800 ohms", "19800 Ω", "max", true, false},
		{ohms, "4500 - 5500 ohms; 3 kohm", "4.5 kΩ", "min", true, false},  // the unit of the range
		{ohms, "4500 - 5500 ohms; 3 kohm", "4500 kΩ", "min", true, false}, // or the table's own, where none stands behind the number
		{ohms, "4500 ohms; 3 kohm", "4500 kΩ", "min", false, false},
		{ohms, "3 kohm; 4500", "4500 Ω", "nominal", true, false},
		{ohms, "8k4 ohms", "8.4 kΩ", "nominal", true, false},
		{ohms, "2 Kohm", "2 Ω", "nominal", false, false},
		{ohms, "500 ± 20 ohms", "480 Ω", "min", true, false},
		{ohms, "500 ± 20 ohms", "520 Ω", "max", true, false},
		{ohms, "500 ± 20 ohms", "480 Ω", "nominal", false, false},
		{ohms, "500 + o - 20 ohms", "520 Ω", "max", true, false},
		{ohms, "500 +20 -0 ohms", "520 Ω", "max", true, false},
		{ohms, "500 +20 -10 ohms", "480 Ω", "min", false, false},
		{ohms, "330 ohms plus or minus 10%", "297 Ω", "min", true, false},
		{ohms, "330 ohms plus or minus 10%", "363 Ω", "max", true, false},
		{ohms, "330 ohms plus or minus 10%", "360 Ω", "max", false, false},
		{ohms, "23 ohm more or less 5 ohm", "28 Ω", "max", true, false},
		{ohms, "688-1.032", "1032 Ω", "max", true, true},
		{speed, "2.800 to 3.000", "2800 rpm", "min", true, false},
		{speed, "5 000 r/min", "5000 rpm", "nominal", true, false},
		{units.KindTurn, "one half turn", "0.5 turn", "nominal", true, false},
		{units.KindTurn, "1/8 to 1/4", "0.125 turn", "min", true, false},
		{ratio, "twin cylinder", "2", "nominal", true, false},
		{ratio, "Einzylindermotor", "1", "nominal", true, false},
		{ratio, "7.1/4 to 1", "7.25", "nominal", true, false},
		{ratio, "one revolution of the magneto for every two of the crank", "0.5", "nominal", true, false},
		{ratio, "front and rear", "2", "nominal", false, false},
		{crank, "20 Grad vor OT", "20° BTDC", "nominal", true, false},
		{crank, "19 degrees, +/- 1", "18° BTDC", "min", true, false},
		{crank, "200 before top dead center", "20° BTDC", "nominal", true, true},
		{amperes, "not more than 1½ amps", "1.5 A", "max", true, false},
	} {
		v, err := parseValue(c.kind, c.value)
		if err != nil {
			t.Fatal(err)
		}
		scan, found := readPrinted(c.kind, c.printed).find(v, c.end)
		if found != c.found || scan != c.scan {
			t.Errorf("%s %s in %q: found %t, mended %t; want %t, %t", c.end, c.value, c.printed, found, scan, c.found, c.scan)
		}
	}
}

// FuzzPrintedNumbers makes sure that no printed text breaks the reading.
func FuzzPrintedNumbers(f *testing.F) {
	for _, s := range []string{`.020" (0.51 mm)`, "1-7/8", "0/0 mm", "8k4", "½½", "5 +- 10 %", "1.000.000", "0 025 inch", "l600", "Ⱥ one", "\xff one", "İİ at crankshaft speed"} {
		f.Add(s)
	}
	v, err := parseValue(length, "0.020 in")
	if err != nil {
		f.Fatal(err)
	}
	c := claim{Figure: &Figure{Quantity: PlugGap, Band: Band{Nominal: v}}}
	f.Fuzz(func(t *testing.T, s string) {
		p := readPrinted(length, s)
		for _, n := range p.numbers {
			if n.start < 0 || n.end > len(p.text) || n.start > n.end {
				t.Fatalf("%q: number %q at %d to %d", s, n.text, n.start, n.end)
			}
		}
		p.find(v, "max")
		p.step(v)
		p.nearest(v)
		p.limits(c)
	})
}
