package trace

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gapbook.example/ignition"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// Facts are what is known of the engine before anything is asked. Only System
// is needed.
type Facts struct {
	System ignition.System
	// Engine is the id of an engine of the book, whose figures are then used.
	Engine string
	// Volts is the system's voltage; zero is the usual one of its kind.
	Volts units.Voltage
	// Ballast is how a battery coil is ballasted.
	Ballast wiring.Ballasting
	// Outputs is how many plugs one coil fires, 1 or 2; zero is one.
	Outputs int
	// Lacks lists parts, in the words of the fault tables, that the engine has
	// not: its faults, and tests that only look for them, are left out.
	Lacks []string
	// Harness is the engine's own; nil is the usual one of its kind.
	Harness *wiring.Harness
	// Counts are a shop's own, or nil.
	Counts *Counts
	// Set names the tracing figures of the book to weigh by; empty is the first.
	Set string
	// tables stand in for the book's; nil is the book's own.
	tables *specs.Faults
	// Plain leaves parts of the model out, to show what each adds.
	Plain Plain
}

// Plain says what a model is built without; see [Facts].
type Plain struct {
	// NoPaths takes readings from the tables alone, not through the wiring and
	// the spark's physics.
	NoPaths bool
	// NoShared takes the causes that readings share as new for each.
	NoShared bool
	// NoPresence draws afresh at each test whether a fault that comes and goes
	// is there.
	NoPresence bool
	// Pairs is how many pairs of faults are kept; 0 is the usual 100, -1 none.
	Pairs int
}

// A FactsError says what Build cannot use.
type FactsError struct{ Problem string }

// Error returns the problem in plain words.
func (e *FactsError) Error() string { return "trace: " + e.Problem }

// usualPairs is how many pairs are kept: more of them move nothing but the
// clock.
const usualPairs = 100

// Build makes the model of one engine from the book. The error is a
// [*FactsError], or a [*specs.UnknownError] for an engine the book has not.
func Build(book *specs.Book, f Facts) (*Model, error) {
	b := &builder{book: book, facts: f, all: f.tables, system: f.System.String(), m: &Model{System: f.System}}
	if b.all == nil {
		b.all = book.Faults()
	}
	if f.System == ignition.UnknownSystem {
		return nil, &FactsError{"nothing says which kind of ignition it is; see Fitted"}
	}
	if f.Engine != "" {
		e, err := book.Engine(f.Engine)
		if err != nil {
			return nil, err
		}
		b.engine = e
	}
	if err := b.figures(); err != nil {
		return nil, err
	}
	b.causes()
	if len(b.m.Causes) == 0 {
		return nil, &FactsError{fmt.Sprintf("the book lists no faults of %s", f.System.Title())}
	}
	b.tests()
	if !f.Plain.NoPaths {
		if err := b.paths(); err != nil {
			return nil, err
		}
		if err := b.kilovolts(); err != nil {
			return nil, err
		}
	}
	b.edges()
	b.atoms()
	b.m.rows = make([]int32, 0, len(b.m.Tests)*len(b.m.atoms))
	for t := range b.m.Tests {
		b.fill(t)
	}
	return b.m, nil
}

type builder struct {
	book   *specs.Book
	facts  Facts
	all    *specs.Faults
	system string
	engine *specs.Engine
	m      *Model

	figure     specs.TracingFigures
	quantities map[string]*specs.FaultQuantity
	signs      map[string]map[string][]specs.Weight // test, fault
	// path has what the wiring says that a cause does to a test: nil where it
	// says nothing of that test, an entry nil where the fault leaves it alone.
	path map[int][][]alt
	// spark has what the physics says that a cause does to spark volts.
	spark []*sparkEffect
	// pairsKept are the pairs of causes.
	states []state // of each atom
}

// A state is what an atom stands for beside its faults.
type state struct {
	node, nodes int
	// present has, for each of the two causes, the least chance to show that
	// finds it there; negative where it is drawn afresh at each test.
	present [2]float64
}

