package wiring

import (
	"math"
)

// RuleInterlockShortsFeed finds a safety switch that grounds a battery feed.
const RuleInterlockShortsFeed = "interlock-shorts-feed"

func interlockShortsFeed(c *checker) {
	if c.live == "" {
		return
	}
	for i, name := range c.h.Interlocks() {
		for _, key := range []string{c.run, c.start} {
			s := State{Key: key, Engine: Still, Unsafe: 1 << i}
			sol := c.at(s)
			if key == "" && len(c.h.keys) > 0 || sol == nil {
				continue
			}
			x := math.Abs(c.amperes(name, s))
			limit := 0.0
			for _, m := range c.makers {
				limit = math.Max(limit, m.full)
			}
			ways := sol.Route(name+".b", c.h.nodes[c.h.ref].addr)
			if other := sol.Route(name+".a", c.h.nodes[c.h.ref].addr); len(ways) == 0 || len(other) > 0 && len(other) < len(ways) {
				ways = other
			}
			safe := s
			safe.Unsafe = 0
			if x <= 2*limit || x <= 2*math.Abs(c.amperes(name, safe)) {
				continue
			}
			f := fault("in its unsafe state the safety switch "+name+" joins the battery's feed to ground", append([]string{name}, ways.names()...)...).
				figure("current through "+name, amps(x), "none: it must open the feed", "").
				harm("the fuse blows or the loom burns; and with the fuse gone the machine does not run at all").
				cure("a switch that grounded a magneto's kill wire cannot serve a coil as it is: use its contact that opens in the unsafe state, in series with the coil's feed").
				path(sol.Path(c.battery+".plus", c.battery+".minus").String()).shown(c.h, s)
			f.Names = unique(f.Names)
			c.add(f)
			break
		}
	}
}
