package picture

import (
	"math"
	"strconv"
)

// chartStyle is what charts add to the shared style.
const chartStyle = `.gb-pic .grid{stroke:#6b6b6b;stroke:var(--gb-frame,#6b6b6b);stroke-width:.6;stroke-dasharray:1 3}.gb-pic .axis{stroke:#6b6b6b;stroke:var(--gb-frame,#6b6b6b);stroke-width:1}
.gb-pic .curve{stroke-width:2}.gb-pic .dash{stroke-width:1.6;stroke-dasharray:6 4;stroke-linecap:butt}.gb-pic .dots{stroke-width:1.6;stroke-dasharray:1.5 3.5}.gb-pic .fill{fill:currentColor;fill-opacity:.13;stroke:none}.gb-pic .hatch{stroke-width:.8}.gb-pic .heavy{stroke-width:3.4}.gb-pic .case{stroke:#fff;stroke:var(--gb-paper,#fff);stroke-width:7}.gb-pic .ht{stroke-width:4.4}.gb-pic .hc{stroke:#fff;stroke:var(--gb-paper,#fff);stroke-width:1.8}
`

// An axis shows a range of numbers along a stretch of the drawing.
type axis struct {
	low, high float64 // numbers
	from, to  float64 // pixels
	step      float64
	decimals  int
}

// newAxis widens a range to whole steps, about n of them.
func newAxis(low, high, from, to float64, n int) axis {
	if !(high > low) || math.IsInf(high-low, 0) {
		if math.IsNaN(low) || math.IsInf(low, 0) || math.Abs(low) > 1e12 {
			low = 0
		}
		high = low + max(1, math.Abs(low)/10)
	}
	rough := (high - low) / float64(n)
	power := math.Pow(10, math.Floor(math.Log10(rough)))
	step := 10 * power
	for _, m := range [3]float64{1, 2, 5} {
		if m*power >= rough*(1-1e-9) {
			step = m * power
			break
		}
	}
	a := axis{low: math.Floor(low/step+1e-9) * step, high: math.Ceil(high/step-1e-9) * step, from: from, to: to, step: step}
	a.decimals = max(0, int(-math.Floor(math.Log10(step)+1e-9)))
	return a
}

// at is the place of a number, held inside the axis.
func (a *axis) at(v float64) float64 {
	t := (v - a.low) / (a.high - a.low)
	if math.IsNaN(t) {
		t = 0
	}
	// The product is rounded by itself, so that machines that fuse it with the
	// sum give the same bytes.
	return a.from + float64(min(1, max(0, t))*(a.to-a.from))
}

// marks calls yield with every step and its text.
func (a *axis) marks(yield func(v float64, text string)) {
	first := math.Ceil(a.low/a.step - 1e-9)
	for i := range 40 {
		v := (first + float64(i)) * a.step
		if v > a.high+a.step*1e-6 {
			return
		}
		if math.Abs(v) < a.step*1e-6 {
			v = 0
		}
		yield(v, strconv.FormatFloat(v, 'f', a.decimals, 64))
	}
}

// chart is a drawing with two axes.
type chart struct {
	canvas
	x, y axis
}

// frame draws grid, axes and their numbers; the name of the height stands over
// it, that of the width under it.
func (c *chart) frame(xName, yName string) {
	c.y.marks(func(v float64, text string) {
		y := c.y.at(v)
		c.line("grid", c.x.from, y, c.x.to, y)
		c.canvas.text(c.x.from-5, y+3.6, atEnd, "p", text)
	})
	c.x.marks(func(v float64, text string) {
		x := c.x.at(v)
		c.line("axis", x, c.y.from, x, c.y.from+4)
		c.canvas.text(x, c.y.from+15, atMiddle, "p", text)
	})
	c.line("axis", c.x.from, c.y.from, c.x.to, c.y.from)
	c.line("axis", c.x.from, c.y.from, c.x.from, c.y.to)
	c.canvas.text(c.x.from, c.y.to-8, atStart, "", yName)
	c.canvas.text(c.x.to, c.y.from+29, atEnd, "", xName)
}

// head writes the title's lines and returns the height below them.
func (c *canvas) head(title string) float64 {
	lines := wrap(title, titleFit, true, phoneWidth-2*sheetMargin, 3)
	for i, t := range lines {
		c.text(sheetMargin, float64(16+15*i), atStart, "q", t)
	}
	return float64(6 + 15*len(lines))
}

// below writes sentences under a drawing and returns the height they end at.
func (c *canvas) below(y float64, words []string) float64 {
	for _, w := range words {
		for _, line := range wrap(clean(w), bodySize, false, phoneWidth-2*sheetMargin, 8) {
			y += 14
			c.text(sheetMargin, y, atStart, "", line)
		}
	}
	return y
}

// wrapUp puts root and description around a drawing 360 wide.
func wrapUp(body canvas, name, title, desc string, height float64, words []string) Picture {
	name = slug(name)
	var c canvas
	c.begin(name, title, desc, phoneWidth, math.Ceil(height), chartStyle)
	c.b = append(c.b, body.b...)
	c.end()
	return Picture{Name: name, Title: title, SVG: c.b, Words: words}
}

// hatch fills a rectangle with slanting lines, so that it is told from paper
// without its tone.
func (c *canvas) hatch(x0, y0, x1, y1, pitch float64) {
	if x1-x0 < 0.5 || y1-y0 < 0.5 {
		return
	}
	var p canvas
	for s := x0 - (y1 - y0) + pitch/2; s < x1; s += pitch {
		ax, ay, bx, by := s, y1, s+(y1-y0), y0
		if ax < x0 {
			ay -= x0 - ax
			ax = x0
		}
		if bx > x1 {
			by += bx - x1
			bx = x1
		}
		if ay-by > 0.5 {
			p.moves('M', ax, ay)
			p.moves('L', bx, by)
		}
	}
	c.rect("fill", x0, y0, x1-x0, y1-y0, 0)
	if len(p.b) > 0 {
		c.path("hatch", string(p.b))
	}
}

// dot draws a filled point.
func (c *canvas) dot(x, y float64) { c.circle("k", x, y, 3.2) }
