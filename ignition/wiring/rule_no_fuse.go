package wiring

// RuleNoFuse finds a feed that no fuse protects.
const RuleNoFuse = "no-fuse"

func noFuse(c *checker) {
	if c.live == "" || c.dry {
		return
	}
	sol := c.at(c.still())
	if sol == nil {
		return
	}
	reached := c.h.reach(c.h.nodeAt[c.live], sol, noFuseKinds)
	var targets []string
	if t, key, ok := c.h.Switch(); ok {
		for _, name := range t.Terminals {
			targets = append(targets, key+"."+name)
		}
	}
	for _, m := range c.makers {
		if !m.own {
			targets = append(targets, m.feed)
		}
	}
	for _, p := range c.h.parts {
		switch p.Kind {
		case Module, CDBox:
			targets = append(targets, p.Name+".feed")
		case Load:
			targets = append(targets, p.Name+".a", p.Name+".b")
		}
	}
	for _, t := range targets {
		if !reached[c.h.nodeAt[t]] || reached[c.h.ref] {
			continue
		}
		way := c.h.trail(c.live, t, sol, noFuseKinds)
		fig, _ := c.book.WireTable("fuse-share")
		f := fault("no fuse stands between "+c.live+" and "+t, append([]string{partOf(t)}, way.names()...)...).
			harm("a chafed wire burns the loom, with the battery's whole current behind it").
			cure("put a fuse near "+c.live+", no bigger than the thinnest wire behind it allows").
			path(way.String()).shown(c.h, c.still())
		f.Names = unique(append(f.Names, c.h.OfKind(Fuse)...))
		if fig != nil && len(fig.Columns) > 0 {
			f.Source = c.citeBasis(fig.Columns[0].Source, fig.Columns[0].Place, fig.Columns[0].Basis)
		}
		c.add(f)
		return
	}
}
