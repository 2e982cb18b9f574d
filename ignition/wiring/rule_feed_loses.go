package wiring

import (
	"math"
)

// RuleFeedLoses finds too many volts lost between battery and coil.
const RuleFeedLoses = "feed-loses"

func feedLoses(c *checker) {
	fig, limits, ok := c.limit("feed_drop", "running")
	if !ok || c.live == "" {
		return
	}
	for i := range c.makers {
		m := &c.makers[i]
		s := c.still()
		sol := c.at(s)
		if m.own || sol == nil || !c.alive(sol, m.feed) || math.Abs(c.amperes(m.Name, s)) < c.least*m.full {
			continue
		}
		way := c.h.trail(c.live, m.feed, sol, append([]Kind{Solenoid}, seriesKinds...))
		lost := 0.0
		worstHop, worst := "", 0.0
		for k := 1; k < len(way); k++ {
			if p, ok := c.h.Part(way[k].Through); ok && p.Kind == Ballast {
				continue
			}
			v, _ := sol.Across(way[k-1].Terminal, way[k].Terminal)
			lost += math.Abs(v.Volts())
			if math.Abs(v.Volts()) > worst {
				worst, worstHop = math.Abs(v.Volts()), way[k].Through
			}
		}
		severity, bad := weigh(lost, lost, lost, fig.Band.Max, false, fig, limits)
		if !bad {
			continue
		}
		f := fault("too many volts are lost on the way to "+m.Name+", most of them in "+worstHop, m.Name, worstHop).weighs(severity).
			figure("feed drop", volt(lost), "at most "+fig.Band.Max.Quantity.String(), c.cite(fig)).
			harm("a weaker spark, and a joint that gets hot").
			cure("renew "+worstHop+", or use thicker wire").path(way.String()).shown(c.h, s)
		f.Names = unique(append(f.Names, way.names()...))
		c.add(f)
	}
}
