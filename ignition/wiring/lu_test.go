package wiring

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The elimination agrees with a general LU decomposition of the same nodal
// equations, where the spread of resistances leaves that its digits.
func TestAgreesWithLU(t *testing.T) {
	rng := rand.New(rand.NewPCG(41, 43))
	var g grid
	for round := range 500 {
		n := 2 + rng.IntN(40)
		net := randomNetwork(rng, n)
		a, b := mat.NewDense(n-1, n-1, nil), mat.NewVecDense(n-1, nil)
		add := func(i, j int, x float64) {
			if i > 0 && j > 0 {
				a.Set(i-1, j-1, a.At(i-1, j-1)+x)
			}
		}
		for i := range net {
			net[i].r = min(max(net[i].r, 0.1), 1e3)
			s := 1 / net[i].r
			p, q := net[i].a, net[i].b
			add(p, p, s)
			add(q, q, s)
			add(p, q, -s)
			add(q, p, -s)
			for k, sign := range map[int]float64{p: 1, q: -1} {
				if k > 0 {
					b.SetVec(k-1, b.AtVec(k-1)+sign*s*net[i].e)
				}
			}
		}
		var x mat.VecDense
		if err := x.SolveVec(a, b); err != nil {
			t.Fatal(err)
		}
		if err := g.solve(n, 0, net, nil); err != nil {
			t.Fatal(err)
		}
		for k := 1; k < n; k++ {
			if d := math.Abs(g.volts[k] - x.AtVec(k-1)); d > 1e-9*(1+math.Abs(g.volts[k])) {
				t.Fatalf("round %d: node %d at %g V, by LU %g V", round, k, g.volts[k], x.AtVec(k-1))
			}
		}
	}
}
