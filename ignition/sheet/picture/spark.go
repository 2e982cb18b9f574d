package picture

import (
	"cmp"
	"fmt"
	"math"

	"gapbook.example/ignition/spark"
)

// Spark draws one spark: volts at the plug and across what breaks the current
// against time, from a trace with the gap in place and the event it belongs to.
// Breaker is what breaks it, "points", "module" or "switch"; empty for a
// capacitor-discharge set, whose store is let go into the coil. A trace without
// samples draws empty axes.
func Spark(name, breaker string, trace []spark.Sample, e spark.Event) Picture {
	title := "One spark: volts against time"
	words := sparkWords(breaker, e)
	var c chart
	top := c.head(title)
	c.x = axis{from: 44, to: 346}
	span, kvLow, kvHigh, vLow, vHigh := 0.0, 0.0, e.Open.Secondary.Kilovolts()*1.02, 0.0, 1.0
	for _, s := range trace {
		span = max(span, s.Time.Milliseconds())
		kvLow, kvHigh = min(kvLow, s.Secondary.Kilovolts()), max(kvHigh, s.Secondary.Kilovolts())
		vLow, vHigh = min(vLow, s.Primary.Volts()), max(vHigh, s.Primary.Volts())
	}
	x := newAxis(0, span, 44, 346, 6)
	if span > 0 {
		// The rise takes microseconds: keep it clear of the axis.
		x.low, x.high = -0.03*span, span
	}
	// The plug.
	c.x, c.y = x, newAxis(kvLow, kvHigh, top+24+130, top+24, 5)
	burnFrom, burnTo := math.NaN(), math.NaN()
	for _, s := range trace {
		if s.Burning {
			if math.IsNaN(burnFrom) {
				burnFrom = s.Time.Milliseconds()
			}
			burnTo = s.Time.Milliseconds()
		}
	}
	if burnTo > burnFrom {
		c.hatch(c.x.at(burnFrom), c.y.at(0)-5, c.x.at(burnTo), c.y.at(0)+5, 5)
	}
	c.frame("", "kV at the plug")
	if kv := e.Open.Secondary.Kilovolts(); kv > 0 {
		y := c.y.at(kv)
		c.line("dash", c.x.from, y, c.x.to, y)
		c.canvas.text(c.x.to-2, y+13, atEnd, "", fmt.Sprintf("on hand %.1f kV", kv))
	}
	c.trace(trace, func(s *spark.Sample) float64 { return s.Secondary.Kilovolts() })
	if e.Fired.Sparked {
		fired := 0.0
		for _, s := range trace {
			if s.Time.Seconds() <= e.Fired.Time.Seconds()*1.5+1e-5 {
				fired = max(fired, s.Secondary.Kilovolts())
			}
		}
		px, py := c.x.at(e.Fired.Time.Milliseconds()), c.y.at(fired)
		c.dot(px, py)
		c.canvas.text(px+8, py+4, atStart, "", "fires")
		if burnTo > burnFrom {
			c.canvas.text((c.x.at(burnFrom)+c.x.at(burnTo))/2, c.y.at(0)-20, atMiddle, "", fmt.Sprintf("burns %.2f ms", e.Fired.Burn.Milliseconds()))
		}
	}
	// The points.
	base := c.y.from + 56
	c.y = newAxis(vLow, vHigh, base+90, base, 4)
	c.frame("milliseconds after "+opening(breaker), "V across the "+cmp.Or(breaker, "primary"))
	c.trace(trace, func(s *spark.Sample) float64 { return s.Primary.Volts() })
	end := c.below(base+90+36, words[1:])
	return wrapUp(c.canvas, name, title, words[0], end+10, words)
}

// trace draws samples as a line, at most two points for each tenth of a pixel
// of width: the least and the greatest.
func (c *chart) trace(trace []spark.Sample, value func(*spark.Sample) float64) {
	var p canvas
	column, low, high, n := math.Inf(-1), 0.0, 0.0, 0
	flush := func() {
		if n == 0 {
			return
		}
		letter := byte('L')
		if len(p.b) == 0 {
			letter = 'M'
		}
		p.moves(letter, column, c.y.at(low))
		if high > low {
			p.moves('L', column, c.y.at(high))
		}
	}
	last := math.NaN()
	for i := range trace {
		x := math.Round(c.x.at(trace[i].Time.Milliseconds())*2) / 2
		v := value(&trace[i])
		if x != column {
			flush()
			column, low, high, n = x, v, v, 0
		}
		// Keep the way the line runs: first up, then down, as it came.
		low, high = min(low, v), max(high, v)
		last = v
		n++
	}
	flush()
	if !math.IsNaN(last) {
		p.moves('L', column, c.y.at(last))
	}
	if len(p.b) > 0 {
		c.path("curve", string(p.b))
	}
}

// opening says what the spark begins with.
func opening(breaker string) string {
	switch breaker {
	case "":
		return "the store is let go"
	case "points":
		return "the points open"
	}
	return "the " + breaker + " opens"
}

func sparkWords(breaker string, e spark.Event) []string {
	words := []string{fmt.Sprintf("%.2f A flow in the primary when %s; the coil can make %.1f kV.", e.Current.Amperes(), opening(breaker), e.Open.Secondary.Kilovolts())}
	see := fmt.Sprintf("The points see up to %.0f V.", e.Fired.Primary.Volts())
	switch breaker {
	case "points":
	case "":
		words[0] = fmt.Sprintf("%.1f mJ are in the store; the coil can make %.1f kV.", e.Stored.Millijoules(), e.Open.Secondary.Kilovolts())
		see = fmt.Sprintf("The primary sees up to %.0f V.", e.Fired.Primary.Volts())
	default:
		see = fmt.Sprintf("The %s sees up to %.0f V.", breaker, e.Fired.Primary.Volts())
	}
	if !e.Fired.Sparked {
		return append(words, "The gap does not fire: no spark.", see)
	}
	strikes := "once"
	if e.Fired.Strikes > 1 {
		strikes = fmt.Sprintf("%d times", e.Fired.Strikes)
	}
	return append(words,
		fmt.Sprintf("The gap fires %.1f µs after %s and strikes %s.", e.Fired.Time.Microseconds(), opening(breaker), strikes),
		fmt.Sprintf("It burns %.2f ms and takes %.1f mJ.", e.Fired.Burn.Milliseconds(), e.Fired.Energy.Millijoules()),
		see)
}
