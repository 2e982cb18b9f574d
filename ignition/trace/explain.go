package trace

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gapbook.example/ignition"
	"gapbook.example/units"
)

const (
	// RuleFaultFound names a fault that was found.
	RuleFaultFound = "fault-found"
	// RuleFaultProbable names a fault that is probable.
	RuleFaultProbable = "fault-probable"
	// RuleReadingDoubted doubts an answer that is likely a slip.
	RuleReadingDoubted = "reading-doubted"
	// RuleTableMisfit doubts the tables where no fault predicts the answers.
	RuleTableMisfit = "table-misfit"
)

// An Explanation says why the answer is what it is.
type Explanation struct {
	// Cause is the fault that it is about, the likeliest; Cure what ends it.
	Cause, Cure int
	// Moved are the answers by how far they moved it, the furthest first.
	Moved []Moved
	// Turns are answers to the test that would settle most which would bring
	// another cure to the front.
	Turns []Turn
	// Leaning lists the tests without whose answers the cure would not be named.
	Leaning []int
}

// A Moved is what the answers to one test did to a fault.
type Moved struct {
	// Test is an index into Model.Tests; Text the answers in words.
	Test int
	Text string
	// Evidence is the logarithm of how many times likelier the answers are under
	// the fault than under all others together, as likely as these are without
	// those answers.
	Evidence float64
}

// Words says the evidence in words.
func (m Moved) Words() string {
	strength := func(x float64) string {
		switch {
		case x < 0.7:
			return "a little"
		case x < 1.8:
			return "clearly"
		}
		return "strongly"
	}
	switch {
	case m.Evidence > 0.15:
		return "speaks " + strength(m.Evidence) + " for it"
	case m.Evidence < -0.15:
		return "speaks " + strength(-m.Evidence) + " against it"
	}
	return "tells nothing about it"
}

// A Turn is an answer that would change the answer.
type Turn struct {
	// Test is an index into Model.Tests.
	Test int
	// Text is the answer in words, Cure what would then be named, with its
	// chance.
	Text   string
	Cure   int
	Chance float64
}

// Explain says what moved the likeliest fault, and what would turn it.
func (c *Case) Explain() *Explanation {
	r := c.Result()
	e := &Explanation{Cause: r.Causes[0].Cause, Cure: r.Cures[0].Cure}
	if c.m.Causes[e.Cause].Cure != e.Cure {
		// Several faults with one cure outweigh the likeliest single one: tell of
		// the likeliest among them.
		for _, k := range r.Causes {
			if c.m.Causes[k.Cause].Cure == e.Cure {
				e.Cause = k.Cause
				break
			}
		}
	}
	texts := map[int][]string{}
	var order []int
	for _, a := range c.Answers() {
		if a.Skipped {
			continue
		}
		if texts[a.Test] == nil {
			order = append(order, a.Test)
		}
		texts[a.Test] = append(texts[a.Test], c.m.AnswerText(a))
	}
	for _, t := range order {
		e.Moved = append(e.Moved, Moved{t, strings.Join(texts[t], ", then "), c.odds(t, e.Cause)})
	}
	slices.SortStableFunc(e.Moved, func(a, b Moved) int { return cmp.Compare(math.Abs(b.Evidence), math.Abs(a.Evidence)) })
	for _, g := range c.groups {
		if c.chanceWithout(g, e.Cure) < 0.5 && !slices.Contains(e.Leaning, g.test) {
			e.Leaning = append(e.Leaning, g.test)
		}
	}
	if r.Settle >= 0 {
		e.Turns = c.turns(r.Settle, e.Cure)
	}
	return e
}

// odds is the logarithm of how many times likelier the answers to a test are
// under a cause than without it.
func (c *Case) odds(test, cause int) float64 {
	sum := 0.0
	for _, g := range c.groups {
		if g.test != test {
			continue
		}
		c.chanceWithout(g, -1)
		top := math.Inf(-1)
		for _, l := range c.without {
			top = max(top, l)
		}
		var p, w [2]float64 // under the cause, and without it
		for i, l := range c.without {
			at, r := c.likeNow(i), c.rowOf(g, i)
			if at < 0 || r < 0 || l-top < -700 {
				continue
			}
			k := 1
			if a := c.m.atoms[at]; int(a.a) == cause || int(a.b) == cause {
				k = 0
			}
			weight := math.Exp(l - top)
			p[k] += weight * math.Exp(g.like[r])
			w[k] += weight
		}
		if p[0] > 0 && p[1] > 0 {
			sum += math.Log(p[0] / w[0] * w[1] / p[1])
		}
	}
	return sum
}

// turns plays every answer to a test through.
func (c *Case) turns(test, cure int) []Turn {
	var list []Turn
	t := &c.m.Tests[test]
	for i := range t.Answers {
		a := Answer{Test: test, Look: i}
		if t.Reading {
			a.Look, a.Reading = 0, t.typical(i)
		}
		next := New(c.m, c.set)
		for _, old := range c.told {
			if old.cure >= 0 {
				next.cured(old.cure)
			} else if o, err := next.check(old.answer); err == nil {
				next.tell(old.answer, o)
			}
		}
		if next.Tell(a) != nil {
			continue
		}
		best := top(next.cures)
		if best == cure || next.cures[best] < 0.3 {
			continue
		}
		text := c.m.AnswerText(a)
		if t.Reading {
			text = t.bandText(i)
		}
		list = append(list, Turn{test, text, best, next.cures[best]})
	}
	return list
}

