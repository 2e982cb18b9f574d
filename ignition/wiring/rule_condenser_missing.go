package wiring

// RuleCondenserMissing finds points without a condenser.
const RuleCondenserMissing = "condenser-missing"

func condenserMissing(c *checker) {
	for _, p := range c.h.OfKind(Points) {
		if c.condenserAt(p) != "" || c.condenserOnFeed() != "" {
			continue
		}
		f := fault("no condenser is joined to the points", p).
			harm("the points arc and burn, and the spark is feeble or none").
			cure("join a condenser's lead to " + p + ".arm and its case to the plate or the engine")
		for _, name := range c.h.OfKind(Condenser) {
			f.Names = append(append(f.Names, name), c.h.WiresAt(name+".lead")...)
			if len(c.h.WiresAt(name+".lead")) == 0 {
				f.Text += "; " + name + ".lead hangs free"
			}
		}
		c.add(f)
	}
}

// condenserAt finds a condenser with an end on the points' live side.
func (c *checker) condenserAt(points string) string {
	arm := c.armSide(points)
	for _, name := range c.h.OfKind(Condenser) {
		if arm[c.h.nodeAt[name+".lead"]] || arm[c.h.nodeAt[name+".case"]] {
			return name
		}
	}
	return ""
}

// armSide marks what is joined to the end of points that is not grounded.
func (c *checker) armSide(points string) []bool {
	arm := c.h.reach(c.h.nodeAt[points+".arm"], nil, []Kind{Connector})
	if arm[c.h.ref] {
		return c.h.reach(c.h.nodeAt[points+".plate"], nil, []Kind{Connector})
	}
	return arm
}

// condenserOnFeed finds a condenser with an end on the feed of a battery coil.
func (c *checker) condenserOnFeed() string {
	for i := range c.makers {
		m := &c.makers[i]
		if m.own || len(c.h.OfKind(Points)) == 0 {
			continue
		}
		feed := c.h.reach(c.h.nodeAt[m.feed], nil, seriesKinds)
		if feed[c.h.nodeAt[m.low]] {
			continue
		}
		for _, name := range c.h.OfKind(Condenser) {
			if feed[c.h.nodeAt[name+".lead"]] != feed[c.h.nodeAt[name+".case"]] {
				on := false
				for _, p := range c.h.OfKind(Points) {
					on = on || c.condenserAt(p) == name
				}
				if !on {
					return name
				}
			}
		}
	}
	return ""
}
