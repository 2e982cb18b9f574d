package wiring

// RuleCondenserLeaks finds a condenser that conducts.
const RuleCondenserLeaks = "condenser-leaks"

func condenserLeaks(c *checker) {
	fig, limits, ok := c.limit("condenser_insulation", "usual")
	if !ok {
		return
	}
	for _, name := range c.h.OfKind(Condenser) {
		p, _ := c.h.Part(name)
		v, ok := p.Values[Insulation]
		if !ok || v.Assumed {
			continue
		}
		severity, bad := weigh(v.Nominal.SI(), v.Min.SI(), v.Max.SI(), fig.Band.Min, true, fig, limits)
		if bad {
			c.add(fault("the condenser "+name+" leaks", name).weighs(severity).
				figure("condenser insulation", v.Nominal.Display(), "at least "+fig.Band.Min.Quantity.String(), c.cite(fig)).
				harm("the spark fails, often only when hot").cure("renew it: a leak does not mend"))
		}
	}
}
