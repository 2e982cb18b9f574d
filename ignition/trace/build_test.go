package trace

import (
	"math"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/specs"
)

// TestBuildEveryKind holds what the engine relies on: priors and rows add up,
// every cause has an atom, every test tells something.
func TestBuildEveryKind(t *testing.T) {
	book := specs.Builtin()
	for _, s := range ignition.Systems() {
		m, err := Build(book, Facts{System: s})
		if err != nil {
			t.Error(err)
			continue
		}
		sum := 0.0
		of := make([]bool, len(m.Causes))
		for _, a := range m.atoms {
			sum += math.Exp(a.log)
			of[a.a] = true
		}
		if math.Abs(sum-1) > 1e-12 {
			t.Errorf("%s: priors add up to %v", s, sum)
		}
		for i, ok := range of {
			if !ok {
				t.Errorf("%s: %s has no atom", s, m.Causes[i].ID)
			}
		}
		for i, r := range m.table {
			n := len(r.band) / r.bands
			if n < 2 {
				t.Errorf("%s: %s has one row only: it tells nothing", s, m.Tests[i].ID)
			}
			for row := range n {
				sum := 0.0
				for _, p := range r.band[row*r.bands : (row+1)*r.bands] {
					if !(p > 0 && p <= 1) {
						t.Fatalf("%s: %s: a chance of %v", s, m.Tests[i].ID, p)
					}
					sum += p
				}
				if math.Abs(sum-1) > 1e-12 {
					t.Errorf("%s: %s: answers add up to %v", s, m.Tests[i].ID, sum)
				}
				if m.Tests[i].Reading {
					if all := r.between(row, math.Inf(-1), math.Inf(1)); math.Abs(all-1) > 1e-9 {
						t.Errorf("%s: %s: a density of %v", s, m.Tests[i].ID, all)
					}
				}
			}
		}
		for a := range m.atoms {
			for i := range m.Tests {
				if row := m.row(i, a); row < 0 || row >= len(m.table[i].band)/m.table[i].bands {
					t.Fatalf("%s: %s, atom %d: row %d", s, m.Tests[i].ID, a, row)
				}
			}
		}
		if len(m.atoms) > 1400 {
			t.Errorf("%s: %d atoms", s, len(m.atoms))
		}
	}
}

func BenchmarkBuild(b *testing.B) {
	book := specs.Builtin()
	book.Faults()
	for b.Loop() {
		if _, err := Build(book, Facts{System: ignition.BatteryPoints}); err != nil {
			b.Fatal(err)
		}
	}
}
