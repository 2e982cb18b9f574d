package wiring

import (
	"math"
	"slices"
	"strings"
)

// seriesKinds are parts that a feed passes through on its way; the others use
// the current.
var seriesKinds = []Kind{Fuse, Connector, KeySwitch, Button, Interlock, Relay, Ballast}

// noFuseKinds are those that a short circuit passes without being cut.
var noFuseKinds = []Kind{Connector, KeySwitch, Button, Interlock, Relay, Ballast}

// returnKinds are parts that may stand in a ground lead.
var returnKinds = []Kind{Connector, Fuse, Button}

// passes reports whether a trail may go through an element: wires always, parts
// by their kind, and of a relay its contacts alone.
func (h *Harness) passes(e *element, kinds []Kind) bool {
	if e.owner < 0 {
		return true
	}
	p := &h.parts[e.owner]
	if !slices.Contains(kinds, p.Kind) || e.e >= 0 {
		return false
	}
	switch p.Kind {
	case Relay:
		return e.when.on[0] > 0 || e.when.off > 0
	case Solenoid:
		return e.when.on[0] > 0
	}
	return true
}

// reach marks every terminal joined to one, through wires and parts of the
// kinds; in a solution only through what conducts there, and without one
// through every contact whatever its state.
func (h *Harness) reach(from int, s *Solution, kinds []Kind) []bool {
	seen := make([]bool, len(h.nodes))
	seen[from] = true
	for queue := []int{from}; len(queue) > 0; queue = queue[1:] {
		n := queue[0]
		for k := range h.elements {
			e := &h.elements[k]
			if e.a != n && e.b != n || s != nil && !has(s.active, k) || !h.passes(e, kinds) {
				continue
			}
			if other := e.a + e.b - n; !seen[other] {
				seen[other] = true
				queue = append(queue, other)
			}
		}
	}
	return seen
}

// trail is the way from one terminal to another that was meant, with the fewest
// steps, through wires and parts of the kinds, contacts closed or not; nil
// where none leads there. It never passes the block.
func (h *Harness) trail(from, to string, s *Solution, kinds []Kind) Path {
	a, ok1 := h.nodeAt[from]
	b, ok2 := h.nodeAt[to]
	if !ok1 || !ok2 {
		return nil
	}
	by := make([]int, len(h.nodes))
	prev := make([]int, len(h.nodes))
	for i := range by {
		by[i], prev[i] = -1, -1
	}
	seen := make([]bool, len(h.nodes))
	seen[a] = true
	for queue := []int{a}; len(queue) > 0 && !seen[b]; queue = queue[1:] {
		n := queue[0]
		if n == h.ref && n != a {
			continue
		}
		for k := range h.elements {
			e := &h.elements[k]
			if e.a != n && e.b != n || s != nil && !has(s.active, k) || !h.passes(e, kinds) {
				continue
			}
			if other := e.a + e.b - n; !seen[other] {
				seen[other], by[other], prev[other] = true, k, n
				queue = append(queue, other)
			}
		}
	}
	if !seen[b] {
		return nil
	}
	var path Path
	for i := b; i >= 0; i = prev[i] {
		hop := Hop{Terminal: h.nodes[i].addr}
		if k := by[i]; k >= 0 {
			e := &h.elements[k]
			hop.Through, hop.Wire = h.owner(e.owner), e.owner < 0
		}
		path = append(path, hop)
	}
	slices.Reverse(path)
	return h.throughKeyOnce(path)
}

// throughKeyOnce makes one step of a way that goes through several contacts of
// the key: which of them close together is the key's affair.
func (h *Harness) throughKeyOnce(path Path) Path {
	var out Path
	for _, hop := range path {
		if n := len(out); n > 1 && hop.Through == out[n-1].Through && !hop.Wire {
			if p := h.parts[h.partAt[hop.Through]]; p.Kind == KeySwitch {
				out[n-1] = hop
				continue
			}
		}
		out = append(out, hop)
	}
	return out
}

// names lists the wires and parts that a path goes through.
func (p Path) names() []string {
	var out []string
	for _, h := range p {
		out = append(out, h.Through)
	}
	return unique(out)
}

// broken says where volts end on the way from the battery's live post to a
// terminal in a state: the way that was meant, and in words where it breaks.
func (c *checker) broken(to string, s State) (path, words string, names []string) {
	h := c.h
	sol := c.at(s)
	if c.live == "" {
		return "", "there is no battery", nil
	}
	total, _ := sol.Across(c.live, c.dead)
	if t := h.trail(c.live, to, nil, seriesKinds); t != nil {
		names = t.names()
		last := 0
		for i, hop := range t {
			if v, ok := sol.Across(hop.Terminal, c.dead); ok && math.Abs(v.Volts()) >= math.Abs(total.Volts())*c.least && c.alive(sol, hop.Terminal) {
				last = i
			}
		}
		if last < len(t)-1 {
			next := t[last+1]
			kind := "the part " + next.Through
			if next.Wire {
				kind = "the wire " + next.Through
			}
			return t.String(), "the volts end at " + t[last].Terminal + ": " + kind + " does not pass them on to " + next.Terminal + " in this state", unique(append([]string{next.Through}, names...))
		}
		return t.String(), "the volts reach " + to, names
	}
	ends := func(from string) string {
		var out []string
		for n, ok := range h.reach(h.nodeAt[from], nil, seriesKinds) {
			if ok && n != h.ref {
				out = append(out, h.nodes[n].addr)
			}
		}
		if len(out) > 6 {
			out = append(out[:6:6], "more")
		}
		return list(out)
	}
	return "", "no wire leads from " + c.live + " to " + to + ": the one side reaches " + ends(c.live) + ", the other " + ends(to), nil
}

// alive reports whether a terminal is joined to the live post in a state.
func (c *checker) alive(sol *Solution, terminal string) bool {
	return c.h.reach(c.h.nodeAt[c.live], sol, append([]Kind{Solenoid}, seriesKinds...))[c.h.nodeAt[terminal]]
}

// grounded says by which way a terminal is grounded in a state.
func (c *checker) grounded(terminal string, s State) Path {
	sol := c.at(s)
	if sol == nil {
		return nil
	}
	return sol.Route(terminal, c.h.nodes[c.h.ref].addr)
}

// between lists the terminals of the key switch that are joined to a terminal
// through anything but the key itself.
func (c *checker) keyTerminals(terminal string) []string {
	table, key, ok := c.h.Switch()
	if !ok {
		return nil
	}
	kinds := slices.DeleteFunc(slices.Clone(seriesKinds), func(k Kind) bool { return k == KeySwitch })
	seen := c.h.reach(c.h.nodeAt[terminal], nil, kinds)
	if seen[c.h.ref] {
		return nil
	}
	var out []string
	for _, t := range table.Terminals {
		if seen[c.h.nodeAt[key+"."+t]] {
			out = append(out, t)
		}
	}
	return out
}

// joins lists, for a terminal of the key, what it is joined to in each position.
func (c *checker) joins(terminal string) string {
	table, _, _ := c.h.Switch()
	var out []string
	for _, p := range table.Positions {
		var with []string
		for _, g := range p.Joins {
			if slices.Contains(g, terminal) {
				for _, t := range g {
					if t != terminal {
						with = append(with, t)
					}
				}
			}
		}
		if with == nil {
			out = append(out, p.Name+": nothing")
		} else {
			out = append(out, p.Name+": "+strings.Join(with, " and "))
		}
	}
	return strings.Join(out, "; ")
}
