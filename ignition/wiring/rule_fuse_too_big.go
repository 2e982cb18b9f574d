package wiring

import (
	"slices"
	"strings"
)

// RuleFuseTooBig finds a fuse that does not protect a wire behind it.
const RuleFuseTooBig = "fuse-too-big"

func fuseTooBig(c *checker) {
	h := c.h
	if c.live == "" {
		return
	}
	for _, name := range h.OfKind(Fuse) {
		p, _ := h.Part(name)
		rating, ok := p.Values[Rating]
		if !ok {
			continue
		}
		upstream := h.reach(h.nodeAt[c.live], nil, []Kind{Connector})
		a, b := h.nodeAt[name+".a"], h.nodeAt[name+".b"]
		var downstream []int
		if !upstream[b] {
			downstream = append(downstream, b)
		}
		if !upstream[a] {
			downstream = append(downstream, a)
		}
		if len(downstream) == 2 && c.onlyCharger(a) { // a charging set's own fuse
			downstream = []int{}
		}
		done := map[string]bool{}
		for _, end := range []string{name + ".a", name + ".b"} {
			// In a row with the fuse, in front of it too.
			for _, wire := range h.WiresAt(end) {
				if w, _ := h.Wire(wire); !w.IsJoint() {
					done[wire] = true
					c.protects(name, rating, w)
				}
			}
		}
		if !c.onlyCharger(a) && !c.onlyCharger(b) {
			// The way back carries the same current.
			for _, hop := range h.trail(c.dead, h.nodes[h.ref].addr, nil, returnKinds) {
				if w, ok := h.Wire(hop.Through); ok && hop.Wire && !w.IsJoint() && !done[w.Name] {
					done[w.Name] = true
					c.protects(name, rating, w)
				}
			}
		}
		keys := max(len(h.keys), 1)
		for _, from := range downstream {
			for key := range keys {
				for n, ok := range c.behind(from, key) {
					if !ok {
						continue
					}
					for _, wire := range h.WiresAt(h.nodes[n].addr) {
						w, _ := h.Wire(wire)
						if done[wire] || w.IsJoint() {
							continue
						}
						done[wire] = true
						c.protects(name, rating, w)
					}
				}
			}
		}
	}
}

// onlyCharger reports whether a charging set stands right behind a terminal.
func (c *checker) onlyCharger(n int) bool {
	for i, ok := range c.h.reach(n, nil, []Kind{Connector}) {
		if ok && slices.Contains([]Kind{Alternator, Generator}, c.h.parts[c.h.nodes[i].part].Kind) {
			return true
		}
	}
	return false
}

// behind marks what a fuse's end feeds with the key in one position: through
// contacts, whatever their state, but not to the block, to another fuse or to
// what uses the current.
func (c *checker) behind(from, key int) []bool {
	h := c.h
	seen := make([]bool, len(h.nodes))
	seen[from] = true
	for queue := []int{from}; len(queue) > 0; queue = queue[1:] {
		n := queue[0]
		if n == h.ref {
			continue
		}
		for k := range h.elements {
			e := &h.elements[k]
			if e.a != n && e.b != n || !h.passes(e, []Kind{Connector, KeySwitch, Button, Interlock, Relay, Ballast}) || e.when.keys != 0 && e.when.keys>>key&1 == 0 {
				continue
			}
			if other := e.a + e.b - n; !seen[other] && other != h.ref {
				seen[other] = true
				queue = append(queue, other)
			}
		}
	}
	return seen
}

func (c *checker) protects(fuse string, rating Value, w Wire) {
	limit, sources, ok := FuseLimit(c.book, w.Gauge, w.Insulation, w.EngineSpace, w.Bundle)
	text, figure := "at most "+limit.String()+" for "+w.Gauge.String(), rating.Nominal.String()
	switch {
	case !ok:
		text = "the tables begin with thicker wire than " + w.Gauge.String()
	case rating.Nominal.SI() <= limit.Amperes():
		return
	}
	if allowed, _, ok := Allowable(c.book, w.Gauge, w.Insulation, w.EngineSpace, w.Bundle); c.dry && ok {
		// Dry cells give no more into a short circuit than their own resistance lets out.
		if p, _ := c.h.Part(c.battery); p.Values[Rest].Nominal.SI() <= allowed.Amperes()*p.Values[Resistance].Nominal.SI() {
			return
		}
	}
	f := fault("the fuse "+fuse+" is too big for the wire "+w.Name+" behind it", fuse, w.Name).
		figure("rating of "+fuse, figure, text, strings.Join(sources, "; ")).
		harm("a short circuit in " + w.Name + " burns the wire before the fuse lets go").
		cure("fit a fuse that the wire can bear, or a thicker wire").
		path(w.From + " -(" + w.Name + ")- " + w.To)
	c.add(f)
}
