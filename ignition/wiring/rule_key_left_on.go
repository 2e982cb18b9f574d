package wiring

import (
	"math"

	"gapbook.example/ignition"
)

// RuleKeyLeftOn notes what a key left on with the points closed does to the
// coil.
const RuleKeyLeftOn = "key-left-on"

func keyLeftOn(c *checker) {
	fig, _, ok := c.limit("primary_current", "points-closed")
	if !ok || c.live == "" || len(c.h.OfKind(Points)) == 0 {
		return
	}
	for i := range c.makers {
		m := &c.makers[i]
		s := c.still()
		x := math.Abs(c.amperes(m.Name, s))
		if m.own || x <= fig.Band.Max.Quantity.SI() {
			continue
		}
		watts, _ := c.at(s).Watts(m.Name)
		c.add(fault("with the key left on and the points closed "+m.Name+" turns "+show(watts.Quantity())+" into heat", m.Name).weighs(ignition.Note).
			figure("primary current", amps(x), "at most "+fig.Band.Max.Quantity.String()+", for an engine stopped with its points closed", c.cite(fig)).
			harm("coil and points cook for as long as the key stays on").
			cure("key off whenever the engine stands; the page gives no system voltage, so this is no more than a warning").shown(c.h, s))
	}
}
