package wiring

import (
	"math"
	"strings"
)

// RuleCoilPolarity finds a coil whose low-tension wires are swapped.
const RuleCoilPolarity = "coil-polarity"

func coilPolarity(c *checker) {
	for i := range c.makers {
		m := &c.makers[i]
		if m.Kind != Coil || m.Word("towers") == "2" {
			continue // of two plugs in a row one is always the wrong way round
		}
		s := c.running()
		_, closed, open := c.step(m, s)
		x := closed
		if math.Abs(open) > math.Abs(closed) {
			x = open
		}
		if x >= -c.least*m.full {
			continue
		}
		f := fault("the current runs from "+m.Name+".minus to "+m.Name+".plus: the coil is wired the wrong way round", m.Name).
			figure("primary current", volt(0), "", "").
			harm("the plug's centre electrode becomes positive and asks noticeably more volts: weak when hot, under load and at starting").
			cure("swap the two low-tension wires of "+m.Name+"; with "+c.h.Ground().String()+" ground the feed belongs on "+c.properFeed(m)).shown(c.h, s)
		f.Quantity, f.Reading, f.Limit = "direction of the primary current", "minus to plus", "plus to minus"
		if sol := c.at(s); sol != nil && c.battery != "" {
			f.Path = sol.Path(c.battery+".plus", c.battery+".minus").String()
		}
		f.Names = append(append(f.Names, c.h.WiresAt(m.Name+".plus")...), c.h.WiresAt(m.Name+".minus")...)
		f.Names = unique(append(f.Names, c.battery))
		c.add(f)
	}
}

func (c *checker) properFeed(m *maker) string {
	if strings.HasSuffix(c.live, ".minus") {
		return m.Name + ".minus"
	}
	return m.Name + ".plus"
}
