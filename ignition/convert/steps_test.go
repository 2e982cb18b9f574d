package convert_test

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gapbook.example/ignition/convert"
	"gapbook.example/specs"
)

// with returns the plan with other steps; everything else is shared.
func with(p *convert.Plan, steps []convert.Step) *convert.Plan {
	q := *p
	q.Steps = steps
	return &q
}

// TestDroppedSteps drops each step of each plan: what is left finds it, without
// the plan being made again.
func TestDroppedSteps(t *testing.T) {
	for id, list := range plans(specs.Builtin()) {
		for n, p := range list {
			for i, s := range p.Steps {
				if len(convert.CheckSteps(with(p, slices.Delete(slices.Clone(p.Steps), i, i+1)))) == 0 {
					t.Errorf("%s %d: nothing misses the step %s", id, n, s.ID)
				}
			}
		}
	}
}

// broken says, from the pairs of steps alone, whether an order breaks a
// precondition: what gives a state stands before what needs it, what needs it
// before what ends it, what takes a thing off before what puts one on. It shares
// no code with CheckSteps, which walks through states.
func broken(p *convert.Plan, steps []convert.Step) bool {
	goes := map[string]bool{}
	for _, s := range p.Steps {
		for _, x := range s.Removes {
			goes[x] = true
		}
	}
	before := func(a, b convert.Step) bool { // a must stand before b
		for _, x := range a.Gives {
			if slices.Contains(b.Needs, x) || slices.Contains(b.Ends, x) {
				return true
			}
		}
		for _, x := range a.Needs {
			if slices.Contains(b.Ends, x) {
				return true
			}
		}
		for _, x := range a.Removes {
			if goes[x] && slices.Contains(b.Fits, x) {
				return true
			}
		}
		return false
	}
	for i, a := range steps {
		for _, b := range steps[:i] {
			if a.ID != b.ID && before(a, b) {
				return true
			}
		}
	}
	return false
}

// TestMovedSteps moves single steps everywhere and shuffles whole plans: an
// order is rejected exactly where it breaks a precondition.
func TestMovedSteps(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 2026))
	rejected, kept := 0, 0
	try := func(id string, p *convert.Plan, steps []convert.Step, what string) {
		found, want := len(convert.CheckSteps(with(p, steps))) > 0, broken(p, steps)
		if found != want {
			t.Fatalf("%s: %s: rejected is %t, breaks a precondition is %t", id, what, found, want)
		}
		if want {
			rejected++
		} else {
			kept++
		}
	}
	for id, list := range plans(specs.Builtin()) {
		for _, p := range list[1:3] {
			for i, s := range p.Steps {
				rest := slices.Delete(slices.Clone(p.Steps), i, i+1)
				for k := range p.Steps {
					try(id, p, slices.Insert(slices.Clone(rest), k, s), "moved "+s.ID)
				}
			}
			for range 25 {
				mixed := slices.Clone(p.Steps)
				for range 1 + rng.IntN(4) {
					i, k := rng.IntN(len(mixed)), rng.IntN(len(mixed))
					mixed[i], mixed[k] = mixed[k], mixed[i]
				}
				try(id, p, mixed, "swapped")
				rng.Shuffle(len(mixed), func(i, k int) { mixed[i], mixed[k] = mixed[k], mixed[i] })
				try(id, p, mixed, "shuffled")
			}
		}
	}
	t.Logf("%d orders rejected, %d allowed", rejected, kept)
	if rejected < 1000 || kept < 1000 {
		t.Errorf("%d rejected, %d kept: too few of one kind to prove anything", rejected, kept)
	}
}

