package wiring

// RuleCondenserFeedSide finds a condenser on the feed of the coil in place of
// its points side.
const RuleCondenserFeedSide = "condenser-feed-side"

func condenserFeedSide(c *checker) {
	for _, p := range c.h.OfKind(Points) {
		name := c.condenserOnFeed()
		if name == "" || c.condenserAt(p) != "" {
			continue
		}
		f := fault("the condenser "+name+" stands on the coil's feed and the points have none", name, p).
			harm("there it only quietens a radio: the points arc and burn and the spark is feeble").
			cure("move its lead to " + p + ".arm, or to the coil terminal that goes to the points")
		f.Names = append(f.Names, c.h.WiresAt(name+".lead")...)
		c.add(f)
	}
}
