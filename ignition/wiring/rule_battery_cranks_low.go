package wiring

// RuleBatteryCranksLow finds too few volts at the battery while cranking.
const RuleBatteryCranksLow = "battery-cranks-low"

func batteryCranksLow(c *checker) {
	fig, limits, ok := c.limit("battery_cranking", "usual")
	if !ok || c.live == "" || c.dry || !c.hasStart {
		return
	}
	s := c.starting()
	v, ok := c.at(s).Across(c.battery+".plus", c.battery+".minus")
	if !ok || !c.starterTurns(s) {
		return
	}
	x := v.Volts()
	if severity, bad := weigh(x, x, x, fig.Band.Min, true, fig, limits); bad {
		c.add(fault("the battery falls too low while cranking", c.battery, c.starter).weighs(severity).
			figure("battery while cranking", volt(x), "at least "+fig.Band.Min.Quantity.String(), c.cite(fig)).
			harm("the coil gets too little to spark").cure(limits.Advice.Low).shown(c.h, s))
	}
}
