package wiring

import (
	"slices"
)

// RuleNoGround finds a part that must be grounded and is not.
const RuleNoGround = "no-ground"

func noGround(c *checker) {
	ends := map[Kind][]string{
		Battery: {"plus", "minus"}, DryCells: {"plus", "minus"}, Points: {"plate", "arm"}, Timer: {"body", "contact"}, Igniter: {"body", "electrode"},
		Module: {"ground"}, CDBox: {"ground"}, CDUnit: {"ground"}, FlywheelMagneto: {"ground", "primary"}, FlywheelModule: {"ground"}, RotorMagneto: {"ground"},
		SourceCoil: {"ground", "out"}, ChargeCoil: {"ground", "out"}, Starter: {"ground", "plus"}, Alternator: {"ground"}, Generator: {"ground"},
		Solenoid: {"ground", "switch"},
	}
	grounded := c.h.reach(c.h.ref, nil, returnKinds)
	wires := c.h.reach(c.h.ref, nil, []Kind{Connector})
	for _, p := range c.h.parts {
		need := ends[p.Kind]
		if p.Kind == Coil && (p.Word("class") == "capacitor" || p.Word("class") == "transfer") {
			need = []string{"minus", "plus"}
		}
		if need == nil || slices.ContainsFunc(need, func(t string) bool {
			n := c.h.nodeAt[p.Name+"."+t]
			return wires[n] || (p.Kind == Battery || p.Kind == DryCells) && grounded[n]
		}) {
			continue
		}
		at := p.Name + "." + need[0]
		if p.Name == c.battery {
			at = c.dead
		}
		f := fault(p.Name+" has no way back: "+at+" is not joined to the engine", p.Name).
			harm("no current can return, so it does nothing, or finds its way through something that is not made for it").
			cure("join " + at + " to the engine, metal to bright metal")
		f.Names = append(f.Names, c.h.WiresAt(at)...)
		c.add(f)
	}
}
