package wiring

import (
	"math"
)

// RuleNotInterrupted finds a coil whose current the breaker does not stop.
const RuleNotInterrupted = "not-interrupted"

func notInterrupted(c *checker) {
	for i := range c.makers {
		m := &c.makers[i]
		states := []State{c.running()}
		if c.hasStart {
			states = append(states, c.starting())
		}
		for _, s := range states {
			if !c.neverInterrupted(m, s) {
				continue
			}
			_, closed, open := c.step(m, s)
			way := c.grounded(m.low, c.opened(s))
			f := fault("the current goes on with the breaker open: it has another way from "+m.low, append([]string{m.Name}, way.names()...)...).
				figure("primary current", amps(open)+" with the points open, "+amps(closed)+" with them closed", "none with them open", "").
				harm("no spark, and the coil carries its full current all the time").
				cure("take away what by-passes the breaker").path(way.String()).shown(c.h, c.opened(s))
			f.Names = append(f.Names, c.h.Breakers()...)
			f.Names = unique(f.Names)
			c.add(f)
			break
		}
	}
}

// neverInterrupted reports whether a battery's current flows in a coil with the
// breaker closed and open alike.
func (c *checker) neverInterrupted(m *maker, s State) bool {
	_, closed, open := c.step(m, s)
	return !m.own && !c.fires(m, s) && math.Abs(closed) >= c.least*m.full && math.Abs(open) >= c.least*m.full
}
