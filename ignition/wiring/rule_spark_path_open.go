package wiring

// RuleSparkPathOpen finds a tower whose spark has no way to a plug and back.
const RuleSparkPathOpen = "spark-path-open"

func sparkPathOpen(c *checker) {
	ground := c.h.reach(c.h.ref, nil, []Kind{Connector})
	for _, tower := range c.towers() {
		island := c.h.reach(c.h.nodeAt[tower], nil, []Kind{Lead, Cap, Connector})
		plug := ""
		for _, name := range c.h.OfKind(Plug) {
			if island[c.h.nodeAt[name+".terminal"]] || island[c.h.nodeAt[name+".body"]] {
				plug = name
			}
		}
		var names []string
		for n, ok := range island {
			if ok {
				names = append(names, partOf(c.h.nodes[n].addr))
			}
		}
		switch {
		case plug == "":
			f := fault("nothing leads from "+tower+" to a plug", append([]string{partOf(tower)}, names...)...).
				harm("no spark; and a coil run with its tower open breaks down inside").
				cure("join " + tower + " to its plug by a lead before the engine is turned")
			f.Names = unique(append(f.Names, c.h.OfKind(Lead, Cap, Plug)...))
			c.add(f)
		case !ground[c.h.nodeAt[plug+".body"]] && !ground[c.h.nodeAt[plug+".terminal"]]:
			f := fault("the body of "+plug+" is not joined to the engine", plug, partOf(tower)).
				harm("the spark has no way back and finds one through you, the coil or the electronics").
				cure("screw the plug in, or ground its body for a test")
			c.add(f)
		}
	}
}

// towers lists the high-tension terminals.
func (c *checker) towers() []string {
	var out []string
	for i := range c.makers {
		for _, t := range []string{"ht", "ht2"} {
			if _, ok := c.h.nodeAt[c.makers[i].Name+"."+t]; ok {
				out = append(out, c.makers[i].Name+"."+t)
			}
		}
	}
	return out
}
