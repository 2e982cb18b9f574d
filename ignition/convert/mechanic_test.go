package convert_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"gapbook.example/ignition/convert"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// each goes through all plans of all conversions, those of engines without
// points that go from six volts to twelve or turn their ground among them.
func each(t *testing.T, do func(t *testing.T, p *convert.Plan)) {
	t.Helper()
	book := specs.Builtin()
	all := plans(book)
	for _, id := range book.Conversions() {
		for i, p := range all[id] {
			t.Run(fmt.Sprintf("%s-%d", id, i), func(t *testing.T) { do(t, p) })
		}
	}
}

// words of a step, as it prints.
func said(s convert.Step) string {
	return strings.Join([]string{s.Do, s.Tool, s.Why, s.Proof}, " | ")
}

// order answers whether a step must stand before another in every order that the
// needs allow: the closure of the pairs that broken knows.
func order(p *convert.Plan) func(a, b int) bool {
	n := len(p.Steps)
	reach := make([][]bool, n)
	for i := range n {
		reach[i] = make([]bool, n)
		for k := range n {
			reach[i][k] = i != k && broken(p, []convert.Step{p.Steps[k], p.Steps[i]})
		}
	}
	for m := range n {
		for i := range n {
			for k := range n {
				reach[i][k] = reach[i][k] || reach[i][m] && reach[m][k]
			}
		}
	}
	return func(a, b int) bool { return reach[a][b] }
}

// TestOrderIsAMechanics holds the order of work to rules of the workshop that no
// recipe states: each holds in the order that is printed and in every other that
// the needs of the steps allow. None of them reads what a step needs or gives.
func TestOrderIsAMechanics(t *testing.T) {
	fits := func(names ...string) func(convert.Step) bool {
		return func(s convert.Step) bool {
			return slices.ContainsFunc(s.Fits, func(x string) bool { return slices.Contains(names, x) })
		}
	}
	says := func(words ...string) func(convert.Step) bool {
		return func(s convert.Step) bool {
			return slices.ContainsFunc(words, func(w string) bool { return strings.Contains(s.Do, w) })
		}
	}
	power := func(words ...string) func(convert.Step) bool {
		return func(s convert.Step) bool {
			return !strings.HasPrefix(s.Do, "Before anything comes off") && slices.ContainsFunc(s.Power, func(w string) bool { return slices.Contains(words, w) })
		}
	}
	rules := []struct {
		name          string
		first, second func(convert.Step) bool
	}{
		{"the old unit is judged before a part of it comes off", says("Before anything comes off"), func(s convert.Step) bool { return len(s.Removes) > 0 }},
		{"every fact is looked at before a part is laid out", says("Verify first"), says("Lay out every part")},
		{"nothing is wired before the ground lead is off", says("lead off its post first", "new battery unconnected"), func(s convert.Step) bool {
			return len(s.Fits) > 0 && !slices.Contains(s.Fits, "battery")
		}},
		{"the plug is out before it is gapped", says("take it out and close the hole"), says("Gap the plug", "Gap both plugs")},
		{"the plug is out before the engine is turned to set anything", says("take it out and close the hole"), says("Turn the crank the running way", "Turn the flywheel")},
		{"the plug is gapped before it goes in", says("Gap the plug", "Gap both plugs"), says("by hand first")},
		{"the wire to the points is run before the nut over it is done up", fits("points-wire"), func(s convert.Step) bool {
			return strings.Contains(s.Do, "under one nut")
		}},
		{"points are clean before they are fitted", says("draw clean paper"), func(s convert.Step) bool { return strings.Contains(s.Do, "under one nut") }},
		{"the gap comes before the timing", says("Set the gap to"), says("Find top dead centre")},
		{"the timing is set before the wire that the meter hangs on is joined", says("Find top dead centre"), says("Put the feed wire on")},
		{"what is read to ground is fitted first", fits("coil", "points", "module"), says("Battery strap at the block")},
		{"the strap is bright before the circuit is read through it", says("Battery strap at the block"), says("Battery still off")},
		{"every wire is on before the circuit is read cold", fits("coil-feed", "key-feed", "points-wire", "module-feed", "module-out", "seat-feed"), says("Battery still off")},
		{"the circuit is read cold before the battery is joined", says("Battery still off"), says("lead last")},
		{"the battery is joined before its fuse goes in", says("lead last"), says("fuse in. Then")},
		{"the fuse is in before the key is turned on", says("fuse in. Then"), says("Turn the crank by hand, ", "leads on and off only with")},
		{"guards are back before it is turned under power", says("Guards back", "covers and guards back"), power("cranking", "running")},
		{"the oil is in before it is turned under power", says("Refill with the oil"), power("cranking", "running")},
		{"the driven plug is out of the sump before the rod goes in", says("Fish the blanking plug"), says("slide it in")},
		{"the hole is closed by the points before the oil goes in", says("under one nut"), says("Refill with the oil")},
		{"volts are proved before it is cranked", says("leads on and off only with"), power("cranking")},
		{"the spark is seen before it is started", says("Hold nothing metal"), says("start it and let it idle")},
		{"starting locks are proved while it cannot fire", says("turn the key to start"), says("start it and let it idle")},
		{"the seat is proved cold before it is proved running", says("a helper sits down"), says("let it rise under your hand")},
		{"a second way to stop is at hand before it is started", says("second way to stop"), says("start it and let it idle")},
		{"stopping is tried before anything else is done with it running", says("start again, and once more"), func(s convert.Step) bool {
			return slices.Equal(s.Power, []string{"running"}) && !strings.Contains(s.Do, "start again, and once more")
		}},
		{"loads of the old volts are off before the battery is on", says("Change every lamp", "has a transistor"), says("lead last")},
		{"the flywheel is back before the air gap", says("Fit the key and the flywheel"), says("its magnet stands under the module")},
		{"the air gap is set before the kill wire is joined", says("its magnet stands under the module"), says("kill tab alone")},
		{"stopping is proved cold before it can fire", says("the other position"), power("cranking", "running")},
	}
	used := make([]int, len(rules))
	each(t, func(t *testing.T, p *convert.Plan) {
		must := order(p)
		for k, r := range rules {
			for i, a := range p.Steps {
				for j, b := range p.Steps {
					if i == j || !r.first(a) || !r.second(b) {
						continue
					}
					used[k]++
					if i > j {
						t.Errorf("%s: %s stands before %s", r.name, b.ID, a.ID)
					} else if !must(i, j) {
						t.Errorf("%s: nothing in the needs puts %s before %s", r.name, a.ID, b.ID)
					}
				}
			}
		}
	})
	for k, r := range rules {
		if used[k] == 0 {
			t.Errorf("no plan is held to: %s", r.name)
		}
	}
}

