package picture

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gapbook.example/ignition/meter"
	"gapbook.example/units"
)

// Reading draws a reading on a scale against the band it should lie in: the
// band hatched, the reading with two standard uncertainties to either side.
// Title names what was read. A reading that is open or far off stands at the
// edge, with an arrow.
func Reading(name, title string, r meter.Result) Picture {
	title = clean(title)
	if title == "" {
		title = "Reading against its band"
	}
	kind := r.Reading.Kind
	if kind == 0 {
		kind = r.Value.Kind()
	}
	low, high := r.Band.Min, r.Band.Max
	has := func(q units.Quantity) bool { return q.Kind() != 0 && !isOL(q) }
	value, spread := math.NaN(), 0.0
	if has(r.Value) {
		value = r.Value.SI()
		if r.Uncertainty.Kind() != 0 {
			spread += 2 * r.Uncertainty.SI()
		}
		if r.HalfWidth.Kind() != 0 {
			spread += r.HalfWidth.SI()
		}
	}
	// The scale shows the band in its middle third, and the reading where that
	// is not too far off.
	var from, to float64
	switch {
	case has(low) && has(high):
		w := max(high.SI()-low.SI(), math.Abs(high.SI())*0.02)
		from, to = low.SI()-w, high.SI()+w
	case has(high):
		from, to = 0, high.SI()*2
	case has(low):
		from, to = low.SI()*0.25, low.SI()*2.5
	case has(r.Band.Nominal):
		from, to = r.Band.Nominal.SI()*0.5, r.Band.Nominal.SI()*1.5
	default:
		from, to = value-1, value+1
	}
	if low.SI() >= 0 && from < 0 && kind != units.KindTemperature {
		from = 0
	}
	if !(to > from) {
		from, to = 0, 1
	}
	width := to - from
	offLow, offHigh := value < from-3*width, value > to+3*width || r.Open
	if !math.IsNaN(value) && !offLow && !offHigh {
		from, to = min(from, value-spread*1.1), max(to, value+spread*1.1)
	}
	written := r.Reading.Unit
	if offLow || offHigh {
		written = "" // the band's scale wants a unit of its own
	}
	unit, scale := unitFor(kind, written, max(math.Abs(from), math.Abs(to)))
	var c chart
	top := c.head(title)
	mid := top + 46
	c.x = newAxis(from/scale, to/scale, 24, 336, 5)
	line := mid + 26
	x := func(q units.Quantity) float64 { return c.x.at(q.SI() / scale) }
	lo, hi := c.x.from, c.x.to
	if has(low) {
		lo = x(low)
	}
	if has(high) {
		hi = x(high)
	}
	if has(low) || has(high) {
		c.hatch(lo, mid-8, hi, line, 6)
		if has(low) {
			c.line("curve", lo, mid-8, lo, line)
		}
		if has(high) {
			c.line("curve", hi, mid-8, hi, line)
		}
		c.canvas.text(min(max((lo+hi)/2, 60), 300), mid-13, atMiddle, "", "should lie here")
	}
	if has(r.Band.Nominal) {
		n := x(r.Band.Nominal)
		c.line("dots", n, mid-8, n, line)
	}
	c.line("axis", c.x.from, line, c.x.to, line)
	c.x.marks(func(v float64, text string) {
		c.line("axis", c.x.at(v), line, c.x.at(v), line+4)
		c.canvas.text(c.x.at(v), line+15, atMiddle, "p", text)
	})
	c.canvas.text(c.x.to, line+29, atEnd, "", unit)
	y := line + 44
	read := clean(r.Reading.AsWritten)
	if read == "" && has(r.Value) {
		read = r.Value.Display()
	}
	switch {
	case math.IsNaN(value) && !offHigh:
	case offHigh:
		c.path("k", fmt.Sprintf("M%d %dL%d %dL%d %dZ", 350, int(mid)+9, 342, int(mid)+4, 342, int(mid)+14))
		c.line("heavy", 326, mid+9, 342, mid+9)
	case offLow:
		c.path("k", fmt.Sprintf("M%d %dL%d %dL%d %dZ", 10, int(mid)+9, 18, int(mid)+4, 18, int(mid)+14))
		c.line("heavy", 18, mid+9, 34, mid+9)
	default:
		at := x(r.Value)
		a, b := c.x.at((value-spread)/scale), c.x.at((value+spread)/scale)
		c.line("case", max(a-3, c.x.from), mid+9, min(b+3, c.x.to), mid+9)
		if b-a > 1 {
			c.line("curve", a, mid+9, b, mid+9)
			c.line("curve", a, mid+4, a, mid+14)
			c.line("curve", b, mid+4, b, mid+14)
		}
		c.dot(at, mid+9)
	}
	found := map[meter.Decision]string{meter.Pass: "good", meter.Fail: "bad"}[r.Decision]
	if found == "" {
		found = "cannot tell"
	}
	words := []string{fmt.Sprintf("Reads %s: %s.", orNone(read), found)}
	if r.Open {
		words[0] = fmt.Sprintf("Reads open, over the meter's range: %s.", found)
	} else if offHigh || offLow {
		words[0] = fmt.Sprintf("Reads %s, far off this scale: %s.", orNone(read), found)
	}
	if r.Reading.Form == meter.Single && has(r.Value) && has(r.Reading.Value) {
		u, one := unitFor(kind, r.Reading.Unit, math.Abs(value))
		if is := significant(value/one, 4, u); is != significant(r.Reading.Value.SI()/one, 4, u) {
			words = append(words, fmt.Sprintf("With the meter's leads taken off and the heat of the part allowed for it is %s, which is what is shown.", is))
		}
	}
	if spread > 0 {
		u, one := unitFor(kind, r.Reading.Unit, math.Abs(value))
		words = append(words, fmt.Sprintf("The true value lies within %s of it: two standard uncertainties.", significant(spread/one, 2, u)))
	}
	band := "Should be " + r.Band.String()
	if s := clean(r.Band.Source); s != "" {
		band += ", says " + s
	}
	if s := clean(r.Band.Assumed); s != "" {
		band += "; the limits are assumed: " + s
	}
	if !r.Band.HasLimits() {
		band = "No limits are given"
	}
	words = append(words, clean(band)+".")
	if off := r.ByHowMuch(); off != "" && !r.Open {
		words = append(words, "It lies "+clean(off)+".")
	}
	if chance, ok := r.Chance.Get(); ok {
		words = append(words, fmt.Sprintf("The chance that it is in the band is %s.", share(chance)))
	}
	end := c.below(y-8, words)
	return wrapUp(c.canvas, name, title, "A scale with the band hatched and the reading on it. "+words[0], end+10, words)
}

