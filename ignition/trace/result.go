package trace

import (
	"cmp"
	"math"
	"slices"
)

// A Grade is how sure an answer is.
type Grade int

// The three grades.
const (
	// CannotTell: no cure has the chance of a probable one.
	CannotTell Grade = iota
	// Probable: a cure has 0.7 or more; Result.Settle would settle it.
	Probable
	// Found: a cure has 0.95 or more, leans on no reading that is doubted, and
	// goes with every test that was answered.
	Found
)

// String is the grade in words.
func (g Grade) String() string { return [...]string{"cannot tell yet", "probable", "found"}[g] }

// The chances that part the grades, and the doubts that are said.
const (
	foundAt    = 0.95
	probableAt = 0.7
	// doubtAt is the chance of a slip from which a reading is flagged.
	doubtAt = 0.2
	// fitsWithin is how many times worse than the best a fault may predict the
	// answers before it is ruled out.
	fitsWithin = 30.0
	// sameAt is the overlap of what two faults predict, over all tests still
	// open, from which they are named together.
	sameAt = 0.95
	// MisfitAt is the running misfit over which the tables may not fit this
	// engine.
	MisfitAt = 2.5
)

// RankedCause is a fault with its chance.
type RankedCause struct {
	// Cause is an index into Model.Causes.
	Cause int
	// Chance that it is there, alone or as one of two: chances add to more than
	// one by that of pairs.
	Chance float64
	// Fit is how well it predicts the answers, as a share of the best: 1 is as
	// well as any. Its prior is not in it.
	Fit float64
}

// RankedCure is a cure with its chance.
type RankedCure struct {
	// Cure is an index into Model.Cures.
	Cure   int
	Chance float64
}

// A Doubt is an answer that may be a slip.
type Doubt struct {
	// Answer is an index into Case.Answers.
	Answer int
	// Chance that it is a slip; Slip what it then most likely was.
	Chance float64
	Slip   Slip
	// Against is the test whose answer goes least with it, an index into
	// Model.Tests; -1 where no single one does. An answer that a sound engine
	// gives is doubted only where one does.
	Against int
}

// A Result is what follows from the answers so far.
type Result struct {
	Grade Grade
	// Causes and Cures are ranked, likeliest first.
	Causes []RankedCause
	Cures  []RankedCure
	// NotRuledOut lists the causes that predict the answers within 30 times as
	// well as the best does, rare ones too, in order of rank; the first is left
	// out.
	NotRuledOut []int
	// Together lists the causes that nothing still open tells from the first.
	Together []int
	// Settle is the test that would tell most, -1 where nothing is left to ask.
	Settle int
	// Doubts are the answers that may be slips, worst first.
	Doubts []Doubt
	// Leans is true where the first cure would not stand without an answer in
	// Doubts.
	Leans bool
	// Unexplained lists the tests whose answers, all of them, are likelier slips
	// than not: nothing is found while one stands that does not go with it.
	Unexplained []int
	// Misfit grows with answers that no fault predicts; over [MisfitAt] the
	// tables may not fit this engine.
	Misfit float64
}

// Result says what follows from the answers so far.
func (c *Case) Result() *Result {
	m := c.m
	r := &Result{Settle: -1, Misfit: c.misfit.most}
	n := len(m.Causes)
	chance, like, prior := make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range m.atoms {
		at := c.likeNow(i)
		if at < 0 {
			continue
		}
		a := m.atoms[at]
		chance[a.a] += c.w[i]
		if a.b >= 0 {
			chance[a.b] += c.w[i]
			continue
		}
		p := math.Exp(m.atoms[i].log)
		if m.atoms[i].b < 0 {
			like[a.a] += c.w[i]
			prior[a.a] += p
		}
	}
	best := 0.0
	for i := range like {
		if prior[i] > 0 {
			like[i] /= prior[i]
			best = max(best, like[i])
		}
	}
	for i := range n {
		k := RankedCause{Cause: i, Chance: chance[i]}
		if best > 0 {
			k.Fit = like[i] / best
		}
		r.Causes = append(r.Causes, k)
	}
	slices.SortStableFunc(r.Causes, func(a, b RankedCause) int { return cmp.Compare(b.Chance, a.Chance) })
	for i, p := range c.cures {
		r.Cures = append(r.Cures, RankedCure{i, p})
	}
	slices.SortStableFunc(r.Cures, func(a, b RankedCure) int { return cmp.Compare(b.Chance, a.Chance) })
	for _, k := range r.Causes[1:] {
		if k.Fit*fitsWithin >= 1 {
			r.NotRuledOut = append(r.NotRuledOut, k.Cause)
		}
	}
	first := r.Causes[0].Cause
	for _, k := range r.Causes[1:] {
		if k.Chance >= 0.01*r.Causes[0].Chance && c.overlap(first, k.Cause) >= sameAt {
			r.Together = append(r.Together, k.Cause)
		}
	}
	if s := c.Rest(); s.Kind != Name {
		r.Settle = s.Test
	}
	answers := make([]int, len(c.told)) // index into Answers of each line told
	at := 0
	for i, t := range c.told {
		answers[i] = at
		if t.cure < 0 {
			at++
		}
	}
	named := r.Cures[0]
	for _, g := range c.groups {
		unexplained := g.test != 0 && c.stands(g)
		for i := range g.obs {
			p := c.slipChance(g, i)
			unexplained = unexplained && p >= 0.5
			if p < doubtAt {
				continue
			}
			against := -1
			if len(g.obs) == 1 {
				against = c.against(g, doubtAt)
			}
			if against < 0 && c.good(g, i) {
				continue
			}
			r.Doubts = append(r.Doubts, Doubt{answers[g.obs[i].told], p, c.slipClass(g, i), against})
			if c.chanceWithout(g, named.Cure) < probableAt {
				r.Leans = true
			}
		}
		if unexplained && !slices.Contains(r.Unexplained, g.test) {
			r.Unexplained = append(r.Unexplained, g.test)
		}
	}
	slices.SortStableFunc(r.Doubts, func(a, b Doubt) int {
		return cmp.Or(cmp.Compare(b.Chance, a.Chance), cmp.Compare(a.Answer, b.Answer))
	})
	switch {
	case named.Chance >= foundAt && !r.Leans && len(r.Unexplained) == 0:
		r.Grade = Found
	case named.Chance >= probableAt:
		r.Grade = Probable
	}
	return r
}