// TestCutStepsCut holds that a step that speaks of cutting or of wires named
// below it has such wires, that each wire to be worked on stands with a step
// that says so, and that a wire that is left alone is not.
func TestCutStepsCut(t *testing.T) {
	each(t, func(t *testing.T, p *convert.Plan) {
		work := map[string]bool{}
		for _, c := range p.Wires {
			work[c.Name] = !c.Own && (c.Action == convert.CutNew || c.Action == convert.CutMoved)
		}
		for _, s := range p.Steps {
			var wires []string
			for _, n := range s.Fits {
				if work[n] {
					wires = append(wires, n)
				}
			}
			if strings.Contains(s.Do, "Cut") && len(wires) == 0 {
				t.Errorf("%s speaks of cutting, and cuts nothing", s.ID)
			}
			if strings.Contains(s.Do, "named below") && len(s.Fits) == 0 && len(s.Removes) == 0 {
				t.Errorf("%s names nothing below", s.ID)
			}
			if strings.Contains(s.Do, "stay. Look") && len(s.Fits) > 0 {
				t.Errorf("%s says that its wires stay, and fits %v", s.ID, s.Fits)
			}
		}
	})
}

// TestStepsAreWhole holds that each step says with what it is done, how long it
// takes, what it is for and what is live meanwhile.
func TestStepsAreWhole(t *testing.T) {
	each(t, func(t *testing.T, p *convert.Plan) {
		for _, s := range p.Steps {
			if s.Tool == "" || s.Time.Seconds() <= 0 || s.Why == "" || len(s.Power) == 0 || s.Source == "" {
				t.Errorf("%s: tool %q, time %s, why %q, power %v, source %q", s.ID, s.Tool, s.Time, s.Why, s.Power, s.Source)
			}
			if s.Final && s.Proof == "" {
				t.Errorf("%s belongs to the proof and proves nothing", s.ID)
			}
			for _, word := range []string{"{", "}", "  ", " ,", ".."} {
				if strings.Contains(said(s), word) {
					t.Errorf("%s holds %q: %s", s.ID, word, said(s))
				}
			}
		}
	})
}

