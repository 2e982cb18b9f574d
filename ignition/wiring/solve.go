package wiring

import (
	"fmt"
	"math"
	"slices"

	"gapbook.example/units"
)

// Solution is the direct-current solution of one state. It is immutable.
type Solution struct {
	h         *Harness
	volts     []float64 // by node, against the block or within a floating group
	group     []int32   // by node; 0 is tied to the block
	amperes   []float64 // by element, from a to b
	active    []uint64  // bits by element
	live      []uint64  // bits by element: its source works
	modes     []int8
	unsettled []string
}

// LoopError reports sources without resistance that contradict each other,
// such as two ideal batteries of different volts side by side.
type LoopError struct {
	State State
	// Part is the part or wire that closes the loop.
	Part string
}

// Error names the part and says what to do.
func (e *LoopError) Error() string {
	return fmt.Sprintf("%s closes a loop of sources without resistance; give it, or what it joins, a resistance", e.Part)
}

// solver works through states of one harness with one workspace.
type solver struct {
	h        *Harness
	grid     grid
	elements []int
	branches []branch
	active   []uint64
	live     []uint64
	modes    []int8
	values   []float64 // of params; nil means nominal
	least    float64   // ohms that stand for fewer, 0 for none
}

func newSolver(h *Harness) *solver {
	words := (len(h.elements) + 63) / 64
	return &solver{h: h, active: make([]uint64, words), live: make([]uint64, words), modes: make([]int8, len(h.controls))}
}

// Solve finds the solution of one state. The error is a [*StateError] for a
// state the harness does not have, or a [*LoopError].
func (h *Harness) Solve(s State) (*Solution, error) {
	key, err := h.check(s)
	if err != nil {
		return nil, err
	}
	return newSolver(h).state(key, s)
}

// holds reports whether an element may be there in a state, controls aside.
func (c *condition) holds(key int, s State) bool {
	switch {
	case c.keys != 0 && c.keys>>key&1 == 0,
		c.engine != 0 && c.engine>>s.Engine&1 == 0,
		c.breaker > 0 && (s.Open>>(c.breaker-1)&1 == 1) != c.open,
		c.lock > 0 && (s.Unsafe>>(c.lock-1)&1 == 1) != c.unsafe,
		c.button > 0 && (s.Pressed>>(c.button-1)&1 == 1) != c.pressed:
		return false
	}
	return true
}

// mark sets the bits of what is there in a state, controls aside: its
// signature. States of one signature have one solution.
func (w *solver) mark(key int, s State) {
	clear(w.active)
	clear(w.live)
	for i := range w.h.elements {
		e := &w.h.elements[i]
		if !e.when.holds(key, s) {
			continue
		}
		w.active[i/64] |= 1 << (i % 64)
		if e.e >= 0 && (e.live>>s.Engine&1 == 1) && (e.atCrank < 0 || s.Engine != Cranks) {
			w.live[i/64] |= 1 << (i % 64)
		}
	}
}

func has(bits []uint64, i int) bool { return bits[i/64]>>(i%64)&1 == 1 }

func (w *solver) state(key int, s State) (*Solution, error) {
	w.mark(key, s)
	return w.settle(s)
}

// The modes of a charger.
const (
	chargerOff     = 0 // its diode blocks
	chargerHolds   = 1 // it holds its volts
	chargerLimited = 2 // it gives all it can
)

// limitOhms stands for a charger at its limit: a source so high behind so much
// resistance that its current hardly depends on the volts outside.
const limitOhms = 1e3