// significant writes a number to some significant digits, and its unit.
func significant(x float64, digits int, unit string) string {
	decimals := 0
	if x != 0 && !math.IsInf(x, 0) && !math.IsNaN(x) {
		decimals = int(min(9, max(0, float64(digits-1)-math.Floor(math.Log10(math.Abs(x))))))
	}
	return strings.TrimSpace(strconv.FormatFloat(x, 'f', decimals, 64) + " " + unit)
}

func orNone(s string) string {
	if s == "" {
		return "nothing"
	}
	return s
}

func isOL(q units.Quantity) bool { return math.IsInf(q.SI(), 0) }

// unitFor chooses the unit of a scale: the one that was read in, else the
// largest of the kind that keeps the numbers at one or above.
func unitFor(k units.Kind, written string, most float64) (unit string, scale float64) {
	try := func(u string) (float64, bool) {
		one, err := units.Parse(k, "1 "+u)
		if err != nil || !(one.SI() > 0) || math.IsInf(one.SI(), 0) {
			return 0, false
		}
		return one.SI(), true
	}
	if written != "" && k != units.KindTemperature {
		if s, ok := try(written); ok {
			return written, s
		}
	}
	unit, scale = "", 1
	if k == 0 || k == units.KindTemperature {
		return "", 1
	}
	for _, u := range k.Units() {
		s, ok := try(u)
		if ok && (unit == "" || s <= most && s > scale || scale > most && s < scale) {
			unit, scale = u, s
		}
	}
	return unit, scale
}

// share writes a chance without pretending to certainty.
func share(p float64) string {
	switch {
	case p > 0.995:
		return "over 99 %"
	case p < 0.005:
		return "under 1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}