// TestPowerIsTrue holds what a step says is live to its own words, its readings
// and the place where it stands: with the battery off nothing is live.
func TestPowerIsTrue(t *testing.T) {
	signs := []struct {
		words []string
		power []string // one of them must be there
	}{
		{[]string{"ohmmeter", "Ohmmeter", "read ohms", "Ω"}, []string{"bench", "dead"}},
		{[]string{"crank it with", "pull it over", "crank:", "crank in bursts", "turn the key to start", "turn the engine briskly", "start it and"}, []string{"cranking"}},
		{[]string{"Engine idling", "Engine at working speed", "From idle", "let it idle"}, []string{"running"}},
		{[]string{"to run for a moment", "in run, engine still", "off again after each reading"}, []string{"key-on"}},
		{[]string{"Guards back", "stop, key off", "stop, switch off"}, []string{"key-off", "dead"}},
	}
	used := make([]int, len(signs))
	each(t, func(t *testing.T, p *convert.Plan) {
		off, joined := false, false // joined again, after it was off
		for _, s := range p.Steps {
			// Its own words, not the reason: a reason may speak of what comes later.
			text := s.Do + " " + s.Tool
			if !s.Final {
				text += " " + s.Proof
			}
			for k, sign := range signs {
				if slices.ContainsFunc(sign.words, func(w string) bool { return strings.Contains(text, w) }) {
					used[k]++
					if !slices.ContainsFunc(sign.power, func(w string) bool { return slices.Contains(s.Power, w) }) {
						t.Errorf("%s speaks of %q and says it is %v: %s", s.ID, sign.words, s.Power, text)
					}
				}
			}
			was := off
			off = off && !slices.Contains(s.Ends, "battery-off") || slices.Contains(s.Gives, "battery-off")
			for _, live := range s.Power {
				dead := live == "dead" || live == "bench"
				if was && off && !dead {
					t.Errorf("%s: the battery is off, and the step has it %s", s.ID, live)
				}
				if joined && live == "dead" {
					t.Errorf("%s: the battery is on, and the step has it dead", s.ID)
				}
			}
			joined = joined || was && !off
		}
		if off {
			t.Error("the battery stays off")
		}
	})
	for k, sign := range signs {
		if used[k] == 0 {
			t.Errorf("no step speaks of %q", sign.words)
		}
	}
}

// TestCautionsFitTheirStep holds every caution beside every step to what is live
// there: one that can only be obeyed with the battery off does not stand beside
// a reading of volts, nor one about an engine at work beside a bench.
func TestCautionsFitTheirStep(t *testing.T) {
	book := specs.Builtin()
	pairs := map[string]bool{}
	each(t, func(t *testing.T, p *convert.Plan) {
		for _, s := range p.Steps {
			for _, w := range s.Cautions {
				c, ok := book.Caution(w.ID)
				if !ok {
					t.Fatalf("no caution %s", w.ID)
				}
				pairs[s.ID+" "+w.ID] = true
				if len(c.Power) > 0 && !slices.ContainsFunc(s.Power, func(x string) bool { return slices.Contains(c.Power, x) }) {
					t.Errorf("%s is %v, and its caution %s wants %v", s.ID, s.Power, w.ID, c.Power)
				}
			}
		}
	})
	if len(pairs) < 90 {
		t.Errorf("only %d pairs of step and caution", len(pairs))
	}
	// A caution put beside a step of another power is found by the book's gate.
	for _, x := range []struct{ step, caution string }{{"volts", "battery-off-for-ohms"}, {"cranking-volts", "turn-the-running-way"}, {"spark", "exhaust-outdoors"}, {"set-gap", "key-left-on"}, {"no-start-engaged", "interlocks-proving"}} {
		r, err := book.Conversion("module-to-points")
		if err != nil {
			t.Fatal(err)
		}
		c, _ := book.Caution(x.caution)
		if s := r.Step(x.step); s == nil || c == nil || len(c.Power) == 0 || slices.ContainsFunc(s.Power, func(p string) bool { return slices.Contains(c.Power, p) }) {
			t.Errorf("%s beside %s would be let through", x.caution, x.step)
		}
	}
}

