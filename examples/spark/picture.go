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

// A tracer follows a spark for a span and returns evenly spaced samples.
type tracer func(span units.Time, n int) ([]spark.Sample, error)

// tracer is that of the set, with its gap.
func (p *set) tracer(is kind) tracer {
	return func(span units.Time, n int) ([]spark.Sample, error) {
		switch is {
		case magneto:
			return spark.TraceMagneto(&p.magneto, true, span, n)
		case discharge:
			return spark.TraceDischarge(&p.discharge, true, span, n)
		}
		return spark.Trace(&p.Parts, true, span, n)
	}
}

// pictures draws secondary and primary volts from the start of the spark until
// a little after it is out, as a bench oscilloscope would show them; without a
// spark, the first millisecond.
func pictures(w *words, trace tracer, where string, breakdown units.Voltage, e *spark.Event) error {
	span := units.Milliseconds(1)
	if e.Fired.Sparked {
		span = units.Seconds(e.Fired.Last.Seconds() * 1.2)
	}
	columns := max(min(w.width, 80)-marginColumn-2, 16)
	samples, err := trace(span, columns*perColumn)
	if err != nil || len(samples) == 0 {
		return err // a module that never opens makes no picture
	}
	end := samples[len(samples)-1].Time.Quantity().Text("ms", 2)
	secondary := make([]float64, len(samples))
	primary := make([]float64, len(samples))
	for i, s := range samples {
		secondary[i] = s.Secondary.Kilovolts()
		primary[i] = s.Primary.Volts()
	}
	if whole := samples[len(samples)-1].Time.Seconds(); e.Fired.Sparked && whole > 0 { // the instant of firing falls between samples
		i := min(int(e.Fired.Time.Seconds()/whole*float64(len(samples)-1)), len(samples)-1)
		secondary[i] = math.Copysign(breakdown.Kilovolts(), secondary[i])
	}
	picture(w, "Volts at the plug, kV", "kV", secondary, columns, end)
	w.blank()
	picture(w, "Volts across the "+where+", V", "V", primary, columns, end)
	w.blank()
	return nil
}

// bars draws the reserve over speed: a row a speed, from the reserve at 5 % of
// the sparks of a study to that at 95 %, with its middle and a line at 1.
func bars(w *words, curve []spark.Chance) {
	const labels = 24
	columns := max(min(w.width, 80)-labels-2, 16)
	most := 2.0
	for _, c := range curve {
		most = max(most, c.Result.Reserve[2])
	}
	at := func(x float64) int { return min(int(x/most*float64(columns)), columns-1) }
	w.para(0, "Reserve over speed: = from 5 to 95 %% of the sparks, O in the middle, | is 1")
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
	w.blank()
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
