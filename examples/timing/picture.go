package main

import (
	"fmt"
	"strings"

	"gapbook.example/ignition/timing"
	"gapbook.example/units"
)

// picture draws how far the piston stands below its top, from 60° before to
// 60° after top dead centre, with every setting marked. A letter stands where a
// setting fires; the dots are the piston.
func picture(c *timing.Card, width int) string {
	const span, rows = 60.0, 12
	cols := min(width-12, 61)
	if cols < 21 {
		return "  (too narrow for a picture)\n"
	}
	angle := func(col int) float64 { return span - 2*span*float64(col)/float64(cols-1) }
	drop := func(deg float64) float64 {
		x, err := c.Crank.Piston(timing.Exactly(units.BTDC(deg)))
		if err != nil {
			return 0
		}
		return x.Value.Millimetres()
	}
	deepest := max(drop(span), drop(-span))
	grid := make([][]rune, rows+1)
	for i := range grid {
		grid[i] = []rune(strings.Repeat(" ", cols))
	}
	row := func(mm float64) int { return int(mm/deepest*rows + 0.5) }
	for i := range grid {
		grid[i][(cols-1)/2] = '|'
	}
	for col := range cols {
		grid[row(drop(angle(col)))][col] = '.'
	}
	var legend []string
	for i, s := range c.Settings {
		if len(s.Forms) == 0 || s.Forms[0].Name != "crank" || i >= 26 {
			continue
		}
		l := s.Forms[0]
		deg := middle(l)
		if deg > span || deg < -span {
			continue
		}
		letter := rune('A' + i)
		col := int((span-deg)/(2*span)*float64(cols-1) + 0.5)
		grid[row(drop(deg))][col] = letter
		name := strings.ReplaceAll(s.Label, "-", " ")
		if name == "" {
			name = "the setting"
		}
		legend = append(legend, fmt.Sprintf("%c %s, %s, piston %s down", letter, name, lineText(l), units.Millimetres(drop(deg)).Quantity().Text("mm", 2)))
	}
	var b strings.Builder
	for i, line := range grid {
		label := "        "
		if i%3 == 0 {
			label = fmt.Sprintf("%5.1f mm", deepest*float64(i)/rows)
		}
		b.WriteString("  " + label + " " + strings.TrimRight(string(line), " ") + "\n")
	}
	left, right := "60 BTDC", "60 ATDC"
	between := cols - len(left) - len(right) - 3
	b.WriteString(strings.Repeat(" ", 11) + left + strings.Repeat(" ", between/2) + "TDC" + strings.Repeat(" ", between-between/2) + right + "\n")
	w := writer{width: width}
	for _, l := range legend {
		w.para("  ", "    ", l)
	}
	return b.String() + w.b.String()
}

// middle returns the crank degrees that a line means: its nominal, else the
// middle of its ends.
func middle(l timing.Line) float64 {
	switch {
	case !l.Nominal.IsZero():
		return l.Nominal.Value.SI()
	case l.Min.IsZero():
		return l.Max.Value.SI()
	case l.Max.IsZero():
		return l.Min.Value.SI()
	}
	return (l.Min.Value.SI() + l.Max.Value.SI()) / 2
}
