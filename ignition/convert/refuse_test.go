package convert_test

import (
	"errors"
	"strings"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/ignition/convert"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
	"gapbook.example/units"
)

// TestWhatCannotBe gives plans machines that lack what they need: an answer
// with a reason and a figure, and no error.
func TestWhatCannotBe(t *testing.T) {
	book := specs.Builtin()
	for _, c := range []struct {
		name, recipe string
		change       func(*convert.Job)
		verdict      convert.Verdict
		code, words  string
	}{
		{"as it is", "module-to-points", func(*convert.Job) {}, convert.Possible, "", ""},
		{"no battery", "module-to-points", func(j *convert.Job) { j.Machine.Battery = convert.AnswerNo; delete(j.Facts, "battery-fitted") }, convert.NotPossible, "no-battery", "A on average"},
		{"nothing charges", "module-to-points", func(j *convert.Job) { j.Machine.Charging = "" }, convert.NotAdvised, "no-charging", "empties the battery in"},
		{"charging too small", "module-to-points", func(j *convert.Job) { j.Machine.ChargingRating = ignition.Know(units.Amperes(0.5)) }, convert.NotPossible, "charging-short", "80 % of 0.5 A"},
		{"charging too small for the loads", "module-to-points", func(j *convert.Job) {
			j.Machine.ChargingRating, j.Machine.Loads = ignition.Know(units.Amperes(3)), units.Amperes(4)
		}, convert.NotAdvised, "charging-short", "average draw"},
		{"no boss", "module-to-points", func(j *convert.Job) { j.Facts["points-boss"] = convert.AnswerNo }, convert.NotPossible, "points-boss", "points-boss: no"},
		{"no room", "module-to-points", func(j *convert.Job) { j.Facts["coil-room"] = convert.AnswerNo }, convert.NotAdvised, "coil-room", "coil-room: no"},
		{"not looked at", "module-to-points", func(j *convert.Job) { delete(j.Facts, "cam-lobe") }, convert.UnknownFirst, "", ""},
		{"it has points", "module-to-points", func(j *convert.Job) { j.Engine.System = ignition.BatteryPoints }, convert.NotPossible, "wrong-system", "battery-points"},
		{"it is good", "module-to-points", func(j *convert.Job) { j.Old.Sparks = convert.AnswerYes }, convert.NotAdvised, "old-unit-good", "sparks: yes"},
		{"twelve volts already", "six-to-twelve", func(j *convert.Job) { j.Machine.Volts = units.Volts(12) }, convert.NotPossible, "wrong-volts", "12 V"},
		{"negative already", "positive-to-negative", func(j *convert.Job) { j.Machine.Ground = ignition.NegativeGround }, convert.NotPossible, "wrong-ground", "negative ground"},
		{"magneto switch on a battery set that runs", "points-to-breakerless", func(j *convert.Job) { j.Machine.Switch, j.Machine.Runs = "magneto-six", convert.AnswerYes }, convert.NotAdvised, "contradiction", "off G+M+A"},
		{"drive switch without a starter", "module-to-points", func(j *convert.Job) {
			j.Machine.Starter, j.Machine.Charging, j.Machine.Interlocks = false, "", []string{"drive"}
		}, convert.NotPossible, "contradiction", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := invented(book, c.recipe)[1]
			for id := range j.Facts {
				j.Facts[id] = convert.AnswerYes
			}
			c.change(j)
			p, err := convert.NewPlan(book, j)
			if err != nil {
				t.Fatal(err)
			}
			if p.Verdict != c.verdict {
				t.Errorf("the verdict is %s, want %s: %+v", p.Verdict, c.verdict, p.Reasons)
			}
			if c.code == "" {
				return
			}
			for _, r := range p.Reasons {
				if r.Code == c.code {
					if !strings.Contains(r.Figure, c.words) || r.Text == "" || r.Cure == "" {
						t.Errorf("the reason lacks %q: %+v", c.words, r)
					}
					return
				}
			}
			t.Errorf("no reason %s: %+v", c.code, p.Reasons)
		})
	}
}