func (b *builder) figures() error {
	for i, f := range b.all.Figures {
		if f.ID == b.facts.Set || b.facts.Set == "" && i == 0 {
			b.figure = f
			b.m.Figures = f
			b.quantities = make(map[string]*specs.FaultQuantity, len(b.all.Quantities))
			for i := range b.all.Quantities {
				b.quantities[b.all.Quantities[i].ID] = &b.all.Quantities[i]
			}
			return nil
		}
	}
	return &FactsError{fmt.Sprintf("the book has no tracing figures %q", b.facts.Set)}
}

// causes lists the faults of the kind, with what the shop counted.
func (b *builder) causes() {
	type key struct{ part, cure string }
	cures := map[key]int{}
	sum := 0.0
	for i := range b.all.Faults {
		f := &b.all.Faults[i]
		weight := f.Prior(b.system)
		if weight <= 0 || slices.Contains(b.facts.Lacks, f.Part) {
			continue
		}
		k := key{f.Part, f.Cure}
		minutes, price := f.CureMinutes, f.CurePrice
		if u := b.unitOf(f.ID); u != nil {
			k, minutes, price = key{u.Part, u.Cure}, u.CureMinutes, u.CurePrice
		}
		cure, ok := cures[k]
		if !ok {
			cure = len(b.m.Cures)
			cures[k] = cure
			b.m.Cures = append(b.m.Cures, Cure{Part: k.part, Text: k.cure, Minutes: minutes,
				Price: minutes.Add(price).Add(b.figure.CallBack)})
		}
		b.m.Cures[cure].Causes = append(b.m.Cures[cure].Causes, len(b.m.Causes))
		b.m.Causes = append(b.m.Causes, Cause{Fault: f, Cure: cure, Prior: weight})
		sum += weight
	}
	for i := range b.m.Causes {
		b.m.Causes[i].Prior /= sum
	}
	b.facts.Counts.priors(b.system, b.figure.CallsWorth, b.m.Causes)
	b.spark = make([]*sparkEffect, len(b.m.Causes))
	b.signs = make(map[string]map[string][]specs.Weight)
	for i := range b.all.Signs {
		s := &b.all.Signs[i]
		if b.signs[s.Test] == nil {
			b.signs[s.Test] = make(map[string][]specs.Weight)
		}
		for _, f := range s.Faults {
			b.signs[s.Test][f] = s.Chances
		}
	}
}

// units lists what is one part in this engine.
func (b *builder) units() []*specs.FaultUnit {
	var list []*specs.FaultUnit
	for i := range b.all.Units {
		u := &b.all.Units[i]
		if slices.Contains(u.Systems, b.system) && !slices.Contains(b.facts.Lacks, u.Part) {
			list = append(list, u)
		}
	}
	return list
}

// unitOf is the unit of this engine that has a fault, or nil.
func (b *builder) unitOf(fault string) *specs.FaultUnit {
	for _, u := range b.units() {
		if slices.Contains(u.Faults, fault) {
			return u
		}
	}
	return nil
}

// left reports tests that are left out: those for a coil of another number of
// plugs, those that the tests of one part stand in for, and those of units that
// this engine has not.
func (b *builder) left(x *specs.FaultTest) bool {
	if x.Outputs > 0 && x.Outputs != max(b.facts.Outputs, 1) {
		return true
	}
	fitted := b.units()
	for i := range b.all.Units {
		u := &b.all.Units[i]
		has := slices.Contains(fitted, u)
		if has && slices.Contains(u.Instead, x.ID) || !has && slices.Contains(u.Tests, x.ID) {
			return true
		}
	}
	return false
}

