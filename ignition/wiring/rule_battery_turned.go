package wiring

import (
	"strings"

	"gapbook.example/ignition"
)

// RuleBatteryTurned finds a battery whose other post is grounded than the
// harness says.
const RuleBatteryTurned = "battery-turned"

func batteryTurned(c *checker) {
	want := c.h.Ground()
	if c.live == "" || want == ignition.PolarityUnknown {
		return
	}
	is := ignition.NegativeGround
	if strings.HasSuffix(c.live, ".minus") {
		is = ignition.PositiveGround
	}
	if is == want || !c.h.reach(c.h.nodeAt[c.dead], nil, returnKinds)[c.h.ref] {
		return
	}
	f := fault("the machine is meant for "+want.String()+" ground, and "+c.dead+" is joined to the engine", c.battery).
		harm("electronics and rectifiers are ruined at once, and the coil's polarity is reversed").
		cure("turn the battery, or change everything that minds the polarity: rectifier, modules, ammeter, the coil's wires").
		path(c.h.trail(c.dead, c.h.nodes[c.h.ref].addr, nil, returnKinds).String())
	f.Names = unique(append(f.Names, c.h.WiresAt(c.dead)...))
	c.add(f)
}
