package spark

import "math"

// A phase is one setting of all switches, taken apart into its modes: with
// x = z - rest, x(t) = Σ Re(γ_j v_j e^{λ_j t}).
type phase struct {
	ready    bool
	n        int
	re, im   vector // λ; a pair stands as two columns, positive im first
	v        matrix // columns as eigen returns them, each of length 1
	lu       matrix // v = P⁻¹ L U
	pivot    [maxStates]int
	fastest  float64
	singular bool
}

// worstPivot is how near to singular the modes may be. Two modes that fall
// together (critical damping) make them so; a loop resistance changed by one
// part in ten million parts them again.
const worstPivot = 1e-8

// solve fills the phase for a setting. It reports false where no modes were
// found, which no circuit within the package's ranges is known to do.
func (p *phase) solve(c *circuit, set setting) bool {
	if p.ready {
		return !p.singular
	}
	p.ready = true
	p.n = c.n
	for try := range 4 {
		var a matrix
		c.assemble(set, &a)
		if try > 0 {
			d := math.Pow(10, float64(try-1)) * 1e-7
			for i := range c.n {
				a[i][i] *= 1 + d*float64(i+1)
			}
		}
		// Fast states first: QR then keeps the digits of the slow modes, which
		// would drown in the rounding of the fast ones the other way round.
		var order [maxStates]int
		for i := range c.n {
			j := i
			for ; j > 0 && math.Abs(a[i][i]) > math.Abs(a[order[j-1]][order[j-1]]); j-- {
				order[j] = order[j-1]
			}
			order[j] = i
		}
		var graded, v matrix
		for i := range c.n {
			for j := range c.n {
				graded[i][j] = a[order[i]][order[j]]
			}
		}
		if !eigen(c.n, &graded, &v, &p.re, &p.im) {
			continue
		}
		for i := range c.n {
			p.v[order[i]] = v[i]
		}
		if p.factor() {
			return true
		}
	}
	p.singular = true
	return false
}

// factor scales the columns to length 1 and decomposes v. It reports false
// where the columns are too nearly dependent or not finite.
func (p *phase) factor() bool {
	n := p.n
	p.fastest = 0
	for j := 0; j < n; j++ {
		two := p.im[j] > 0
		sum := 0.0
		for i := range n {
			sum += p.v[i][j] * p.v[i][j]
			if two {
				sum += p.v[i][j+1] * p.v[i][j+1]
			}
		}
		s := 1 / math.Sqrt(sum)
		if !(s > 0) || math.IsInf(s, 0) {
			return false
		}
		for i := range n {
			p.v[i][j] *= s
			if two {
				p.v[i][j+1] *= s
			}
		}
		p.fastest = max(p.fastest, math.Hypot(p.re[j], p.im[j]))
		if p.re[j] > 0 {
			// A passive circuit cannot grow: this is rounding of a mode that
			// hardly decays.
			p.re[j] = 0
			if two {
				p.re[j+1] = 0
			}
		}
		if two {
			j++
		}
	}
	p.lu = p.v
	for k := range n {
		best := k
		for i := k + 1; i < n; i++ {
			if math.Abs(p.lu[i][k]) > math.Abs(p.lu[best][k]) {
				best = i
			}
		}
		p.pivot[k] = best
		if best != k {
			p.lu[k], p.lu[best] = p.lu[best], p.lu[k]
		}
		d := p.lu[k][k]
		if !(math.Abs(d) > worstPivot) {
			return false
		}
		for i := k + 1; i < n; i++ {
			m := p.lu[i][k] / d
			p.lu[i][k] = m
			for j := k + 1; j < n; j++ {
				p.lu[i][j] -= m * p.lu[k][j]
			}
		}
	}
	return true
}

// weights solves v g = x.
func (p *phase) weights(x, g *vector) {
	n := p.n
	*g = *x
	for k := range n {
		if b := p.pivot[k]; b != k {
			g[k], g[b] = g[b], g[k]
		}
	}
	for i := 1; i < n; i++ {
		s := g[i]
		for j := range i {
			s -= p.lu[i][j] * g[j]
		}
		g[i] = s
	}
	for i := n - 1; i >= 0; i-- {
		s := g[i]
		for j := i + 1; j < n; j++ {
			s -= p.lu[i][j] * g[j]
		}
		g[i] = s / p.lu[i][i]
	}
}
