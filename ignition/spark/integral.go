package spark

// integral returns ∫ e^{st} dt from 0 to T for the complex s = a+bi, where
// er + i ei = e^{sT}. Near s T = 0 it sums the series, where the closed form
// would cancel.
func integral(a, b, er, ei, T float64) (re, im float64) {
	x, y := a*T, b*T
	if x*x+y*y > 0.25 {
		return divide(er-1, ei, a, b)
	}
	// T Σ (sT)^k/(k+1)!
	pr, pi := 1.0, 0.0
	re, im = 1, 0
	for k := 2; k <= 16; k++ {
		f := 1 / float64(k)
		pr, pi = (pr*x-pi*y)*f, (pr*y+pi*x)*f
		re += pr
		im += pi
	}
	return re * T, im * T
}

// area is the integral of the wave from 0 to the instant p. The wave must have
// no slope.
func (s *segment) area(w *wave, p *instant) float64 {
	sum := w.constant * p.t
	for k := range s.m {
		re, im := integral(s.re[k], s.im[k], p.er[k], p.ei[k], p.t)
		sum += w.re[k]*re - w.im[k]*im
	}
	return sum
}

// areaProduct is the integral of w u from 0 to the instant p, in closed form:
// Re(a) Re(b) = Re(a b + a b*)/2 for every two modes.
func (s *segment) areaProduct(w, u *wave, p *instant) float64 {
	sum := w.constant * u.constant * p.t
	for k := range s.m {
		re, im := integral(s.re[k], s.im[k], p.er[k], p.ei[k], p.t)
		sum += w.constant*(u.re[k]*re-u.im[k]*im) + u.constant*(w.re[k]*re-w.im[k]*im)
	}
	for j := range s.m {
		for k := range s.m {
			a, b := w.re[j], w.im[j]
			c, d := u.re[k], u.im[k]
			if (a == 0 && b == 0) || (c == 0 && d == 0) {
				continue
			}
			er, ei := p.er[j]*p.er[k]-p.ei[j]*p.ei[k], p.er[j]*p.ei[k]+p.ei[j]*p.er[k]
			re, im := integral(s.re[j]+s.re[k], s.im[j]+s.im[k], er, ei, p.t)
			if s.im[j] == 0 && s.im[k] == 0 {
				sum += a * c * re
				continue
			}
			sum += ((a*c-b*d)*re - (a*d+b*c)*im) / 2
			er, ei = p.er[j]*p.er[k]+p.ei[j]*p.ei[k], p.ei[j]*p.er[k]-p.er[j]*p.ei[k]
			re, im = integral(s.re[j]+s.re[k], s.im[j]-s.im[k], er, ei, p.t)
			sum += ((a*c+b*d)*re - (b*c-a*d)*im) / 2
		}
	}
	return sum
}

// areaSquare is the integral of w² from 0 to the instant p: areaProduct of w
// with itself at half the cost.
func (s *segment) areaSquare(w *wave, p *instant) float64 {
	sum := w.constant * w.constant * p.t
	for j := range s.m {
		a, b := w.re[j], w.im[j]
		if a == 0 && b == 0 {
			continue
		}
		re, im := integral(s.re[j], s.im[j], p.er[j], p.ei[j], p.t)
		sum += 2 * w.constant * (a*re - b*im)
		for k := j; k < s.m; k++ {
			c, d := w.re[k], w.im[k]
			f := 1.0 // twice a half
			if k == j {
				f = 0.5
			}
			er, ei := p.er[j]*p.er[k]-p.ei[j]*p.ei[k], p.er[j]*p.ei[k]+p.ei[j]*p.er[k]
			re, im := integral(s.re[j]+s.re[k], s.im[j]+s.im[k], er, ei, p.t)
			if s.im[j] == 0 && s.im[k] == 0 {
				sum += 2 * f * a * c * re
				continue
			}
			sum += f * ((a*c-b*d)*re - (a*d+b*c)*im)
			er, ei = p.er[j]*p.er[k]+p.ei[j]*p.ei[k], p.ei[j]*p.er[k]-p.er[j]*p.ei[k]
			re, im = integral(s.re[j]+s.re[k], s.im[j]-s.im[k], er, ei, p.t)
			sum += f * ((a*c+b*d)*re - (b*c-a*d)*im)
		}
	}
	return sum
}
