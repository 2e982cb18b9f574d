package trace

import (
	"cmp"
	"slices"
)

// Left lists the tests that can still be asked, whatever they would tell, those
// of the fewest minutes and the least hazard first. Openings that were paid for
// are not in the minutes; Bits is not worked out.
func (c *Case) Left() []Step {
	var list []Step
	for t := range c.m.Tests {
		if c.canAsk(t) {
			list = append(list, Step{Kind: Ask, Test: t, Cure: top(c.cures), Minutes: c.minutes(t), Against: -1})
		}
	}
	slices.SortStableFunc(list, func(a, b Step) int { return cmp.Compare(c.weighed(a.Test), c.weighed(b.Test)) })
	return list
}
