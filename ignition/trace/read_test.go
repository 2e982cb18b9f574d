package trace

import (
	"strings"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/specs"
)

const pump = `schema = 1
title = "the pump by the pond"
invented = true

[engine]
system = "battery-points"
lacks = ["ballast"]

[answers]
complaint = "no-spark-seen"
spark-tester = "1"
points-drop = ["1.3 V", "1.2 V"]
points-spring-pull = "skip"
condenser-insulation = "OL"
points-gap-feeler = "18 to 20 thou"

[again.first]
cured = "points-film"
answers = { spark-tester = "weak" }
`

func TestRecord(t *testing.T) {
	book := specs.Builtin()
	r, err := ReadRecord(book, "pump.toml", []byte(pump))
	if err != nil {
		t.Fatal(err)
	}
	c, err := r.Open(book, "pump.toml")
	if err != nil {
		t.Fatal(err)
	}
	m := c.Model()
	// The complaint, a tester, two drops, a skip, OL, a pair of blades, and one
	// after the cure.
	if got := c.Answers(); len(got) != 8 || !got[4].Skipped || !got[5].OutOfRange {
		t.Errorf("%+v", got)
	} else if x := m.AnswerText(got[6]); x != "0.019 in (0.48 mm)" {
		t.Errorf("between 18 and 20 thou is %s", x)
	}
	again, err := ReadRecord(book, "pump.toml", r.Marshal())
	if err != nil {
		t.Fatalf("%v\n%s", err, r.Marshal())
	}
	d, err := again.Open(book, "pump.toml")
	if err != nil {
		t.Fatal(err)
	}
	for i, k := range c.Result().Causes {
		if d.Result().Causes[i] != k {
			t.Fatalf("the record reads back to another result: %+v, %+v", k, d.Result().Causes[i])
		}
	}
	// Answers in another order lead to the same.
	back := *r
	back.Told = append([]Told{r.Told[4], r.Told[6], r.Told[0], r.Told[3], r.Told[2], r.Told[1], r.Told[5]}, r.Told[7:]...)
	e, err := back.Open(book, "pump.toml")
	if err != nil {
		t.Fatal(err)
	}
	for i, k := range c.Result().Causes {
		if got := e.Result().Causes[i]; got.Cause != k.Cause && got.Chance != k.Chance {
			t.Fatalf("another order leads to %+v, not %+v", got, k)
		}
	}
}

// TestBadInput says plainly what is wrong with an answer, and loses nothing.
func TestBadInput(t *testing.T) {
	book := specs.Builtin()
	for _, c := range []struct{ answer, code, want string }{
		{`points-drop = "1.3 Ω"`, WrongUnit, "is a resistance, and this is read as a voltage"},
		{`points-gap-feeler = "20 ohm"`, WrongUnit, "read as a length"},
		{`primary-ohms = "-4 Ω"`, Impossible, "without its sign"},
		{`battery-rest-volts = "12600 V"`, Impossible, "not possible here"},
		{`condenser-capacity = "2 F"`, Impossible, "not possible here"},
		{`static-timing = "200° BTDC"`, Impossible, "not possible here"},
		{`primary-ohms = "four"`, "bad-reading", "primary winding"},
		{`primary-ohms = "4,1 Ω"`, "bad-reading", ""},
		{`primary-ohms = "4.1"`, "bad-reading", ""},
		{`spark-tester = "jump"`, "bad-answer", `did you mean "jumps"`},
		{`spark-tester = "4"`, "bad-answer", "not one of its answers"},
		{`charge-peak-volts = "120 V"`, "no-such-part", "no such part"},
		{`no-such-test = "1"`, "unknown-test", "no test"},
		{`sparktester = "none"`, "unknown-test", `did you mean "spark-tester"`},
		{`charging-volts = "over 12 V"`, "bad-reading", "bound"},
	} {
		src := "[engine]\nsystem = \"battery-points\"\n[answers]\ncomplaint = \"misses\"\n" + c.answer + "\n"
		r, err := ReadRecord(book, "x.toml", []byte(src))
		if err != nil {
			t.Errorf("%s: %v", c.answer, err)
			continue
		}
		_, err = r.Open(book, "x.toml")
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), c.code) || !strings.Contains(err.Error(), "x.toml:5:") {
			t.Errorf("%s: %v; want %q (%s)", c.answer, err, c.want, c.code)
		}
	}
	// A refused answer changes nothing.
	m, err := Build(book, Facts{System: ignition.BatteryPoints})
	if err != nil {
		t.Fatal(err)
	}
	c := New(m, Thorough())
	if err := c.Take(book, Told{Test: "spark-tester", Text: "none"}); err != nil {
		t.Fatal(err)
	}
	before := c.Result().Causes
	if err := c.Take(book, Told{Test: "battery-rest-volts", Text: "12600 V"}); err == nil {
		t.Fatal("an impossible reading passes")
	}
	for i, k := range c.Result().Causes {
		if k != before[i] {
			t.Fatal("a refused answer moved something")
		}
	}
	if len(c.Answers()) != 1 {
		t.Error("a refused answer is kept")
	}
}

