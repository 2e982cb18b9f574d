package bench

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
)

const pageEngine = `invented = true
[engine]
label = "Press engine"
system = "battery-points"
volts = "12 V"
[figures.points_gap]
min = "0.018 in"
max = "0.022 in"
says = "plate"
basis = "published"
[figures.timing.static]
nominal = "20° BTDC"
says = "plate"
basis = "published"
[readings]
plug_gap = "35 thou"
`

func newPage(t *testing.T, question string) *Page {
	t.Helper()
	job, err := ReadJob("press.toml", []byte(pageEngine))
	if err != nil {
		t.Fatal(err)
	}
	p, err := NewPage(specs.Builtin(), job, question)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// numberOf finds the number of a reading on a page.
func numberOf(t *testing.T, p *Page, key specs.Key) int {
	t.Helper()
	for _, e := range p.Entries {
		if e.Quantity == key {
			return e.Number
		}
	}
	t.Fatalf("the page does not ask for %s", key)
	return 0
}

func TestPageAsksAndJudges(t *testing.T) {
	p := newPage(t, "setting")
	gap, timing := numberOf(t, p, "points_gap"), numberOf(t, p, "timing")
	e := p.Entries[gap-1]
	if e.Limit != "0.018 to 0.022 in" && !strings.Contains(e.Limit, "0.018") || e.Unit != "in" || e.How == "" || !strings.Contains(e.Source, "plate") {
		t.Errorf("points gap: %+v", e)
	}
	if len(p.Cautions) == 0 {
		t.Error("the page warns of nothing")
	}
	for _, c := range []struct {
		lines   string
		verdict ignition.Verdict
	}{
		{fmt.Sprintf("%d 0.020 in\n", gap), ignition.Fit},
		{fmt.Sprintf("%d: 20 thou # slight drag\n\n%d\n", gap, timing), ignition.Fit},
		{fmt.Sprintf("meter 0.8 %% + 3\nleads: 0.2 Ω\ntemperature 68 °F\n%d 0.020", gap), ignition.Fit},
		{fmt.Sprintf("%d 0.020", gap), ignition.Fit}, // the page's unit
		{fmt.Sprintf("%d. 0.030 in", gap), ignition.Unfit},
	} {
		job, err := p.Job("answers", c.lines)
		if err != nil {
			t.Errorf("%q: %v", c.lines, err)
			continue
		}
		r, err := Check(specs.Builtin(), job)
		if err != nil {
			t.Fatal(err)
		}
		if r.Verdict != c.verdict {
			t.Errorf("%q is %s: %v", c.lines, r.Verdict, r.Findings)
		}
	}
	if job, err := p.Job("answers", fmt.Sprintf("leads 0.2 Ω\nTemperature: 68 °F\n%d 20 thou", gap)); err != nil || job.Meter.LeadZero != "0.2 Ω" || !job.Meter.Temperature.IsKnown() {
		t.Errorf("conditions: %v %+v", err, job)
	}
	job, err := p.Job("answers", fmt.Sprintf("%d 20° BTDC", timing))
	if err != nil || len(job.Readings) != 1 || job.Readings[0].Figure != "static" || !job.Invented {
		t.Errorf("timing: %v %+v", err, job)
	}
	if _, err = p.Job("answers", fmt.Sprintf("%d 20", timing)); err != nil {
		t.Errorf("a bare number where the page prints the unit: %v", err)
	}
}

func TestPageProblems(t *testing.T) {
	p := newPage(t, "setting")
	for lines, code := range map[string]string{
		"":                          "no-reading",
		"1\n2:\n":                   "no-reading",
		"points gap 20":             "no-number",
		"99 20 thou":                "unknown-number",
		"0 20 thou":                 "unknown-number",
		"99999999999999999999 2":    "no-number",
		"1 20 thou\n1 21 thou":      "twice",
		"1 20 kΩ":                   "bad-reading",
		"leads 20 mm\n1 20 thou":    "bad-reading",
		"temperature hot\n":         "bad-reading",
		"meter good\n":              "bad-reading",
		strings.Repeat("x", 300000): "too-big",
	} {
		_, err := p.Job("answers", lines)
		var problems gate.Problems
		if !errors.As(err, &problems) || problems[0].Code != code {
			t.Errorf("%.40q: %v, want %s", lines, err, code)
		}
	}
	var unknown *UnknownQuestionError
	job, _ := ReadJob("press.toml", []byte(pageEngine))
	if _, err := NewPage(specs.Builtin(), job, "frob"); !errors.As(err, &unknown) || !strings.Contains(err.Error(), "no-spark") {
		t.Errorf("unknown question: %v", err)
	}
}

// Every engine of the book gives a page for every question, and every limit on
// it is judged good by its own nominal.
func TestPageOfEveryEngine(t *testing.T) {
	pages := 0
	for entry := range specs.Builtin().Entries() {
		for _, q := range Questions() {
			p, err := NewPage(specs.Builtin(), &Job{Engine: entry.ID}, q.ID)
			if err != nil {
				t.Fatal(err)
			}
			pages++
			number := 0
			handles := map[string]bool{}
			for _, e := range p.Entries {
				if e.Letter == "" || e.Letter == "a" {
					number++
				}
				if e.Number != number || handles[e.Handle()] || e.Title == "" || e.Limit == "" || e.Source == "" || e.Unit == "" {
					t.Errorf("%s %s: %+v", entry.ID, q.ID, e)
				}
				handles[e.Handle()] = true
			}
		}
	}
	if pages < 1000 {
		t.Errorf("only %d pages", pages)
	}
}

func FuzzPageAnswers(f *testing.F) {
	job, err := ReadJob("press.toml", []byte(pageEngine))
	if err != nil {
		f.Fatal(err)
	}
	p, err := NewPage(specs.Builtin(), job, "everything")
	if err != nil {
		f.Fatal(err)
	}
	for _, s := range []string{"1 20 thou", "2: 11.2 kΩ # cold\n3 OL", "1\n\n", "1) 0.5 mm", "01 1", "leads 0.2 Ω\n1 1 mm", "meter 1 %\ntemperature 20 °C\n2 5 kΩ"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, lines string) {
		job, err := p.Job("answers", lines)
		if err != nil {
			return
		}
		if _, err := Check(specs.Builtin(), job); err != nil {
			t.Errorf("%q: %v", lines, err)
		}
	})
}