// settle solves with contacts released and works them until nothing changes.
func (w *solver) settle(s State) (*Solution, error) {
	clear(w.modes)
	for i := range w.h.controls {
		if w.h.controls[i].charger {
			w.modes[i] = chargerHolds
		}
	}
	var changed []int
	for range 3*len(w.h.controls) + 2 {
		if err := w.run(s); err != nil {
			return nil, err
		}
		if changed = w.work(changed[:0]); len(changed) == 0 {
			break
		}
	}
	sol := &Solution{
		h: w.h, volts: slices.Clone(w.grid.volts), group: slices.Clone(w.grid.group), amperes: make([]float64, len(w.h.elements)),
		active: make([]uint64, len(w.active)), live: slices.Clone(w.live), modes: slices.Clone(w.modes),
	}
	for i, e := range w.elements {
		sol.amperes[e] = w.grid.amperes[i]
		sol.active[e/64] |= 1 << (e % 64)
	}
	for _, c := range changed {
		name := w.h.parts[w.h.controls[c].owner].Name
		if !slices.Contains(sol.unsettled, name) {
			sol.unsettled = append(sol.unsettled, name)
		}
	}
	return sol, nil
}

func (w *solver) figure(p int) float64 {
	switch {
	case p < 0:
		return 0
	case w.values != nil:
		return w.values[p]
	}
	return w.h.params[p].nominal
}

// run solves with the controls as they stand.
func (w *solver) run(s State) error {
	w.elements, w.branches = w.elements[:0], w.branches[:0]
	for i := range w.h.elements {
		if !has(w.active, i) {
			continue
		}
		e := &w.h.elements[i]
		on, off := &e.when.on, e.when.off
		if on[0] > 0 && w.modes[on[0]-1] == 0 || on[1] > 0 && w.modes[on[1]-1] == 0 || off > 0 && w.modes[off-1] != 0 {
			continue
		}
		br := branch{a: e.a, b: e.b, r: max(w.figure(e.r), w.least)}
		switch {
		case has(w.live, i):
			br.e = e.sign * w.figure(e.e)
		case e.atCrank >= 0 && s.Engine == Cranks:
			br.e = e.sign * w.figure(e.atCrank)
		}
		if e.charger >= 0 {
			switch w.modes[e.charger] {
			case chargerOff:
				continue
			case chargerLimited:
				br.r = limitOhms
				br.e += e.sign * w.h.controls[e.charger].limit * limitOhms
			}
		}
		w.elements = append(w.elements, i)
		w.branches = append(w.branches, br)
	}
	if err := w.grid.solve(len(w.h.nodes), w.h.ref, w.branches, nil); err != nil {
		if loop, ok := err.(*loopError); ok {
			return &LoopError{State: s, Part: w.h.owner(w.h.elements[w.elements[loop.branch]].owner)}
		}
		return err
	}
	return nil
}

// work moves the controls to where the solution puts them and lists those that
// moved.
func (w *solver) work(changed []int) []int {
	for i := range w.h.controls {
		c := &w.h.controls[i]
		across, tied := 0.0, w.grid.group[c.a] == w.grid.group[c.b]
		if tied {
			across = w.grid.volts[c.a] - w.grid.volts[c.b]
		}
		mode := w.modes[i]
		switch {
		case c.charger:
			e := &w.h.elements[c.element]
			idle := w.figure(e.e)
			gives := 0.0
			for k, x := range w.elements {
				if x == c.element {
					gives = -w.grid.amperes[k] * c.sign
				}
			}
			switch {
			case mode == chargerHolds && gives < -1e-9:
				mode = chargerOff
			case mode == chargerHolds && gives > c.limit*(1+1e-9):
				mode = chargerLimited
			case mode == chargerOff && has(w.active, c.element) && across*c.sign < idle:
				mode = chargerHolds
			case mode == chargerLimited && across*c.sign > idle:
				mode = chargerHolds
			}
		case c.sign == 0:
			mode = onOff(math.Abs(across) >= w.figure(c.threshold))
		default:
			mode = onOff(across*c.sign >= w.figure(c.threshold))
		}
		if mode != w.modes[i] {
			w.modes[i] = mode
			changed = append(changed, i)
		}
	}
	return changed
}

func onOff(on bool) int8 {
	if on {
		return 1
	}
	return 0
}

func (h *Harness) owner(i int) string {
	if i < 0 {
		return h.draft.Wires[^i].Name
	}
	return h.draft.Parts[i].Name
}

