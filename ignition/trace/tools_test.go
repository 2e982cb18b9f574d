package trace

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/specs"
)

// Whoever has no spark tester is asked for none again, the adjustable one
// neither, and can take that back.
func TestToolsThatAreNotThere(t *testing.T) {
	book := specs.Builtin()
	m, err := Build(book, Facts{System: ignition.BatteryPoints})
	if err != nil {
		t.Fatal(err)
	}
	wants := func(c *Case, tool string) (list []string) {
		for _, s := range c.Left() {
			if strings.Contains(m.Tests[s.Test].Tools, tool) {
				list = append(list, m.Tests[s.Test].ID)
			}
		}
		return list
	}
	c := New(m, Thorough())
	before := wants(c, "spark tester")
	if len(before) < 4 || !slices.Contains(before, "spark-tester-wide") {
		t.Fatalf("with a tester: %v", before)
	}
	for _, text := range []string{"no tool", "no tester", "no spark tester", "No Spark Tester", "without spark tester"} {
		if err := c.Take(book, Told{Test: "spark-tester", Text: text}); err != nil {
			t.Fatal(err)
		}
		if a := c.Answers()[0]; a.Tool != "spark tester" || m.AnswerText(a) != "no spark tester here" {
			t.Errorf("%s: %+v", text, a)
		}
		// An in-line lamp still does where there is no in-line tester.
		if left := wants(c, "spark tester"); len(left) != 1 || left[0] != "spark-at-speed" {
			t.Errorf("%s: still wants %v", text, left)
		}
		if wants(c, "feeler") == nil {
			t.Error("the feeler gauge went too")
		}
		c.Undo()
		if left := wants(c, "spark tester"); !slices.Equal(left, before) {
			t.Errorf("taken back: %v", left)
		}
	}
	// Said of the adjustable one, "no tool" leaves the plain one, "no tester" none.
	for text, want := range map[string]bool{"no tool": true, "no tester": false} {
		c := New(m, Thorough())
		if err := c.Take(book, Told{Test: "spark-tester-wide", Text: text}); err != nil {
			t.Fatal(err)
		}
		if got := slices.Contains(wants(c, "spark tester"), "spark-tester"); got != want {
			t.Errorf("%s: the plain tester is asked for: %t", text, got)
		}
	}
	for _, bad := range []struct{ test, text, says string }{
		{"complaint", "no tool", "needs no tool"},
		{"spark-tester-warm", "no tool", "no gentle heat"},
		{"points-gap-feeler", "no such thing", ""},
	} {
		err := c.Take(book, Told{Test: bad.test, Text: bad.text})
		var e *TextError
		if !errors.As(err, &e) || !strings.Contains(err.Error(), bad.says) {
			t.Errorf("%+v: %v", bad, err)
		}
	}
	if err := c.Take(book, Told{Test: "complaint", Text: "no spark at all was seen"}); err != nil {
		t.Errorf("an answer that begins with no: %v", err)
	}
}

// The leads' own ohms come off a reading in ohms, and off no other.
func TestLeadsAreTakenOff(t *testing.T) {
	book := specs.Builtin()
	m, err := Build(book, Facts{System: ignition.BatteryPoints})
	if err != nil {
		t.Fatal(err)
	}
	for text, want := range map[string]string{
		"0.4 Ω, leads 0.3 Ω": "0.1 Ω",
		"4.1 ohm, leads .2Ω": "3.9 Ω",
		"0.2 Ω, leads 0.3 Ω": "0 Ω",
		"3.9 Ω, leads 0 Ω":   "3.9 Ω",
	} {
		a, err := m.Answer(book, "primary-ohms", text)
		if err != nil || a.Reading.String() != want {
			t.Errorf("%s: %s, want %s; %v", text, a.Reading, want, err)
		}
	}
	for _, bad := range [][2]string{{"primary-ohms", "4 Ω, leads 3 V"}, {"primary-ohms", "4 Ω, leads OL"}, {"battery-rest-volts", "12 V, leads 0.3 Ω"}} {
		if _, err := m.Answer(book, bad[0], bad[1]); err == nil {
			t.Errorf("%v is taken", bad)
		}
	}
}

// What is left to ask comes cheap first, and holds nothing that was answered.
func TestLeft(t *testing.T) {
	book := specs.Builtin()
	m, err := Build(book, Facts{System: ignition.MagnetoBreakerless})
	if err != nil {
		t.Fatal(err)
	}
	c := New(m, Thorough())
	if err := c.Take(book, Told{Test: "spark-tester", Text: "none"}); err != nil {
		t.Fatal(err)
	}
	left := c.Left()
	if len(left) < 10 {
		t.Fatalf("%d left", len(left))
	}
	for i, s := range left {
		if id := m.Tests[s.Test].ID; id == "spark-tester" || id == "complaint" {
			t.Errorf("%s is left", id)
		}
		if i > 0 && c.weighed(s.Test) < c.weighed(left[i-1].Test) {
			t.Errorf("%s comes before what is cheaper", m.Tests[left[i-1].Test].ID)
		}
	}
}
