package wiring

import (
	"slices"

	"gapbook.example/ignition"
)

// RuleCoilOnLights finds a battery coil on the lights terminal of a
// magneto-type key switch.
const RuleCoilOnLights = "coil-on-lights"

func coilOnLights(c *checker) {
	c.coilOn(func(m *maker, t string, w keyWays) bool {
		if w.table.Type != "magneto" || w.table.Roles.Lights != t || len(w.fed) == 0 {
			return false
		}
		drops := c.hasStart && !slices.Contains(w.fed, c.start) && !c.fires(m, c.starting())
		f := c.onTerminal(m, t, "that terminal is the lamps', not a coil's").weighs(ignition.Doubt).
			harm("what the lamps draw and their faults reach the ignition; letters are not standard between makers, and on many such switches the terminal is dead in start").
			cure("buy a battery-type switch with a coil terminal (I) that is live in run and in start")
		if drops {
			f = f.weighs(ignition.Fault).harm("it runs but dies whenever the key is turned to start").shown(c.h, c.starting())
		}
		c.add(f)
		return true
	})
}
