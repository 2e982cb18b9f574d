package wiring

// RuleCondenserUngrounded finds a condenser whose case is not grounded.
const RuleCondenserUngrounded = "condenser-ungrounded"

func condenserUngrounded(c *checker) {
	for _, p := range c.h.OfKind(Points) {
		name := c.condenserAt(p)
		if name == "" {
			continue
		}
		arm := c.armSide(p)
		other := name + ".case"
		if arm[c.h.nodeAt[other]] {
			other = name + ".lead"
		}
		seen := c.h.reach(c.h.nodeAt[other], nil, []Kind{Connector})
		if seen[c.h.ref] || arm[c.h.nodeAt[other]] {
			continue
		}
		f := fault("the condenser's other end, "+other+", is not grounded", name, p).
			harm("it is as good as missing: the points arc and burn, and the spark is feeble").
			cure("clean under its clamp to bright metal and screw it down on the plate or the engine")
		f.Names = append(f.Names, c.h.WiresAt(other)...)
		c.add(f)
	}
}
