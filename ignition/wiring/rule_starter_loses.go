package wiring

import (
	"math"
)

// RuleStarterLoses finds too many volts lost in the starter's cables.
const RuleStarterLoses = "starter-loses"

func starterLoses(c *checker) {
	t, ok := c.book.WireTable("starter-drop")
	if !ok || c.live == "" || c.starter == "" || !c.hasStart || !c.starterTurns(c.starting()) {
		return
	}
	s := c.starting()
	sol := c.at(s)
	p, _ := c.h.Part(c.starter)
	amperes := c.h.volts.Volts() / p.Values[Resistance].Nominal.SI()
	limit := t.Columns[0].Factor * amperes / 100
	lost, worst, worstWire := 0.0, 0.0, ""
	var names []string
	block := c.h.nodes[c.h.ref].addr
	feed, ground := c.starter+".plus", c.starter+".ground"
	through := append([]Kind{Solenoid}, seriesKinds...)
	if c.h.trail(c.live, feed, sol, through) == nil { // turned round it turns all the same
		feed, ground = ground, feed
	}
	for _, leg := range []Path{c.h.trail(c.live, feed, sol, through), c.h.trail(ground, block, sol, through), c.h.trail(block, c.dead, sol, through)} {
		for k := 1; k < len(leg); k++ {
			if !leg[k].Wire {
				continue
			}
			v, _ := sol.Across(leg[k-1].Terminal, leg[k].Terminal)
			x := math.Abs(v.Volts())
			lost += x
			names = append(names, leg[k].Through)
			if x > worst {
				worst, worstWire = x, leg[k].Through
			}
		}
	}
	// Drops grow with the current; what counts is what the cables would lose at
	// the current that the starter wants.
	if now := math.Abs(c.amperes(c.starter, s)); now > 0 {
		lost *= amperes / now
	}
	if lost <= limit {
		return
	}
	f := fault("the starter's cables lose too many volts, most of them in "+worstWire, append([]string{worstWire, c.starter}, names...)...).
		figure("starter circuit drop", volt(lost), "at most "+volt(limit)+" at "+amps(amperes), c.citeBasis(t.Columns[0].Source, t.Columns[0].Place, t.Columns[0].Basis)).
		harm("it cranks slowly and the ignition gets what is left").
		cure("fit a thicker cable for "+worstWire).path(c.h.trail(c.live, feed, sol, through).String()).shown(c.h, s)
	f.Names = unique(f.Names)
	c.add(f)
}