// typical is a reading in the middle of a band.
func (t *Test) typical(band int) units.Quantity {
	n := len(t.Edges)
	si := func(i int) float64 { return t.Edges[i].SI() }
	switch {
	case n == 0:
		return t.Healthy
	case t.quantity.Additive && band == 0:
		return units.FromSI(t.Kind, si(0)-4)
	case t.quantity.Additive && band == n:
		return units.FromSI(t.Kind, si(n-1)+4)
	case t.quantity.Additive:
		return units.FromSI(t.Kind, (si(band-1)+si(band))/2)
	case band == 0:
		return units.FromSI(t.Kind, si(0)/2)
	case band == n:
		return units.FromSI(t.Kind, si(n-1)*2)
	}
	return units.FromSI(t.Kind, math.Sqrt(si(band-1)*si(band)))
}

// bandText says a band of a reading in words.
func (t *Test) bandText(band int) string {
	n := len(t.Edges)
	switch {
	case n == 0:
		return "any"
	case band == 0:
		return "under " + t.Edges[0].Display()
	case band == n:
		return "over " + t.Edges[n-1].Display()
	}
	return t.Edges[band-1].Display() + " to " + t.Edges[band].Display()
}

// AnswerText says an answer in words.
func (m *Model) AnswerText(a Answer) string {
	t := &m.Tests[a.Test]
	switch {
	case a.Tool != "":
		return "no " + a.Tool + " here"
	case a.Skipped:
		return "skipped"
	case !t.Reading:
		return t.FaultTest.Answers[a.Look].Text
	case a.OutOfRange:
		return "out of range (OL)"
	}
	return a.Reading.DisplayBoth("")
}

// AgainWords says in words why an answer is asked for again, and how: what goes
// least with it, and what to look at. It is empty for other steps.
func (c *Case) AgainWords(s Step) string {
	if s.Kind != Again {
		return ""
	}
	if s.Against < 0 && c.leansOn(s) {
		return "the likeliest cure hangs on this one answer: " + s.Slip.Question()
	}
	return c.goesWith(s.Against) + ": " + s.Slip.Question()
}

// leansOn reports whether the likeliest cure falls under half without the
// answers to a step's test.
func (c *Case) leansOn(s Step) bool {
	for _, g := range c.groups {
		if g.test == s.Test && g.era == len(c.eras) {
			return c.chanceWithout(g, top(c.cures)) < 0.5
		}
	}
	return false
}

// goesWith says what an answer hardly goes with: the answers to one test, or
// the rest of them together.
func (c *Case) goesWith(against int) string {
	if against < 0 {
		return "it hardly goes with the other answers together"
	}
	var texts []string
	for _, a := range c.Answers() {
		if a.Test == against && !a.Skipped {
			texts = append(texts, c.m.AnswerText(a))
		}
	}
	return fmt.Sprintf("it hardly goes with %s (%s)", c.m.Tests[against].Title, strings.Join(texts, ", then "))
}

// Findings are what the case has to say as findings: the fault, answers that
// are doubted, tables that do not fit.
func (c *Case) Findings() []ignition.Finding {
	r := c.Result()
	m := c.m
	var list []ignition.Finding
	first := r.Cures[0]
	cure := m.Cures[first.Cure]
	e := c.Explain()
	fault := m.Causes[e.Cause]
	f := ignition.Finding{Part: fault.Part, Chance: ignition.Know(1 - first.Chance), Hint: cure.Text,
		Text: fmt.Sprintf("%s: %s, chance %s", fault.ID, fault.Does, percent(first.Chance)), Source: faultSource(fault)}
	switch r.Grade {
	case Found:
		f.Rule, f.Severity = RuleFaultFound, ignition.Fault
		list = append(list, f)
	case Probable:
		f.Rule, f.Severity = RuleFaultProbable, ignition.Doubt
		if r.Settle >= 0 {
			f.Hint = "settle it first by " + m.Tests[r.Settle].Title
		}
		list = append(list, f)
	}
	answers := c.Answers()
	for _, d := range r.Doubts {
		a := answers[d.Answer]
		t := &m.Tests[a.Test]
		list = append(list, ignition.Finding{Rule: RuleReadingDoubted, Severity: ignition.Doubt, Quantity: t.Title, Reading: m.AnswerText(a),
			Text: fmt.Sprintf("chance %s that this is a slip (%s): %s", percent(d.Chance), d.Slip, c.goesWith(d.Against)), Hint: d.Slip.Question()})
	}
	if r.Misfit > MisfitAt {
		list = append(list, ignition.Finding{Rule: RuleTableMisfit, Severity: ignition.Doubt,
			Text: "no fault of the tables predicts these answers well", Hint: "check that kind of ignition and engine are right; it may have something that the tables have not"})
	}
	return list
}

// faultSource says on whose word the tables have a fault.
func faultSource(c Cause) string {
	if c.Source != "" {
		return strings.TrimSpace(c.Source + ", " + c.Place)
	}
	return "the tables, " + strings.ReplaceAll(string(c.Basis), "-", " ")
}

// percent writes a chance without claiming what readings cannot carry.
func percent(p float64) string {
	switch {
	case p > 0.99:
		return "over 99 %"
	case p < 0.01:
		return "under 1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}