// TestUnknownComesFirst holds the order of the questions: the unknown before the
// known, what ends the plan before what makes work, the cheapest first.
func TestUnknownComesFirst(t *testing.T) {
	book := specs.Builtin()
	j := invented(book, "module-to-points")[1]
	for _, id := range []string{"points-boss", "cam-lobe", "push-rod-hole", "wiring-sound"} {
		j.Facts[id] = convert.AnswerUnknown
	}
	p, err := convert.NewPlan(book, j)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, q := range p.Verify[:4] {
		got = append(got, q.ID)
	}
	if want := "push-rod-hole points-boss cam-lobe wiring-sound"; strings.Join(got, " ") != want {
		t.Errorf("the order is %v, want %s", got, want)
	}
	if p.Verdict != convert.UnknownFirst {
		t.Errorf("the verdict is %s", p.Verdict)
	}
}

// TestInterlocksCross holds that no safety switch is lost, and that what
// grounded a kill wire opens the feed.
func TestInterlocksCross(t *testing.T) {
	book := specs.Builtin()
	for id, list := range plans(book) {
		for n, p := range list {
			if len(p.Locks) != len(machines()[n].Interlocks) {
				t.Errorf("%s %d: %d safety switches of %d", id, n, len(p.Locks), len(machines()[n].Interlocks))
			}
			for _, l := range p.Locks {
				crosses := l.Name == "seat" && p.From.Stopping() != p.To.Stopping()
				if l.Changed != crosses || crosses && (l.Was != "grounds the kill wire" || l.Now != "opens the ignition's feed") {
					t.Errorf("%s %d: %+v", id, n, l)
				}
			}
		}
	}
}

// TestUnknownWords names what the book does not have: place and nearest name.
func TestUnknownWords(t *testing.T) {
	book := specs.Builtin()
	for _, c := range []struct {
		name   string
		change func(*convert.Job)
		words  string
	}{
		{"recipe", func(j *convert.Job) { j.Recipe = "modul-to-points" }, `did you mean "module-to-points"?`},
		{"switch", func(j *convert.Job) { j.Machine.Switch = "magneto-fou" }, `did you mean "magneto-four"?`},
		{"fact", func(j *convert.Job) { j.Facts["points-bos"] = convert.AnswerYes }, `did you mean "points-boss"?`},
		{"engine", func(j *convert.Job) { j.Engine.Record = "no-such-engine-at-all" }, "no-such-engine-at-all"},
	} {
		j := invented(book, "module-to-points")[1]
		j.File = "job.toml"
		c.change(j)
		_, err := convert.NewPlan(book, j)
		var problems gate.Problems
		if !errors.As(err, &problems) || !strings.Contains(err.Error(), c.words) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// TestRefusedHarness gives a machine that no sound harness can be laid for, its
// switch being one without a feed after the conversion: never a plan that says
// possible.
func TestRefusedHarness(t *testing.T) {
	book := specs.Builtin()
	j := invented(book, "six-to-twelve")[1]
	j.Machine.Switch = "numbered-five"
	p, err := convert.NewPlan(book, j)
	if err != nil {
		t.Fatal(err)
	}
	if p.Verdict == convert.Possible || p.Verdict == convert.UnknownFirst {
		t.Errorf("the verdict is %s: %+v", p.Verdict, p.Reasons)
	}
}

// TestReservesAndBalance holds the figures that sum a plan up: more in reserve
// than the plug may need on every default machine, and a set that draws what the
// circuit says.
func TestReservesAndBalance(t *testing.T) {
	for id, list := range plans(specs.Builtin()) {
		for n, p := range list {
			for _, m := range p.Reserves {
				if m.After < 1 && p.Set != nil && m.Situation != "cranking" {
					t.Errorf("%s %d: %s: a reserve of %.2f", id, n, m.Situation, m.After)
				}
			}
			if p.To.NeedsBattery() && p.Set != nil && p.Set.Balance != nil && (p.Set.Balance.Average.Amperes() <= 0 || p.Set.Balance.Average.Cmp(p.Set.Balance.Closed) > 0) {
				t.Errorf("%s %d: draws %s on average and %s closed", id, n, p.Set.Balance.Average, p.Set.Balance.Closed)
			}
		}
	}
}