// stands reports whether no cure since may have changed what a group's test
// reads: its answers must then go with what is wrong now.
func (c *Case) stands(g *group) bool {
	for _, e := range c.eras[g.era:] {
		if e.moved[g.test] {
			return false
		}
	}
	return true
}

// overlap is how much two causes predict the same over all tests still open: 1
// where nothing tells them apart, by the coefficient of Bhattacharyya, the
// product over tests of the sum of sqrt(p q).
func (c *Case) overlap(x, y int) float64 {
	all := 1.0
	for t := range c.m.Tests {
		if !c.canAsk(t) {
			continue
		}
		all *= c.m.alikeIn(t, x, y)
	}
	return all
}

// alikeIn is the coefficient for one test.
func (m *Model) alikeIn(test, x, y int) float64 {
	bands := m.table[test].bands
	p, q := make([]float64, bands), make([]float64, bands)
	sumP, sumQ := 0.0, 0.0
	for i, a := range m.atoms {
		if a.b >= 0 || int(a.a) != x && int(a.a) != y {
			continue
		}
		w := math.Exp(a.log)
		row := m.table[test].band[m.row(test, i)*bands:][:bands]
		if int(a.a) == x {
			sumP += w
			for k, v := range row {
				p[k] += w * v
			}
		} else {
			sumQ += w
			for k, v := range row {
				q[k] += w * v
			}
		}
	}
	sum := 0.0
	for k := range p {
		sum += math.Sqrt(p[k] / sumP * q[k] / sumQ)
	}
	return sum
}

// Evidence is how much the answers to one test speak for a cause: the
// logarithm of how many times likelier they are under it than on the whole. It
// is 0 where the test was not answered.
func (c *Case) Evidence(test, cause int) float64 {
	sum := 0.0
	for _, g := range c.groups {
		if g.test != test {
			continue
		}
		// The chances without these answers, so that they are not counted twice.
		c.chanceWithout(g, -1)
		top := math.Inf(-1)
		for _, l := range c.without {
			top = max(top, l)
		}
		var all, allW, its, itsW float64
		for i, l := range c.without {
			at, r := c.likeNow(i), c.rowOf(g, i)
			if at < 0 || r < 0 || l-top < -700 {
				continue
			}
			w := math.Exp(l - top)
			p := math.Exp(g.like[r])
			all, allW = all+w*p, allW+w
			if a := c.m.atoms[at]; int(a.a) == cause || int(a.b) == cause {
				its, itsW = its+w*p, itsW+w
			}
		}
		if itsW > 0 && allW > 0 && its > 0 && all > 0 {
			sum += math.Log(its / itsW * allW / all)
		}
	}
	return sum
}

// misfit is the statistic of answers that nothing predicts:
// sum(-ln q - H) / sqrt(sum var + 1/4), q the chance that each answer had
// before it came, H and var the mean and variance of -ln q then.
type misfit struct{ surprise, variance, most float64 }

// foretell counts the surprise of an answer, before it is weighed.
func (c *Case) foretell(test, band int) {
	if test == 0 {
		return
	}
	r := &c.m.table[test]
	p := c.row[:r.bands]
	clear(p)
	for _, i := range c.active {
		at := c.likeNow(int(i))
		if at < 0 {
			continue
		}
		for k, x := range r.band[c.m.row(test, at)*r.bands:][:r.bands] {
			p[k] += c.w[i] * x
		}
	}
	mean, square, sum := 0.0, 0.0, 0.0
	for _, x := range p {
		sum += x
	}
	if sum <= 0 {
		return
	}
	own := 0.0
	for k, x := range p {
		q := (1-c.slip)*x/sum + c.slip/float64(r.bands)
		s := -math.Log(max(q, floor))
		mean += q * s
		square += q * s * s
		if k == band {
			own = s
		}
	}
	c.misfit.surprise += own - mean
	c.misfit.variance += max(square-mean*mean, 0)
	c.misfit.most = max(c.misfit.most, c.misfit.surprise/math.Sqrt(c.misfit.variance+0.25))
}
