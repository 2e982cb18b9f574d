package picture

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"gapbook.example/ignition/spark"
)

// Reserve draws what is on hand over what is needed against speed: for every
// situation the band from the worst to the best that may be needed, and the
// line below which the plug may miss. Situations come in any order.
func Reserve(name string, reserves []spark.Reserve) Picture {
	title := "Spark in reserve over speed"
	rs := slices.Clone(reserves)
	slices.SortStableFunc(rs, func(a, b spark.Reserve) int { return cmp.Compare(a.Situation.Speed.RPM(), b.Situation.Speed.RPM()) })
	desc := "Volts on hand over volts needed, against crank speed."
	var words []string
	highest, fastest := 2.0, 0.0
	distinct := true
	for i, r := range rs {
		highest, fastest = max(highest, r.High), max(fastest, r.Situation.Speed.RPM())
		if i > 0 && r.Situation.Speed == rs[i-1].Situation.Speed {
			distinct = false
		}
		verdict := "enough"
		switch {
		case r.High < 1:
			verdict = "not enough"
		case r.Low < 1:
			verdict = "may miss"
		}
		label := clean(r.Situation.Name)
		if label != "" {
			label += ", "
		}
		words = append(words, fmt.Sprintf("%d: %s%.0f rpm: %.1f kV on hand, %.1f to %.1f kV needed, %.2f to %.2f times: %s.", i+1, label,
			r.Situation.Speed.RPM(), r.Event.Open.Secondary.Kilovolts(), r.Need.Band.Low.Kilovolts(), r.Need.Band.High.Kilovolts(), r.Low, r.High, verdict))
	}
	var c chart
	top := c.head(title)
	c.x = newAxis(0, fastest*1.02, 36, 340, 5)
	c.y = newAxis(0, highest*1.05, top+24+170, top+24, 6)
	floor := c.y.at(1)
	c.hatch(c.x.from, floor, c.x.to, c.y.from, 6)
	c.frame("rpm of the crank", "times what is needed")
	c.line("dash", c.x.from, floor, c.x.to, floor)
	if distinct && len(rs) > 1 {
		var band canvas
		for i, r := range rs {
			letter := byte('L')
			if i == 0 {
				letter = 'M'
			}
			band.moves(letter, c.x.at(r.Situation.Speed.RPM()), c.y.at(r.High))
		}
		upper := string(band.b)
		var lower canvas
		for i := len(rs) - 1; i >= 0; i-- {
			x, y := c.x.at(rs[i].Situation.Speed.RPM()), c.y.at(rs[i].Low)
			band.moves('L', x, y)
			letter := byte('L')
			if i == len(rs)-1 {
				letter = 'M'
			}
			lower.moves(letter, x, y)
		}
		band.b = append(band.b, 'Z')
		c.path("fill", string(band.b))
		c.path("curve", upper)
		c.path("curve", string(lower.b))
	}
	// Numbers stand over the bars; where two bars stand near, higher.
	var placed []inkedLabel
	for i, r := range rs {
		x := c.x.at(r.Situation.Speed.RPM())
		lo, hi := c.y.at(r.Low), c.y.at(r.High)
		c.line("curve", x, lo, x, hi)
		c.line("curve", x-4, lo, x+4, lo)
		c.line("curve", x-4, hi, x+4, hi)
		text := strconv.Itoa(i + 1)
		w := textWidth(text, bodySize, true)
		l := inkedLabel{x - w/2 - 1, x + w/2 + 1, hi - 6}
		for again := true; again; {
			again = false
			for _, p := range placed {
				if l.x0 < p.x1 && p.x0 < l.x1 && l.y-12 < p.y && p.y-12 < l.y {
					l.y, again = p.y-12, true
				}
			}
		}
		placed = append(placed, l)
		c.circle("w", x, l.y-3.6, 8)
		c.canvas.text(x, l.y, atMiddle, "pb", text)
	}
	note := "Below the dashed line, hatched, the plug may miss. Each bar runs from the worst to the best that may be needed."
	end := c.below(c.y.from+36, append([]string{note}, words...))
	return wrapUp(c.canvas, name, title, desc, end+10, append([]string{desc + " " + note}, words...))
}

// inkedLabel is a label that stands already.
type inkedLabel struct{ x0, x1, y float64 }
