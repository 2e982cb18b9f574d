package wiring

import (
	"math"

	"gapbook.example/ignition"
)

// RuleDrainInOff finds what draws on the battery with the key in off.
const RuleDrainInOff = "drain-in-off"

func drainInOff(c *checker) {
	if c.live == "" || len(c.h.keys) == 0 {
		return
	}
	s := State{Key: c.off, Engine: Still}
	x := -c.amperes(c.battery, s)
	full := 0.0
	for i := range c.makers {
		full = math.Max(full, c.makers[i].full)
	}
	if x <= 1e-3*full {
		return // less than that nobody would find
	}
	way := c.at(s).Path(c.battery+".plus", c.battery+".minus")
	f := fault("something draws on the battery with the key in off", append([]string{c.battery}, way.names()...)...).weighs(ignition.Doubt).
		figure("battery current", amps(x), "none", "").
		harm("the battery is flat when it is wanted").
		cure("let everything but the starter's cables pass the key").path(way.String()).shown(c.h, s)
	f.Names = unique(f.Names)
	c.add(f)
}
