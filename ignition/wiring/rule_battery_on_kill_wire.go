package wiring

import (
	"math"
)

// RuleBatteryOnKillWire finds battery volts on the kill terminal of a magneto.
const RuleBatteryOnKillWire = "battery-on-kill-wire"

func batteryOnKillWire(c *checker) {
	fig, limits, ok := c.limit("kill_volts", "usual")
	if !ok || c.live == "" {
		return
	}
	seen := map[string]bool{}
	for _, m := range c.makers {
		if !m.own || seen[m.kill] || m.kill == "" {
			continue
		}
		seen[m.kill] = true
		worst, at := 0.0, State{}
		for s, sol := range c.solved.All() {
			if s.Engine != Still {
				continue // what it makes itself does not count
			}
			// Against the part's own ground where that is joined to anything.
			if v, ok := sol.Across(m.kill, c.h.nodes[c.h.ref].addr); ok && math.Abs(v.Volts()) > math.Abs(worst)*1.001 {
				worst, at = v.Volts(), s
			}
		}
		x := math.Abs(worst)
		severity, bad := weigh(x, x, x, fig.Band.Max, false, fig, limits)
		if !bad {
			continue
		}
		way := c.at(at).Path(c.live, m.kill)
		if worst < 0 {
			way = c.at(at).Path(m.kill, c.live)
		}
		f := fault("battery volts reach the kill terminal "+m.kill, append([]string{partOf(m.kill), m.Name}, way.names()...)...).weighs(severity).
			figure("volts on the kill wire", volt(worst), "at most "+fig.Band.Max.Quantity.String(), c.cite(fig)).
			harm("the battery drives its current through a winding that is made for none: the coil or module is ruined").
			cure("take the kill wire off this feed; a magneto needs a switch that only grounds").
			path(way.String()).shown(c.h, at)
		f.Names = unique(f.Names)
		c.add(f)
	}
}
