package wiring

import (
	"math"

	"gapbook.example/ignition"
)

// RuleFuseBlows finds a fuse that carries more than its rating.
const RuleFuseBlows = "fuse-blows"

func fuseBlows(c *checker) {
	holds := 1.0
	if t, ok := c.book.WireTable("fuse-holds"); ok {
		holds = t.Columns[0].Factor
	}
	for _, name := range c.h.OfKind(Fuse) {
		p, _ := c.h.Part(name)
		rating, ok := p.Values[Rating]
		if !ok {
			continue
		}
		worst, at := c.worst(name, func(State) bool { return true })
		if worst <= holds*rating.Nominal.SI() {
			continue
		}
		low, _ := c.currentBand(name, at, worst)
		severity := ignition.Doubt
		if low > holds*rating.Nominal.SI() {
			severity = ignition.Fault
		}
		sol := c.at(at)
		way := c.through(sol, name)
		f := fault("the fuse "+name+" carries more than its rating", append([]string{name}, way.names()...)...).weighs(severity).
			figure("current in "+name, amps(worst), "at most "+rating.Nominal.String(), "").
			harm("it blows, at once or on the road").
			cure("find what takes the current; never fit a bigger fuse than the wire allows").
			path(way.String()).shown(c.h, at)
		f.Names = unique(f.Names)
		c.add(f)
	}
}

// worst finds the state in which most current flows in a wire or part.
func (c *checker) worst(name string, counts func(State) bool) (amperes float64, at State) {
	done := make([]bool, len(c.solved.unique))
	for i, s := range c.solved.states {
		if k := c.solved.which[i]; !done[k] && counts(s) {
			done[k] = true
			if x, ok := c.solved.unique[k].Current(name); ok && math.Abs(x.Amperes()) > amperes*1.001 {
				amperes, at = math.Abs(x.Amperes()), s
			}
		}
	}
	return amperes, at
}

// through is the whole way of the current that flows in a part of two ends.
func (c *checker) through(sol *Solution, name string) Path {
	if c.battery == "" {
		return nil
	}
	from, to := c.battery+".plus", c.battery+".minus"
	p, _ := c.h.Part(name)
	t := p.Kind.Terminals()
	if len(t) < 2 {
		return sol.Path(from, to)
	}
	first, second := name+"."+t[0], name+"."+t[1]
	if i, _ := sol.Current(name); i.Amperes() < 0 {
		first, second = second, first
	}
	path := append(append(sol.Path(from, first), sol.Path(first, second)[min(1, len(sol.Path(first, second))):]...), sol.Path(second, to)[min(1, len(sol.Path(second, to))):]...)
	return path
}
