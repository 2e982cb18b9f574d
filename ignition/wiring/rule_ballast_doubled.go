package wiring

import (
	"math"

	"gapbook.example/ignition"
)

// RuleBallastDoubled finds more ballast than a coil wants.
const RuleBallastDoubled = "ballast-doubled"

func ballastDoubled(c *checker) {
	fig, limits, ok := c.limit("primary_total", "battery-points-12v")
	if !ok || c.live == "" {
		return
	}
	for i := range c.makers {
		m := &c.makers[i]
		if m.own || m.Kind != Coil || c.h.volts != fig.Volts {
			continue
		}
		names := c.ballasts(m)
		total := m.Values[Primary].Nominal.SI()
		s := c.running()
		sol := c.at(s)
		worked := names[:0:0]
		for _, b := range names {
			if math.Abs(c.amperes(b, s)) >= math.Abs(c.amperes(m.Name, s))/2 && sol != nil {
				p, _ := c.h.Part(b)
				total += p.Values[Resistance].Nominal.SI()
				worked = append(worked, b)
			}
		}
		severity, bad := weigh(total, total, total, fig.Band.Max, false, fig, limits)
		if len(worked) == 0 || !bad {
			continue
		}
		text := "the ballast " + list(worked) + " is too much for this coil"
		if len(worked) > 1 {
			severity = ignition.Fault
			text = "the ballasts " + list(worked) + " stand in a row in front of one coil"
		}
		f := fault(text, append(worked, m.Name)...).weighs(severity).
			figure("coil primary with ballast", ohm(total), "at most "+fig.Band.Max.Quantity.String(), c.cite(fig)).
			harm("too little current: a weak spark, weakest while cranking").
			cure("keep one ballast, or none for a coil with all its resistance inside").
			path(c.feedTrail(m).String()).shown(c.h, s)
		c.add(f)
	}
}
