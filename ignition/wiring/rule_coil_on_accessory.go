package wiring

import (
	"slices"

	"gapbook.example/ignition"
)

// RuleCoilOnAccessory finds a battery coil on the accessory terminal of a
// magneto-type key switch: it dies in start, and may be grounded in off.
const RuleCoilOnAccessory = "coil-on-accessory"

func coilOnAccessory(c *checker) {
	c.coilOn(func(m *maker, t string, w keyWays) bool {
		if w.table.Type != "magneto" || w.table.Roles.Accessory != t || len(w.fed) == 0 {
			return false
		}
		c.fedPartly(m, t, w)
		return true
	})
}

// fedPartly says what a terminal does that feeds a coil in run: a fault where
// it drops the coil in start, else a doubt.
func (c *checker) fedPartly(m *maker, t string, w keyWays) {
	drops := c.hasStart && !slices.Contains(w.fed, c.start) && !c.fires(m, c.starting())
	f := c.onTerminal(m, t, "that terminal is not made to feed a coil")
	if drops {
		f = f.harm("it runs but dies whenever the key is turned to start, so it starts by luck or not at all")
		f.State = c.h.Describe(c.starting())
	} else {
		f = f.weighs(ignition.Doubt).harm("letters are not standard between makers: on many such switches this terminal is dead in start")
	}
	if len(w.grounded) > 0 {
		f.Harm += "; in " + list(w.grounded) + " the coil's feed is also joined to ground, where any other feed would be shorted"
	}
	c.add(f.cure("buy a battery-type switch, one that joins its battery terminal to a coil terminal (I) in run and in start, and prove every terminal with a meter"))
}
