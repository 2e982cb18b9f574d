package wiring

import (
	"slices"
)

// RuleFeedDropsInStart finds a coil on a terminal of a battery-type key switch
// that is dead in start.
const RuleFeedDropsInStart = "feed-drops-in-start"

func feedDropsInStart(c *checker) {
	c.coilOn(func(m *maker, t string, w keyWays) bool {
		if w.table.Type == "magneto" || !c.hasStart || !slices.Contains(w.fed, c.run) || slices.Contains(w.fed, c.start) {
			return false
		}
		if c.fires(m, c.starting()) {
			return false // it has another feed in start
		}
		says := "it is dead in " + c.start
		cure := "move the coil's feed to a terminal that is live in run and in start"
		if i := w.table.Roles.Feed; i != "" {
			cure = "move the coil's feed to " + w.key + "." + i + ", which is live in run and in start"
		}
		c.add(c.onTerminal(m, t, says).harm("the engine has no spark while the starter turns it").cure(cure).shown(c.h, c.starting()))
		return true
	})
}
