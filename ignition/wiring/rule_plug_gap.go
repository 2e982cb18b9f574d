package wiring

import (
	"slices"

	"gapbook.example/ignition"
)

// RulePlugGapWrong finds a plug gap that does not suit the system.
const RulePlugGapWrong = "plug-gap-wrong"

func plugGapWrong(c *checker) {
	label := "battery"
	for i := range c.makers {
		if c.makers[i].own {
			label = "magneto"
		}
	}
	fig, limits, ok := c.limit("plug_gap", label)
	if !ok || len(fig.Systems) > 0 && !slices.Contains(fig.Systems, c.h.System().String()) {
		return
	}
	apart := 0.0
	for _, t := range limits.Tolerances {
		if t.Label == "usual" {
			apart = t.Plus.Quantity.SI()
		}
	}
	least, most := fig.Band.Min, fig.Band.Max
	if least.IsZero() && most.IsZero() {
		least, most = fig.Band.Nominal, fig.Band.Nominal
	} else {
		apart = 0
	}
	for _, name := range c.h.OfKind(Plug) {
		p, _ := c.h.Part(name)
		v, ok := p.Values[Gap]
		if !ok || v.Assumed {
			continue
		}
		x := v.Nominal.SI()
		harm := ""
		switch {
		case x > most.Quantity.SI()+apart:
			harm = "a wide gap asks more volts than such an ignition has to spare"
		case x < least.Quantity.SI()-apart:
			harm = "a small gap fouls and lights poorly"
		default:
			continue
		}
		c.add(fault("the gap of "+name+" is not what this kind of ignition usually has", name).weighs(ignition.Doubt).
			figure("plug gap", v.Nominal.String(), fig.Band.String(), c.cite(fig)).harm(harm).
			cure("set it to the engine's own figure; the class figure stands only where that is not known"))
	}
}