// tests lists the tests of the kind, the complaint first.
func (b *builder) tests() {
	m := b.m
	m.Sayings = b.all.Sayings
	complaint := &specs.FaultTest{ID: "complaint", Title: "what is wrong", How: "say what it does", Good: "", Basis: specs.FaultAssumed}
	for _, s := range m.Sayings {
		complaint.Answers = append(complaint.Answers, specs.FaultAnswer{Word: s.ID, Text: s.Text})
	}
	m.Tests = append(m.Tests, Test{FaultTest: complaint, Answers: len(m.Sayings)})

	openings := map[string]int{}
	for i := range b.all.Openings {
		o := &b.all.Openings[i]
		for _, way := range o.Ways {
			if way.System == b.system {
				openings[o.ID] = len(m.Openings)
				m.Openings = append(m.Openings, Opening{ID: o.ID, Text: way.Text, Minutes: way.Minutes})
			}
		}
	}
	for i := range b.all.Tests {
		x := &b.all.Tests[i]
		if !slices.Contains(x.Kinds, b.system) || b.left(x) || !b.useful(x) {
			continue
		}
		t := Test{FaultTest: x, Answers: len(x.Answers), signs: make(map[string]bool, len(b.signs[x.ID]))}
		for id := range b.signs[x.ID] {
			t.signs[id] = true
		}
		for _, o := range x.Openings {
			if at, ok := openings[o]; ok {
				t.Openings = append(t.Openings, at)
			}
		}
		if x.Reads != "" && len(x.Answers) == 0 {
			t.Reading = true
			t.quantity = b.quantities[x.Reads]
			t.Kind = t.quantity.Kind
			b.healthy(&t)
			if slices.Contains(x.Booked, b.system) && t.Source == usualSource {
				continue // on this kind the usual figure says nothing
			}
			if t.Healthy.IsZero() && !t.quantity.Additive {
				continue // nothing says what a good one reads
			}
		}
		m.Tests = append(m.Tests, t)
	}
	for i := range m.Tests {
		for _, s := range m.Tests[i].FaultTest.Stale {
			if at := m.Test(s); at >= 0 {
				m.Tests[i].Stale = append(m.Tests[i].Stale, at)
			}
		}
	}
}

// useful reports whether some fault of this engine moves the test at all.
func (b *builder) useful(x *specs.FaultTest) bool {
	if len(x.Healthy) > 0 {
		for i := range b.m.Causes {
			if b.signs[x.ID][b.m.Causes[i].ID] != nil {
				return true
			}
		}
		return false
	}
	for i := range b.m.Causes {
		f := b.m.Causes[i].Fault
		if x.IfRight > 0 {
			if _, hit := tryChance(x, f, 1); hit {
				return true
			}
			continue
		}
		for _, c := range f.Changes {
			if c.Quantity == x.Reads {
				return true
			}
		}
		if (x.Volts != "" || x.Ohms != "") && len(f.Acts) > 0 {
			return true
		}
	}
	return false
}

// usualSource is what stands as the source of a usual figure.
const usualSource = "the usual one of its kind, assumed"

// healthy finds what a healthy one reads: the engine's own figure, else the
// usual one of the kind.
func (b *builder) healthy(t *Test) {
	q := t.quantity
	if b.engine != nil && q.Figure != "" {
		if f, ok := preferred(b.engine, q.Figure); ok {
			if v, ok := middle(f.Band); ok {
				t.Healthy, t.Source, t.FromBook = v, b.cite(f), true
				return
			}
		}
	}
	usual := q.Usual
	if b.halved() && slices.ContainsFunc(q.Ballasted, func(u specs.UsualFigure) bool { return u.System == b.system }) {
		usual = q.Ballasted
	}
	for _, u := range usual {
		if u.System == b.system {
			u.Value = b.ofVolts(q, u.Value)
			t.Healthy, t.Source = u.Value, usualSource
			if line := fmt.Sprintf("%s: %s", q.Title, u.Value.DisplayBoth("")); q.Figure != "" && !slices.Contains(b.m.Assumed, line) {
				b.m.Assumed = append(b.m.Assumed, line)
			}
			return
		}
	}
}

