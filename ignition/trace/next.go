package trace

import (
	"math"

	"gapbook.example/units"
)

// A StepKind is what to do next.
type StepKind int

// What to do next: ask a test, have one repeated, or name the cure.
const (
	Name StepKind = iota
	Ask
	Again
)

// A Step is what to do next.
type Step struct {
	Kind StepKind
	// Test is an index into Model.Tests where something is asked, else -1.
	Test int
	// Cure is the likeliest, an index into Model.Cures.
	Cure int
	// Minutes are the test's own and those of openings not yet paid; Bits is
	// what it is expected to tell about the cure.
	Minutes units.Time
	Bits    float64
	// Slip says what an answer that is asked again is most likely to have been,
	// and Against is the test whose answer goes least with it: -1 where nothing
	// contradicts it, and the likeliest cure merely leans on it. Other steps have
	// no use for either.
	Slip    Slip
	Against int
}

// Next says what to do next. It allocates nothing unless the setting plays
// tests through.
func (c *Case) Next() Step {
	if s, ok := c.doubted(); ok {
		return s
	}
	if s, ok := c.proof(); ok {
		return s
	}
	s := c.choose()
	if s.Kind == Name {
		if again, ok := c.leaned(s.Cure); ok {
			return again
		}
	}
	return s
}

// proof is the test that proves what the caller said, while nothing else was
// answered.
func (c *Case) proof() (Step, bool) {
	if len(c.told) != 1 || c.told[0].cure >= 0 || c.told[0].answer.Test != 0 || c.told[0].answer.Skipped {
		return Step{}, false
	}
	if look := c.told[0].answer.Look; look < len(c.m.Sayings) && c.m.Sayings[look].Prove != "" {
		if t := c.m.Test(c.m.Sayings[look].Prove); t > 0 && c.canAsk(t) {
			return Step{Kind: Ask, Test: t, Cure: top(c.cures), Minutes: c.minutes(t)}, true
		}
	}
	return Step{}, false
}

// Rest is the step that would settle most, whatever the stop rule says: Kind is
// Name only where nothing is left to ask.
func (c *Case) Rest() Step {
	best, _ := c.best()
	return best
}

// choose weighs asking against naming.
func (c *Case) choose() Step {
	if c.set.Rollout > 0 {
		return c.playThrough()
	}
	best, bits := c.best()
	if best.Kind == Name || c.stops(best, bits) {
		best.Kind, best.Test = Name, -1
		best.Cure = c.cheapest()
	}
	return best
}

// stops is the stop rule: the price of doubt against the minutes it takes to
// resolve what is left, at the best rate on offer.
func (c *Case) stops(best Step, bits float64) bool {
	if c.set.Patience <= 0 {
		return false
	}
	rate := best.Bits / c.weighed(best.Test)
	if !(rate > 0) {
		return true
	}
	return c.loss(c.cures) <= c.set.Patience*bits/rate
}

// enough is the information, in bits, under which a test tells nothing.
const enough = 1e-6

// best finds the test that tells most about the cure per minute, and the bits
// of doubt left.
func (c *Case) best() (Step, float64) {
	left := c.split()
	step := Step{Kind: Name, Test: -1, Cure: top(c.cures)}
	rate := 0.0
	for t := range c.m.Tests {
		c.rates[t] = 0
		if !c.canAsk(t) {
			continue
		}
		bits := c.tells(t)
		if bits < enough {
			continue
		}
		r := bits / c.weighed(t)
		c.rates[t] = r
		if r > rate {
			rate = r
			step.Kind, step.Test, step.Bits = Ask, t, bits
		}
	}
	if step.Test >= 0 {
		step.Minutes = c.minutes(step.Test)
	}
	return step, left
}

// split adds chances up by the cure that is done first, half of a pair under
// each of its two, and returns the entropy in bits.
func (c *Case) split() float64 {
	clear(c.first)
	if len(c.eras) == 0 {
		sum := 0.0
		for i, w := range c.w {
			if w > negligible {
				sum += w
			}
			c.upTo[i+1] = sum
		}
	}
	for _, i := range c.active {
		a, b := c.now(int(i))
		switch {
		case a < 0:
		case b < 0:
			c.first[a] += c.w[i]
		default:
			c.first[a] += c.w[i] / 2
			c.first[b] += c.w[i] / 2
		}
	}
	return entropy(c.first)
}

// entropy is in bits, of weights that need not add to one.
func entropy(p []float64) float64 {
	sum, h := 0.0, 0.0
	for _, x := range p {
		if x > 0 {
			sum += x
			h -= x * math.Log2(x)
		}
	}
	if sum <= 0 {
		return 0
	}
	return max(h/sum+math.Log2(sum), 0)
}

