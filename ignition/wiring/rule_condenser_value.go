package wiring

// RuleCondenserValue finds a condenser of the wrong capacity.
const RuleCondenserValue = "condenser-value"

func condenserValue(c *checker) {
	fig, limits, ok := c.limit("condenser", "usual")
	if !ok {
		return
	}
	for _, name := range c.h.OfKind(Condenser) {
		p, _ := c.h.Part(name)
		v, ok := p.Values[Capacitance]
		if !ok || v.Assumed {
			continue
		}
		x, low, high := v.Nominal.SI(), v.Min.SI(), v.Max.SI()
		severity, bad := weigh(x, low, high, fig.Band.Max, false, fig, limits)
		harm := "a spark slow to rise, and metal carried from one contact to the other"
		if !bad {
			severity, bad = weigh(x, low, high, fig.Band.Min, true, fig, limits)
			harm = "the points arc, pit and burn"
		}
		if bad {
			c.add(fault("the condenser "+name+" is of the wrong capacity", name).weighs(severity).
				figure("condenser", v.Nominal.Display(), fig.Band.String(), c.cite(fig)).harm(harm).
				cure("fit one of the engine's own figure, or of the usual one where that is not known"))
		}
	}
}
