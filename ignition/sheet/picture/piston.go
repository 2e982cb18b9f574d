package picture

import (
	"fmt"
	"strconv"

	"gapbook.example/ignition/timing"
	"gapbook.example/units"
)

// A Setting is one timing that [Piston] shows. The zero Setting is top dead
// centre.
type Setting struct {
	// Label says which it is, such as "full advance".
	Label string
	// At is the crank angle with its uncertainty.
	At timing.Measured[units.CrankAngle]
}

// Piston draws how far the piston stands below its highest point against the
// crank angle, with the settings marked: degrees to millimetres and inches.
// A crank without geometry draws empty axes and says so.
func Piston(name string, crank timing.Crank, settings []Setting) Picture {
	title := "Piston position and the setting"
	desc := "How far the piston stands below its highest point, against the crank angle."
	lowest, highest := -20.0, 40.0
	for _, s := range settings {
		d := s.At.Value.CrankDegrees()
		lowest, highest = max(-180, min(lowest, d-10)), min(180, max(highest, d+10))
	}
	var c chart
	top := c.head(title)
	// Before top dead centre stands left: the way the crank comes.
	c.x = newAxis(-highest, -lowest, 40, 346, 6)
	at := func(degrees float64) (mm float64, ok bool) {
		p, err := crank.Piston(timing.Exactly(units.CrankDegrees(degrees)))
		return p.Value.Millimetres(), err == nil
	}
	deepest, known := 1.0, true
	for _, d := range [2]float64{-c.x.low, -c.x.high} {
		mm, ok := at(d)
		deepest, known = max(deepest, mm), known && ok
	}
	// The piston hangs below the line of its highest point.
	c.y = newAxis(0, deepest, top+26, top+26+170, 6)
	c.y.marks(func(v float64, text string) {
		y := c.y.at(v)
		c.line("grid", c.x.from, y, c.x.to, y)
		c.canvas.text(c.x.from-5, y+3.6, atEnd, "p", text)
	})
	c.line("axis", c.x.from, c.y.from, c.x.from, c.y.to)
	c.line("axis", c.x.from, c.y.to, c.x.to, c.y.to)
	c.canvas.text(sheetMargin, c.y.from-10, atStart, "", "mm below the top")
	c.x.marks(func(v float64, text string) {
		x := c.x.at(v)
		c.line("axis", x, c.y.to, x, c.y.to+4)
		if v < 0 {
			text = text[1:]
		}
		c.canvas.text(x, c.y.to+15, atMiddle, "p", text)
	})
	tdc := c.x.at(0)
	c.line("dots", tdc, c.y.from, tdc, c.y.to)
	c.canvas.text(tdc-6, c.y.to+29, atEnd, "", "° before top")
	c.canvas.text(tdc+6, c.y.to+29, atStart, "", "after")
	var words []string
	if !known {
		words = append(words, "Stroke and rod are not known, so no curve can be drawn.")
	} else {
		var p canvas
		const steps = 90
		for i := range steps + 1 {
			d := c.x.low + (c.x.high-c.x.low)*float64(i)/steps
			mm, _ := at(-d)
			letter := byte('L')
			if i == 0 {
				letter = 'M'
			}
			p.moves(letter, c.x.at(d), c.y.at(mm))
		}
		c.path("curve", string(p.b))
	}
	for i, s := range settings {
		d, u := s.At.Value.CrankDegrees(), 2*s.At.Uncertainty.CrankDegrees()
		side := fmt.Sprintf("%.1f° before top", d)
		if d < 0 {
			side = fmt.Sprintf("%.1f° after top", -d)
		}
		if u > 0 {
			side += fmt.Sprintf(" ± %.1f°", u)
		}
		label := clean(s.Label)
		if label != "" {
			label += ": "
		}
		word := fmt.Sprintf("%d: %s%s", i+1, label, side)
		x := c.x.at(-d)
		if u > 0 {
			c.hatch(c.x.at(-d-u), c.y.from, c.x.at(-d+u), c.y.to, 5)
		}
		c.line("dash", x, c.y.from, x, c.y.to)
		if known {
			p, err := crank.Piston(s.At)
			if err == nil {
				y := c.y.at(p.Value.Millimetres())
				c.line("dash", c.x.from, y, x, y)
				c.dot(x, y)
				word += fmt.Sprintf(": the piston stands %.2f mm (%.3f in) below the top", p.Value.Millimetres(), p.Value.Inches())
				if pu := 2 * p.Uncertainty.Millimetres(); pu >= 0.005 {
					word += fmt.Sprintf(", ± %.2f mm (%.3f in)", pu, 2*p.Uncertainty.Inches())
				}
			}
		}
		words = append(words, word+".")
		// The number stands at the bottom of its line; near ones step up.
		ty := c.y.to - 6 - 16*float64(i%4)
		c.circle("w", x, ty-3.6, 8)
		c.canvas.text(x, ty, atMiddle, "pb", strconv.Itoa(i+1))
	}
	note := "The crank comes from the left; the dotted line is top dead centre."
	if len(settings) > 0 {
		note += " ± covers two standard uncertainties."
	}
	end := c.below(c.y.to+38, append([]string{note}, words...))
	return wrapUp(c.canvas, name, title, desc, end+10, append([]string{desc + " " + note}, words...))
}