// TestWordsOfThisMachine holds that a plan speaks of nothing that its machine
// does not have.
func TestWordsOfThisMachine(t *testing.T) {
	each(t, func(t *testing.T, p *convert.Plan) {
		lock := func(name string) bool {
			return slices.ContainsFunc(p.Locks, func(l convert.Lock) bool { return l.Name == name })
		}
		kind := func(k ...wiring.Kind) bool {
			return len(p.After.OfKind(k...)) > 0 || p.Before != nil && len(p.Before.OfKind(k...)) > 0
		}
		absent := []string{"blade", "mower", "the cutter", "{"}
		add := func(has bool, words ...string) {
			if !has {
				absent = append(absent, words...)
			}
		}
		add(lock("seat"), "seat", "sits")
		add(lock("pto"), "PTO")
		add(lock("drive"), "the drive switch", "engage the drive", "the drive out of gear", "the drive and")
		add(lock("drive") || lock("pto"), "engage", "starting lock")
		add(kind(wiring.Starter), "starter", "solenoid", "key to start", "run and start")
		add(!kind(wiring.Starter), "rope")
		add(kind(wiring.Ballast), "ballast")
		add(kind(wiring.Alternator, wiring.Generator), "charging set", "charging wires", "at working speed: read")
		add(len(p.After.OfKind(wiring.Plug)) > 1, "both plug")
		for _, s := range p.Steps {
			text := s.Do + " | " + s.Tool + " | " + s.Proof
			for _, c := range s.Cautions {
				if c.ID != "spark-test-wipe-fuel" { // "pulling the starter" is the rope's
					text += " | " + c.Text
				}
			}
			for _, w := range absent {
				if w == "starter" && strings.Contains(text, "series starter stay") {
					continue
				}
				if strings.Contains(text, w) {
					t.Errorf("%s speaks of %q: %s", s.ID, w, text)
				}
			}
		}
	})
}

// TestReadingsMakeSense holds what each reading should be: no sign, no lower
// limit on a loss, no upper one on volts that a battery keeps while it cranks, no
// range that runs backwards, and a figure in the words.
func TestReadingsMakeSense(t *testing.T) {
	drops, cranks, charges := 0, 0, 0
	each(t, func(t *testing.T, p *convert.Plan) {
		for _, s := range p.Steps {
			for _, r := range s.Reads {
				what := fmt.Sprintf("%s: %s (%s): %s", s.ID, r.Where, r.State, r.Text)
				if r.Floating {
					continue
				}
				if r.Low < 0 || r.Low > r.Value || r.Value > r.High || strings.Contains(r.Text, "-") || !strings.ContainsAny(r.Text, "0123456789") {
					t.Errorf("%s; %g %g %g", what, r.Low, r.Value, r.High)
				}
				if r.High < 1 && r.Low > 0 {
					t.Errorf("%s: a loss has no least", what)
				}
				switch {
				case strings.Contains(r.State, "points closed") && strings.HasPrefix(r.Where, points(p)):
					drops++
					if r.Text != "at most 0.10 V" || !strings.Contains(r.Source, "NAVEDTRA 14329") {
						t.Errorf("%s, says %q", what, r.Source)
					}
				case strings.Contains(r.State, "cranking"):
					cranks++
					if r.Side != "least" || !strings.HasPrefix(r.Text, "at least ") {
						t.Errorf("%s: more is no fault", what)
					}
				case strings.Contains(r.State, "working speed"):
					charges++
					rest, _ := p.After.Part("battery")
					if r.Low <= rest.Values[wiring.Rest].Nominal.SI() || r.Source == "" {
						t.Errorf("%s: the battery at rest has as much, or nobody says so: %q", what, r.Source)
					}
				}
			}
		}
	})
	if drops < 30 || cranks < 50 || charges < 30 {
		t.Errorf("%d drops, %d while cranking, %d while charging", drops, cranks, charges)
	}
}

