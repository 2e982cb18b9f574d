package wiring

import (
	"slices"

	"gapbook.example/specs"
)

// RuleCoilOnKillTerminal finds a battery coil on the kill terminal of a
// magneto-type key switch: it is never fed, and grounded in off.
const RuleCoilOnKillTerminal = "coil-on-kill-terminal"

func coilOnKillTerminal(c *checker) {
	c.coilOn(func(m *maker, t string, w keyWays) bool {
		if w.table.Roles.Kill != t && !(w.table.Type == "magneto" && len(w.fed) == 0) {
			return false
		}
		f := c.onTerminal(m, t, "it never feeds anything: it is joined to ground in off and to nothing in run and start").
			harm("no spark in any position: in off the coil's feed wire is only grounded, in run and start it hangs in the air").
			cure("buy a battery-type switch, one that joins its battery terminal to a coil terminal (I) in run and in start and grounds nothing in off; leave the old one to the magneto")
		c.add(f)
		return true
	})
}

// keyWays is what a key does with one of its terminals.
type keyWays struct {
	table    *specs.SwitchTable
	key      string
	fed      []string // positions in which it is joined to the battery's terminal
	grounded []string // positions in which it is joined to a grounded terminal
}

// coilOn calls found for each terminal of the key that is the only feed of a
// battery coil, until it returns true.
func (c *checker) coilOn(found func(m *maker, t string, w keyWays) bool) {
	table, key, ok := c.h.Switch()
	if !ok || c.live == "" {
		return
	}
	var feeds, grounds []string
	kinds := slices.DeleteFunc(slices.Clone(seriesKinds), func(k Kind) bool { return k == KeySwitch })
	for _, t := range table.Terminals {
		reached := c.h.reach(c.h.nodeAt[key+"."+t], nil, kinds)
		if reached[c.h.nodeAt[c.live]] {
			feeds = append(feeds, t)
		}
		if reached[c.h.ref] {
			grounds = append(grounds, t)
		}
	}
	for i := range c.makers {
		m := &c.makers[i]
		if m.own {
			continue
		}
		on := c.keyTerminals(m.feed)
		if len(on) != 1 {
			continue
		}
		t := on[0]
		w := keyWays{table: table, key: key}
		for _, p := range table.Positions {
			if slices.ContainsFunc(feeds, func(b string) bool { return b != t && p.Joined(b, t) }) {
				w.fed = append(w.fed, p.Name)
			}
			if slices.ContainsFunc(grounds, func(b string) bool { return b != t && p.Joined(b, t) }) {
				w.grounded = append(w.grounded, p.Name)
			}
		}
		found(m, t, w)
	}
}

// onTerminal starts a finding about a coil on the wrong terminal of the key.
func (c *checker) onTerminal(m *maker, t, says string) Finding {
	table, key, _ := c.h.Switch()
	path := c.h.trail(key+"."+t, m.feed, nil, seriesKinds)
	f := fault(m.Name+" is fed from "+key+"."+t+" of a "+table.Label+"; "+says+". "+key+"."+t+" is joined, in "+c.joins(t), m.Name, key).
		path(path.String()).shown(c.h, c.still())
	f.Names = unique(append(f.Names, path.names()...))
	if len(table.Sources) > 0 {
		f.Source = c.citeBasis(table.Sources[0].Source, table.Sources[0].Place, table.Sources[0].Basis)
	}
	return f
}
