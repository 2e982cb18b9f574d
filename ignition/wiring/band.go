package wiring

import (
	"math"
	"slices"

	"gapbook.example/units"
)

// Bands are the limits that readings of one state may lie within when every
// part lies within its own.
//
// They are found by corners, not by sampling. The slope of each reading against
// each figure of each part says which way the figure moves it; all figures are
// then set to the limits that lift it, and to those that lower it. In a network
// of resistances every reading rises or falls steadily with any one figure, so
// that the extremes lie at such corners; where the slopes found at a corner
// point another way than those that led to it, the search goes on from there.
// The band is the widest that the parts allow, all of them being off at once: a
// sound harness nearly always reads closer. Contacts of relays, modules and
// chargers stay as they are in the middle of the band.
//
// Bands are immutable and safe to share.
type Bands struct {
	s       *Solution
	state   State
	key     int
	used    []int        // params that matter in this state
	volts   [][2]float64 // by node
	amperes [][2]float64 // by element
}

// reading is the volts from one node to another, or the amperes of an element.
type reading struct {
	a, b    int // nodes
	element int // -1 for volts
	band    *[2]float64
}

// bandOhms stands for no resistance while slopes are found, so that direct
// joints have them like any other branch.
const bandOhms = 2e-6

// Bands finds the bands of every reading of one state. The error is a
// [*StateError] or a [*LoopError].
func (h *Harness) Bands(st State) (*Bands, error) {
	key, err := h.check(st)
	if err != nil {
		return nil, err
	}
	s, err := newSolver(h).state(key, st)
	if err != nil {
		return nil, err
	}
	return h.bands(s, key, st)
}

// Bands finds the bands of every reading of one state, as [Harness.Bands]
// does. The error is a [*StateError] or a [*LoopError].
func (s *Solved) Bands(st State) (*Bands, error) {
	key, err := s.h.check(st)
	if err != nil {
		return nil, err
	}
	return s.h.bands(s.At(st), key, st)
}

func (h *Harness) bands(s *Solution, key int, st State) (*Bands, error) {
	b := &Bands{s: s, state: st, key: key, volts: make([][2]float64, len(s.volts)), amperes: make([][2]float64, len(s.amperes))}
	used := make([]bool, len(h.params))
	for k := range h.elements {
		if e := &h.elements[k]; has(s.active, k) {
			for _, p := range [3]int{e.r, e.e, e.atCrank} {
				if p >= 0 && h.params[p].low < h.params[p].high {
					used[p] = true
				}
			}
		}
	}
	for p, yes := range used {
		if yes {
			b.used = append(b.used, p)
		}
	}
	var wanted []reading
	for i := range b.volts {
		if b.volts[i] = [2]float64{s.volts[i], s.volts[i]}; s.group[i] == 0 {
			wanted = append(wanted, reading{a: i, b: h.ref, element: -1, band: &b.volts[i]})
		}
	}
	for k := range b.amperes {
		if b.amperes[k] = [2]float64{s.amperes[k], s.amperes[k]}; has(s.active, k) {
			wanted = append(wanted, reading{a: h.elements[k].a, b: h.elements[k].b, element: k, band: &b.amperes[k]})
		}
	}
	return b, b.seek(wanted)
}

// frozen returns a solver that stands where the solution left its contacts.
func (b *Bands) frozen() *solver {
	h := b.s.h
	w := newSolver(h)
	w.mark(b.key, b.state)
	copy(w.modes, b.s.modes)
	w.values = make([]float64, len(h.params))
	for i := range h.params {
		w.values[i] = h.params[i].nominal
	}
	return w
}