// tells is the expected drop of entropy over cures, in bits, from asking a
// test. split must have run.
func (c *Case) tells(test int) float64 {
	n := len(c.m.atoms)
	r := &c.m.table[test]
	bands := r.bands
	rows := c.m.rows[test*n : (test+1)*n]
	joint := c.joint[:len(c.m.Cures)*bands]
	clear(joint)
	clear(c.moved)
	// The row that most atoms share is put in at once, the others as differences
	// from it.
	usual := r.band[c.usual[test]*bands:][:bands]
	add := func(cure int32, w float64, p []float64) {
		c.moved[cure] = true
		j := joint[int(cure)*bands:][:bands]
		for k, x := range p {
			j[k] += w * (x - usual[k])
		}
	}
	if len(c.eras) == 0 {
		for _, x := range c.spans[c.spanOf[test]:c.spanOf[test+1]] {
			w := c.upTo[x.to] - c.upTo[x.from]
			if w <= negligible {
				continue
			}
			p := r.band[int(x.row)*bands:][:bands]
			if x.cureB >= 0 {
				w /= 2
				add(x.cureB, w, p)
			}
			add(x.cureA, w, p)
		}
	} else {
		was := int32(c.usual[test])
		for _, i := range c.active {
			row := rows[c.likeNow(int(i))]
			if row == was {
				continue
			}
			a, b := c.now(int(i))
			w := c.w[i]
			p := r.band[int(row)*bands:][:bands]
			if b >= 0 {
				w /= 2
				add(b, w, p)
			}
			add(a, w, p)
		}
	}
	slip := c.slip
	if test == 0 {
		slip = 0
	}
	even := slip / float64(bands)
	answers := c.row[:bands]
	clear(answers)
	information, total, still := 0.0, 0.0, 0.0
	for cure, weight := range c.first {
		if weight <= 0 {
			continue
		}
		total += weight
		if weight <= negligible || !c.moved[cure] {
			still += weight
			continue
		}
		j := joint[cure*bands:][:bands]
		for k := range j {
			x := (1-slip)*(j[k]+weight*usual[k]) + even*weight
			if x > 0 {
				answers[k] += x
				information += x * math.Log(x/weight)
			}
		}
	}
	// Cures that do not move the test at all share their answers.
	for k := range answers {
		if p := (1-slip)*usual[k] + even; p > 0 && still > 0 {
			answers[k] += still * p
			information += still * p * math.Log(p)
		}
		if x := answers[k]; x > 0 {
			information -= x * math.Log(x/total)
		}
	}
	return max(information/total, 0) / math.Ln2
}

// canAsk reports whether a test is open: not skipped, not answered, not spoilt
// by another, and possible on this engine.
func (c *Case) canAsk(test int) bool {
	if test == 0 || c.skipped[test] || c.stale[test] {
		return false
	}
	if x := &c.m.Tests[test]; (x.Running || x.Condition == "hot") && !c.runs() {
		return false // what never ran has not failed warm
	}
	open := true
	for _, g := range c.groups {
		if g.test == test {
			open = false
			for _, e := range c.eras[g.era:] {
				open = open || e.open[test]
			}
		}
	}
	return open
}

// runs reports whether the engine runs at all, by the last complaint; one that
// nobody described is taken to.
func (c *Case) runs() bool {
	for i := len(c.told) - 1; i >= 0; i-- {
		if a := c.told[i].answer; c.told[i].cure < 0 && a.Test == 0 && !a.Skipped {
			return a.Look < len(c.m.Sayings) && c.m.Sayings[a.Look].Runs
		}
	}
	return true
}

// minutes are a test's own and those of its openings not yet paid.
func (c *Case) minutes(test int) units.Time {
	t := &c.m.Tests[test]
	sum := t.Minutes
	for _, p := range t.Openings {
		if !c.paid[p] {
			sum = sum.Add(c.m.Openings[p].Minutes)
		}
	}
	return sum
}

// soonest is the least number of minutes that any test is taken to need.
const soonest = 0.1

// weighed is the same, in minutes, with what the test's hazard counts for.
func (c *Case) weighed(test int) float64 {
	sum := c.effort[test]
	for _, p := range c.m.Tests[test].Openings {
		if !c.paid[p] {
			sum += c.opens[p]
		}
	}
	return max(sum, soonest)
}

// lastResort is the hazard of tests that are for where nothing safer will do.
const lastResort = 3

// hazard is what the hazard of a test counts for, in minutes. That of a last
// resort stands apart from the others: to make those dear enough by one rule for
// all would price out every spark test, and with them the answer.
func (c *Case) hazard(test int) float64 {
	h := float64(c.m.Tests[test].Hazard)
	price := c.m.Figures.HazardMinutes.Minutes() * h * h
	if h >= lastResort {
		price = c.m.Figures.LastResortMinutes.Minutes()
	}
	return c.set.Hazard * price
}
