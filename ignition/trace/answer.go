package trace

import (
	"fmt"
	"math"

	"gapbook.example/units"
)

// An Answer is what came of one test. Told twice for one test it is a repeat of
// the same look or reading.
type Answer struct {
	// Test is an index into Model.Tests.
	Test int
	// Look is the answer of a look, an index into its answers; readings leave it
	// zero.
	Look int
	// Reading is what the meter showed, of the test's kind. Nothing is turned
	// about: volts and ohms are not negative.
	Reading units.Quantity
	// OutOfRange is true where the meter showed no figure but the end of its
	// range; Reading then counts for nothing.
	OutOfRange bool
	// Skipped is true where the test cannot be done: it is not asked for again.
	Skipped bool
	// Tool is what is not there to do it with, in the words of the test's tools,
	// where it is skipped for that; every test that needs it is then skipped.
	Tool string
}

// The reasons of an [AnswerError].
const (
	NoSuchTest   = "no-such-test"
	NoSuchAnswer = "no-such-answer"
	WrongUnit    = "wrong-unit"
	Impossible   = "impossible"
)

// An AnswerError says why an answer cannot be used. Nothing of the case is
// changed by it.
type AnswerError struct {
	Answer Answer
	// Code is one of the reasons, Problem the reason in words.
	Code, Problem string
}

// Error returns the problem in plain words.
func (e *AnswerError) Error() string { return e.Problem }

// An observation is an answer in the engine's terms.
type observation struct {
	band      int  // of a look or reading
	low, high bool // next to nothing, out of range: no x
	x         float64
	told      int // index into Case.told
	// flat is the density (or the chance) of this answer from a slip that has
	// nothing to do with what stood there, and has the shares of classes in it.
	flat [slipClasses]float64
	// leadX is x with a lead's ohms taken off, valid where lead is true; slope
	// is how much thinner chances lie there.
	lead         bool
	leadX, slope float64
}

// faraway is how far in x beyond the last edge lumps of chance are taken to
// reach: a thousand times.
var faraway = math.Log(1000)

// check makes an observation of an answer.
func (c *Case) check(a Answer) (o observation, err error) {
	fail := func(code, format string, args ...any) (observation, error) {
		return o, &AnswerError{Answer: a, Code: code, Problem: fmt.Sprintf(format, args...)}
	}
	if a.Test < 0 || a.Test >= len(c.m.Tests) {
		return fail(NoSuchTest, "this engine has no test number %d", a.Test)
	}
	t := &c.m.Tests[a.Test]
	if a.Skipped {
		return o, nil
	}
	if !t.Reading {
		if a.Look < 0 || a.Look >= t.Answers {
			return fail(NoSuchAnswer, "%s has no answer number %d; it has %d", t.Title, a.Look, t.Answers)
		}
		o.band = a.Look
		return o, nil
	}
	if a.OutOfRange {
		if t.quantity != nil && t.quantity.Additive {
			return fail(Impossible, "%s cannot be out of range", t.Title)
		}
		o.high, o.band = true, t.Answers-1
		return o, nil
	}
	if a.Reading.Kind() != t.Kind {
		return fail(WrongUnit, "%s is read as %s, not as %s", t.Title, t.Kind, a.Reading.Kind())
	}
	si := a.Reading.SI()
	switch {
	case math.IsNaN(si) || math.IsInf(si, 0):
		return fail(Impossible, "%s: %v is no reading", t.Title, si)
	case si < 0 && !t.quantity.Additive:
		return fail(Impossible, "%s cannot be negative; turn the meter's leads about, and write the figure without its sign", t.Title)
	}
	o.x, o.low = t.x(si)
	o.band = t.bandOf(o.x)
	if !t.quantity.Additive && len(t.edges) > 0 && o.x < t.edges[0]-faraway {
		o.low = true
	}
	if o.low {
		o.x = 0
	}
	return o, nil
}