// seek widens the bands of readings until no slope leads further.
func (b *Bands) seek(wanted []reading) error {
	h, w, exact := b.s.h, b.frozen(), b.frozen()
	w.least = bandOhms
	exact.values = w.values
	place := make([]int, len(h.elements)) // of an element among the branches
	slopes := make([]float64, len(h.params))
	type task struct{ reading, sense int }
	type corner struct {
		pattern string // by param used: 0 the middle, 1 and 2 its limits
		tasks   []task
	}
	todo := []*corner{{pattern: string(make([]byte, len(b.used)))}}
	for i := range wanted {
		todo[0].tasks = append(todo[0].tasks, task{i, -1}, task{i, 1})
	}
	const rounds = 6
	for round := 0; round < rounds && len(todo) > 0; round++ {
		var next []*corner
		at := map[string]*corner{}
		for _, c := range todo {
			for i, p := range b.used {
				w.values[p] = [3]float64{h.params[p].nominal, h.params[p].low, h.params[p].high}[c.pattern[i]]
			}
			if err := exact.run(b.state); err != nil {
				return err
			}
			if err := w.run(b.state); err != nil {
				return err
			}
			for i, e := range w.elements {
				place[e] = i
			}
			last := -1
			for _, t := range c.tasks {
				r := &wanted[t.reading]
				x := exact.grid.volts[r.a] - exact.grid.volts[r.b]
				if r.element >= 0 {
					x = exact.grid.amperes[place[r.element]]
				}
				r.band[0], r.band[1] = min(r.band[0], x), max(r.band[1], x)
				if round == rounds-1 {
					continue
				}
				if last != t.reading {
					last = t.reading
					w.slopes(r, slopes)
				}
				pattern := make([]byte, len(b.used))
				for i, p := range b.used {
					// Rounding is no slope.
					x := slopes[p] * float64(t.sense)
					if width := h.params[p].high - h.params[p].low; math.Abs(x)*width <= 1e-12 {
						continue
					}
					if pattern[i] = 1; x > 0 {
						pattern[i] = 2
					}
				}
				if string(pattern) == c.pattern {
					continue
				}
				n := at[string(pattern)]
				if n == nil {
					n = &corner{pattern: string(pattern)}
					at[n.pattern] = n
					next = append(next, n)
				}
				n.tasks = append(n.tasks, t)
			}
		}
		todo = next
	}
	return nil
}

// slopes finds how a reading moves with each param, from the solution that w
// stands at: the network answers to an ampere sent from one end of the reading
// to the other with volts along each branch, and these are the slopes, up to
// what flows in the branch (the theorem of Tellegen).
func (w *solver) slopes(r *reading, slopes []float64) {
	clear(slopes)
	lift := w.grid.again(r.a, r.b)
	for i, k := range w.elements {
		br, e := &w.branches[i], &w.h.elements[k]
		x := lift[w.grid.rootIndex(br.a)] - lift[w.grid.rootIndex(br.b)]
		if e.r >= 0 && br.r >= noResistance {
			slope := x * w.grid.amperes[i] / br.r
			if r.element == k {
				slope = (x/br.r - 1) * w.grid.amperes[i] / br.r
			} else if r.element >= 0 {
				slope /= w.branches[w.place(r.element)].r
			}
			slopes[e.r] += slope
		}
		source := e.e
		if source >= 0 && !has(w.live, k) {
			source = e.atCrank
		}
		if source >= 0 && br.r >= noResistance {
			slope := x / br.r
			if r.element == k {
				slope = (slope - 1) / br.r
			} else if r.element >= 0 {
				slope /= w.branches[w.place(r.element)].r
			}
			slopes[source] += slope * e.sign
		}
	}
}

// place returns the number of an element among the branches.
func (w *solver) place(element int) int {
	i, _ := slices.BinarySearch(w.elements, element)
	return i
}

// Solution returns the solution in the middle of the bands.
func (b *Bands) Solution() *Solution { return b.s }

// Volts returns the least and greatest volts of a terminal against the block.
// ok is false where [Solution.Volts] has none.
func (b *Bands) Volts(terminal string) (low, high units.Voltage, ok bool) {
	i, known := b.s.h.nodeAt[terminal]
	if !known || b.s.group[i] != 0 {
		return units.Voltage{}, units.Voltage{}, false
	}
	return units.Volts(b.volts[i][0]), units.Volts(b.volts[i][1]), true
}

// Across returns the least and greatest volts of one terminal above another.
// ok is false where [Solution.Across] has none.
func (b *Bands) Across(plus, minus string) (low, high units.Voltage, ok bool) {
	v, tied := b.s.Across(plus, minus)
	if !tied {
		return units.Voltage{}, units.Voltage{}, false
	}
	i, j := b.s.h.nodeAt[plus], b.s.h.nodeAt[minus]
	band := [2]float64{v.Volts(), v.Volts()}
	if err := b.seek([]reading{{a: i, b: j, element: -1, band: &band}}); err != nil {
		return units.Voltage{}, units.Voltage{}, false
	}
	return units.Volts(band[0]), units.Volts(band[1]), true
}

// Current returns the least and greatest amperes in a wire or in the main path
// of a part, with the sign of [Solution.Current]. ok is false where that has
// none.
func (b *Bands) Current(name string) (low, high units.Current, ok bool) {
	h := b.s.h
	owner, known := h.wireAt[name]
	owner = ^owner
	if p, isPart := h.partAt[name]; isPart {
		owner, known = p, true
	}
	best := -1
	for k := range h.elements {
		e := &h.elements[k]
		if known && e.owner == owner && (e.main || owner < 0) && (best < 0 || math.Abs(b.s.amperes[k]) > math.Abs(b.s.amperes[best])) {
			best = k
		}
	}
	if best < 0 {
		return units.Current{}, units.Current{}, false
	}
	return units.Amperes(b.amperes[best][0]), units.Amperes(b.amperes[best][1]), true
}