// TestNothingLeft answers every test as no single fault could: every look the
// answer that fits worst. Something is still said, every chance is a number,
// and the tables are doubted.
func TestNothingLeft(t *testing.T) {
	book := specs.Builtin()
	for _, system := range ignition.Systems() {
		m, err := Build(book, Facts{System: system})
		if err != nil {
			t.Fatal(err)
		}
		c := New(m, Thorough())
		for i := range m.Tests {
			a := Answer{Test: i, Look: (i*7 + 3) % m.Tests[i].Answers}
			if m.Tests[i].Reading {
				a.Look, a.Reading = 0, m.Tests[i].typical((i*5+1)%m.Tests[i].Answers)
			}
			if err := c.Tell(a); err != nil {
				t.Fatalf("%s: %v", m.Tests[i].ID, err)
			}
		}
		check(t, c)
		if c.Result().Misfit <= MisfitAt {
			t.Errorf("%s: nonsense has a misfit of %.1f only", system, c.Result().Misfit)
		}
		doubted := false
		for _, f := range c.Findings() {
			doubted = doubted || f.Rule == RuleTableMisfit
		}
		if !doubted {
			t.Errorf("%s: nonsense is not doubted", system)
		}
	}
}

// TestExplain finds the fault, what spoke for it, and what would turn it.
func TestExplain(t *testing.T) {
	book := specs.Builtin()
	m, err := Build(book, Facts{System: ignition.BatteryPoints})
	if err != nil {
		t.Fatal(err)
	}
	c := New(m, Thorough())
	for _, a := range [][2]string{{"complaint", "no-spark-seen"}, {"spark-tester", "none"}, {"points-drop", "1.4 V"}, {"primary-ohms", "4.0 Ω"}} {
		if err := c.Take(book, Told{Test: a[0], Text: a[1]}); err != nil {
			t.Fatal(err)
		}
	}
	e := c.Explain()
	if id := m.Causes[e.Cause].ID; id != "points-film" {
		t.Fatalf("it is called %s", id)
	}
	if first := e.Moved[0]; m.Tests[first.Test].ID != "points-drop" || !strings.Contains(first.Words(), "strongly for") {
		t.Errorf("first moved by %s: %s", m.Tests[first.Test].ID, first.Words())
	}
	for _, x := range e.Moved {
		if m.Tests[x.Test].ID == "primary-ohms" && strings.Contains(x.Words(), "for it") && x.Evidence > 0.7 {
			t.Errorf("a sound primary %s", x.Words())
		}
	}
	leans := false
	for _, x := range e.Leaning {
		leans = leans || m.Tests[x].ID == "points-drop"
	}
	if !leans {
		t.Errorf("it does not lean on the drop: %v", e.Leaning)
	}
	for _, f := range c.Findings() {
		if f.Text == "" || f.Hint == "" {
			t.Errorf("%+v", f)
		}
	}
}
