package wiring

import (
	"math"
)

// RuleKillWireOpen finds a kill terminal that no stop position reaches.
const RuleKillWireOpen = "kill-wire-open"

func killWireOpen(c *checker) {
	for i := range c.makers {
		m := &c.makers[i]
		s := State{Key: c.off, Engine: Runs}
		if !m.own || m.kill == "" || c.buttonStops(m) || !c.fires(m, s) || !math.IsInf(c.killOhms(m, s), 1) && m.Kind != Coil {
			continue
		}
		var ends []string
		for n, ok := range c.h.reach(c.h.nodeAt[m.kill], nil, []Kind{Connector}) {
			if ok && n != c.h.ref {
				ends = append(ends, c.h.nodes[n].addr)
			}
		}
		f := fault("no way leads from "+m.kill+" to ground in the stop position; the kill wire reaches "+list(ends), m.Name).
			harm("the switch stops nothing and the engine is live whenever it turns").
			cure("join "+m.kill+" to the terminal of the switch that is grounded in off (M on most), and that switch's ground terminal to the engine").
			shown(c.h, c.opened(s))
		for _, e := range ends {
			f.Names = append(f.Names, partOf(e))
		}
		if _, key, ok := c.h.Switch(); ok {
			f.Names = append(f.Names, key)
		}
		f.Names = unique(append(f.Names, c.h.Buttons()...))
		c.add(f)
	}
}
