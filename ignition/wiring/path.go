package wiring

import (
	"math"
	"strings"

	"gapbook.example/units"
)

// Hop is one step of a path: through what, to which terminal. The first hop of
// a path has no Through: it is where the path starts.
type Hop struct {
	// Through is the name of the wire or part that the step goes through.
	Through string
	// Wire is true where Through is a wire.
	Wire bool
	// Terminal is where the step ends, "part.terminal".
	Terminal string
	// Current flows in the step, in the direction of the path.
	Current units.Current
	// Volts are those of Terminal against the block; Floating where it has none.
	Volts    units.Voltage
	Floating bool
}

// Path is a way through the circuit, terminal by terminal; nil is no way.
type Path []Hop

// String writes the terminals in order, with the wires between them:
// "battery.plus -(feed)- fuse.a > fuse.b".
func (p Path) String() string {
	var b strings.Builder
	for i, h := range p {
		if i > 0 {
			if h.Wire {
				b.WriteString(" -(" + h.Through + ")- ")
			} else {
				b.WriteString(" > ")
			}
		}
		b.WriteString(h.Terminal)
	}
	return b.String()
}

// Path follows the current from one terminal to another, always with the
// stream, by the way whose narrowest step carries most. Where no current flows
// all the way it returns the way of least resistance that conducts, and nil
// where nothing conducts between the two.
func (s *Solution) Path(from, to string) Path {
	a, ok1 := s.h.nodeAt[from]
	b, ok2 := s.h.nodeAt[to]
	if !ok1 || !ok2 {
		return nil
	}
	largest := 0.0
	for _, x := range s.amperes {
		largest = max(largest, math.Abs(x))
	}
	if p := s.walk(a, b, func(k int, forward bool) float64 {
		i := s.amperes[k]
		if !forward {
			i = -i
		}
		if i <= 1e-9*largest || i == 0 {
			return 0
		}
		return i
	}); p != nil {
		return p
	}
	return s.Route(from, to)
}

// Route returns the way of least resistance at its worst step from one terminal
// to another in this state, whether or not current flows in it; nil where
// nothing conducts.
func (s *Solution) Route(from, to string) Path {
	a, ok1 := s.h.nodeAt[from]
	b, ok2 := s.h.nodeAt[to]
	if !ok1 || !ok2 {
		return nil
	}
	return s.walk(a, b, func(k int, _ bool) float64 {
		r := 0.0
		if p := s.h.elements[k].r; p >= 0 {
			r = s.h.params[p].nominal
		}
		return 1 / (r + noResistance)
	})
}

// walk finds the widest way from a to b, and of equally wide ones the one with
// the fewest steps.
func (s *Solution) walk(a, b int, width func(element int, forward bool) float64) Path {
	n := len(s.h.nodes)
	type reach struct {
		width   float64
		steps   int
		by      int
		from    int
		settled bool
	}
	at := make([]reach, n)
	at[a] = reach{width: math.Inf(1), by: -1, from: -1}
	for {
		best := -1
		for i := range at {
			if at[i].settled || at[i].width == 0 {
				continue
			}
			if best < 0 || at[i].width > at[best].width || at[i].width == at[best].width && at[i].steps < at[best].steps {
				best = i
			}
		}
		if best < 0 {
			return nil
		}
		at[best].settled = true
		if best == b {
			break
		}
		for k := range s.h.elements {
			e := &s.h.elements[k]
			if !has(s.active, k) || e.a != best && e.b != best {
				continue
			}
			other, forward := e.b, true
			if e.b == best {
				other, forward = e.a, false
			}
			w := min(at[best].width, width(k, forward))
			if w == 0 || at[other].settled {
				continue
			}
			if w > at[other].width || w == at[other].width && at[best].steps+1 < at[other].steps {
				at[other] = reach{width: w, steps: at[best].steps + 1, by: k, from: best}
			}
		}
	}
	var path Path
	for i := b; i >= 0; i = at[i].from {
		hop := Hop{Terminal: s.h.nodes[i].addr, Floating: s.group[i] != 0}
		if !hop.Floating {
			hop.Volts = units.Volts(s.volts[i])
		}
		if k := at[i].by; k >= 0 {
			e := &s.h.elements[k]
			hop.Through, hop.Wire = s.h.owner(e.owner), e.owner < 0
			amperes := s.amperes[k]
			if e.b != i {
				amperes = -amperes
			}
			hop.Current = units.Amperes(amperes)
		}
		path = append(path, hop)
	}
	for i, j := 0, len(path)-1; i < j; i, j = i+1, j-1 {
		path[i], path[j] = path[j], path[i]
	}
	return path
}
