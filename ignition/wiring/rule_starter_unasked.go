package wiring

import (
	"strings"
)

// RuleStarterUnasked finds a starter that turns when nobody starts.
const RuleStarterUnasked = "starter-unasked"

func starterUnasked(c *checker) {
	if c.starter == "" || c.live == "" {
		return
	}
	for _, key := range unique([]string{c.off, c.run}) {
		s := State{Key: key, Engine: Still}
		if key == c.start && c.startPressed == 0 || !c.starterTurns(s) {
			continue
		}
		f := fault("the starter turns with the key in "+key, c.starter).
			figure("starter current", amps(c.amperes(c.starter, s)), "none", "").
			harm("it turns a running engine's ring gear, burns out, or starts the machine with nobody ready").
			cure("find where the solenoid gets its feed: only the start contact may give it").shown(c.h, s)
		for _, name := range c.h.OfKind(Solenoid) {
			way := c.at(s).Path(c.live, name+".switch")
			if strings.HasSuffix(c.live, ".minus") {
				way = c.at(s).Path(name+".switch", c.live)
			}
			f.Path = way.String()
			f.Names = append(append(f.Names, name), way.names()...)
		}
		if _, k, ok := c.h.Switch(); ok {
			f.Names = append(f.Names, k)
		}
		f.Names = unique(f.Names)
		c.add(f)
		return
	}
}
