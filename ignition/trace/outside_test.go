package trace

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"gapbook.example/specs"
	"gapbook.example/units"
)

// plainModel makes a model of single faults with a cure each, and looks that
// take a minute. looks[t][cause] is a row of chances.
func plainModel(priors []float64, looks [][][]float64) *Model {
	m := &Model{}
	m.Figures.HazardMinutes = units.MustTime("1 min")
	for i, p := range priors {
		m.Cures = append(m.Cures, Cure{Price: units.Minutes(60), Causes: []int{i}})
		m.Causes = append(m.Causes, Cause{Fault: &specs.Fault{ID: fmt.Sprint("f", i)}, Cure: i, Prior: p})
		m.atoms = append(m.atoms, atom{int16(i), -1, math.Log(p)})
	}
	m.look(func(int) []float64 { return []float64{1} })
	for _, look := range looks {
		m.look(func(i int) []float64 { return look[i] })
	}
	return m
}

// look adds a look; atoms with the same row share it.
func (m *Model) look(row func(atom int) []float64) {
	r := rows{bands: len(row(0))}
	var seen [][]float64
	for i := range m.atoms {
		this := row(i)
		at := slices.IndexFunc(seen, func(s []float64) bool { return slices.Equal(s, this) })
		if at < 0 {
			at = len(seen)
			seen = append(seen, this)
			r.band = append(r.band, this...)
		}
		m.rows = append(m.rows, int32(at))
	}
	m.table = append(m.table, r)
	m.Tests = append(m.Tests, Test{FaultTest: &specs.FaultTest{ID: fmt.Sprint("t", len(m.Tests)), Minutes: units.Minutes(1)}, Answers: r.bands})
}

// TestBayes: worked examples of Bayes' rule.
func TestBayes(t *testing.T) {
	for _, x := range []struct {
		prior, hit, alarm, want, tolerance float64
		source                             string
	}{
		{0.10, 0.95, 0.03, 0.7787, 5e-5, "worked statistics problem: prior .10, hit rate .95, false alarm .03"},
		{0.01, 0.93, 0.04, 0.19, 0.005, "article on Bayes and medical tests: sensitivity .93, specificity .96"},
		{0.10, 0.93, 0.04, 0.72, 0.005, "the same, prior .10"},
		{0.01, 0.80, 0.096, 0.078, 0.0005, "Eddy's mammography example, from memory"},
	} {
		m := plainModel([]float64{x.prior, 1 - x.prior}, [][][]float64{{{x.hit, 1 - x.hit}, {x.alarm, 1 - x.alarm}}})
		c := New(m, Setting{noSlips: true})
		if err := c.Tell(Answer{Test: 1, Look: 0}); err != nil {
			t.Fatal(err)
		}
		if got := c.cures[0]; math.Abs(got-x.want) > x.tolerance {
			t.Errorf("%s: %.5f, want %g", x.source, got, x.want)
		}
	}
}

// TestGain: the tennis example of Mitchell, Machine Learning (1997): 9 days of
// 14 are played on. The entropy is printed there; the four gains are from a
// teaching page on the same data, which prints four places.
func TestGain(t *testing.T) {
	counts := []struct {
		name     string
		yes, no  []float64
		wantGain float64
	}{
		{"outlook", []float64{2, 4, 3}, []float64{3, 0, 2}, 0.2467},
		{"humidity", []float64{3, 6}, []float64{4, 1}, 0.1518},
		{"wind", []float64{6, 3}, []float64{2, 3}, 0.0481},
		{"temperature", []float64{2, 4, 3}, []float64{2, 2, 1}, 0.0292},
	}
	var looks [][][]float64
	share := func(n []float64, of float64) []float64 {
		out := make([]float64, len(n))
		for i := range n {
			out[i] = n[i] / of
		}
		return out
	}
	for _, x := range counts {
		looks = append(looks, [][]float64{share(x.yes, 9), share(x.no, 5)})
	}
	c := New(plainModel([]float64{9.0 / 14, 5.0 / 14}, looks), Setting{noSlips: true})
	if got := c.split(); math.Abs(got-0.940) > 0.0005 {
		t.Errorf("entropy of 9 and 5: %.4f bit, Mitchell prints 0.940", got)
	}
	for i, x := range counts {
		if got := c.tells(i + 1); math.Abs(got-x.wantGain) > 5e-5 {
			t.Errorf("gain of %s: %.5f bit, want %.4f", x.name, got, x.wantGain)
		}
	}
	if s := c.Next(); s.Kind != Ask || s.Test != 1 {
		t.Errorf("next is %+v, want the outlook", s)
	}
}

