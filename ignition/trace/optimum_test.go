package trace

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"

	"gapbook.example/specs"
	"gapbook.example/units"
)

// smallModel draws a model of faults and looks, each with a cure of its own,
// small enough that the best of all policies can be worked out.
func smallModel(r *rand.Rand, faults, tests int) *Model {
	m := &Model{}
	m.Figures.HazardMinutes = units.MustTime("1 min")
	sum := 0.0
	prior := make([]float64, faults)
	for i := range prior {
		prior[i] = r.ExpFloat64() + 0.1
		sum += prior[i]
	}
	for i := range faults {
		minutes := 5 + 40*r.Float64()
		m.Cures = append(m.Cures, Cure{Price: units.Minutes(minutes + 60 + 30*r.Float64()), Minutes: units.Minutes(minutes), Causes: []int{i}})
		m.Causes = append(m.Causes, Cause{Fault: &specs.Fault{ID: fmt.Sprint("f", i)}, Cure: i, Prior: prior[i] / sum})
		m.atoms = append(m.atoms, atom{int16(i), -1, math.Log(prior[i] / sum)})
	}
	m.Tests = append(m.Tests, Test{FaultTest: &specs.FaultTest{ID: "complaint"}, Answers: 1})
	m.table = append(m.table, rows{bands: 1, band: []float64{1}})
	m.rows = append(m.rows, make([]int32, faults)...)
	for t := range tests {
		bands := 2 + r.IntN(3)
		x := rows{bands: bands}
		// A test tells some faults from the rest: one row for those, another for
		// the others, a row of its own for one.
		for range 3 {
			row := make([]float64, bands)
			at := r.IntN(bands)
			for k := range row {
				row[k] = 0.02 + 0.12*r.Float64()
				if k == at {
					row[k] += 0.8
				}
			}
			x.band = append(x.band, normalised(row)...)
		}
		share := 0.2 + 0.4*r.Float64()
		for range faults {
			switch u := r.Float64(); {
			case u < share:
				m.rows = append(m.rows, 1)
			case u < share+0.15:
				m.rows = append(m.rows, 2)
			default:
				m.rows = append(m.rows, 0)
			}
		}
		m.table = append(m.table, x)
		m.Tests = append(m.Tests, Test{FaultTest: &specs.FaultTest{ID: fmt.Sprint("t", t), Minutes: units.Minutes(1 + 11*r.Float64())}, Answers: bands})
	}
	return m
}

// lattice is every set of answers to a small model: state s has, in base
// bands+1, for each test 0 where it was not asked, else the answer plus one.
type lattice struct {
	m     *Model
	tests int
	// value is the least expected cost from each state on, NaN where not yet
	// worked out.
	value map[string]float64
}

// beliefs are the chances of the faults times that of the answers so far.
func (l *lattice) optimum(key []byte, w []float64) float64 {
	if v, ok := l.value[string(key)]; ok {
		return v
	}
	m := l.m
	total := 0.0
	for _, x := range w {
		total += x
	}
	best := math.Inf(1)
	for i := range m.Cures {
		best = min(best, m.Cures[i].Price.Minutes()*(1-w[i]/total))
	}
	n := len(m.atoms)
	for t := 1; t <= l.tests; t++ {
		if key[t-1] != 0 {
			continue
		}
		cost := m.Tests[t].Minutes.Minutes()
		if cost >= best {
			continue
		}
		r := &m.table[t]
		for k := range r.bands {
			next := make([]float64, len(w))
			sum := 0.0
			for i := range w {
				next[i] = w[i] * r.band[int(m.rows[t*n+i])*r.bands+k]
				sum += next[i]
			}
			key[t-1] = byte(k + 1)
			cost += sum / total * l.optimum(key, next)
			key[t-1] = 0
		}
		best = min(best, cost)
	}
	l.value[string(key)] = best
	return best
}

// costOf is the expected cost of what the engine does.
func costOf(m *Model, set Setting) float64 {
	c := New(m, set)
	memo := map[string]float64{}
	var from func(key []byte) float64
	from = func(key []byte) float64 {
		if v, ok := memo[string(key)]; ok {
			return v
		}
		// The same answers in any order are the same case.
		c.clear()
		c.update()
		for t, k := range key {
			if k != 0 {
				c.tell(Answer{Test: t + 1, Look: int(k) - 1}, observation{band: int(k) - 1})
			}
		}
		s := c.Next()
		if s.Kind == Name {
			v := m.Cures[s.Cure].Price.Minutes() * (1 - c.cures[s.Cure])
			memo[string(key)] = v
			return v
		}
		t := s.Test
		r := &m.table[t]
		p := make([]float64, r.bands)
		for i, w := range c.w {
			for k := range p {
				p[k] += w * r.band[m.row(t, i)*r.bands+k]
			}
		}
		cost := m.Tests[t].Minutes.Minutes()
		for k := range p {
			if p[k] <= 0 {
				continue
			}
			next := slices.Clone(key)
			next[t-1] = byte(k + 1)
			cost += p[k] * from(next)
		}
		memo[string(key)] = cost
		return cost
	}
	return from(make([]byte, len(m.Tests)-1))
}

// TestOptimum compares the engine with the best of all policies, worked out by
// dynamic programming over every set of answers. The prices are fixed in the
// models; k is 1, as prices stand.
func TestOptimum(t *testing.T) {
	cases := 6
	if os.Getenv("GAPBOOK_CALLERS") != "" {
		cases = 48
	}
	settings := []struct {
		name        string
		set         Setting
		mean, worst float64
	}{
		{"most told a minute, k 1", Setting{Patience: 1, noSlips: true}, 0.025, 0.10},
		{"the same, stopped by playing it through", Setting{Patience: 1, Rollout: 1, noSlips: true}, 0.02, 0.08},
		{"eight tests played through", Setting{Patience: 1, Rollout: 8, noSlips: true}, 0.005, 0.03},
	}
	over := make([][]float64, len(settings))
	for i := range over {
		over[i] = make([]float64, cases)
	}
	best := make([]float64, cases)
	var wait sync.WaitGroup
	room := make(chan bool, 2)
	for i := range cases {
		wait.Go(func() {
			room <- true
			defer func() { <-room }()
			m := smallModel(rand.New(rand.NewPCG(uint64(i), 5)), 8, 8)
			l := &lattice{m: m, tests: 8, value: map[string]float64{}}
			w := make([]float64, len(m.atoms))
			for k := range w {
				w[k] = math.Exp(m.atoms[k].log)
			}
			best[i] = l.optimum(make([]byte, 8), w)
			for s := range settings {
				over[s][i] = costOf(m, settings[s].set)/best[i] - 1
			}
		})
	}
	wait.Wait()
	sum := 0.0
	for _, b := range best {
		sum += b / float64(cases)
	}
	t.Logf("%d cases, optimum %.1f min on the mean", cases, sum)
	for s, x := range settings {
		mean, worst := 0.0, 0.0
		var list strings.Builder
		for _, o := range over[s] {
			mean += o / float64(cases)
			worst = max(worst, o)
			fmt.Fprintf(&list, " %.1f", 100*o)
			if o < -1e-9 {
				t.Errorf("%s beats the optimum by %g: the optimum is wrong", x.name, -o)
			}
		}
		t.Logf("%s: mean %.2f %% over, worst %.1f %% [%s]", x.name, 100*mean, 100*worst, list.String())
		if mean > x.mean || worst > x.worst {
			t.Errorf("%s: mean %.2f %%, worst %.1f %% over the optimum, want at most %.2f and %.1f", x.name, 100*mean, 100*worst, 100*x.mean, 100*x.worst)
		}
	}
}
