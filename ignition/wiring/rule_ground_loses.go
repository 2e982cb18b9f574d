package wiring

import (
	"math"
)

// RuleGroundLoses finds too many volts lost between the engine and the battery.
const RuleGroundLoses = "ground-loses"

func groundLoses(c *checker) {
	fig, limits, ok := c.limit("ground_drop", "usual")
	if !ok || c.live == "" {
		return
	}
	s := c.still()
	sol := c.at(s)
	block := c.h.nodes[c.h.ref].addr
	if sol == nil {
		return
	}
	v, ok := sol.Volts(c.dead)
	if !ok {
		return
	}
	x := math.Abs(v.Volts())
	low, high := x, x
	if x > fig.Band.Max.Quantity.SI() {
		low, high = c.band(s, func(b *Bands) (float64, float64, bool) {
			lo, hi, ok := b.Volts(c.dead)
			return min(math.Abs(lo.Volts()), math.Abs(hi.Volts())), max(math.Abs(lo.Volts()), math.Abs(hi.Volts())), ok
		}, x)
	}
	severity, bad := weigh(x, low, high, fig.Band.Max, false, fig, limits)
	if !bad {
		return
	}
	way := sol.Route(block, c.dead)
	f := fault("too many volts are lost between the engine and the battery's ground post", append([]string{c.battery}, way.names()...)...).weighs(severity).
		figure("ground drop", volt(x), "at most "+fig.Band.Max.Quantity.String(), c.cite(fig)).
		harm("ignition and starter both suffer, and current looks for other ways: control cables, bearings").
		cure("clean both ends of the ground lead to bright metal, or add a lead from engine to battery").path(way.String()).shown(c.h, s)
	f.Names = unique(f.Names)
	c.add(f)
}