// halved reports a coil that gets about half of the usual battery's volts: its
// battery has clearly less than the usual one of its kind, or it has a ballast.
func (b *builder) halved() bool {
	if q := b.quantities["battery-rest"]; q != nil && !b.facts.Volts.IsZero() {
		for _, w := range q.OfVolts {
			if w.Name == b.system && b.facts.Volts.Volts() < 0.75*w.Value {
				return true
			}
		}
	}
	return b.facts.Ballast != wiring.NoBallast
}

// ofVolts is a usual figure at the volts of this engine's battery.
func (b *builder) ofVolts(q *specs.FaultQuantity, usual units.Quantity) units.Quantity {
	for _, w := range q.OfVolts {
		if w.Name == b.system && w.Value > 0 && !b.facts.Volts.IsZero() {
			return units.FromSI(usual.Kind(), usual.SI()*b.facts.Volts.Volts()/w.Value)
		}
	}
	return usual
}

func (b *builder) cite(f specs.Figure) string {
	if s, ok := b.book.Source(f.Source); ok {
		return s.Cite(f.Place)
	}
	return f.Source
}

// preferred is the figure of an engine that is judged by first: one marked so,
// else the first that is not doubted.
func preferred(e *specs.Engine, key specs.Key) (best specs.Figure, ok bool) {
	for _, f := range e.Figures {
		if f.Quantity != key || f.Status == specs.Doubtful {
			continue
		}
		if !ok || f.Prefer != "" && best.Prefer == "" {
			best, ok = f, true
		}
	}
	return best, ok
}

// middle is the middle of a band: its nominal, or halfway between its limits.
func middle(band specs.Band) (units.Quantity, bool) {
	switch {
	case !band.Nominal.IsZero():
		return band.Nominal.Quantity, true
	case !band.Min.IsZero() && !band.Max.IsZero():
		lo, hi := band.Min.Quantity, band.Max.Quantity
		return units.FromSI(lo.Kind(), (lo.SI()+hi.SI())/2), true
	case !band.Min.IsZero():
		return band.Min.Quantity, true
	case !band.Max.IsZero():
		return band.Max.Quantity, true
	}
	return units.Quantity{}, false
}

// edges puts the edges of bands where the healthy figures put them.
func (b *builder) edges() {
	for i := range b.m.Tests {
		t := &b.m.Tests[i]
		if !t.Reading {
			continue
		}
		t.Answers = len(t.quantity.Edges) + 1
		for _, e := range t.quantity.Edges {
			if t.quantity.Additive {
				t.edges = append(t.edges, e)
				t.Edges = append(t.Edges, units.FromSI(t.Kind, t.Healthy.SI()+e))
			} else {
				t.edges = append(t.edges, math.Log(e))
				t.Edges = append(t.Edges, units.FromSI(t.Kind, t.Healthy.SI()*e))
			}
		}
	}
}

// atoms lists the hypotheses with their priors.
func (b *builder) atoms() {
	m := b.m
	pairs := b.facts.Plain.Pairs
	switch {
	case pairs == 0:
		pairs = usualPairs
	case pairs < 0:
		pairs = 0
	}
	type pair struct {
		a, b   int
		weight float64
	}
	var list []pair
	factor := map[[2]string]float64{}
	for _, p := range b.all.Together {
		factor[[2]string{p.Faults[0], p.Faults[1]}] = p.Factor
		factor[[2]string{p.Faults[1], p.Faults[0]}] = p.Factor
	}
	for i := range m.Causes {
		for j := i + 1; j < len(m.Causes); j++ {
			w := m.Causes[i].Prior * m.Causes[j].Prior
			if k, ok := factor[[2]string{m.Causes[i].ID, m.Causes[j].ID}]; ok {
				w *= k
			}
			list = append(list, pair{i, j, w})
		}
	}
	slices.SortStableFunc(list, func(x, y pair) int { return cmp.Compare(y.weight, x.weight) })
	list = list[:min(pairs, len(list))]
	sum, share := 0.0, b.figure.Pairs
	for _, p := range list {
		sum += p.weight
	}
	if len(list) == 0 {
		share = 0
	}
	nodes := func(n int) int {
		if b.facts.Plain.NoShared {
			return 1
		}
		return n
	}
	for i := range m.Causes {
		present := b.presence(i)
		for _, p := range present {
			for n := range nodes(5) {
				b.add(i, -1, (1-share)*m.Causes[i].Prior*p.w/float64(nodes(5)), state{n, nodes(5), [2]float64{p.least, -1}})
			}
		}
	}
	for _, p := range list {
		for n := range nodes(3) {
			b.add(p.a, p.b, share*p.weight/sum/float64(nodes(3)), state{n, nodes(3), [2]float64{-1, -1}})
		}
	}
}

