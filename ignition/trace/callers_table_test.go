package trace

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// A benchRow is one row of the table in DEVELOPERS.md.
type benchRow struct {
	name string
	g    regime
	set  Setting
	p    policy
}

func (r benchRow) key() string { return r.name + ", " + r.g.name }

func benchRows() []benchRow {
	var list []benchRow
	for _, r := range []benchRow{
		{name: "every test once", set: Thorough(), p: everyTest},
		{name: "thorough", set: Thorough(), p: byEngine},
		{name: "quick", set: Quick(), p: byEngine},
	} {
		for _, g := range []regime{cleanCallers, slipCallers, falseCallers, bothCallers} {
			r.g = g
			list = append(list, r)
		}
	}
	return append(list, benchRow{"the complaint only", cleanCallers, Quick(), complaintOnly})
}

// A benchFigure is one column: what it came to, its sampling error, and whether
// more of it is better.
type benchFigure struct {
	name    string
	of, err func(s *summary) float64
	more    bool
	slips   bool // only where there are slips
}

var benchFigures = []benchFigure{
	{name: "fault", of: func(s *summary) float64 { return s.fault }, err: func(s *summary) float64 { return shareErr(s.fault, s.calls) }, more: true},
	{name: "two", of: func(s *summary) float64 { return s.firstTwo }, err: func(s *summary) float64 { return shareErr(s.firstTwo, s.calls) }, more: true},
	{name: "part", of: func(s *summary) float64 { return s.part }, err: func(s *summary) float64 { return shareErr(s.part, s.calls) }, more: true},
	{name: "cure", of: func(s *summary) float64 { return s.cure }, err: func(s *summary) float64 { return shareErr(s.cure, s.calls) }, more: true},
	{name: "minutes", of: func(s *summary) float64 { return s.minutes }, err: func(s *summary) float64 { return s.minutesErr }},
	{name: "brier", of: func(s *summary) float64 { return s.brier }, err: func(s *summary) float64 { return s.brierErr }},
	{name: "called", of: func(s *summary) float64 { return s.sure }, err: func(s *summary) float64 { return shareErr(s.sure, s.calls) }, more: true},
	{name: "called-right", of: func(s *summary) float64 { return s.sureRight }, err: func(s *summary) float64 { return shareErr(s.sureRight, int(s.sure*float64(s.calls))) }, more: true},
	{name: "danger", of: func(s *summary) float64 { return s.worst }, err: func(s *summary) float64 { return s.worstErr }},
	{name: "asked-again", of: func(s *summary) float64 { return s.slipsAgain }, err: func(s *summary) float64 { return shareErr(s.slipsAgain, s.slips) }, more: true, slips: true},
	{name: "needless", of: func(s *summary) float64 { return s.needless }, err: func(s *summary) float64 { return s.needlessErr }},
}

var benchFile = filepath.Join("testdata", "callers.txt")

// readBench reads the figures that stand, and of how many callers a kind.
func readBench(t *testing.T) (callers int, rows map[string]map[string]float64) {
	f, err := os.Open(benchFile)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows = map[string]map[string]float64{}
	for lines := bufio.NewScanner(f); lines.Scan(); {
		name, rest, ok := strings.Cut(lines.Text(), ": ")
		if !ok {
			t.Fatalf("%s: %q", benchFile, lines.Text())
		}
		if name == "callers a kind" {
			if _, err := fmt.Sscan(rest, &callers); err != nil {
				t.Fatal(err)
			}
			continue
		}
		row := map[string]float64{}
		words := strings.Fields(rest)
		for i := 0; i+1 < len(words); i += 2 {
			var x float64
			if _, err := fmt.Sscan(words[i+1], &x); err != nil {
				t.Fatalf("%s: %s: %v", benchFile, name, err)
			}
			row[words[i]] = x
		}
		rows[name] = row
	}
	return callers, rows
}

// standCallers is how many callers of each kind testdata/callers.txt is of.
const standCallers = 300

// firstOf is the first callers of each kind, of n of each.
func firstOf(list []outcome, n, first int) []outcome {
	var some []outcome
	for at := 0; at < len(list); at += n {
		some = append(some, list[at:at+min(n, first)]...)
	}
	return some
}