// A reading that hangs on what is fitted is asked once: its letters choose the
// figure, no letter judges by all, and the same value under two is refused.
func TestPageLetters(t *testing.T) {
	p := newPage(t, "no-spark")
	var with, without Entry
	for _, e := range p.Entries {
		switch {
		case e.Quantity == "coil_feed" && e.Figure == "ballasted":
			with = e
		case e.Quantity == "coil_feed" && e.Figure == "unballasted":
			without = e
		}
	}
	if with.Number != without.Number || with.Letter == without.Letter || with.Letter == "" || with.How != without.How {
		t.Fatalf("%+v\n%+v", with, without)
	}
	for _, c := range []struct {
		lines   string
		verdict ignition.Verdict
		rule    string
	}{
		{with.Handle() + ": 6.6 V", ignition.CannotTell, RuleParted},
		{strings.ToUpper(with.Handle()) + " 6.6", ignition.CannotTell, RuleParted},
		{fmt.Sprintf("%d %s: 6.6 V", with.Number, with.Letter), ignition.CannotTell, RuleParted},
		// Sources disagree about ballasted sets, and of unballasted ones there is one.
		{without.Handle() + ": 12.1 V", ignition.Fit, RuleWithin},
		{fmt.Sprintf("%d: 12.1 V", with.Number), ignition.CannotTell, RuleWhich},
	} {
		job, err := p.Job("answers", c.lines)
		if err != nil {
			t.Fatal(err)
		}
		r, err := Check(specs.Builtin(), job)
		if err != nil {
			t.Fatal(err)
		}
		if r.Verdict != c.verdict || len(r.Findings) != 1 || r.Findings[0].Rule != c.rule {
			t.Errorf("%q is %s: %+v", c.lines, r.Verdict, r.Findings)
		}
	}
	for lines, want := range map[string]string{
		with.Handle() + ": 6 V\n" + without.Handle() + ": 6 V": "strike the other out",
		with.Handle() + ": 6 V\n" + with.Handle() + ": 7 V":    "on line 1 already",
		fmt.Sprintf("%dz: 6 V", with.Number):                   `no kind "z"`,
		"1a: 12.6 V":                                           `no kind "a"`,
	} {
		if _, err := p.Job("answers", lines); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %s", lines, err, want)
		}
	}
}