type presence struct{ w, least float64 }

// presence lists the states of a fault that comes and goes within one call: it
// is there under every condition whose chance to show is at least so much.
func (b *builder) presence(cause int) []presence {
	f := b.m.Causes[cause].Fault
	if b.facts.Plain.NoPresence || !comesAndGoes(f) {
		return []presence{{1, -1}}
	}
	shows := []float64{f.Shows.Otherwise}
	for i := range b.m.Tests {
		shows = append(shows, f.Shows.In(b.m.Tests[i].Condition))
	}
	slices.Sort(shows)
	shows = slices.Compact(shows)
	var list []presence
	last := 0.0
	for _, s := range shows {
		if s > last {
			list = append(list, presence{s - last, s})
			last = s
		}
	}
	if last < 1 {
		list = append(list, presence{1 - last, 2})
	}
	return list
}

func (b *builder) add(x, y int, prior float64, s state) {
	if prior <= 0 {
		return
	}
	b.m.atoms = append(b.m.atoms, atom{int16(x), int16(y), math.Log(prior)})
	b.states = append(b.states, s)
}

// show is the chance that a cause of an atom shows itself at a test.
func (b *builder) show(s state, which, cause int, t *Test) float64 {
	p := b.m.Causes[cause].Shows.In(t.Condition)
	least := s.present[which]
	switch {
	case least < 0:
		return p
	case p >= least:
		return 1
	}
	return 0
}

// fill works out the rows of one test.
func (b *builder) fill(test int) {
	m := b.m
	t := &m.Tests[test]
	r := rows{bands: t.Answers}
	if t.Reading {
		r.first = []int32{0}
	}
	// Atoms under which the test is the same share a row.
	type key struct {
		a, b         int32 // causes that move the test, or -1
		showA, showB float64
		node, nodes  int8
	}
	moves := make([]bool, len(m.Causes))
	for i := range moves {
		moves[i] = b.moves(test, i)
	}
	plainLook := !t.Reading && t.JumpsAbove == 0 && t.IfRight == 0
	depends := b.depends(t)
	seen := make(map[key]int32)
	// Most atoms have the key of the one before them, or that of no fault.
	var last key
	row := int32(-1)
	for i, a := range m.atoms {
		s := b.states[i]
		k := key{a: -1, b: -1}
		movesA, movesB := moves[a.a], a.b >= 0 && moves[a.b]
		if !t.Reading && t.JumpsAbove == 0 && a.b >= 0 && (movesA || movesB) {
			movesA, movesB = true, true // a pair shows half of each of two looks
		}
		if movesA {
			k.a = int32(a.a)
		}
		if movesB {
			k.b = int32(a.b)
		}
		if !plainLook { // whose sign rows have it in them
			if movesA {
				k.showA = b.show(s, 0, int(a.a), t)
			}
			if movesB {
				k.showB = b.show(s, 1, int(a.b), t)
			}
		}
		if depends {
			k.node, k.nodes = int8(s.node), int8(s.nodes)
		}
		if row < 0 || k != last {
			known, ok := seen[k]
			if !ok {
				known = int32(len(r.band) / r.bands)
				n := node{}
				switch {
				case s.nodes == 5:
					n = fiveNodes[s.node]
				case s.nodes == 3:
					n = threeNodes[s.node]
				}
				b.row(&r, test, int(k.a), int(k.b), k.showA, k.showB, n, s.nodes)
				known = r.last(known)
				seen[k] = known
			}
			last, row = k, known
		}
		m.rows = append(m.rows, row)
	}
	m.table = append(m.table, r)
}

