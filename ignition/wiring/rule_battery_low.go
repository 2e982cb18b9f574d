package wiring

// RuleBatteryLow finds a battery that stands too low at rest.
const RuleBatteryLow = "battery-low"

func batteryLow(c *checker) {
	fig, limits, ok := c.limit("battery_rest", "usual")
	if !ok || c.battery == "" || c.dry {
		return
	}
	p, _ := c.h.Part(c.battery)
	v, ok := p.Values[Rest]
	if !ok || v.Assumed {
		return
	}
	if severity, bad := weigh(v.Nominal.SI(), v.Min.SI(), v.Max.SI(), fig.Band.Min, true, fig, limits); bad {
		c.add(fault("the battery stands low at rest", c.battery).weighs(severity).
			figure("battery at rest", v.Nominal.String(), "at least "+fig.Band.Min.Quantity.String(), c.cite(fig)).
			harm("everything measured on it reads low, and it may not crank").cure(limits.Advice.Low))
	}
}
