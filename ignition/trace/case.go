package trace

import (
	"cmp"
	"math"
	"slices"

	"gapbook.example/units"
)

// A Case is one engine being traced: what was answered so far, and what follows
// from it. The order of answers does not matter to what follows. A Case is for
// one caller at a time; any number of cases can share a [Model].
type Case struct {
	m    *Model
	set  Setting
	slip float64
	// shares are how slips fall out.
	shares [slipClasses]float64

	told []told
	eras []era
	// groups are in the order of eras and tests, so that sums do not depend on
	// the order of answers.
	groups  []*group
	skipped []bool
	stale   []bool
	paid    []bool

	usual []int // row of each test where nothing moves it
	// spans[spanOf[t]:spanOf[t+1]] hold the atoms that move test t; upTo[i] is
	// the weight of all atoms before i that are worth counting.
	spans  []span
	spanOf []int
	upTo   []float64
	// cureA and cureB are the cures of each atom: cureB is -1 where there is one
	// only.
	cureA, cureB []int32

	// In minutes: what each test takes with its hazard, each opening, and what
	// naming each cure wrongly costs.
	effort, opens, prices []float64

	log, w []float64 // of each atom: logarithm, and chance
	active []int32   // atoms that are worth counting
	cures  []float64 // marginal chances: they add to more than one

	misfit misfit

	// Scratch, so that a decision allocates nothing.
	first      []float64 // weights per cure, halved for pairs
	joint, row []float64
	moved      []bool // cures that move a test
	without    []float64
	played     map[string]float64
	levels     []*level
	rates      []float64 // bits a minute of each test, by best
}

// A span is a run of atoms, from the first up to but not the last, that have the
// same cures and under which a test has the same row.
type span struct{ from, to, row, cureA, cureB int32 }

// told is one line of the record: an answer, or a cure that was done.
type told struct {
	answer Answer
	cure   int // -1 for an answer
}

// An era begins with a cure: under every atom what is left of its faults.
type era struct {
	cure int
	// left is the atom that each atom is like after the cure, itself where the
	// cure does nothing to it; -1 where nothing is left.
	left []int32
	// base is the logarithm of each atom's weight by all that was told before.
	base []float64
	// moved lists the tests whose readings the cure may have changed, and open
	// those of them that are worth asking anew: not what was good before, nor a
	// question to the caller's memory.
	moved, open []bool
}

// New begins a case.
func New(m *Model, s Setting) *Case {
	c := &Case{m: m, set: s, slip: s.Slip, shares: m.shares()}
	if c.slip == 0 {
		c.slip = m.Figures.Slip
	}
	if s.noSlips {
		c.slip = 0
	}
	n := len(m.atoms)
	c.cureA, c.cureB = make([]int32, n), make([]int32, n)
	most := 0
	for i, a := range m.atoms {
		c.cureA[i], c.cureB[i] = int32(m.Causes[a.a].Cure), -1
		if a.b >= 0 {
			if k := int32(m.Causes[a.b].Cure); k != c.cureA[i] {
				c.cureB[i] = k
			}
		}
	}
	for _, t := range m.Tests {
		most = max(most, t.Answers)
	}
	c.usual = m.usualRows()
	for t := range m.Tests {
		c.spanOf = append(c.spanOf, len(c.spans))
		for i := range m.atoms {
			x := span{int32(i), int32(i + 1), int32(m.row(t, i)), c.cureA[i], c.cureB[i]}
			if int(x.row) == c.usual[t] {
				continue
			}
			if n := len(c.spans); n > c.spanOf[t] {
				if last := &c.spans[n-1]; last.to == x.from && last.row == x.row && last.cureA == x.cureA && last.cureB == x.cureB {
					last.to = x.to
					continue
				}
			}
			c.spans = append(c.spans, x)
		}
	}
	c.spanOf = append(c.spanOf, len(c.spans))
	c.upTo = make([]float64, n+1)
	for t := range m.Tests {
		c.effort = append(c.effort, m.Tests[t].Minutes.Minutes()+c.hazard(t))
	}
	for _, o := range m.Openings {
		c.opens = append(c.opens, o.Minutes.Minutes())
	}
	for _, x := range m.Cures {
		c.prices = append(c.prices, x.Price.Minutes())
	}
	c.log, c.w = make([]float64, n), make([]float64, n)
	c.without = make([]float64, n)
	c.active = make([]int32, 0, n)
	c.cures = make([]float64, len(m.Cures))
	c.first = make([]float64, len(m.Cures))
	c.joint = make([]float64, len(m.Cures)*most)
	c.rates = make([]float64, len(m.Tests))
	c.row, c.moved = make([]float64, most), make([]bool, len(m.Cures))
	c.clear()
	c.update()
	return c
}