// last takes the last row of a look away where an earlier one is the same, and
// returns which row it is: the fewer rows, the sooner a test is weighed.
func (r *rows) last(row int32) int32 {
	if r.first != nil {
		return row // readings have densities, and hardly ever the same
	}
	at := int(row) * r.bands
	one := r.band[at:]
	for i := range int(row) {
		if slices.Equal(r.band[i*r.bands:(i+1)*r.bands], one) {
			r.band = r.band[:at]
			return int32(i)
		}
	}
	return row
}

// depends reports whether a test sees the causes that readings share.
func (b *builder) depends(t *Test) bool {
	if b.facts.Plain.NoShared {
		return false
	}
	return t.JumpsAbove > 0 || t.Reading && (b.isBattery(t) || t.Kind == units.KindResistance)
}

// isBattery reports readings that follow the battery's volts.
func (b *builder) isBattery(t *Test) bool {
	switch t.quantity.ID {
	case "battery-rest", "battery-crank", "feed-run", "feed-still", "feed-start", "cells-load":
		return true
	}
	return false
}

// moves reports whether a cause does anything to a test.
func (b *builder) moves(test, cause int) bool {
	t, f := &b.m.Tests[test], b.m.Causes[cause].Fault
	switch {
	case test == 0, t.IfRight > 0:
		return true
	case t.JumpsAbove > 0:
		_, ok := b.sparkEffect(t, cause)
		return ok
	case t.Reading:
		return b.alts(test, cause) != nil
	}
	return b.signs[t.ID][f.ID] != nil
}

// alts is what a cause does to a reading: by the wiring where it says so, else
// by the tables.
func (b *builder) alts(test, cause int) []alt {
	if list, ok := b.path[test]; ok {
		return list[cause]
	}
	return changeAlts(b.m.Causes[cause].Fault, b.m.Tests[test].quantity)
}

// sparkEffect is what a cause does to the spark volts that a test sees.
func (b *builder) sparkEffect(t *Test, cause int) (sparkEffect, bool) {
	f := b.m.Causes[cause].Fault
	if f.LostAt != "" && slices.Contains(t.Blind, f.LostAt) {
		return sparkEffect{}, false
	}
	e, ok := sparkChange(f, t.Reads)
	if computed := b.spark[cause]; computed != nil && ok && t.Reads == "spark-volts" {
		return *computed, true
	}
	return e, ok
}

// row appends one row of a test.
func (b *builder) row(r *rows, test, x, y int, showX, showY float64, n node, nodes int) {
	t := &b.m.Tests[test]
	switch {
	case t.Reading:
		b.readingRow(r, test, x, y, showX, showY, n, nodes)
	case t.JumpsAbove > 0:
		b.sparkRow(r, t, x, y, showX, showY, n, nodes)
	case t.IfRight > 0:
		b.tryRow(r, t, x, y, showX, showY)
	default:
		b.lookRow(r, test, x, y)
	}
}

func (b *builder) lookRow(r *rows, test, x, y int) {
	t := &b.m.Tests[test]
	one := func(cause int) []float64 {
		if test == 0 {
			return b.chances(t, b.complaint(cause), 1)
		}
		if cause >= 0 {
			f := b.m.Causes[cause].Fault
			if row := b.signs[t.ID][f.ID]; row != nil {
				return b.facts.Counts.row(t, f.ID, b.figure.SightsWorth, b.chances(t, row, b.figure.Sharpness))
			}
		}
		return b.facts.Counts.row(t, Otherwise, b.figure.SightsWorth, b.chances(t, t.FaultTest.Healthy, b.figure.Sharpness))
	}
	row := one(x)
	if y >= 0 {
		other := one(y)
		for i := range row {
			row[i] = (row[i] + other[i]) / 2
		}
	}
	r.band = append(r.band, row...)
}