// Unsettled lists relays and the like that never come to rest: those that
// open their own feed chatter. Nil is what it should be.
func (s *Solution) Unsettled() []string { return slices.Clone(s.unsettled) }

// Volts returns the volts of a terminal, "part.terminal", against the engine
// block. ok is false where nothing ties the terminal to the block (it is
// floating) or the harness has no such terminal.
func (s *Solution) Volts(terminal string) (v units.Voltage, ok bool) {
	i, known := s.h.nodeAt[terminal]
	if !known || s.group[i] != 0 {
		return units.Voltage{}, false
	}
	return units.Volts(s.volts[i]), true
}

// Across returns the volts of one terminal above another. ok is false where
// nothing ties them to each other, or the harness lacks one of them.
func (s *Solution) Across(plus, minus string) (v units.Voltage, ok bool) {
	i, a := s.h.nodeAt[plus]
	j, b := s.h.nodeAt[minus]
	if !a || !b || s.group[i] != s.group[j] {
		return units.Voltage{}, false
	}
	return units.Volts(s.volts[i] - s.volts[j]), true
}

// Tied reports whether anything conducts between two terminals in this state,
// however little.
func (s *Solution) Tied(a, b string) bool { _, ok := s.Across(a, b); return ok }

// Conducts reports whether a part itself joins two of its terminals in this
// state: whether a contact is closed.
func (s *Solution) Conducts(part, a, b string) bool {
	owner, known := s.h.partAt[part]
	i, ok1 := s.h.nodeAt[part+"."+a]
	j, ok2 := s.h.nodeAt[part+"."+b]
	if !known || !ok1 || !ok2 {
		return false
	}
	for k := range s.h.elements {
		e := &s.h.elements[k]
		if e.owner == owner && has(s.active, k) && (e.a == i && e.b == j || e.a == j && e.b == i) {
			return true
		}
	}
	return false
}

// Current returns the amperes in a wire from its From to its To, or through a
// part by its main path: from plus, feed or first terminal to the other, inside
// the part; a battery that gives current shows less than nothing. ok is false
// where the harness has neither wire nor part of this name, or the part has no
// main path (a block, a condenser without leak). A key switch shows the greatest current of
// its contacts. Where two direct joints lie side by side the first carries all.
func (s *Solution) Current(name string) (i units.Current, ok bool) {
	owner, known := s.h.wireAt[name]
	owner = ^owner
	if p, isPart := s.h.partAt[name]; isPart {
		owner, known = p, true
	}
	if !known {
		return units.Current{}, false
	}
	best := 0.0
	for k := range s.h.elements {
		e := &s.h.elements[k]
		if e.owner != owner || !e.main {
			continue
		}
		ok = true
		if math.Abs(s.amperes[k]) > math.Abs(best) {
			best = s.amperes[k]
		}
	}
	return units.Amperes(best), ok
}

// WireCurrent is [Solution.Current] for the wire of this name alone.
func (s *Solution) WireCurrent(name string) (i units.Current, ok bool) {
	w, known := s.h.wireAt[name]
	if !known {
		return units.Current{}, false
	}
	for k := range s.h.elements {
		if s.h.elements[k].owner == ^w {
			return units.Amperes(s.amperes[k]), true
		}
	}
	return units.Current{}, false
}

// Into returns the amperes that flow from the harness into a terminal of a
// part. ok is false where the harness has no such terminal.
func (s *Solution) Into(terminal string) (i units.Current, ok bool) {
	n, known := s.h.nodeAt[terminal]
	if !known {
		return units.Current{}, false
	}
	sum := 0.0
	for k := range s.h.elements {
		e := &s.h.elements[k]
		switch {
		case e.owner < 0:
		case e.a == n:
			sum += s.amperes[k]
		case e.b == n:
			sum -= s.amperes[k]
		}
	}
	return units.Amperes(sum), true
}

