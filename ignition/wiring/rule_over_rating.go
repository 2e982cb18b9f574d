package wiring

import (
	"gapbook.example/ignition"
)

// RuleOverRating finds a relay, connector or module that carries more than it
// is made for.
const RuleOverRating = "over-rating"

func overRating(c *checker) {
	for _, name := range c.h.OfKind(Relay, Connector, Module) {
		p, _ := c.h.Part(name)
		rating, ok := p.Values[Rating]
		if !ok || rating.Assumed {
			continue
		}
		steady := func(s State) bool { return p.Kind != Connector || !c.starterTurns(s) }
		worst, at := c.worst(name, steady)
		if worst <= rating.Nominal.SI() {
			continue
		}
		low, _ := c.currentBand(name, at, worst)
		severity := ignition.Doubt
		if low > rating.Nominal.SI() {
			severity = ignition.Fault
		}
		c.add(fault(name+" carries more than it is made for", name).weighs(severity).
			figure("current in "+name, amps(worst), "at most "+rating.Nominal.String(), "the harness").
			harm("its contacts or its transistor burn").cure("fit one that is made for the current, or find what draws it").shown(c.h, at))
	}
}
