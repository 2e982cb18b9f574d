package wiring

// RuleSparkPathShorted finds high tension joined to something that cannot bear
// it.
const RuleSparkPathShorted = "spark-path-shorted"

func sparkPathShorted(c *checker) {
	towers := c.towers()
	for _, tower := range towers {
		island := c.h.reach(c.h.nodeAt[tower], nil, []Kind{Lead, Cap})
		var touched []string
		for n, ok := range island {
			if !ok || c.h.nodes[n].addr == tower {
				continue
			}
			switch p := c.h.parts[c.h.nodes[n].part]; {
			case p.Kind == Lead, p.Kind == Cap, p.Kind == Plug, p.Kind == Connector, p.Kind == Meter:
			default:
				touched = append(touched, c.h.nodes[n].addr)
			}
		}
		if touched == nil {
			continue
		}
		way := c.h.trail(tower, touched[0], nil, []Kind{Lead, Cap})
		f := fault("the high tension of "+tower+" is joined to "+list(touched), append([]string{partOf(tower)}, way.names()...)...).
			harm("no spark at the plug, and kilovolts where volts belong").
			cure("take away the joint: from the tower the only way is lead, cap and plug").path(way.String())
		for _, t := range touched {
			f.Names = append(f.Names, partOf(t))
		}
		f.Names = unique(f.Names)
		c.add(f)
	}
}