// TestCallers is the bench. GAPBOOK_CALLERS says how many callers of each kind.
// testdata/callers.txt has what the first 300 of each come to. With as many or
// more, those callers are the very same, and no figure of theirs may be worse by
// more than its sampling error; with fewer, by more than three errors of the
// difference. With 200 or more the targets are held too, on all callers. With
// GAPBOOK_UPDATE, and 300 or more, the file is written anew.
func TestCallers(t *testing.T) {
	n := callers(4)
	ms := models(t, nil)
	lists, sums := map[string][]outcome{}, map[string]*summary{}
	var table, file strings.Builder
	fmt.Fprintf(&file, "callers a kind: %d\n", standCallers)
	stood, standing := readBench(t)
	last := ""
	for _, r := range benchRows() {
		if n < 20 && r.g.name != cleanCallers.name {
			continue // worlds take a while to draw
		}
		t.Run(r.key(), func(t *testing.T) {
			list := overAll(t, r.name, ms, r.set, r.g, n, r.p)
			s := summarise(list)
			whole := s
			lists[r.key()], sums[r.key()] = list, &whole
			name := r.name
			if name == last {
				name = ""
			}
			last = r.name
			fmt.Fprintf(&table, "| %s | %s | %.1f | %.1f | %.1f | %.1f | %.0f | %.3f | %.1f, %.1f | %.2f |\n", name, r.g.name,
				100*s.fault, 100*s.firstTwo, 100*s.part, 100*s.cure, s.minutes, s.brier, 100*s.sure, 100*s.sureRight, s.worst)
			s = summarise(firstOf(list, n, standCallers))
			fmt.Fprintf(&file, "%s:", r.key())
			for _, f := range benchFigures {
				fmt.Fprintf(&file, " %s %.4f", f.name, f.of(&s))
			}
			fmt.Fprintln(&file)
			if n < 50 || os.Getenv("GAPBOOK_UPDATE") != "" {
				return
			}
			for _, f := range benchFigures {
				if f.slips && r.g.slip == 0 {
					continue
				}
				want, ok := standing[r.key()][f.name]
				if !ok {
					t.Fatalf("%s has no %s of %s: GAPBOOK_UPDATE=1 writes it", benchFile, f.name, r.key())
				}
				got := f.of(&s)
				worse := want - got
				if !f.more {
					worse = -worse
				}
				allowed := f.err(&s) + 5e-5 // of the last figure written
				if n < stood {
					allowed *= 3 * math.Sqrt(1+float64(n)/float64(stood))
				}
				if worse > allowed {
					t.Errorf("%s callers: %s %.4f, %.4f stands in %s, worse by more than %.4f", r.key(), f.name, got, want, benchFile, allowed)
				}
			}
		})
	}
	if len(sums) < len(benchRows()) || t.Failed() {
		return // only some were asked for
	}
	if os.Getenv("GAPBOOK_UPDATE") != "" && n >= standCallers {
		must(os.MkdirAll(filepath.Dir(benchFile), 0o755))
		must(os.WriteFile(benchFile, []byte(file.String()), 0o644))
	}
	if n >= 50 {
		t.Logf("%d callers of each kind\n%s", n, table.String())
	}
	if n >= 200 {
		for _, g := range []regime{cleanCallers, slipCallers, falseCallers, bothCallers} {
			targets(t, g, lists, sums)
		}
	}
}

// less is by how much the second list has less than the first of what is
// counted, call by call, and the sampling error of that.
func less(first, second []outcome, of func(o *outcome) float64) (mean, err float64) {
	d := make([]float64, len(first))
	for i := range first {
		d[i] = of(&first[i]) - of(&second[i])
		mean += d[i] / float64(len(d))
	}
	return mean, meanErr(d)
}

func count(of func(o *outcome) bool) func(o *outcome) float64 {
	return func(o *outcome) float64 {
		if of(o) {
			return 1
		}
		return 0
	}
}

var (
	rightFault = count(func(o *outcome) bool { return o.fault })
	rightPart  = count(func(o *outcome) bool { return o.part })
	rightCure  = count(func(o *outcome) bool { return o.cure })
	badness    = func(o *outcome) float64 {
		d := o.chance - rightCure(o)
		return d * d
	}
)