// points is the terminal of the coil at which the points hang, as the red lead
// finds it: on a positive ground the leads change places.
func points(p *convert.Plan) string {
	if p.After.Ground().String() == "positive" {
		return "block.ground to coil.plus"
	}
	return "coil.minus to block.ground"
}

// TestProofIsWhole holds what the proof at the end must have on each machine.
func TestProofIsWhole(t *testing.T) {
	each(t, func(t *testing.T, p *convert.Plan) {
		proof := p.Proof()
		has := func(ok bool, what string, test func(s convert.Step) bool) {
			if ok && !slices.ContainsFunc(proof, test) {
				t.Errorf("the proof lacks: %s", what)
			}
		}
		says := func(words string) func(convert.Step) bool {
			return func(s convert.Step) bool { return strings.Contains(s.Do+" "+s.Proof, words) }
		}
		reads := func(where, state string) func(convert.Step) bool {
			return func(s convert.Step) bool {
				return slices.ContainsFunc(s.Reads, func(r convert.Expected) bool {
					return strings.Contains(r.Where, where) && strings.Contains(r.State, state) && r.Text != ""
				})
			}
		}
		battery := p.To.NeedsBattery()
		starter := len(p.After.OfKind(wiring.Starter)) > 0
		feed := "coil.plus"
		if p.After.Ground().String() == "positive" {
			feed = "coil.minus"
		}
		has(battery, "volts of the battery", reads("battery", "key off"))
		has(battery, "volts of the feed", reads(feed, "key run"))
		has(battery, "no feed in off", reads(feed, "key off"))
		has(battery && starter, "the feed in start", reads(feed, "key start"))
		has(len(p.After.OfKind(wiring.Points)) > 0 && battery, "points drop", reads(points(p), "points closed"))
		charged := battery && len(p.After.OfKind(wiring.Alternator, wiring.Generator)) > 0
		has(charged, "that it charges", says("clearly more than at rest"))
		// The book has a range of charging for 12 V alone.
		has(charged && p.After.SystemVolts() == units.Volts(12), "charging volts", reads("battery", "working speed"))
		has(!battery && starter, "no volts on the kill wire", reads("module.kill", "key run"))
		has(true, "a spark, the plug in its hole and its lead on a grounded tester", says("on a grounded tester in plain sight"))
		has(true, "that it starts", says("start it and let it idle"))
		has(true, "that it stops", says("It must stop each time"))
		for _, l := range p.Locks {
			switch l.Name {
			case "seat":
				has(true, "that the seat stops it", says("the engine stops as the seat rises"))
				has(battery, "that the seat cuts the feed", reads(feed, "seat free"))
			case "drive":
				has(true, "that it does not start with the drive engaged", says("with the drive engaged"))
			case "pto":
				has(true, "that it does not start with the PTO engaged", says("with the PTO engaged"))
			}
		}
		for _, s := range proof {
			if s.Source == "" {
				t.Errorf("%s: nobody says so", s.ID)
			}
		}
	})
}

// TestGroundedLeadFirst holds that the lead lifted first is that of the post
// which is grounded before the change, and the one joined last that of the post
// grounded after it: a spanner on the other one shorts the battery to the frame.
func TestGroundedLeadFirst(t *testing.T) {
	post := map[string]string{"positive": "plus", "negative": "minus"}
	lifted, turned := 0, 0
	each(t, func(t *testing.T, p *convert.Plan) {
		if len(p.Before.OfKind(wiring.Battery)) == 0 {
			return
		}
		old, now := post[p.Before.Ground().String()], post[p.After.Ground().String()]
		for _, s := range p.Steps {
			if strings.Contains(s.Do, "off its post first") {
				lifted++
				if !strings.Contains(s.Do, "Lift the battery's "+old+" lead off its post first") {
					t.Errorf("the %s post is grounded: %s", old, s.Do)
				}
			}
			if strings.Contains(s.Do, "lead last") {
				if !strings.Contains(s.Do, "then the "+now+" lead last") {
					t.Errorf("the %s post is grounded from now on: %s", now, s.Do)
				}
				if old != now {
					turned++
				}
			}
		}
	})
	if lifted < 40 || turned < 8 {
		t.Errorf("%d batteries lifted, %d turned", lifted, turned)
	}
}
