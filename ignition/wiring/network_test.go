package wiring

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// randomNetwork makes a network of n nodes with resistances from a milliohm to
// ten megohms, sources in some branches and ideal joints in a few.
func randomNetwork(rng *rand.Rand, n int) []branch {
	var out []branch
	add := func(a, b int) {
		br := branch{a: a, b: b, r: math.Pow(10, rng.Float64()*10-3)}
		switch rng.IntN(6) {
		case 0:
			br.e = rng.Float64()*24 - 12
		case 1:
			br.r = math.Pow(10, rng.Float64()*2-3)
		}
		out = append(out, br)
	}
	for i := 1; i < n; i++ {
		add(i, rng.IntN(i))
	}
	for range n / 2 {
		a, b := rng.IntN(n), rng.IntN(n)
		if a != b {
			add(a, b)
		}
	}
	for range n / 8 {
		a, b := rng.IntN(n), rng.IntN(n)
		if a != b {
			out = append(out, branch{a: a, b: b})
		}
	}
	slices.SortStableFunc(out, func(a, b branch) int { return cmp.Compare(a.r, b.r) })
	return out
}

// Kirchhoff's first law at every node, and power put in equal to power turned
// into heat: a second derivation that the solver does not use.
func TestKirchhoffAndPower(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	var g grid
	for round := range 2000 {
		n := 2 + rng.IntN(40)
		net := randomNetwork(rng, n)
		if err := g.solve(n, rng.IntN(n), net, nil); err != nil {
			t.Fatal(err)
		}
		residual, largest := make([]float64, n), 0.0
		in, heat, power := 0.0, 0.0, 0.0
		for i, br := range net {
			x := g.amperes[i]
			residual[br.a] += x
			residual[br.b] -= x
			largest = max(largest, math.Abs(x))
			if br.r >= noResistance {
				if g.group[br.a] != g.group[br.b] {
					t.Fatalf("round %d: branch %d joins two components", round, i)
				}
				// Ohm's law, which the currents on the tree do not come from.
				if off := g.volts[br.a] - g.volts[br.b] - br.e - x*br.r; math.Abs(off) > 1e-9*(1+math.Abs(br.e)) {
					t.Fatalf("round %d: branch %d of %g Ω is %g V off", round, i, br.r, off)
				}
				in -= br.e * x
				heat += br.r * x * x
				power = max(power, math.Abs(br.e*x), br.r*x*x)
			}
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("round %d: branch %d carries %v", round, i, x)
			}
		}
		for k, r := range residual {
			if math.Abs(r) > 1e-9*largest {
				t.Fatalf("round %d: %g A are left over at node %d, the largest current is %g A", round, r, k, largest)
			}
		}
		if math.Abs(in-heat) > 1e-9*power {
			t.Fatalf("round %d: %g W in and %g W of heat, largest %g W", round, in, heat, power)
		}
	}
}

// A current driven into node i lifts node j as much as one driven into j lifts
// i (reciprocity), and sources act as the sum of what each does alone
// (superposition).
func TestReciprocityAndSuperposition(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	var g grid
	for round := range 500 {
		n := 3 + rng.IntN(30)
		net := randomNetwork(rng, n)
		// Superposition.
		if err := g.solve(n, 0, net, nil); err != nil {
			t.Fatal(err)
		}
		whole := append([]float64(nil), g.volts...)
		sum, size := make([]float64, n), make([]float64, n)
		for i, br := range net {
			if br.e == 0 {
				continue
			}
			alone := append([]branch(nil), net...)
			for j := range alone {
				if j != i {
					alone[j].e = 0
				}
			}
			if err := g.solve(n, 0, alone, nil); err != nil {
				t.Fatal(err)
			}
			for k, v := range g.volts {
				sum[k] += v
				size[k] += math.Abs(v)
			}
		}
		for k := range whole {
			if math.Abs(whole[k]-sum[k]) > 1e-9*(1+size[k]) {
				t.Fatalf("round %d: node %d is at %g V, the sources one by one give %g V", round, k, whole[k], sum[k])
			}
		}
		// Reciprocity.
		for i := range net {
			net[i].e = 0
		}
		lift := func(from, at int) float64 {
			inject := make([]float64, n)
			inject[from] = 1
			inject[0] = -1
			if err := g.solve(n, 0, net, inject); err != nil {
				t.Fatal(err)
			}
			return g.volts[at]
		}
		i, j := 1+rng.IntN(n-1), 1+rng.IntN(n-1)
		if a, b := lift(i, j), lift(j, i); math.Abs(a-b) > 1e-9*max(math.Abs(a), math.Abs(b)) {
			t.Fatalf("round %d: %g Ω from %d to %d, %g Ω back", round, a, i, j, b)
		}
	}
}

// Sources without resistance: a chain adds up, a loop that contradicts itself
// is an error, one that agrees is not.
func TestIdealSources(t *testing.T) {
	var g grid
	chain := []branch{{a: 1, b: 0, e: 6}, {a: 2, b: 1, e: 6}, {a: 2, b: 3, r: 4}, {a: 3, b: 0, r: 2}}
	if err := g.solve(4, 0, chain, nil); err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{0, 6, 12, 4} {
		if math.Abs(g.volts[i]-want) > 1e-12 {
			t.Errorf("node %d is at %g V, not %g V", i, g.volts[i], want)
		}
	}
	if math.Abs(g.amperes[0]+2) > 1e-12 || math.Abs(g.amperes[1]+2) > 1e-12 {
		t.Errorf("the sources carry %v, not -2 A", g.amperes[:2])
	}
	if err := g.solve(4, 0, append(chain, branch{a: 2, b: 0, e: 12}), nil); err != nil {
		t.Errorf("a loop that agrees: %v", err)
	}
	if err := g.solve(4, 0, append(chain, branch{a: 2, b: 0, e: 11}), nil); err == nil {
		t.Error("a loop that contradicts itself was solved")
	}
}

// A node that nothing ties to the reference is in a component of its own.
func TestFloating(t *testing.T) {
	var g grid
	net := []branch{{a: 1, b: 0, r: 1, e: 12}, {a: 2, b: 3, r: 1, e: 6}, {a: 3, b: 2, r: 2}}
	if err := g.solve(5, 0, net, nil); err != nil {
		t.Fatal(err)
	}
	if g.group[1] != 0 || g.group[2] == 0 || g.group[4] == 0 || g.group[2] == g.group[4] || g.group[2] != g.group[3] {
		t.Errorf("components %v", g.group)
	}
	if math.Abs(g.amperes[1]+2) > 1e-12 {
		t.Errorf("the floating loop carries %g A, not -2 A", g.amperes[1])
	}
}
