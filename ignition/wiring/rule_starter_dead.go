package wiring

// RuleStarterDead finds a starter that does not turn in start.
const RuleStarterDead = "starter-dead"

func starterDead(c *checker) {
	if c.starter == "" || c.live == "" {
		return
	}
	if !c.hasStart {
		c.add(fault("nothing works the starter: no position of the key and no button turns it", c.starter).harm("the engine must be started by rope or hand").
			cure("join the starter's solenoid to a start contact"))
		return
	}
	s := c.starting()
	if c.starterTurns(s) {
		return
	}
	p, _ := c.h.Part(c.starter)
	f := fault("the starter does not turn in start", c.starter).
		figure("starter current", amps(c.amperes(c.starter, s)), "about "+amps(c.h.volts.Volts()/p.Values[Resistance].Nominal.SI()), "").
		harm("the engine cannot be started").shown(c.h, s)
	for _, name := range c.h.OfKind(Solenoid) {
		f.Names = append(f.Names, name)
		if c.at(s).On(name) {
			f.Text += ", although " + name + " pulls in"
			way := c.h.trail(c.live, c.starter+".plus", nil, append([]Kind{Solenoid}, seriesKinds...))
			f = f.path(way.String()).cure("look for the break or the resistance between the battery, " + name + ", the starter and back to the battery")
			f.Names = append(f.Names, way.names()...)
			continue
		}
		path, words, names := c.broken(name+".switch", s)
		f.Text += ": " + words
		f = f.path(path).cure("give " + name + ".switch its feed in start, and " + name + ".ground its ground")
		f.Names = append(f.Names, names...)
	}
	f.Names = unique(append(f.Names, c.battery))
	c.add(f)
}