// Readings that are taken apart stay apart: timing at rest and at full advance.
func TestPageKeepsApart(t *testing.T) {
	src := strings.Replace(pageEngine, "[readings]", "[figures.timing.full-advance]\nnominal = \"30° BTDC\"\nsays = \"plate\"\nbasis = \"published\"\n[readings]", 1)
	job, err := ReadJob("press.toml", []byte(src))
	if err != nil {
		t.Fatal(err)
	}
	p, err := NewPage(specs.Builtin(), job, "setting")
	if err != nil {
		t.Fatal(err)
	}
	var numbers []int
	for _, e := range p.Entries {
		if e.Quantity == "timing" {
			numbers = append(numbers, e.Number)
		}
		if e.Quantity == "timing" && e.Letter != "" {
			t.Errorf("%+v", e)
		}
	}
	if len(numbers) != 2 || numbers[0] == numbers[1] {
		t.Errorf("numbers %v", numbers)
	}
}

// Every question of an engine of every kind types back: what the page says a
// good one reads is taken and never called bad.
func TestPageTypesBack(t *testing.T) {
	book := specs.Builtin()
	seen := map[string]int{}
	answered := 0
	for entry := range book.Entries() {
		if seen[entry.System]++; seen[entry.System] > 2 {
			continue
		}
		for _, q := range Questions() {
			job := &Job{Engine: entry.ID}
			p, err := NewPage(book, job, q.ID)
			if err != nil {
				t.Fatal(err)
			}
			c := &checker{book: book, job: job, report: &Report{}}
			if err := c.openEngine(); err != nil {
				t.Fatal(err)
			}
			for _, last := range []bool{false, true} { // the first letter, or the last
				var lines strings.Builder
				for i, e := range p.Entries {
					if e.Letter != "" && !last && e.Letter != "a" || last && i+1 < len(p.Entries) && p.Entries[i+1].Number == e.Number {
						continue
					}
					limits, _ := book.Limits(e.Quantity)
					figures := c.figures(e.Quantity)
					if len(figures) == 0 {
						figures = c.classFigures(limits)
					}
					for _, g := range grouped(figures) {
						if g.label != e.Figure {
							continue
						}
						band := g.figures[0].Band
						value := band.Nominal.Text
						for _, v := range []specs.Value{band.Min, band.Max} {
							if value == "" {
								value = v.Text
							}
						}
						fmt.Fprintf(&lines, "%s: %s\n", e.Handle(), value)
						answered++
					}
				}
				if lines.Len() == 0 {
					continue
				}
				filled, err := p.Job("answers", lines.String())
				if err != nil {
					t.Errorf("%s %s: %v\n%s", entry.ID, q.ID, err, lines.String())
					continue
				}
				r, err := Check(book, filled)
				if err != nil {
					t.Errorf("%s %s: %v", entry.ID, q.ID, err)
					continue
				}
				for _, f := range r.Findings {
					if f.Severity == ignition.Fault {
						t.Errorf("%s %s: the book's own figure is called bad: %+v", entry.ID, q.ID, f)
					}
				}
			}
		}
	}
	if len(seen) < 7 || answered < 500 {
		t.Errorf("%d kinds of ignition, %d answers", len(seen), answered)
	}
}