// TestHalve: with equal rare single faults measure the point that halves the
// candidates (de Kleer and Williams, Diagnosing Multiple Faults, Artificial
// Intelligence 32 (1987), abstract; the rule, no figure of theirs). A chain of
// eight stages has the right signal going in and a wrong one coming out.
func TestHalve(t *testing.T) {
	priors := make([]float64, 8)
	var looks [][][]float64
	for i := range priors {
		priors[i] = 1.0 / 8
	}
	for point := 1; point < 8; point++ { // after stage number point
		var look [][]float64
		for fault := range priors {
			if fault < point {
				look = append(look, []float64{0, 1}) // wrong already
			} else {
				look = append(look, []float64{1, 0})
			}
		}
		looks = append(looks, look)
	}
	c := New(plainModel(priors, looks), Setting{noSlips: true})
	for fault := range priors {
		reset(c)
		asked := 0
		for {
			s := c.Next()
			if s.Kind == Name {
				if s.Cure != fault || c.cures[fault] < 1-1e-12 {
					t.Errorf("stage %d is bad: named %d", fault, s.Cure)
				}
				break
			}
			if asked == 0 && s.Test != 4 {
				t.Errorf("first point is after stage %d, want 4", s.Test)
			}
			if math.Abs(s.Bits-1) > 1e-9 {
				t.Errorf("point after stage %d tells %g bit, want 1", s.Test, s.Bits)
			}
			asked++
			look := 0
			if fault < s.Test {
				look = 1
			}
			if err := c.Tell(Answer{Test: s.Test, Look: look}); err != nil {
				t.Fatal(err)
			}
		}
		if asked != 3 {
			t.Errorf("stage %d: %d points for 8 candidates, want 3", fault, asked)
		}
	}
}

// TestPolybox: three multipliers and two adders, X = AC, Y = BD, Z = CE,
// F = X + Y, G = Y + Z, with inputs 3, 2, 2, 3, 3; F reads 10 where 12 is right,
// G 12. The circuit and its four minimal diagnoses are those of de Kleer and
// Williams (1987), from memory: {A1}, {M1}, {M2, A2}, {M2, M3}; and X is the
// point to measure next. A faulty part here puts out any other whole number up
// to 20 (assumed).
func TestPolybox(t *testing.T) {
	const (
		m1, m2, m3, a1, a2 = 0, 1, 2, 3, 4
		most               = 20
	)
	names := []string{"M1", "M2", "M3", "A1", "A2"}
	type outputs [5]int
	right := outputs{6, 6, 6, 12, 12}
	// behave works the circuit with some parts putting out what they please.
	behave := func(forced map[int]int) outputs {
		o := outputs{6, 6, 6}
		for _, p := range []int{m1, m2, m3} {
			if v, ok := forced[p]; ok {
				o[p] = v
			}
		}
		o[a1], o[a2] = o[m1]+o[m2], o[m2]+o[m3]
		for _, p := range []int{a1, a2} {
			if v, ok := forced[p]; ok {
				o[p] = v
			}
		}
		return o
	}
	const p = 0.01
	m := &Model{}
	var all []outputs
	for i := range names {
		m.Cures = append(m.Cures, Cure{Price: units.Minutes(60), Causes: []int{i}})
		m.Causes = append(m.Causes, Cause{Fault: &specs.Fault{ID: names[i]}, Cure: i, Prior: p})
	}
	for i := range names {
		for v := 0; v <= most; v++ {
			o := behave(map[int]int{i: v})
			if o[i] == right[i] {
				continue
			}
			all = append(all, o)
			m.atoms = append(m.atoms, atom{int16(i), -1, math.Log(p / most)})
			for j := i + 1; j < len(names); j++ {
				for u := 0; u <= most; u++ {
					two := behave(map[int]int{i: v, j: u})
					if u == behave(map[int]int{i: v})[j] {
						continue // does what it should
					}
					all = append(all, two)
					m.atoms = append(m.atoms, atom{int16(i), int16(j), math.Log(p * p / most / most)})
				}
			}
		}
	}
	m.look(func(int) []float64 { return []float64{1} })
	for part := range names {
		m.look(func(a int) []float64 {
			row := make([]float64, 2*most+1)
			row[all[a][part]] = 1
			return row
		})
	}
	c := New(m, Setting{noSlips: true})
	for _, seen := range []struct{ part, value int }{{a1, 10}, {a2, 12}} {
		if err := c.Tell(Answer{Test: seen.part + 1, Look: seen.value}); err != nil {
			t.Fatal(err)
		}
	}
	left := map[string]bool{}
	for i, a := range m.atoms {
		if c.w[i] < 1e-12 {
			continue
		}
		name := names[a.a]
		if a.b >= 0 {
			// Only minimal ones: neither fault explains it alone.
			if a.a == m1 || a.a == a1 || a.b == m1 || a.b == a1 {
				continue
			}
			name += " " + names[a.b]
		}
		left[name] = true
	}
	want := map[string]bool{"A1": true, "M1": true, "M2 A2": true, "M2 M3": true}
	if fmt.Sprint(left) != fmt.Sprint(want) {
		t.Errorf("minimal diagnoses %v, want %v", left, want)
	}
	if s := c.Next(); s.Kind != Ask || s.Test != m1+1 {
		t.Errorf("next is %+v, want X", s)
	}
	// X reads 4: M1 it is.
	if err := c.Tell(Answer{Test: m1 + 1, Look: 4}); err != nil {
		t.Fatal(err)
	}
	if r := c.Result(); r.Cures[0].Cure != m1 || r.Grade != Found {
		t.Errorf("X reads 4: %v %v, want M1 found", r.Grade, names[r.Cures[0].Cure])
	}
}
