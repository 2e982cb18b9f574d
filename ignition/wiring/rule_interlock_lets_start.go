package wiring

import (
	"strings"
)

// RuleInterlockLetsStart finds a safety switch of the drive or the cutter that
// lets the starter turn in its unsafe state.
const RuleInterlockLetsStart = "interlock-lets-start"

func interlockLetsStart(c *checker) {
	if !c.hasStart || !c.starterTurns(c.starting()) {
		// Where it does not turn at all another rule says so; a switch the wrong
		// way round still shows here.
		if !c.hasStart {
			return
		}
	}
	for i, name := range c.h.Interlocks() {
		p, _ := c.h.Part(name)
		if of := p.Word("of"); of != "drive" && of != "pto" {
			continue
		}
		s := c.starting()
		s.Unsafe = 1 << i
		if !c.starterTurns(s) {
			continue
		}
		solenoids := c.h.OfKind(Solenoid)
		f := fault("the starter turns with the "+p.Word("of")+" switch "+name+" in its unsafe state", name, c.starter).
			figure("starter current", amps(c.amperes(c.starter, s)), "none", "").
			harm("the engine starts with the drive or the cutter engaged").
			cure("let the whole start feed pass this switch, by its contact that is closed only in the safe state; take away any wire around it").shown(c.h, s)
		if len(solenoids) > 0 && c.live != "" {
			way := c.at(s).Path(c.live, solenoids[0]+".switch")
			if strings.HasSuffix(c.live, ".minus") {
				way = c.at(s).Path(solenoids[0]+".switch", c.live)
			}
			f.Path = way.String()
			f.Names = append(f.Names, way.names()...)
		}
		for _, t := range []string{"a", "b"} {
			f.Names = append(f.Names, c.h.WiresAt(name+"."+t)...)
		}
		f.Names = unique(f.Names)
		c.add(f)
	}
}
