package wiring

// RuleShortCircuit finds a battery whose posts are joined by next to nothing.
const RuleShortCircuit = "short-circuit"

func shortCircuit(c *checker) {
	if c.live == "" {
		return
	}
	p, _ := c.h.Part(c.battery)
	rest := p.Values[Rest].Nominal.SI()
	for s, sol := range c.solved.All() {
		if c.starterTurns(s) {
			continue
		}
		v, ok := sol.Across(c.battery+".plus", c.battery+".minus")
		if !ok || v.Volts() >= c.least*rest {
			continue
		}
		i, _ := sol.Current(c.battery)
		way := sol.Path(c.battery+".plus", c.battery+".minus")
		f := fault("the battery is shorted", append([]string{c.battery}, way.names()...)...).
			figure("battery volts", volt(v.Volts())+" at the posts, "+amps(i.Amperes())+" out of them", "near "+volt(rest)+" with the starter at rest", "").
			harm("the wires glow and set fire to what they touch; the battery may burst").
			cure("take away the joint that this path goes through before the battery is connected").
			path(way.String()).shown(c.h, s)
		f.Names = unique(f.Names)
		c.add(f)
		return
	}
}
