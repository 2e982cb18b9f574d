package wiring

import (
	"math"
)

// RuleNotFedRun finds a spark maker whose current does not start and stop with
// the breaker while the key is in run.
const RuleNotFedRun = "not-fed-run"

func notFedRun(c *checker) {
	if len(c.makers) == 0 {
		f := fault("nothing in the harness makes a spark: it has no coil and no magneto").cure("add the part that makes the spark, or check another harness")
		f.Part = "ignition"
		c.add(f)
	}
	for i := range c.makers {
		m := &c.makers[i]
		for _, s := range []State{c.running(), c.cranking()} {
			if c.fires(m, s) || c.neverInterrupted(m, s) {
				continue
			}
			c.notFed(m, s)
			break
		}
	}
}

// notFed says why no current starts and stops in a spark maker.
func (c *checker) notFed(m *maker, s State) {
	_, closed, open := c.step(m, s)
	f := fault("").harm("no spark: the engine does not fire with the key there").shown(c.h, s)
	f.Names = []string{m.Name}
	f.Quantity, f.Reading = "primary current", amps(closed)+" with the points closed, "+amps(open)+" with them open"
	f.Limit = "it must flow with the points closed and stop as they open; left to itself the part would take " + amps(m.full)
	if m.own && m.Kind == Coil { // a charge or source coil feeds it
		f.Reading = amps(open) + " as the points or the unit fire, " + amps(closed) + " before"
		f.Limit = "there must be a step of about " + amps(m.full)
	}
	loose := c.looseEnds()
	switch {
	case m.own && m.Kind != Coil && math.Max(math.Abs(closed), math.Abs(open)) >= c.least*m.full:
		way := c.grounded(m.kill, c.opened(s))
		f.Text = m.kill + " is grounded with the key there, as if to stop the engine"
		f = f.path(way.String()).cure("take the ground off " + m.kill + ": only the stop position may ground it")
		f.Names = append(f.Names, way.names()...)
	case m.own:
		f.Text = "no current starts and stops in " + m.Name + " as the engine turns"
		if m.kill != "" {
			if r := c.grounded(m.kill, c.opened(s)); r != nil {
				f = f.path(r.String())
				f.Names = append(f.Names, r.names()...)
			}
		}
		f = f.cure("follow the path from the part that makes the current to " + m.Name + " and back to the engine")
	default:
		path, words, names := c.broken(m.feed, s)
		f.Path = path
		f.Names = append(append(f.Names, names...), c.h.WiresAt(m.feed)...)
		if c.live != "" && c.alive(c.at(s), m.feed) {
			words = "the feed arrives at " + m.feed + ", and with the points closed no way leads on from " + m.low + " to the engine and back to " + c.dead
			if r := c.grounded(m.feed, s); r != nil && c.shunted(m, s) {
				words = "the feed arrives at " + m.feed + " and goes to ground beside the part"
				f.Path = r.String()
				f.Names = append(f.Names, r.names()...)
			}
			f = f.cure("find the missing joint behind " + m.low)
		} else {
			f = f.cure("give " + m.feed + " a feed that is live with the key there")
		}
		f.Text = words
	}
	if len(loose) > 0 {
		f.Text += "; nothing is joined to " + list(loose)
		for _, l := range loose {
			f.Names = append(f.Names, partOf(l))
		}
	}
	f.Names = unique(f.Names)
	c.add(f)
}

// shunted reports whether both ends of a spark maker are at the same volts.
func (c *checker) shunted(m *maker, s State) bool {
	v, ok := c.at(s).Across(m.feed, m.low)
	return ok && math.Abs(v.Volts()) < c.least*c.h.volts.Volts()
}

// looseEnds lists terminals that the ignition needs and nothing is joined to.
func (c *checker) looseEnds() []string {
	needs := map[Kind][]string{
		Points: {"arm", "plate"}, Timer: {"contact", "body"}, Igniter: {"electrode", "body"},
		Module: {"feed", "out", "ground", "trigger-a", "trigger-b"}, Trigger: {"a", "b"},
		CDUnit: {"charge", "out", "ground", "trigger-a", "trigger-b"}, CDBox: {"feed", "out", "ground", "trigger-a", "trigger-b"},
		ChargeCoil: {"out", "ground"}, SourceCoil: {"out", "ground"}, Coil: {"plus", "minus"}, TremblerCoil: {"plus", "timer"},
		LowTensionCoil: {"in", "out"}, FlywheelMagneto: {"primary", "ground"}, FlywheelModule: {"ground"}, RotorMagneto: {"ground"},
		Battery: {"plus", "minus"}, DryCells: {"plus", "minus"},
	}
	var out []string
	for _, p := range c.h.parts {
		for _, t := range needs[p.Kind] {
			if len(c.h.WiresAt(p.Name+"."+t)) == 0 {
				out = append(out, p.Name+"."+t)
			}
		}
	}
	return out
}