// TestHazards holds that a step which does something dangerous says so and
// carries its caution. What is dangerous is looked for in the step's own words,
// so that a recipe that forgets to name a hazard is found.
func TestHazards(t *testing.T) {
	signs := []struct {
		words  []string
		hazard []string // one of them must be covered
	}{
		{[]string{"turn the crank", "turn the engine", "turn the flywheel", "turned by hand", "crank with", "crank in"}, []string{"rotating-parts"}},
		{[]string{"start it and", "engine idling", "engine at working speed", "from idle"}, []string{"rotating-parts"}},
		{[]string{"start it and"}, []string{"exhaust"}},
		{[]string{"spark at every turn", "on a grounded tester", "still on the tester"}, []string{"high-voltage", "interlock"}},
		{[]string{"spark at every turn", "tester and crank"}, []string{"fuel-vapour"}},
		{[]string{"lead off its post", "lead, then the", "lift the battery out"}, []string{"battery"}},
		{[]string{"solvent"}, []string{"solvent"}},
		{[]string{"flywheel by its rim", "puller"}, []string{"stored-energy"}},
		{[]string{"magnet stands under", "module on its posts"}, []string{"pinching"}},
		{[]string{"blow the well"}, []string{"compressed-air"}},
		{[]string{"safety switch", "seat switch", "must not turn", "rise under"}, []string{"interlock", "rotating-parts", "part-damage"}},
		{[]string{"impulse coupling off"}, []string{"stored-energy"}},
		{[]string{"ohmmeter"}, []string{"wrong-reading", "part-damage", "interlock"}},
	}
	used := make([]int, len(signs))
	for id, list := range plans(specs.Builtin()) {
		for n, p := range list {
			for _, s := range p.Steps {
				covered := map[string]bool{}
				for _, c := range s.Cautions {
					for _, h := range c.Hazards {
						covered[h] = true
					}
				}
				for _, h := range s.Hazards {
					if !covered[h] {
						t.Errorf("%s %d: %s: hazard %s without a caution", id, n, s.ID, h)
					}
				}
				text := strings.ToLower(s.Do + " " + s.Proof + " " + s.Tool)
				for k, sign := range signs {
					if !slices.ContainsFunc(sign.words, func(w string) bool { return strings.Contains(text, w) }) {
						continue
					}
					used[k]++
					if !slices.ContainsFunc(sign.hazard, func(h string) bool { return covered[h] }) {
						t.Errorf("%s %d: %s speaks of %q and no caution speaks of %v", id, n, s.ID, sign.words, sign.hazard)
					}
				}
			}
		}
	}
	for k, sign := range signs {
		if used[k] == 0 {
			t.Errorf("no step speaks of %q: the sign proves nothing", sign.words)
		}
	}
}

// TestCautionsNeeded takes each caution off each step: where it was the only one
// to speak of a hazard, the check says so.
func TestCautionsNeeded(t *testing.T) {
	book := specs.Builtin()
	p, err := convert.NewPlan(book, invented(book, "module-to-points")[3])
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for i := range p.Steps {
		steps := slices.Clone(p.Steps)
		steps[i].Cautions = nil
		if len(steps[i].Hazards) > 0 {
			if len(convert.CheckSteps(with(p, steps))) == 0 {
				t.Errorf("%s: nobody misses its cautions", steps[i].ID)
			}
			found++
		}
	}
	if found < 20 {
		t.Errorf("only %d steps carry a hazard", found)
	}
}

// TestCutListIsTheHarness changes one line of the cut list at a time.
func TestCutListIsTheHarness(t *testing.T) {
	book := specs.Builtin()
	p, err := convert.NewPlan(book, invented(book, "rotor-magneto-to-points")[2])
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range p.Wires {
		if c.Action == convert.CutOff {
			continue
		}
		q := *p
		q.Wires = slices.Delete(slices.Clone(p.Wires), i, i+1)
		if len(convert.CheckPlan(&q)) == 0 {
			t.Errorf("nobody misses the wire %s", c.Name)
		}
		q.Wires = slices.Clone(p.Wires)
		q.Wires[i].To = "block.ground"
		if c.To != "block.ground" && len(convert.CheckPlan(&q)) == 0 {
			t.Errorf("nobody sees where the wire %s ends", c.Name)
		}
	}
}
