package trace

import "math"

// doubted finds the reading that is likeliest a slip, where that is likely
// enough to have it repeated.
func (c *Case) doubted() (Step, bool) {
	if c.set.AskAgain <= 0 {
		return Step{}, false
	}
	worst, at, against := c.set.AskAgain, -1, -1
	for i, g := range c.groups {
		if !c.repeatable(g) {
			continue
		}
		p := c.slipChance(g, 0)
		if p < worst || p < doubtAt && c.dangerous(g.test) {
			continue
		}
		by := c.against(g, c.set.AskAgain)
		if by < 0 && c.good(g, 0) {
			continue // nothing that was read contradicts it
		}
		worst, at, against = p, i, by
	}
	if at < 0 {
		return Step{}, false
	}
	s := c.again(c.groups[at])
	s.Against = against
	return s, true
}

// dangerous reports a test of last resort: it is repeated only where its answer
// is doubted in words too, never to make sure.
func (c *Case) dangerous(test int) bool { return c.m.Tests[test].Hazard >= lastResort }

// repeatable reports whether a test that was answered once can be done again
// and may then be answered otherwise.
func (c *Case) repeatable(g *group) bool {
	return len(g.obs) == 1 && g.test != 0 && !c.m.Tests[g.test].Once && g.era == len(c.eras) && !c.stale[g.test] && !c.skipped[g.test]
}

// again is the step that has a group's test repeated.
func (c *Case) again(g *group) Step {
	return Step{Kind: Again, Test: g.test, Against: -1, Cure: top(c.cures), Minutes: c.minutes(g.test), Slip: c.slipClass(g, 0)}
}

// rowOf is the row of a group's test under an atom.
func (c *Case) rowOf(g *group, atom int) int {
	if g.era > 0 {
		if atom = int(c.eras[g.era-1].left[atom]); atom < 0 {
			return -1
		}
	}
	return c.m.row(g.test, atom)
}

// slipChance is the chance that one observation was not what stood there.
func (c *Case) slipChance(g *group, i int) float64 {
	sum := 0.0
	for _, a := range c.active {
		if r := c.rowOf(g, int(a)); r >= 0 {
			sum += c.w[a] * g.slipped[i][r]
		}
	}
	return sum
}

// slipClass is what an observation most likely was, if it was a slip.
func (c *Case) slipClass(g *group, i int) Slip {
	var sums [slipClasses]float64
	for _, a := range c.active {
		if r := c.rowOf(g, int(a)); r >= 0 {
			for s, p := range g.classes[i][r] {
				sums[s] += c.w[a] * p
			}
		}
	}
	best := OtherSlip
	for s := ThousandSlip; s <= OtherSlip; s++ {
		if sums[s] > sums[best] {
			best = s
		}
	}
	return best
}

// leaned finds the reading without which the cure that is about to be named
// would stand worst, where it would fall under the setting's chance.
func (c *Case) leaned(cure int) (Step, bool) {
	if c.set.Lean <= 0 {
		return Step{}, false
	}
	if c.leanedOn() >= c.set.Leans {
		return Step{}, false
	}
	least, at := c.set.Lean, -1
	for i, g := range c.groups {
		if !c.repeatable(g) || c.dangerous(g.test) || c.good(g, 0) {
			continue
		}
		if p := c.chanceWithout(g, cure); p < least {
			least, at = p, i
		}
	}
	if at < 0 {
		return Step{}, false
	}
	return c.again(c.groups[at]), true
}

// leanedOn counts the repeats since the last cure that the likeliest cure
// leans on.
func (c *Case) leanedOn() int {
	n := 0
	cure := top(c.cures)
	for _, g := range c.groups {
		if g.era == len(c.eras) && len(g.obs) > 1 && c.chanceWithout(g, cure) < c.set.Lean {
			n++
		}
	}
	return n
}

// chanceWithout is the chance of a cure without the answers of one group.
func (c *Case) chanceWithout(g *group, cure int) float64 {
	highest := math.Inf(-1)
	for i, l := range c.log {
		if r := c.rowOf(g, i); r >= 0 && !math.IsInf(l, -1) {
			l -= g.like[r]
		}
		c.without[i] = l
		highest = max(highest, l)
	}
	if math.IsInf(highest, -1) {
		return 0
	}
	sum, of := 0.0, 0.0
	for i, l := range c.without {
		if l-highest < -30 {
			continue
		}
		w := math.Exp(l - highest)
		sum += w
		if a, b := c.now(i); int(a) == cure || int(b) == cure {
			of += w
		}
	}
	return of / sum
}
