package trace

import (
	"math"
	"math/rand/v2"
	"slices"

	"gapbook.example/ignition"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// A world is where simulated callers live. It has tables of its own, which may
// differ from those that the engine believes, and draws what it needs as it
// comes: continuous states of what readings share, readings with all their
// decimals, presence of a fault that comes and goes. The engine sees answers.
type world struct {
	b *builder
	// spread multiplies the spreads of what faults do, by fault and quantity.
	spread map[[2]string]float64
	pairs  []worldPair
	slip   float64
	named  bool // slips are of the named sorts
	fresh  bool // a fault that comes and goes is drawn afresh at each test
}

type worldPair struct {
	a, b int
	upto float64
}

// falseness says how far a world's tables lie from the believed ones.
type falseness struct {
	priors, spreads, signs, healthy float64
}

var falseTables = falseness{priors: 3, spreads: 0.5, signs: 0.2, healthy: 0.05}

// newWorld draws the tables of a world. The tables are walked in their own
// order, never by a map.
func newWorld(system ignition.System, f falseness, seed uint64) *world {
	book := specs.Builtin()
	r := rand.New(rand.NewPCG(seed, 77))
	w := &world{spread: map[[2]string]float64{}}
	t := *book.Faults()
	t.Figures = slices.Clone(t.Figures)
	t.Figures[0].Sharpness = 1 // a world is as it is, however much the engine trusts it
	either := func() float64 { // half or one and a half times
		if f.spreads == 0 {
			return 1
		}
		if r.IntN(2) == 0 {
			return 1 - f.spreads
		}
		return 1 + f.spreads
	}
	if f != (falseness{}) {
		t.Faults = slices.Clone(t.Faults)
		for i := range t.Faults {
			x := &t.Faults[i]
			by := math.Exp((2*r.Float64() - 1) * math.Log(f.priors))
			x.Priors = slices.Clone(x.Priors)
			for j := range x.Priors {
				x.Priors[j].Value *= by
			}
		}
		t.Quantities = slices.Clone(t.Quantities)
		for i := range t.Quantities {
			q := &t.Quantities[i]
			by := either()
			q.Spreads = slices.Clone(q.Spreads)
			for j := range q.Spreads {
				q.Spreads[j].Value *= by
			}
			q.Strange *= by
			for j := range t.Faults {
				w.spread[[2]string{t.Faults[j].ID, q.ID}] = either()
			}
		}
		t.Signs = slices.Clone(t.Signs)
		for i := range t.Signs {
			t.Signs[i].Chances = moved(r, t.Signs[i].Chances, f.signs)
		}
		t.Tests = slices.Clone(t.Tests)
		for i := range t.Tests {
			t.Tests[i].Healthy = moved(r, t.Tests[i].Healthy, f.healthy)
			t.Tests[i].EdgeSpread *= either()
		}
		g := &t.Figures[0]
		g.SparkSpread *= either()
		g.BatterySpread *= either()
		g.ScaleSpread *= either()
		g.CopperSpread *= either()
	}
	m := &Model{System: system}
	b := &builder{book: book, facts: Facts{System: system}, all: &t, system: system.String(), m: m}
	must(b.figures())
	b.causes()
	b.tests()
	must(b.paths())
	must(b.kilovolts())
	b.edges()
	w.b = b
	factor := map[[2]string]float64{}
	for _, p := range t.Together {
		factor[[2]string{p.Faults[0], p.Faults[1]}] = p.Factor
		factor[[2]string{p.Faults[1], p.Faults[0]}] = p.Factor
	}
	sum := 0.0
	for i := range m.Causes {
		for j := i + 1; j < len(m.Causes); j++ {
			p := m.Causes[i].Prior * m.Causes[j].Prior
			if k, ok := factor[[2]string{m.Causes[i].ID, m.Causes[j].ID}]; ok {
				p *= k
			}
			sum += p
			w.pairs = append(w.pairs, worldPair{i, j, sum})
		}
	}
	return w
}

func must(err error) {
	if err != nil {
		panic(err)
	}
}

// moved takes points from one answer, as far as it has them, and gives them to
// another.
func moved(r *rand.Rand, row []specs.Weight, points float64) []specs.Weight {
	if len(row) < 2 {
		return row
	}
	row = slices.Clone(row)
	from := r.IntN(len(row))
	to := (from + 1 + r.IntN(len(row)-1)) % len(row)
	points = min(points, row[from].Value)
	row[from].Value -= points
	row[to].Value += points
	return row
}

// A caller has an engine with a fault or two.
type caller struct {
	w      *world
	seed   uint64
	causes []int // still there
	cured  int   // how often something was cured

	spark, battery, scale, copper float64
	leads                         bool
	present                       []float64 // of each cause, in [0,1]
	own                           []float64 // of each cause: how much of its spread on spark volts

	asked   []int // how often each test was
	slipped []bool
}

// newCaller draws a caller; everything that it will answer depends on the seed,
// not on the order in which it is asked.
func (w *world) newCaller(seed uint64) *caller {
	r := rand.New(rand.NewPCG(seed, 1))
	m := w.b.m
	c := &caller{w: w, seed: seed, asked: make([]int, len(m.Tests)), slipped: make([]bool, len(m.Tests)),
		present: make([]float64, len(m.Causes)), own: make([]float64, len(m.Causes))}
	if r.Float64() < w.b.figure.Pairs {
		x := r.Float64() * w.pairs[len(w.pairs)-1].upto
		for _, p := range w.pairs {
			if x < p.upto {
				c.causes = []int{p.a, p.b}
				break
			}
		}
	} else {
		x, sum := r.Float64(), 0.0
		c.causes = []int{0}
		for i := range m.Causes {
			sum += m.Causes[i].Prior
			if x < sum {
				c.causes = []int{i}
				break
			}
		}
	}
	c.spark, c.battery, c.scale, c.copper = r.NormFloat64(), r.NormFloat64(), r.NormFloat64(), r.NormFloat64()
	c.leads = r.Float64() < w.b.figure.LeadsLeft
	for i := range c.present {
		c.present[i], c.own[i] = r.Float64(), r.NormFloat64()
	}
	return c
}

// shows draws whether a cause is there at a test.
func (c *caller) shows(r *rand.Rand, cause int, t *Test) bool {
	f := c.w.b.m.Causes[cause].Fault
	u := r.Float64()
	if comesAndGoes(f) && !c.w.fresh {
		u = c.present[cause]
	}
	return u < f.Shows.In(t.Condition)
}

// truth is what stands there to be read or seen; the same every time until
// something is cured.
func (c *caller) truth(test int) Answer {
	b := c.w.b
	t := &b.m.Tests[test]
	r := rand.New(rand.NewPCG(c.seed, uint64(test)<<20+uint64(c.cured)<<40+2))
	a := Answer{Test: test}
	switch {
	case test == 0:
		row := make([]float64, t.Answers)
		for _, x := range c.causes {
			for i, p := range b.chances(t, b.complaint(x), 1) {
				row[i] += p
			}
		}
		a.Look = draw(r, row)
	case t.Reading:
		return c.read(r, test)
	case t.JumpsAbove > 0:
		a.Look = c.seeSpark(r, t)
	case t.IfRight > 0:
		x, y, showX, showY := c.causes[0], -1, 0.0, 0.0
		show := func(cause int) float64 {
			if c.w.fresh || !comesAndGoes(b.m.Causes[cause].Fault) {
				return b.m.Causes[cause].Shows.In(t.Condition)
			}
			if c.shows(r, cause, t) {
				return 1
			}
			return 0
		}
		showX = show(x)
		if len(c.causes) > 1 {
			y = c.causes[1]
			showY = show(y)
		}
		var one rows
		b.tryRow(&one, t, x, y, showX, showY)
		a.Look = draw(r, one.band)
	default:
		x, y := c.causes[0], -1
		if len(c.causes) > 1 {
			y = c.causes[1]
		}
		var one rows
		b.lookRow(&one, test, x, y)
		a.Look = draw(r, one.band)
	}
	return a
}

func draw(r *rand.Rand, row []float64) int {
	sum := 0.0
	for _, p := range row {
		sum += p
	}
	x := r.Float64() * sum
	for i, p := range row {
		if x < p {
			return i
		}
		x -= p
	}
	return len(row) - 1
}

// seeSpark is a spark test: the volts of this engine with its faults against
// the tester's two thresholds.
func (c *caller) seeSpark(r *rand.Rand, t *Test) int {
	b := c.w.b
	mu := c.spark * b.figure.SparkSpread
	for _, x := range c.causes {
		e, ok := b.sparkEffect(t, x)
		if !ok || !c.shows(r, x, t) {
			continue
		}
		if e.dead {
			return 0
		}
		mu += e.shift + e.sd*c.w.times(b.m.Causes[x].ID, t.Reads)*c.own[x]
	}
	mu += t.EdgeSpread * r.NormFloat64()
	switch {
	case mu < math.Log(t.NoneBelow):
		return 0
	case mu < math.Log(t.JumpsAbove):
		return 1
	}
	return 2
}

// times is what a world's spread of a fault's effect is of the believed one.
func (w *world) times(fault, quantity string) float64 {
	if by, ok := w.spread[[2]string{fault, quantity}]; ok {
		return by
	}
	return 1
}

// read is what a meter shows.
func (c *caller) read(r *rand.Rand, test int) Answer {
	b := c.w.b
	t := &b.m.Tests[test]
	a := Answer{Test: test}
	shift, high, low := 0.0, false, false
	for _, x := range c.causes {
		alts := b.alts(test, x)
		if alts == nil || !c.shows(r, x, t) {
			continue
		}
		at := alts[len(alts)-1]
		u := r.Float64()
		for _, k := range alts {
			if u < k.w {
				at = k
				break
			}
			u -= k.w
		}
		high, low = high || at.high, low || at.low
		shift += at.shift + at.sd*c.w.times(b.m.Causes[x].ID, t.quantity.ID)*r.NormFloat64()
	}
	ohms := t.Kind == units.KindResistance
	h := t.Healthy.SI()
	switch {
	case high && ohms:
		a.OutOfRange = true
		return a
	case high:
		a.Reading = units.FromSI(t.Kind, h*math.Exp(t.edges[len(t.edges)-1]+r.Float64()*3))
		return a
	case low && ohms:
		a.Reading = units.FromSI(t.Kind, 0.3*r.Float64())
		return a
	case low:
		a.Reading = units.FromSI(t.Kind, 0)
		return a
	}
	own := b.spread(t)
	if t.quantity.Additive {
		a.Reading = units.FromSI(t.Kind, h+shift+own*r.NormFloat64())
		return a
	}
	left := 0.0
	f := b.figure
	if b.isBattery(t) {
		shift += c.battery * f.BatterySpread
		left += f.BatterySpread * f.BatterySpread
	}
	if ohms {
		shift += c.scale * f.ScaleSpread
		left += f.ScaleSpread * f.ScaleSpread
		if b.isCopper(t) {
			shift += c.copper * f.CopperSpread
			left += f.CopperSpread * f.CopperSpread
		}
	}
	value := h * math.Exp(shift+r.NormFloat64()*math.Sqrt(max(own*own-left, own*own/4)))
	if ohms && c.leads {
		value += f.Leads.Ohms()
	}
	value *= math.Exp(b.meter(t.Kind, value) * r.NormFloat64())
	if ohms && value > f.MeterEnd.Ohms() {
		a.OutOfRange = true
		return a
	}
	a.Reading = units.FromSI(t.Kind, value)
	return a
}

// answer is what the caller says, and whether it is a slip.
func (c *caller) answer(test int) (Answer, bool) {
	a := c.truth(test)
	n := c.asked[test]
	c.asked[test]++
	if test == 0 || c.w.slip == 0 {
		return a, false
	}
	r := rand.New(rand.NewPCG(c.seed, uint64(test)<<20+uint64(c.cured)<<40+uint64(n)<<8+3))
	if r.Float64() >= c.w.slip {
		return a, false
	}
	if c.w.named {
		return c.namedSlip(r, a), true
	}
	return c.flatSlip(r, a), true
}

// flatSlip is another band at random, a third of those in ohms or volts at the
// end of the range.
func (c *caller) flatSlip(r *rand.Rand, a Answer) Answer {
	t := &c.w.b.m.Tests[a.Test]
	if !t.Reading {
		a.Look = (a.Look + 1 + r.IntN(t.Answers-1)) % t.Answers
		return a
	}
	if t.Kind == units.KindResistance || t.Kind == units.KindVoltage {
		if r.IntN(3) == 0 && !t.quantity.Additive {
			return Answer{Test: a.Test, OutOfRange: true}
		}
	}
	band := t.Answers - 1
	if !a.OutOfRange {
		x, low := t.x(a.Reading.SI())
		band = t.bandOf(x)
		if low {
			band = 0
		}
	}
	band = (band + 1 + r.IntN(t.Answers-1)) % t.Answers
	n := len(t.edges)
	end := 3.0 // of an end band, about twenty times
	if t.quantity.Additive {
		end = 10
	}
	var x float64
	switch u := r.Float64(); band {
	case 0:
		x = t.edges[0] - u*end
	case n:
		x = t.edges[n-1] + u*end
	default:
		x = t.edges[band-1] + u*(t.edges[band]-t.edges[band-1])
	}
	if t.quantity.Additive {
		return Answer{Test: a.Test, Reading: units.FromSI(t.Kind, t.Healthy.SI()+x)}
	}
	return Answer{Test: a.Test, Reading: units.FromSI(t.Kind, t.Healthy.SI()*math.Exp(x))}
}

// namedSlip is a slip of the sorts that have a name, as meters have them.
func (c *caller) namedSlip(r *rand.Rand, a Answer) Answer {
	t := &c.w.b.m.Tests[a.Test]
	if !t.Reading || t.quantity.Additive {
		return c.flatSlip(r, a)
	}
	si := a.Reading.SI()
	switch u := r.Float64(); {
	case u < 0.35 && !a.OutOfRange && si > 0:
		if r.IntN(2) == 0 {
			return Answer{Test: a.Test, Reading: units.FromSI(t.Kind, si*1000)}
		}
		return Answer{Test: a.Test, Reading: units.FromSI(t.Kind, si/1000)}
	case u < 0.45 && !a.OutOfRange && t.Kind == units.KindResistance:
		return Answer{Test: a.Test, Reading: units.FromSI(t.Kind, si+0.5+r.Float64())}
	case u < 0.7:
		var others []int
		for i := range c.w.b.m.Tests {
			if s := &c.w.b.m.Tests[i]; i != a.Test && s.Reading && s.Kind == t.Kind && !s.quantity.Additive {
				others = append(others, i)
			}
		}
		if len(others) > 0 {
			o := c.truth(others[r.IntN(len(others))])
			o.Test = a.Test
			return o
		}
	case u < 0.85:
		return Answer{Test: a.Test, OutOfRange: true}
	}
	return c.flatSlip(r, a)
}

// cure does a cure; true where the engine is right after it.
func (c *caller) cure(cure int) bool {
	m := c.w.b.m
	c.causes = slices.DeleteFunc(slices.Clone(c.causes), func(x int) bool { return m.Causes[x].Cure == cure })
	return len(c.causes) == 0
}
