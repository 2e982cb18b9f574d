package wiring

import (
	"math"
)

// RulePointsCurrent finds points that carry too much at charging volts.
const RulePointsCurrent = "points-current"

func pointsCurrent(c *checker) {
	fig, limits, ok := c.limit("primary_current", "points")
	if !ok || c.live == "" {
		return
	}
	for _, name := range c.h.OfKind(Points) {
		s := c.running()
		x := math.Abs(c.amperes(name, s))
		if !c.batteryFed(s) {
			continue
		}
		low, high := x, x
		if x > fig.Band.Max.Quantity.SI() {
			low, high = c.currentBand(name, s, x)
		}
		severity, bad := weigh(x, low, high, fig.Band.Max, false, fig, limits)
		if !bad {
			continue
		}
		f := fault("the points carry too much with the engine running", name).weighs(severity).
			figure("primary current", amps(x)+" ("+amps(low)+" to "+amps(high)+" with the parts' tolerances)", "at most "+fig.Band.Max.Quantity.String(), c.cite(fig)).
			harm("the points burn and weld, and the coil cooks").
			cure("fit the ballast that the coil wants, or a coil with all its resistance inside").shown(c.h, s)
		for i := range c.makers {
			f.Names = append(f.Names, c.makers[i].Name)
		}
		if sol := c.at(s); sol != nil {
			way := c.through(sol, name)
			f.Path = way.String()
			f.Names = append(f.Names, way.names()...)
		}
		f.Names = unique(f.Names)
		c.add(f)
	}
}

// batteryFed reports whether any spark maker lives on the battery and gets
// current in a state.
func (c *checker) batteryFed(s State) bool {
	for i := range c.makers {
		if !c.makers[i].own {
			return true
		}
	}
	return false
}
