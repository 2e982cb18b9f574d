package sheet

import (
	"fmt"
	"math"
	"strings"

	"gapbook.example/ignition/sheet/picture"
	"gapbook.example/ignition/spark"
	"gapbook.example/units"
)

const (
	sketchRows   = 9
	sketchMargin = 12 // columns beside a sketch
	sketchMost   = 80 // and no wider with it than this
	traceSamples = 1584
)

// sparkPicture draws volts at the plug and at the primary from the start of the
// spark until a little after it is out, as a bench oscilloscope would show them;
// without a spark, the first millisecond. A module that never opens makes no
// picture: ok is false.
func sparkPicture(r *spark.Report) (p Picture, ok bool, err error) {
	span := units.Milliseconds(1)
	if r.Event.Fired.Sparked {
		span = units.Seconds(r.Event.Fired.Last.Seconds() * 1.2)
	}
	samples, err := r.Set.Trace(true, span, traceSamples)
	if err != nil || len(samples) == 0 {
		return p, false, err
	}
	breaker, breakdown := "points", units.Voltage{}
	switch s := r.Set; {
	case s.Magneto != nil:
		breakdown = s.Magneto.Plug.Breakdown
		if s.Magneto.Module != nil {
			breaker = "module"
		}
	case s.Discharge != nil:
		breaker, breakdown = "", s.Discharge.Plug.Breakdown
	default:
		breakdown = s.Parts.Plug.Breakdown
		if s.Parts.Switch != nil {
			breaker = "switch"
		}
	}
	p = chart(picture.Spark("spark", breaker, samples, r.Event))
	if breaker == "" {
		breaker = "primary"
	}
	p.Sketch = func(width int) string { return sparkSketch(samples, r.Event, breakdown, breaker, width) }
	return p, true, nil
}

// reservePicture draws the reserve over speed.
func reservePicture(r *spark.Report) Picture {
	var list []spark.Reserve
	for _, c := range r.Reserves {
		list = append(list, c.Reserve)
	}
	p := chart(picture.Reserve("reserve", list))
	p.Words = p.Words[1:] // the first says how to read the drawing, and stands in it
	p.Sketch = func(width int) string { return reserveSketch(r.Curve, width) }
	return p
}

// reserveSketch draws the reserve over speed in characters: a row a speed, from
// the reserve at 5 % of the sparks of a study to that at 95 %, with its middle
// and a line at 1. It is empty where the page is too narrow.
func reserveSketch(curve []spark.Chance, width int) string {
	const labels = 24
	columns := min(width, sketchMost) - labels - 2
	if columns < 12 {
		return ""
	}
	most := 2.0
	for _, c := range curve {
		most = max(most, c.Result.Reserve[2])
	}
	at := func(x float64) int { return min(int(x/most*float64(columns)), columns-1) }
	var w writer
	w.style.Width = width
	w.para("", "", "Reserve: = from 5 to 95 % of the sparks, O in the middle, | is 1")
	for _, c := range curve {
		r := c.Result
		row := []byte(strings.Repeat(" ", columns))
		for i := at(r.Reserve[0]); i <= at(r.Reserve[2]); i++ {
			row[i] = '='
		}
		row[at(1)] = '|'
		row[at(r.Reserve[1])] = 'O'
		fmt.Fprintf(&w.b, "%9s %5.2f to %5.2f %s\n", c.Reserve.Situation.Speed.Quantity().Text("rpm", 0), r.Reserve[0], r.Reserve[2], strings.TrimRight(string(row), " "))
	}
	return w.String() + "\n"
}

// sparkSketch draws both curves in characters. It is empty where the page is too
// narrow.
func sparkSketch(samples []spark.Sample, e spark.Event, breakdown units.Voltage, breaker string, width int) string {
	columns := min(width, sketchMost) - sketchMargin - 2
	if columns < 16 {
		return ""
	}
	end := samples[len(samples)-1].Time.Quantity().Text("ms", 2)
	secondary, primary := make([]float64, len(samples)), make([]float64, len(samples))
	for i, s := range samples {
		secondary[i], primary[i] = s.Secondary.Kilovolts(), s.Primary.Volts()
	}
	if whole := samples[len(samples)-1].Time.Seconds(); e.Fired.Sparked && whole > 0 { // the instant of firing falls between samples
		i := min(int(e.Fired.Time.Seconds()/whole*float64(len(samples)-1)), len(samples)-1)
		secondary[i] = math.Copysign(breakdown.Kilovolts(), secondary[i])
	}
	return curveSketch("Volts at the plug, kV", "kV", secondary, columns, end) + "\n" +
		curveSketch("Volts across the "+breaker+", V", "V", primary, columns, end) + "\n"
}

// curveSketch draws one curve: each column is marked from its lowest to its
// highest value.
func curveSketch(title, unit string, y []float64, columns int, end string) string {
	low, high := 0.0, 0.0
	for _, v := range y {
		low, high = min(low, v), max(high, v)
	}
	if high-low == 0 {
		high = 1
	}
	rows := make([][]byte, sketchRows)
	step := (high - low) / (sketchRows - 1)
	zero := int(math.Round(high / step))
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
	var b strings.Builder
	b.WriteString(title + "\n")
	for r, line := range rows {
		label := ""
		if r == 0 || r == zero || r == sketchRows-1 {
			v := high - float64(r)*step
			if r == zero {
				v = 0
			}
			label = fmt.Sprintf("%.1f %s", v, unit)
			if math.Abs(v) >= 100 {
				label = fmt.Sprintf("%.0f %s", v, unit)
			}
		}
		fmt.Fprintf(&b, "%*s |%s\n", sketchMargin-2, label, strings.TrimRight(string(line), " "))
	}
	fmt.Fprintf(&b, "%*s  %s\n", sketchMargin-2, "", "0 ms"+strings.Repeat(" ", max(columns-4-len([]rune(end)), 1))+end)
	return b.String()
}
