package trace

import "math"

// goodTail is the share of healthy readings on either side of which nothing is
// called good any more.
const goodTail = 0.005

// muchLess is the share of a chance from which it counts as much less.
const muchLess = 0.7

// good reports an answer that a sound engine gives: a reading within the good
// band, the healthy answer of a look, a spark that jumps, a try that changes
// nothing.
func (c *Case) good(g *group, i int) bool {
	t := &c.m.Tests[g.test]
	o := &g.obs[i]
	switch {
	case g.test == 0 || !t.Reading && o.band >= len(t.FaultTest.Answers):
		return false
	case t.Reading:
		return c.readsGood(g.test, o)
	case t.IfRight > 0:
		return t.FaultTest.Answers[o.band].Word == "same"
	case t.JumpsAbove > 0:
		return o.band == t.Answers-1
	}
	best, word := math.Inf(-1), ""
	for _, w := range t.FaultTest.Healthy {
		if w.Value > best {
			best, word = w.Value, w.Name
		}
	}
	return t.FaultTest.Answers[o.band].Word == word
}

// readsGood reports a reading in the band of the healthy figure, or no further
// out than a healthy one may well read.
func (c *Case) readsGood(test int, o *observation) bool {
	t, r, row := &c.m.Tests[test], &c.m.table[test], c.usual[test]
	switch {
	case o.low:
		return r.low[row] > goodTail
	case o.high:
		return r.band[row*r.bands+r.bands-1] > goodTail
	}
	return o.band == t.bandOf(0) ||
		r.between(row, math.Inf(-1), o.x) > goodTail && r.between(row, o.x, math.Inf(1)) > goodTail
}

// against finds the answer that speaks most against an observation: the one
// without which its chance of being a slip would be least; -1 where none makes
// much of a difference. A good answer is contradicted by bad ones only, and only
// by one that takes it under limit: two answers of a sound engine are no
// contradiction, however little is left to be wrong.
func (c *Case) against(g *group, limit float64) int {
	isGood := c.good(g, 0)
	least, test := limit, -1
	if !isGood {
		least = max(limit, muchLess*c.slipChance(g, 0))
	}
	for _, h := range c.groups {
		if h == g || h.era != g.era || h.test == 0 || isGood && c.allGood(h) {
			continue
		}
		if p := c.slipWithout(g, h); p < least {
			least, test = p, h.test
		}
	}
	return test
}

func (c *Case) allGood(g *group) bool {
	for i := range g.obs {
		if !c.good(g, i) {
			return false
		}
	}
	return true
}

// slipWithout is the chance that a group's first observation was a slip, were
// another group's answers not known.
func (c *Case) slipWithout(g, h *group) float64 {
	c.chanceWithout(h, -1) // leaves the weights in c.without
	highest := math.Inf(-1)
	for _, l := range c.without {
		highest = max(highest, l)
	}
	sum, of := 0.0, 0.0
	for i, l := range c.without {
		r := c.rowOf(g, i)
		if r < 0 || l-highest < -30 {
			continue
		}
		w := math.Exp(l - highest)
		sum += w
		of += w * g.slipped[0][r]
	}
	if sum <= 0 {
		return 1
	}
	return of / sum
}
