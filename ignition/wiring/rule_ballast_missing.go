package wiring

import (
	"math"
)

// RuleBallastMissing finds a coil that wants a ballast and has none.
const RuleBallastMissing = "ballast-missing"

func ballastMissing(c *checker) {
	for i := range c.makers {
		m := &c.makers[i]
		if m.own || m.Kind != Coil || m.Word("class") != "ballasted" || len(c.ballasts(m)) > 0 {
			continue
		}
		s := c.still()
		_, closed, _ := c.step(m, s)
		if closed == 0 {
			_, closed, _ = c.step(m, c.running())
		}
		fig, _, ok := c.limit("primary_total", "battery-points-12v")
		if !ok {
			continue // a coil like this is right on 6 V
		}
		total := m.Values[Primary].Nominal.SI() + c.otherOhms(m, s)
		if !fig.Band.Min.IsZero() && total >= fig.Band.Min.Quantity.SI() {
			continue // resistance wire, written as a wire or a connector
		}
		limit, source := "at least "+fig.Band.Min.Quantity.String()+" in all", c.cite(fig)
		c.add(fault("the coil "+m.Name+" wants a ballast in its feed and has none", m.Name).
			figure("coil primary with ballast", ohm(total), limit, source).
			harm("it takes "+amps(closed)+": the coil cooks, and points or module burn").
			cure("put a ballast in the feed in front of "+m.feed+", or fit a coil with all its resistance inside").
			path(c.feedTrail(m).String()).shown(c.h, s))
	}
}

// feedTrail is the way of a coil's feed in run, or the way that was meant.
func (c *checker) feedTrail(m *maker) Path {
	if way := c.h.trail(c.live, m.feed, c.at(c.running()), seriesKinds); way != nil {
		return way
	}
	return c.h.trail(c.live, m.feed, nil, seriesKinds)
}

// ballasts lists the ballasts on the way to a coil's feed.
func (c *checker) ballasts(m *maker) []string {
	var out []string
	for _, hop := range c.feedTrail(m) {
		if p, ok := c.h.Part(hop.Through); ok && p.Kind == Ballast {
			out = append(out, hop.Through)
		}
	}
	if out == nil {
		// By-passed for good it still belongs to the coil.
		for _, b := range c.h.OfKind(Ballast) {
			for _, t := range []string{"in", "out"} {
				if c.h.reach(c.h.nodeAt[m.feed], nil, nil)[c.h.nodeAt[b+"."+t]] {
					out = append(out, b)
				}
			}
		}
	}
	return unique(out)
}

// otherOhms is the resistance of the feed in front of a coil, ballast and all.
func (c *checker) otherOhms(m *maker, s State) float64 {
	sol := c.at(s)
	i := math.Abs(c.amperes(m.Name, s))
	if sol == nil || i == 0 {
		return 0
	}
	v, ok := sol.Across(c.live, m.feed)
	if !ok {
		return 0
	}
	return math.Abs(v.Volts()) / i
}
