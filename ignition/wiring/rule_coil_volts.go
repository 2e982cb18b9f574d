package wiring

import (
	"math"

	"gapbook.example/ignition"
)

// RuleCoilVolts finds a coil made for another battery.
const RuleCoilVolts = "coil-volts"

func coilVolts(c *checker) {
	for i := range c.makers {
		m := &c.makers[i]
		made, ok := m.Values[Volts]
		if m.own || !ok || made.Assumed || c.live == "" {
			continue
		}
		own, _ := made.Nominal.Voltage()
		s := c.running()
		sol := c.at(s)
		v, ok := sol.Across(m.feed, m.low)
		if !ok || own == c.h.volts {
			continue
		}
		across := math.Abs(v.Volts())
		if own.Cmp(c.h.volts) > 0 {
			c.add(fault("a coil for "+own.String()+" stands on "+c.h.volts.String(), m.Name).weighs(ignition.Doubt).
				figure("volts across the primary", volt(across), own.String(), "the harness").
				harm("it takes too little current for a good spark").cure("fit a coil for "+c.h.volts.String()).shown(c.h, s))
			continue
		}
		most, source := own.Volts(), "the harness"
		if p, ok := c.book.PartClass(string(Alternator)); ok {
			if r, ok := p.Typical(string(Regulated), "", own); ok && !r.Band.Max.IsZero() {
				most, source = r.Band.Max.Quantity.SI(), c.citeBasis(r.Source, r.Place, r.Basis)
			}
		}
		if across <= most {
			continue
		}
		c.add(fault("a coil for "+own.String()+" stands on "+c.h.volts.String()+" with nothing to bring the volts down", m.Name).
			figure("volts across the primary", volt(across), "at most "+volt(most)+" for a coil of "+own.String(), source).
			harm("it takes "+amps(c.amperes(m.Name, s))+": the coil cooks and the points burn").
			cure("fit a coil for "+c.h.volts.String()+", or a ballast that leaves this one its "+own.String()).shown(c.h, s).
			path(c.feedTrail(m).String()))
	}
}
