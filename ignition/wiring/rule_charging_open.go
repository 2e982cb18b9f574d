package wiring

// RuleChargingOpen finds a charging set that is not joined to the battery.
const RuleChargingOpen = "charging-open"

func chargingOpen(c *checker) {
	if c.live == "" {
		return
	}
	for _, name := range c.h.OfKind(Alternator, Generator) {
		seen := c.h.reach(c.h.nodeAt[name+".out"], c.at(c.running()), seriesKinds)
		if seen[c.h.nodeAt[c.live]] {
			continue
		}
		f := fault("no way leads from "+name+".out to the battery with the engine running", name, c.battery).
			harm("the battery is never charged, and a regulator without a battery may be ruined").
			cure("join "+name+".out to the battery through its fuse").shown(c.h, c.running())
		f.Names = append(f.Names, c.h.WiresAt(name+".out")...)
		for _, fuse := range c.h.OfKind(Fuse) {
			if seen[c.h.nodeAt[fuse+".a"]] || seen[c.h.nodeAt[fuse+".b"]] {
				f.Names = append(f.Names, fuse)
			}
		}
		f.Names = unique(f.Names)
		c.add(f)
	}
}
