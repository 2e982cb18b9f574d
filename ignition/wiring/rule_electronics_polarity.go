package wiring

import (
	"gapbook.example/ignition"
)

// RuleElectronicsPolarity finds electronics fed the wrong way round.
const RuleElectronicsPolarity = "electronics-polarity"

func electronicsPolarity(c *checker) {
	for _, name := range c.h.OfKind(Module, CDBox, Alternator, Generator) {
		p, _ := c.h.Part(name)
		sign := 1.0
		if w := p.Word("polarity"); w == "positive" || w == "" && c.h.Ground() == ignition.PositiveGround {
			sign = -1
		}
		feed := name + ".feed"
		if p.Kind == Alternator || p.Kind == Generator {
			feed = name + ".out"
		}
		for _, key := range unique([]string{c.run, c.start, c.off}) {
			s := State{Key: key, Engine: Still}
			v, ok := c.at(s).Across(feed, name+".ground")
			if !ok || v.Volts()*sign > -c.least*c.h.volts.Volts() {
				continue
			}
			c.add(fault(name+" is fed the wrong way round", name, c.battery).
				figure("volts across its supply", volt(v.Volts()*sign), "plus, not minus", "").
				harm("its semiconductors are ruined at once").
				cure("take it off before the battery is connected; it must suit the machine's ground polarity").shown(c.h, s).
				path(c.at(s).Route(c.live, feed).String()))
			break
		}
	}
}
