package main

import (
	"fmt"
	"math"
	"strings"

	"gapbook.example/ignition/spark"
	"gapbook.example/units"
)

const (
	pictureRows  = 9
	perColumn    = 24
	marginColumn = 12
)

// pictures draws secondary and primary volts from the opening of the points
// until a little after the spark is out, as a bench oscilloscope would show
// them; without a spark, the first millisecond.
func pictures(w *words, p *spark.Parts, e *spark.Event) error {
	span := units.Milliseconds(1)
	if e.Fired.Sparked {
		span = units.Seconds(e.Fired.Last.Seconds() * 1.2)
	}
	columns := max(min(w.width, 80)-marginColumn-2, 16)
	samples, err := spark.Trace(p, true, span, columns*perColumn)
	if err != nil {
		return err
	}
	end := samples[len(samples)-1].Time.Quantity().Text("ms", 2)
	secondary := make([]float64, len(samples))
	primary := make([]float64, len(samples))
	for i, s := range samples {
		secondary[i] = s.Secondary.Kilovolts()
		primary[i] = s.Primary.Volts()
	}
	if e.Fired.Sparked { // the instant of firing falls between samples
		i := int(e.Fired.Time.Seconds() / samples[len(samples)-1].Time.Seconds() * float64(len(samples)-1))
		secondary[i] = math.Copysign(p.Plug.Breakdown.Kilovolts(), secondary[i])
	}
	picture(w, "Volts at the plug, kV", "kV", secondary, columns, end)
	w.blank()
	picture(w, "Volts across the points, V", "V", primary, columns, end)
	w.blank()
	return nil
}

// picture draws one curve: each column is marked from its lowest to its highest
// value.
func picture(w *words, title, unit string, y []float64, columns int, end string) {
	low, high := 0.0, 0.0
	for _, v := range y {
		low, high = min(low, v), max(high, v)
	}
	if high-low == 0 {
		high = 1
	}
	rows := make([][]byte, pictureRows)
	step := (high - low) / (pictureRows - 1)
	zero := int(math.Round((high - 0) / step))
	for r := range rows {
		fill := " "
		if r == zero {
			fill = "."
		}
		rows[r] = []byte(strings.Repeat(fill, columns))
	}
	for c := range columns {
		part := y[c*len(y)/columns : (c+1)*len(y)/columns]
		a, b := part[0], part[0]
		for _, v := range part {
			a, b = min(a, v), max(b, v)
		}
		for r := int(math.Round((high - b) / step)); r <= int(math.Round((high-a)/step)); r++ {
			rows[r][c] = '*'
		}
	}
	w.para(0, "%s", title)
	for r, line := range rows {
		label := ""
		if r == 0 || r == zero || r == pictureRows-1 {
			v := high - float64(r)*step
			if r == zero {
				v = 0
			}
			label = fmt.Sprintf("%.1f %s", v, unit)
			if math.Abs(v) >= 100 {
				label = fmt.Sprintf("%.0f %s", v, unit)
			}
		}
		fmt.Fprintf(&w.b, "%*s |%s\n", marginColumn-2, label, strings.TrimRight(string(line), " "))
	}
	fmt.Fprintf(&w.b, "%*s  %s\n", marginColumn-2, "", "0 ms"+strings.Repeat(" ", max(columns-4-len([]rune(end)), 1))+end)
}
