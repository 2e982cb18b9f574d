package wiring

import (
	"math"
)

// RulePointsPathLoses finds too many volts lost between the coil and ground
// with the points closed.
const RulePointsPathLoses = "points-path-loses"

func pointsPathLoses(c *checker) {
	fig, limits, ok := c.limit("points_drop", "usual")
	if !ok || c.live == "" || len(c.h.OfKind(Points)) == 0 {
		return
	}
	for i := range c.makers {
		m := &c.makers[i]
		s := c.still()
		sol := c.at(s)
		if m.own || m.Kind != Coil || sol == nil || math.Abs(c.amperes(m.Name, s)) < c.least*m.full {
			continue
		}
		block := c.h.nodes[c.h.ref].addr
		v, ok := sol.Across(m.low, block)
		if !ok {
			continue
		}
		x := math.Abs(v.Volts())
		low, high := x, x
		if x > fig.Band.Max.Quantity.SI() {
			low, high = c.band(s, func(b *Bands) (float64, float64, bool) {
				lo, hi, ok := b.Volts(m.low)
				return min(math.Abs(lo.Volts()), math.Abs(hi.Volts())), max(math.Abs(lo.Volts()), math.Abs(hi.Volts())), ok
			}, x)
		}
		severity, bad := weigh(x, low, high, fig.Band.Max, false, fig, limits)
		if !bad {
			continue
		}
		way := sol.Route(m.low, block)
		f := fault("too many volts are lost between "+m.low+" and the engine with the points closed", append(way.names(), m.Name)...).weighs(severity).
			figure("points drop", volt(x), "at most "+fig.Band.Max.Quantity.String(), c.cite(fig)).
			harm("the spark weakens and the points heat up").
			cure("clean or renew the points, then look for a poor ground of their plate or a thin wire").path(way.String()).shown(c.h, s)
		f.Part = c.h.OfKind(Points)[0]
		f.Names = unique(append([]string{f.Part}, f.Names...))
		c.add(f)
	}
}
