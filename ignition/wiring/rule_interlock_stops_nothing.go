package wiring

import (
	"math"

	"gapbook.example/ignition"
)

// RuleInterlockStopsNothing finds a safety switch that does not stop the engine
// where it should.
const RuleInterlockStopsNothing = "interlock-stops-nothing"

func interlockStopsNothing(c *checker) {
	all := uint32(1)<<len(c.h.locks) - 1
	for i, name := range c.h.Interlocks() {
		p, _ := c.h.Part(name)
		of := p.Word("of")
		if (of == "drive" || of == "pto") && c.starter != "" {
			continue // those keep the starter from turning
		}
		for k := range c.makers {
			m := &c.makers[k]
			s := c.running()
			s.Unsafe = 1 << i
			together := s
			together.Unsafe = all
			if c.stops(m, s) || c.stops(m, together) && !c.anyLockStops(m, all&^(1<<i)) && len(c.h.locks) > 1 {
				continue
			}
			if of == "" && c.starter != "" && !c.startsWith(1<<i) {
				continue
			}
			f := fault("the safety switch "+name+" does not stop the engine in its unsafe state", name, m.Name).
				harm("the machine goes on running with nobody at it").shown(c.h, s)
			if m.own {
				f = f.cure("on a magneto this switch must ground the kill wire in its unsafe state: use its contact that closes then, from " + m.kill + " to the engine")
			} else {
				f = f.cure("on battery ignition this switch must interrupt the feed in its unsafe state: use its contact that opens then, in the feed of " + m.Name)
			}
			if of == "" {
				f = f.weighs(ignition.Doubt)
				f.Text += "; nothing says what it is for"
			}
			for _, t := range []string{"a", "b"} {
				f.Names = append(f.Names, c.h.WiresAt(name+"."+t)...)
			}
			f.Names = unique(f.Names)
			c.add(f)
			break
		}
	}
}

// anyLockStops reports whether the other safety switches stop the engine.
func (c *checker) anyLockStops(m *maker, others uint32) bool {
	s := c.running()
	s.Unsafe = others
	return others != 0 && c.stops(m, s)
}

// startsWith reports whether the starter turns with safety switches unsafe.
func (c *checker) startsWith(unsafe uint32) bool {
	if !c.hasStart {
		return false
	}
	s := c.starting()
	s.Unsafe = unsafe
	return c.starterTurns(s)
}

// starterTurns reports whether the starter gets enough current to turn.
func (c *checker) starterTurns(s State) bool {
	if c.starter == "" {
		return false
	}
	p, _ := c.h.Part(c.starter)
	return math.Abs(c.amperes(c.starter, s)) >= c.least*c.h.volts.Volts()/p.Values[Resistance].Nominal.SI()
}
