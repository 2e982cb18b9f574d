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
	// Contacts that feed their own winding stay in when the key goes back.
	for _, name := range c.h.OfKind(Solenoid) {
		s := State{Key: c.run, Engine: Runs}
		seen := c.h.reach(c.h.nodeAt[name+".switch"], c.at(s), seriesKinds)
		for _, t := range []string{"motor", "ignition"} {
			if !seen[c.h.nodeAt[name+"."+t]] {
				continue
			}
			way := c.h.trail(name+"."+t, name+".switch", c.at(s), seriesKinds)
			f := fault("once pulled in, "+name+" holds itself: its own contact feeds its winding, and the starter goes on turning with the key back in "+c.run, append([]string{c.starter, name}, way.names()...)...).
				harm("it turns a running engine's ring gear and burns out").
				cure("take away the joint between its contact and its winding: only the start contact may feed "+name+".switch").
				path(way.String()).shown(c.h, s)
			if _, k, ok := c.h.Switch(); ok {
				f.Names = append(f.Names, k)
			}
			f.Names = unique(f.Names)
			c.add(f)
			return
		}
	}
}