func (b *builder) complaint(cause int) []specs.Weight {
	for _, c := range b.all.Complaints {
		if c.Manner == b.m.Causes[cause].Manner {
			return c.Chances
		}
	}
	return nil // the book's check refuses that
}

// chances puts weights into the order of a test's answers and makes them add
// up, with a thousandth left for what a table calls impossible.
func (b *builder) chances(t *Test, weights []specs.Weight, power float64) []float64 {
	row := make([]float64, len(t.FaultTest.Answers))
	for i, a := range t.FaultTest.Answers {
		for _, w := range weights {
			if w.Name == a.Word {
				row[i] = math.Pow(w.Value, power)
			}
		}
	}
	return normalised(row)
}

// least is the smallest chance of an answer: no table knows what cannot be.
const least = 0.001

func normalised(row []float64) []float64 {
	sum := 0.0
	for i := range row {
		row[i] = max(row[i], least)
		sum += row[i]
	}
	for i := range row {
		row[i] /= sum
	}
	return row
}

func (b *builder) tryRow(r *rows, t *Test, x, y int, showX, showY float64) {
	better, hit := tryChance(t.FaultTest, b.m.Causes[x].Fault, showX)
	if y >= 0 {
		other, hitY := tryChance(t.FaultTest, b.m.Causes[y].Fault, showY)
		switch {
		case hit && hitY:
			better = max(better, other)
		case hit:
			better /= 2 // the other fault remains
		case hitY:
			better = other / 2
		default:
			better = max(better, other)
		}
	}
	better = min(max(better, least), 1-least)
	for _, a := range t.FaultTest.Answers {
		if a.Word == "better" {
			r.band = append(r.band, better)
		} else {
			r.band = append(r.band, 1-better)
		}
	}
}

func (b *builder) sparkRow(r *rows, t *Test, x, y int, showX, showY float64, n node, nodes int) {
	// Every way in which the two causes may show, with its weight.
	type way struct {
		w float64
		sparkEffect
	}
	ways := []way{{w: 1}}
	for i, cause := range []int{x, y} {
		if cause < 0 {
			continue
		}
		e, ok := b.sparkEffect(t, cause)
		if !ok {
			continue
		}
		show := [2]float64{showX, showY}[i]
		var next []way
		for _, v := range ways {
			if show > 0 {
				next = append(next, way{v.w * show, sparkEffect{v.dead || e.dead, v.shift + e.shift, math.Hypot(v.sd, e.sd)}})
			}
			if show < 1 {
				next = append(next, way{v.w * (1 - show), v.sparkEffect})
			}
		}
		ways = next
	}
	row := make([]float64, len(t.FaultTest.Answers))
	for _, v := range ways {
		var p [3]float64
		if v.dead {
			p = [3]float64{1, 0, 0}
		} else {
			sd := math.Hypot(b.figure.SparkSpread, v.sd)
			own := sd
			if nodes > 1 {
				own = sd * math.Sqrt(rest(nodes))
			}
			p = sparkBands(t.FaultTest, v.shift+n.spark*sd, own)
		}
		for i := range row {
			row[i] += v.w * p[i]
		}
	}
	r.band = append(r.band, normalised(row)...)
}