// targets holds both settings to what was set out, give or take one sampling
// error; chances to what every test done itself reaches, where that is less.
func targets(t interface{ Errorf(string, ...any) }, g regime, lists map[string][]outcome, sums map[string]*summary) {
	ceiling, all := lists["every test once, "+g.name], sums["every test once, "+g.name]
	for _, set := range []Setting{Thorough(), Quick()} {
		key := set.Name + ", " + g.name
		list, s := lists[key], sums[key]
		within := func(what string, of func(o *outcome) float64, limit float64) {
			if d, err := less(ceiling, list, of); d > limit+err {
				t.Errorf("%s: right %s %.1f points below every test done, want at most %.1f give or take %.1f", key, what, 100*d, 100*limit, 100*err)
			}
		}
		atMost := func(what string, got, limit, err float64) {
			if got > limit+err {
				t.Errorf("%s: %s %.3f, want at most %.3f give or take %.3f", key, what, got, limit, err)
			}
		}
		atLeast := func(what string, got, limit, err float64) { atMost("less "+what, -got, -limit, err) }

		atMost("tests of last resort a call", s.worst, 0.2, s.worstErr)
		atMost("needless repeats a call", s.needless, 2, s.needlessErr)
		off := 0.04
		if g.worlds > 0 {
			off = 0.10
		}
		for i, n := range s.counts {
			if n < 200 {
				continue
			}
			p, right := s.bins[i][0]/float64(n), s.bins[i][1]/float64(n)
			atMost(fmt.Sprintf("chances of about %.2f (%d calls) off what came true by", p, n), math.Abs(p-right), off, 2*shareErr(right, n))
		}
		if set.Name != Thorough().Name {
			continue
		}
		if g.slip == 0 && g.worlds == 0 {
			within("fault", rightFault, 0.02)
			within("part", rightPart, 0.01)
			within("cure", rightCure, 0.01)
			atMost("share of every test's minutes", s.minutes/all.minutes, 0.22, s.minutesErr/all.minutes)
		}
		if g.slip > 0 && g.worlds > 0 {
			within("fault", rightFault, 0)
			within("part", rightPart, 0)
			within("cure", rightCure, 0)
		}
		brier, right := 0.055, 0.975
		if g.slip > 0 || g.worlds > 0 {
			brier, right = 0.10, 0.935
		}
		more, err := less(list, ceiling, badness)
		// These were set where every test done had a Brier score of 0.050 and
		// called 79 % at 0.9: as far from that is what is held where it has worse.
		atMost("Brier over that of every test", more, max(brier-all.brier, 0.005), err)
		atLeast("calls at 0.9 or more", s.sure, min(0.75, all.sure-0.04), shareErr(s.sure, s.calls))
		atLeast("of them right", s.sureRight, min(right, all.sureRight), shareErr(s.sureRight, int(s.sure*float64(s.calls))))
		if g.slip > 0 {
			atLeast("slips asked again", s.slipsAgain, 0.70, shareErr(s.slipsAgain, s.slips))
		}
	}
}

// TestTargetsCanFail: each target fails where the calls are as bad as that.
func TestTargetsCanFail(t *testing.T) {
	good := make([]outcome, 1000)
	for i := range good {
		good[i] = outcome{fault: true, firstTwo: true, part: true, cure: true, chance: 0.97, minutes: 100}
	}
	for i := range 30 {
		good[i*33].cure = false
	}
	for i := range 10 {
		good[i].slips, good[i].slipsAgain = 1, 1
	}
	for _, x := range []struct {
		said string
		do   func(i int, o *outcome)
	}{
		{"", func(i int, o *outcome) {}},
		{"last resort", func(i int, o *outcome) { o.worst = i % 2 }},
		{"needless", func(i int, o *outcome) { o.needless = 3 }},
		{"right fault", func(i int, o *outcome) { o.fault = i%20 > 0 }},
		{"right part", func(i int, o *outcome) { o.part = i%20 > 0 }},
		{"right cure", func(i int, o *outcome) { o.cure = o.cure && i%20 > 0 }},
		{"of them right", func(i int, o *outcome) { o.cure = o.cure && i%20 > 0 }},
		{"Brier", func(i int, o *outcome) { o.cure = o.cure && i%20 > 0 }},
		{"less calls at 0.9", func(i int, o *outcome) { o.chance = 0.85 }},
		{"off what came true", func(i int, o *outcome) { o.chance = 0.65 }},
		{"minutes", func(i int, o *outcome) { o.minutes = 100 }},
		{"slips asked again", func(i int, o *outcome) { o.slipsAgain = 0 }},
	} {
		list := slices.Clone(good)
		for i := range list {
			list[i].minutes = 20
			x.do(i, &list[i])
		}
		g := cleanCallers
		if x.said == "slips asked again" {
			g = slipCallers
		}
		lists, sums := map[string][]outcome{}, map[string]*summary{}
		for _, name := range []string{"every test once", "thorough", "quick"} {
			l := good
			if name != "every test once" {
				l = list
			}
			s := summarise(l)
			lists[name+", "+g.name], sums[name+", "+g.name] = l, &s
		}
		var said complaints
		targets(&said, g, lists, sums)
		if want := x.said; want == "" && len(said) > 0 || want != "" && !strings.Contains(strings.Join(said, "\n"), want) {
			t.Errorf("%q: want a word of that, said: %v", want, said)
		}
	}
}

// complaints collects what a test would say.
type complaints []string

func (c *complaints) Errorf(format string, args ...any) {
	*c = append(*c, fmt.Sprintf(format, args...))
}
