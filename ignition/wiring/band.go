package wiring

import (
	"encoding/binary"
	"math"
	"slices"

	"gapbook.example/units"
)

// Bands are the limits that readings of one state may lie within when every
// part lies within its own.
//
// They are found by corners, not by sampling. Each figure of each part is moved
// to either of its limits by itself, which shows the way it moves every
// reading; then, for each reading, all figures are moved together the way that
// lifts it, and all the way that lowers it; and from there on as long as moving
// any figure to its other limit still takes the reading further. In a network
// of resistances every reading rises or falls steadily with any one figure, so
// that the extremes lie at corners. The band is the widest that the parts
// allow, all of them being off at once: a sound harness nearly always reads
// closer. Contacts of relays, modules and chargers stay as they are in the
// middle of the band.
//
// Bands are immutable and safe to share.
type Bands struct {
	s       *Solution
	state   State
	key     int
	used    []int        // params that matter in this state
	volts   [][2]float64 // by node
	amperes [][2]float64 // by element
	start   *corner
}

// corner is the solution with every param at a figure of its own, and, once
// somebody asks, those with one of them moved to a limit.
type corner struct {
	values         []float64
	volts, amperes []float64
	moves          []move
}

type move struct {
	param          int
	value          float64
	volts, amperes []float64
}

// search finds extremes. It keeps every corner it has been at.
type search struct {
	b       *Bands
	w       *solver
	corners map[string]*corner
}

// Bands finds the bands of every reading of one state. The error is a
// [*StateError] or a [*LoopError].
func (h *Harness) Bands(st State) (*Bands, error) {
	key, err := h.check(st)
	if err != nil {
		return nil, err
	}
	w := newSolver(h)
	s, err := w.state(key, st)
	if err != nil {
		return nil, err
	}
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
	find, err := b.search()
	if err != nil {
		return nil, err
	}
	for i := range b.volts {
		if s.group[i] != 0 {
			continue
		}
		if b.volts[i], err = find.extremes(func(v, _ []float64) float64 { return v[i] }); err != nil {
			return nil, err
		}
	}
	for k := range b.amperes {
		if !has(s.active, k) {
			continue
		}
		if b.amperes[k], err = find.extremes(func(_, a []float64) float64 { return a[k] }); err != nil {
			return nil, err
		}
	}
	return b, nil
}

// search starts a search in the middle of the bands.
func (b *Bands) search() (*search, error) {
	find := &search{b: b, w: b.frozen(), corners: map[string]*corner{}}
	if b.start == nil {
		c, err := find.corner(slices.Clone(find.w.values))
		if err != nil {
			return nil, err
		}
		if err := find.around(c); err != nil {
			return nil, err
		}
		b.start = c
	}
	return find, nil
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

// at solves with the figures that w holds.
func (b *Bands) at(w *solver) (volts, amperes []float64, err error) {
	if err := w.run(b.state); err != nil {
		return nil, nil, err
	}
	volts = append([]float64(nil), w.grid.volts...)
	amperes = make([]float64, len(b.s.h.elements))
	for i, e := range w.elements {
		amperes[e] = w.grid.amperes[i]
	}
	return volts, amperes, nil
}

// corner solves with the figures given, unless it has been done.
func (f *search) corner(values []float64) (*corner, error) {
	key := make([]byte, 0, 8*len(f.b.used))
	for _, p := range f.b.used {
		key = binary.LittleEndian.AppendUint64(key, math.Float64bits(values[p]))
	}
	if c, ok := f.corners[string(key)]; ok {
		return c, nil
	}
	copy(f.w.values, values)
	v, a, err := f.b.at(f.w)
	if err != nil {
		return nil, err
	}
	c := &corner{values: values, volts: v, amperes: a}
	f.corners[string(key)] = c
	return c, nil
}

// around solves with each figure of a corner moved to its limits.
func (f *search) around(c *corner) error {
	if c.moves != nil {
		return nil
	}
	for _, p := range f.b.used {
		x := &f.b.s.h.params[p]
		for _, value := range [2]float64{x.low, x.high} {
			if value == c.values[p] {
				continue
			}
			copy(f.w.values, c.values)
			f.w.values[p] = value
			v, a, err := f.b.at(f.w)
			if err != nil {
				return err
			}
			c.moves = append(c.moves, move{param: p, value: value, volts: v, amperes: a})
		}
	}
	return nil
}

// extremes finds the least and greatest of one reading.
func (f *search) extremes(read func(volts, amperes []float64) float64) ([2]float64, error) {
	at := read(f.b.start.volts, f.b.start.amperes)
	band := [2]float64{at, at}
	for side, sense := range [2]float64{-1, 1} {
		c := f.b.start
		for range 20 {
			if err := f.around(c); err != nil {
				return band, err
			}
			here := read(c.volts, c.amperes) * sense
			gain := map[int]float64{}
			all := slices.Clone(c.values)
			one, most := -1, 0.0
			for i, m := range c.moves {
				// Rounding does not count as a way to move.
				x := read(m.volts, m.amperes)*sense - here
				if x <= 1e-12*(math.Abs(here)+math.Abs(x)) || x <= gain[m.param] {
					continue
				}
				gain[m.param] = x
				all[m.param] = m.value
				if x > most {
					one, most = i, x
				}
			}
			if one < 0 {
				break
			}
			next, err := f.corner(all)
			if err != nil {
				return band, err
			}
			if read(next.volts, next.amperes)*sense <= here+most/2 {
				// Together they undo one another: take the best alone.
				m := c.moves[one]
				values := slices.Clone(c.values)
				values[m.param] = m.value
				if next, err = f.corner(values); err != nil {
					return band, err
				}
			}
			c = next
		}
		band[side] = read(c.volts, c.amperes)
	}
	return band, nil
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
	_, tied := b.s.Across(plus, minus)
	if !tied {
		return units.Voltage{}, units.Voltage{}, false
	}
	i, j := b.s.h.nodeAt[plus], b.s.h.nodeAt[minus]
	find, err := b.search()
	if err != nil {
		return units.Voltage{}, units.Voltage{}, false
	}
	band, err := find.extremes(func(v, _ []float64) float64 { return v[i] - v[j] })
	if err != nil {
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
