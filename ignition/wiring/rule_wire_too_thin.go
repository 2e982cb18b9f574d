package wiring

import (
	"strings"

	"gapbook.example/ignition"
)

// RuleWireTooThin finds a wire that carries more than it may for long.
const RuleWireTooThin = "wire-too-thin"

func wireTooThin(c *checker) {
	discharge := len(c.h.OfKind(CDUnit, CDBox)) > 0
	steady := func(s State) bool {
		// What a starter takes, and what a capacitor gives as it fires, is brief.
		return !c.starterTurns(s) && !(discharge && s.Open != 0 && s.Engine != Still)
	}
	for _, w := range c.h.draft.Wires {
		if w.IsJoint() {
			continue
		}
		allowed, sources, ok := Allowable(c.book, w.Gauge, w.Insulation, w.EngineSpace, w.Bundle)
		if !ok {
			continue // how it is fused decides
		}
		worst, at := c.worst(w.Name, steady)
		if worst <= allowed.Amperes() {
			continue
		}
		low, _ := c.currentBand(w.Name, at, worst)
		severity := ignition.Doubt
		if low > allowed.Amperes() {
			severity = ignition.Fault
		}
		c.add(fault("the wire "+w.Name+" carries more than "+w.Gauge.String()+" may for long", w.Name, partOf(w.From), partOf(w.To)).weighs(severity).
			figure("current in "+w.Name, amps(worst), "at most "+allowed.String(), strings.Join(sources, "; ")).
			harm("it gets hot, its insulation fails and it shorts").
			cure("take out what draws the current, or fit thicker wire").
			path(w.From+" -("+w.Name+")- "+w.To).shown(c.h, at))
	}
}