// clear takes all answers away.
func (c *Case) clear() {
	c.told, c.groups, c.eras = c.told[:0], c.groups[:0], c.eras[:0]
	c.skipped = make([]bool, len(c.m.Tests))
	c.stale = make([]bool, len(c.m.Tests))
	c.paid = make([]bool, len(c.m.Openings))
	c.misfit = misfit{}
}

// usualRows finds for each test the row that carries most of the prior: that of
// atoms which do not move it.
func (m *Model) usualRows() []int {
	usual := make([]int, len(m.Tests))
	for t := range m.Tests {
		sum := make([]float64, len(m.table[t].band)/m.table[t].bands)
		for i := range m.atoms {
			sum[m.row(t, i)] += math.Exp(m.atoms[i].log)
		}
		for r := range sum {
			if sum[r] > sum[usual[t]] {
				usual[t] = r
			}
		}
	}
	return usual
}

// Model is what the case runs on.
func (c *Case) Model() *Model { return c.m }

// Setting is how it is traced.
func (c *Case) Setting() Setting { return c.set }

// Answers lists what was told, in order; cures that were done are not in it.
func (c *Case) Answers() []Answer {
	var list []Answer
	for _, t := range c.told {
		if t.cure < 0 {
			list = append(list, t.answer)
		}
	}
	return list
}

// Tell takes an answer in. The error is an [*AnswerError], and then nothing has
// changed.
func (c *Case) Tell(a Answer) error {
	o, err := c.check(a)
	if err != nil {
		return err
	}
	c.tell(a, o)
	return nil
}

func (c *Case) tell(a Answer, o observation) {
	o.told = len(c.told)
	c.told = append(c.told, told{a, -1})
	if a.Skipped {
		c.skipped[a.Test] = true
		if a.Tool != "" {
			c.off()
		}
		return
	}
	t := &c.m.Tests[a.Test]
	for _, p := range t.Openings {
		c.paid[p] = true
	}
	for _, s := range t.Stale {
		c.stale[s] = true
	}
	now := len(c.eras)
	at, found := slices.BinarySearchFunc(c.groups, [2]int{now, a.Test}, func(g *group, k [2]int) int {
		return cmp.Or(cmp.Compare(g.era, k[0]), cmp.Compare(g.test, k[1]))
	})
	var g *group
	if found {
		g = c.groups[at]
	} else {
		c.foretell(a.Test, o.band)
		g = &group{test: a.Test, era: now}
		c.groups = slices.Insert(c.groups, at, g)
	}
	// In an order of their own, so that the order of telling does not matter.
	place, _ := slices.BinarySearchFunc(g.obs, o, func(p, q observation) int {
		return cmp.Or(cmp.Compare(p.band, q.band), cmp.Compare(p.x, q.x), cmp.Compare(p.told, q.told))
	})
	g.obs = slices.Insert(g.obs, place, o)
	c.weigh(g)
	c.update()
}

// Undo takes back the last answer, skip or cure; false where there is none.
func (c *Case) Undo() bool {
	if len(c.told) == 0 {
		return false
	}
	keep := slices.Clone(c.told[:len(c.told)-1])
	c.clear()
	c.update()
	for _, t := range keep {
		if t.cure >= 0 {
			c.cured(t.cure)
			continue
		}
		o, _ := c.check(t.answer)
		c.tell(t.answer, o)
	}
	return true
}

// Unpaid lists the openings that a test needs and that no answer so far has
// paid, as indexes into Model.Openings.
func (c *Case) Unpaid(test int) []int {
	var list []int
	for _, o := range c.m.Tests[test].Openings {
		if !c.paid[o] {
			list = append(list, o)
		}
	}
	return list
}

// Minutes is what the answers so far took: tests, repeats, and openings once.
func (c *Case) Minutes() units.Time {
	sum := units.Time{}
	paid := make([]bool, len(c.paid))
	for _, t := range c.told {
		if t.cure >= 0 || t.answer.Skipped {
			continue
		}
		x := &c.m.Tests[t.answer.Test]
		sum = sum.Add(x.Minutes)
		for _, p := range x.Openings {
			if !paid[p] {
				paid[p] = true
				sum = sum.Add(c.m.Openings[p].Minutes)
			}
		}
	}
	return sum
}
