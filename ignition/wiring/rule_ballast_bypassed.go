package wiring

import (
	"math"
)

// RuleBallastBypassed finds a ballast that is by-passed while the engine runs.
const RuleBallastBypassed = "ballast-bypassed"

func ballastBypassed(c *checker) {
	for i := range c.makers {
		m := &c.makers[i]
		if m.own || m.Kind != Coil || c.live == "" {
			continue
		}
		s := c.running()
		x := math.Abs(c.amperes(m.Name, s))
		for _, b := range c.h.OfKind(Ballast) {
			if x < c.least*m.full || math.Abs(c.amperes(b, s)) >= x/2 {
				continue
			}
			// The way that goes through this coil.
			var way Path
			if i, _ := c.at(s).Current(m.Name); i.Amperes() > 0 {
				way = c.at(s).Path(c.battery+".plus", m.Name+".plus")
			} else {
				way = c.at(s).Path(m.Name+".plus", c.battery+".minus")
			}
			f := fault("the ballast "+b+" is by-passed with the engine running", append([]string{b, m.Name}, way.names()...)...).
				figure("current in "+b, amps(c.amperes(b, s)), "that of the coil, "+amps(x), "").
				harm("the coil and the points carry for ever what they should carry while cranking").
				cure("take away what joins its two ends; a by-pass may be live only while the starter turns").path(way.String()).shown(c.h, s)
			for _, t := range []string{"in", "out"} {
				f.Names = append(f.Names, c.h.WiresAt(b+"."+t)...)
			}
			f.Names = unique(f.Names)
			c.add(f)
		}
	}
}