// Watts returns the heat made in a wire or part; in a battery or charger the
// power it takes from the harness, less than nothing where it gives. ok is
// false where the harness has neither.
func (s *Solution) Watts(name string) (p units.Power, ok bool) {
	owner, known := s.h.wireAt[name]
	owner = ^owner
	if i, isPart := s.h.partAt[name]; isPart {
		owner, known = i, true
	}
	if !known {
		return units.Power{}, false
	}
	sum := 0.0
	for k := range s.h.elements {
		if e := &s.h.elements[k]; e.owner == owner {
			sum += (s.volts[e.a] - s.volts[e.b]) * s.amperes[k]
		}
	}
	return units.Watts(sum), true
}

// Drop returns the volts lost along a wire, from its From to its To.
func (s *Solution) Drop(wire string) (v units.Voltage, ok bool) {
	i, known := s.h.wireAt[wire]
	if !known {
		return units.Voltage{}, false
	}
	w := s.h.draft.Wires[i]
	return s.Across(w.From, w.To)
}

// On reports whether the contacts of a relay or solenoid are pulled in, or a
// module, box or charger works, in this state.
func (s *Solution) On(part string) bool {
	i, ok := s.h.partAt[part]
	for k := range s.h.controls {
		if ok && s.h.controls[k].owner == i && s.modes[k] != 0 {
			return true
		}
	}
	return false
}

// Limited reports whether a charger gives all it can and still does not hold
// its volts.
func (s *Solution) Limited(part string) bool {
	i, ok := s.h.partAt[part]
	for k := range s.h.controls {
		if c := &s.h.controls[k]; ok && c.owner == i && c.charger && s.modes[k] == chargerLimited {
			return true
		}
	}
	return false
}

// Solved is every state of a harness with its solution.
type Solved struct {
	h      *Harness
	states []State
	which  []int32
	unique []*Solution
	at     map[State]int
}

// SolveAll solves every state of the harness. States in which the same parts
// and sources are joined share one solution. The error is a [*LoopError].
func (h *Harness) SolveAll() (*Solved, error) {
	out := &Solved{h: h, states: h.States(), at: map[State]int{}}
	out.which = make([]int32, len(out.states))
	w := newSolver(h)
	seen := map[string]int32{}
	var signature []byte
	for i, s := range out.states {
		key, err := h.check(s)
		if err != nil {
			return nil, err
		}
		w.mark(key, s)
		signature = signature[:0]
		for _, words := range [2][]uint64{w.active, w.live} {
			for _, x := range words {
				for shift := 0; shift < 64; shift += 8 {
					signature = append(signature, byte(x>>shift))
				}
			}
		}
		k, ok := seen[string(signature)]
		if !ok {
			sol, err := w.settle(s)
			if err != nil {
				return nil, err
			}
			k = int32(len(out.unique))
			seen[string(signature)] = k
			out.unique = append(out.unique, sol)
		}
		out.which[i] = k
		out.at[s] = i
	}
	return out, nil
}

// States lists the states, in the order of [Harness.States].
func (s *Solved) States() []State { return slices.Clone(s.states) }

// Len is the number of states; Unique is the number of different circuits
// among them.
func (s *Solved) Len() int { return len(s.states) }

// Unique is the number of different circuits that were solved.
func (s *Solved) Unique() int { return len(s.unique) }

// At returns the solution of one state; nil for a state the harness does not
// have. An empty key is the first position.
func (s *Solved) At(st State) *Solution {
	if st.Key == "" && len(s.h.keys) > 0 {
		st.Key = s.h.keys[0]
	}
	i, ok := s.at[st]
	if !ok {
		return nil
	}
	return s.unique[s.which[i]]
}

// All calls yield with every state and its solution, in order: for ranging.
func (s *Solved) All() func(yield func(State, *Solution) bool) {
	return func(yield func(State, *Solution) bool) {
		for i, st := range s.states {
			if !yield(st, s.unique[s.which[i]]) {
				return
			}
		}
	}
}

// Harness returns the harness that was solved.
func (s *Solved) Harness() *Harness { return s.h }
