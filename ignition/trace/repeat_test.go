package trace

import (
	"math"
	"testing"

	"gapbook.example/units"
)

// TestRepeatNeverAddsMoreThanANewReading: on every reading of every kind, under
// every row against the usual one, reading the same value again moves the odds
// by no more than the first time, or than by half: a new reading that tells the
// same would move them as far again.
func TestRepeatNeverAddsMoreThanANewReading(t *testing.T) {
	// Where a slip explains a reading under one row as well as the row itself does
	// under the other, reading it again halves the chance of the slip: ln 2.
	const halved = math.Ln2
	tried := 0
	for _, s := range sixKinds {
		m := build(t, s)
		c := New(m, Thorough())
		for id := range m.Tests {
			x := &m.Tests[id]
			if id == 0 {
				continue
			}
			var answers []Answer
			if x.Reading {
				for _, share := range []float64{0.001, 0.01, 0.1, 0.3, 0.6, 0.8, 0.95, 1, 1.05, 1.2, 1.5, 2, 3, 10, 100, 1000} {
					answers = append(answers, Answer{Test: id, Reading: units.FromSI(x.Kind, x.Healthy.SI()*share)})
				}
				if !x.quantity.Additive {
					answers = append(answers, Answer{Test: id, OutOfRange: true}, Answer{Test: id, Reading: units.FromSI(x.Kind, 0)})
				}
			} else {
				for i := range x.Answers {
					answers = append(answers, Answer{Test: id, Look: i})
				}
			}
			for _, a := range answers {
				o, err := c.check(a)
				if err != nil {
					continue
				}
				once, twice := &group{test: id, obs: []observation{o}}, &group{test: id, obs: []observation{o, o}}
				c.weigh(once)
				c.weigh(twice)
				usual := c.usual[id]
				for r := range once.like {
					first := once.like[r] - once.like[usual]
					second := twice.like[r] - twice.like[usual] - first
					tried++
					if math.Abs(second) > max(math.Abs(first), halved)+1e-9 {
						t.Errorf("%s, %s, %+v, row %d: odds moved by %.4f, and by %.4f more when read again", s, x.ID, a, r, first, second)
					}
				}
			}
		}
	}
	if tried < 10000 {
		t.Errorf("only %d were tried", tried)
	}
}
