package wiring

import (
	"math"
)

// RuleKillResistance finds a stop switch that grounds through too much
// resistance.
const RuleKillResistance = "kill-resistance"

func killResistance(c *checker) {
	fig, limits, ok := c.limit("stop_switch", "usual")
	if !ok || len(c.h.keys) == 0 {
		return
	}
	for i := range c.makers {
		m := &c.makers[i]
		s := State{Key: c.off, Engine: Runs}
		if !m.own || m.kill == "" || m.Kind == Coil {
			continue
		}
		r := c.killOhms(m, s)
		if math.IsInf(r, 1) {
			continue
		}
		severity, bad := weigh(r, r, r, fig.Band.Max, false, fig, limits)
		if !bad {
			continue
		}
		way := c.h.trail(m.kill, c.h.nodes[c.h.ref].addr, c.at(c.opened(s)), seriesKinds)
		f := fault("the stop position grounds "+m.kill+" through too much resistance", append([]string{m.Name}, way.names()...)...).weighs(severity).
			figure("stop switch", ohm(r), "at most "+fig.Band.Max.Quantity.String(), c.cite(fig)).
			harm("the engine may go on firing with the key in off").
			cure("clean the switch and the place where it is grounded, or renew the worst piece of the path").
			path(way.String()).shown(c.h, c.opened(s))
		f.Names = unique(f.Names)
		if _, key, ok := c.h.Switch(); ok {
			f.Names = unique(append(f.Names, key))
		}
		c.add(f)
	}
}
