package trace

import (
	"math"
	"slices"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/specs"
)

// untilRight traces, cures what is named, and traces again until the engine is
// right: minutes are tests and cures.
func untilRight(again bool) policy {
	return func(c *Case, x *caller, o *outcome) {
		byEngine(c, x, o)
		for range 12 {
			r := c.cheapest()
			o.repair += c.m.Cures[r].Minutes.Minutes()
			o.cures++
			if x.cure(r) {
				o.right = true
				break
			}
			if !again {
				// As who forgets all that was read: everything anew.
				o.repair += c.Minutes().Minutes()
				done := append([]told(nil), c.told...)
				reset(c)
				for _, t := range done {
					if t.cure >= 0 {
						c.cured(t.cure)
					}
				}
			}
			must(c.Cured(r))
			goOn(c, x, o)
		}
		o.repair += c.Minutes().Minutes()
	}
}

// goOn asks until a cure is named again.
func goOn(c *Case, x *caller, o *outcome) {
	for range 300 {
		s := c.Next()
		if s.Kind == Name {
			return
		}
		tellFrom(c, x, s.Test)
	}
	panic("a call that never ends")
}

// TestUntilRight: minutes until the engine is right, with pairs at one in ten.
func TestUntilRight(t *testing.T) {
	n := callers(10)
	ms := models(t, nil)
	if n <= 10 {
		ms = ms[:2]
	}
	for _, set := range []Setting{Thorough(), Quick()} {
		keptList, anewList := overAll(t, set.Name+", traced again", ms, set, cleanCallers, n, untilRight(true)), overAll(t, set.Name+", all anew", ms, set, cleanCallers, n, untilRight(false))
		with, without := summarise(keptList), summarise(anewList)
		t.Logf("%s: traced again: right %.1f %% of calls in %.1f min on the mean (worst tenth %.0f), %.2f cures; pairs %.1f min; all readings anew: %.1f %%, %.1f min, pairs %.1f min",
			set.Name, 100*with.right, with.repair, with.repairTenth, with.cures, with.pairRepair, 100*without.right, without.repair, without.pairRepair)
		if calls := float64(with.calls); with.right < 0.95-3*math.Sqrt(0.95*0.05/calls) {
			t.Errorf("%s: only %.1f %% of %.0f engines come right, want 95", set.Name, 100*with.right, calls)
		}
		// The same callers both ways: the error is that of the differences.
		mean, square := 0.0, 0.0
		for i := range keptList {
			d := keptList[i].repair - anewList[i].repair
			mean += d / float64(len(keptList))
			square += d * d / float64(len(keptList))
		}
		if e := math.Sqrt((square - mean*mean) / float64(len(keptList))); mean > 3*e {
			t.Errorf("%s: keeping readings costs %.1f min more than taking all anew, give or take %.1f", set.Name, mean, e)
		}
	}
}

// TestCuredPair: after one of two faults is cured the other one leads, and what
// was read of the first does not have to be read again.
func TestCuredPair(t *testing.T) {
	m := plainModel([]float64{0.3, 0.3, 0.3}, nil)
	for i, a := range m.atoms {
		m.atoms[i].log = a.log
	}
	m.atoms = append(m.atoms, atom{0, 1, -2.3})
	m.rows = append(m.rows, 0) // the complaint, of the pair
	read := func(bad ...int) {
		m.look(func(a int) []float64 {
			for _, b := range bad {
				if int(m.atoms[a].a) == b || int(m.atoms[a].b) == b {
					return []float64{0.02, 0.98}
				}
			}
			return []float64{0.98, 0.02}
		})
	}
	read(0)
	read(1)
	c := New(m, Setting{Slip: 0.01, Patience: 0.05})
	tellAll(t, c, []Answer{{Test: 1, Look: 1}, {Test: 2, Look: 1}})
	if c.cures[0] < 0.8 || c.cures[1] < 0.8 {
		t.Fatalf("both readings are bad, the chances are %v", c.cures)
	}
	must(c.Cured(0))
	if r := c.Result(); r.Cures[0].Cure != 1 || r.Cures[0].Chance < 0.95 {
		t.Errorf("after the first cure: %+v, want the second", r.Cures)
	}
	if c.canAsk(2) {
		t.Error("the second's reading is to be read again, though the cure left it alone")
	}
	if !c.canAsk(1) {
		t.Error("the first's reading cannot be read again, though the cure may have changed it")
	}
	var bad *AnswerError
	if err := c.Cured(99); err == nil {
		t.Error("a cure that does not exist was done")
	} else if _, ok := err.(*AnswerError); !ok {
		t.Errorf("%T, want %T", err, bad)
	}
}

// TestAskedAnewAfterACure: a cure lets be asked anew what it may have changed and
// was not good; not what was good before, not a question to the memory, not what
// it left alone.
func TestAskedAnewAfterACure(t *testing.T) {
	bad := func(of ...int) func(a int) []float64 {
		return func(a int) []float64 {
			if slices.Contains(of, a) {
				return []float64{0.05, 0.95}
			}
			return []float64{0.95, 0.05}
		}
	}
	m := plainModel([]float64{0.4, 0.3, 0.3}, nil)
	m.look(bad(0))    // 1: read bad
	m.look(bad(0))    // 2: read good
	m.look(bad(0))    // 3: read bad, a question to the memory
	m.look(bad(1, 2)) // 4: the cure leaves it alone
	for i := 1; i < len(m.Tests); i++ {
		m.Tests[i].FaultTest.Answers = []specs.FaultAnswer{{Word: "good"}, {Word: "bad"}}
		m.Tests[i].FaultTest.Healthy = []specs.Weight{{Name: "good", Value: 0.95}, {Name: "bad", Value: 0.05}}
	}
	m.Tests[3].FaultTest.Once = true
	c := New(m, Setting{Slip: 0.04})
	tellAll(t, c, []Answer{{Test: 1, Look: 1}, {Test: 2}, {Test: 3, Look: 1}, {Test: 4}})
	must(c.Cured(0))
	for test, want := range []bool{1: true, 2: false, 3: false, 4: false} {
		if test > 0 && c.canAsk(test) != want {
			t.Errorf("test %d can be asked anew: %v, want %v", test, !want, want)
		}
	}
	// Read good after the cure, a further cure of the same does not ask for it.
	tellAll(t, c, []Answer{{Test: 1}})
	must(c.Cured(0))
	if c.canAsk(1) {
		t.Error("what was read good after a cure is asked for after the next")
	}
}

// TestEveryCureDone: with every cure done, nothing is left, and nothing breaks.
func TestEveryCureDone(t *testing.T) {
	m := build(t, ignition.MagnetoBreakerless)
	c := New(m, Quick())
	tellAll(t, c, someAnswers(m, cleanCallers, 1)[:4])
	for i := range m.Cures {
		must(c.Cured(i))
		c.Next()
		r := c.Result()
		if r.Causes[0].Chance != r.Causes[0].Chance {
			t.Fatal("not a number")
		}
	}
}