// readingRow appends the density of a reading, and the chances of its bands.
func (b *builder) readingRow(r *rows, test, x, y int, showX, showY float64, n node, nodes int) {
	t := &b.m.Tests[test]
	var first, second []alt
	if x >= 0 {
		first = showing(b.alts(test, x), showX)
	}
	if y >= 0 {
		second = showing(b.alts(test, y), showY)
	}
	alts := both(first, second)
	if alts == nil {
		alts = healthyAlts
	}
	own := b.spread(t)
	low, high := 0.0, 0.0
	for _, a := range alts {
		switch {
		case a.high:
			high += a.w
			continue
		case a.low:
			low += a.w
			continue
		}
		mean, sd := a.shift, own
		if !t.quantity.Additive {
			value := t.Healthy.SI() * math.Exp(a.shift)
			var shared, left float64
			if b.isBattery(t) {
				shared += n.battery * b.figure.BatterySpread
				left += b.figure.BatterySpread * b.figure.BatterySpread
			}
			if t.Kind == units.KindResistance {
				shared += n.scale * b.figure.ScaleSpread
				left += b.figure.ScaleSpread * b.figure.ScaleSpread
				if b.isCopper(t) {
					shared += n.copper * b.figure.CopperSpread
					left += b.figure.CopperSpread * b.figure.CopperSpread
				}
				leads := n.leads
				if nodes <= 1 {
					leads = b.figure.LeadsLeft
				}
				mean += math.Log1p(leads * b.figure.Leads.Ohms() / value)
			}
			if nodes > 1 && left > 0 {
				// What the nodes carry does not count twice.
				mean += shared
				sd = math.Sqrt(max(sd*sd-left*(1-rest(nodes)), sd*sd/4))
			}
			sd = math.Hypot(sd, b.meter(t.Kind, value))
		}
		r.parts = append(r.parts, normal{a.w, mean, math.Hypot(sd, a.sd)})
	}
	r.low, r.high = append(r.low, low), append(r.high, high)
	r.first = append(r.first, int32(len(r.parts)))
	row := len(r.first) - 2
	bands := make([]float64, t.Answers)
	last := math.Inf(-1)
	for i := range bands {
		next := math.Inf(1)
		if i < len(t.edges) {
			next = t.edges[i]
		}
		bands[i] = r.between(row, last, next)
		last = next
	}
	r.band = append(r.band, normalised(bands)...)
}

// isCopper reports windings, whose resistance follows temperature.
func (b *builder) isCopper(t *Test) bool {
	switch t.quantity.ID {
	case "primary-ohms", "secondary-ohms", "trigger-ohms", "charge-ohms", "source-ohms", "low-tension-ohms":
		return true
	}
	return false
}

// spread is how far healthy ones of this engine differ, meter apart.
func (b *builder) spread(t *Test) float64 {
	own := 0.0
	for _, s := range t.quantity.Spreads {
		if s.Name == b.system {
			own = s.Value
		}
	}
	if t.quantity.Figure != "" && t.Source == usualSource {
		return max(own, t.quantity.Strange)
	}
	return own
}

// meter is the standard uncertainty of a usual meter's reading, as a share: its
// percentage and its counts, on the range that shows the value best.
func (b *builder) meter(k units.Kind, value float64) float64 {
	_, r, ok := b.book.UsualMeter(k)
	if !ok || !(value > 0) || math.IsInf(value, 1) {
		return 0
	}
	off := r.Percent
	if r.Counts > 0 {
		step := math.Pow(10, math.Ceil(math.Log10(value/2000)))
		off += r.Counts * step / value
	}
	if a := r.Absolute.Quantity; a.Kind() == k {
		off += a.SI() / value
	}
	// Counts add: where they are as large as the value, a share this far up is
	// one standard deviation, and its logarithm the width.
	return math.Log1p(off / math.Sqrt(3))
}

// Test returns the index of a test by its id, -1 where the engine has none.
func (m *Model) Test(id string) int {
	return slices.IndexFunc(m.Tests, func(t Test) bool { return t.ID == id })
}

// Cause returns the index of a cause by the id of its fault, -1 where the
// engine cannot have it.
func (m *Model) Cause(id string) int {
	return slices.IndexFunc(m.Causes, func(c Cause) bool { return c.ID == id })
}
