package wiring

import (
	"math"
)

// RuleCrankingCurrent finds too little primary current while the engine is
// cranked.
const RuleCrankingCurrent = "cranking-current"

func crankingCurrent(c *checker) {
	fig, limits, ok := c.limit("primary_current", "cranking")
	if !ok || c.live == "" || len(c.h.OfKind(Points)) == 0 {
		return
	}
	s := c.cranking()
	if c.hasStart {
		s = c.starting()
	}
	for i := range c.makers {
		m := &c.makers[i]
		if m.own || m.Kind != Coil || !c.fires(m, s) {
			continue // no spark at all is another rule's
		}
		x := math.Abs(c.amperes(m.Name, s))
		low, high := x, x
		if x < fig.Band.Min.Quantity.SI() {
			low, high = c.currentBand(m.Name, s, x)
		}
		severity, bad := weigh(x, low, high, fig.Band.Min, true, fig, limits)
		if !bad {
			continue
		}
		way := c.at(s).Path(c.battery+".plus", c.battery+".minus")
		f := fault("the coil gets too little current while cranking", append([]string{m.Name}, way.names()...)...).weighs(severity).
			figure("primary current", amps(x), "at least "+fig.Band.Min.Quantity.String(), c.cite(fig)).
			harm("the spark is weakest when the engine needs it most").
			cure("look for a ballast too many, a coil of the wrong kind, or volts lost on the way").path(way.String()).shown(c.h, s)
		f.Names = unique(f.Names)
		c.add(f)
	}
}
