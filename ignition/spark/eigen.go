package spark

import "math"

// eigen solves the real eigenproblem of an n x n matrix in fixed arrays, so
// that a spark needs no memory of its own. It is the classic pair orthes and
// hqr2 of the public-domain EISPACK collection: reduction to Hessenberg form,
// shifted QR, back-substitution. On return re and im hold the eigenvalues,
// conjugate pairs side by side with the positive imaginary part first, and v
// the vectors: column j for a real value, columns j and j+1 as real and
// imaginary part for a pair. It reports false where QR does not settle.
func eigen(n int, h, v *matrix, re, im *vector) bool {
	hessenberg(n, h, v)
	if !schur(n, h, v, re, im) {
		return false
	}
	backSubstitute(n, h, v, re, im)
	return true
}

// hessenberg reduces h by Householder reflections and collects them in v.
func hessenberg(n int, h, v *matrix) {
	var ort vector
	high := n - 1
	for m := 1; m <= high-1; m++ {
		scale := 0.0
		for i := m; i <= high; i++ {
			scale += math.Abs(h[i][m-1])
		}
		if scale == 0 {
			continue
		}
		sum := 0.0
		for i := high; i >= m; i-- {
			ort[i] = h[i][m-1] / scale
			sum += ort[i] * ort[i]
		}
		g := math.Sqrt(sum)
		if ort[m] > 0 {
			g = -g
		}
		sum -= ort[m] * g
		ort[m] -= g
		for j := m; j < n; j++ {
			f := 0.0
			for i := high; i >= m; i-- {
				f += ort[i] * h[i][j]
			}
			f /= sum
			for i := m; i <= high; i++ {
				h[i][j] -= f * ort[i]
			}
		}
		for i := 0; i <= high; i++ {
			f := 0.0
			for j := high; j >= m; j-- {
				f += ort[j] * h[i][j]
			}
			f /= sum
			for j := m; j <= high; j++ {
				h[i][j] -= f * ort[j]
			}
		}
		ort[m] *= scale
		h[m][m-1] = scale * g
	}
	for i := range n {
		v[i] = vector{}
		v[i][i] = 1
	}
	for m := high - 1; m >= 1; m-- {
		if h[m][m-1] == 0 {
			continue
		}
		for i := m + 1; i <= high; i++ {
			ort[i] = h[i][m-1]
		}
		for j := m; j <= high; j++ {
			g := 0.0
			for i := m; i <= high; i++ {
				g += ort[i] * v[i][j]
			}
			g = (g / ort[m]) / h[m][m-1]
			for i := m; i <= high; i++ {
				v[i][j] += g * ort[i]
			}
		}
	}
}

const epsilon = 0x1p-52

// schur brings h to real Schur form.
func schur(nn int, h, v *matrix, d, e *vector) bool {
	n := nn - 1
	var shift, p, q, r, s, z, norm float64
	for i := range nn {
		for j := max(i-1, 0); j < nn; j++ {
			norm += math.Abs(h[i][j])
		}
	}
	iter, total := 0, 0
	for n >= 0 {
		l := n
		for l > 0 {
			s = math.Abs(h[l-1][l-1]) + math.Abs(h[l][l])
			if s == 0 {
				s = norm
			}
			if math.Abs(h[l][l-1]) < epsilon*s {
				break
			}
			l--
		}
		switch {
		case l == n: // one root
			h[n][n] += shift
			d[n], e[n] = h[n][n], 0
			n--
			iter = 0
		case l == n-1: // two roots
			w := h[n][n-1] * h[n-1][n]
			p = (h[n-1][n-1] - h[n][n]) / 2
			q = p*p + w
			z = math.Sqrt(math.Abs(q))
			h[n][n] += shift
			h[n-1][n-1] += shift
			x := h[n][n]
			if q >= 0 {
				if p >= 0 {
					z = p + z
				} else {
					z = p - z
				}
				d[n-1] = x + z
				d[n] = d[n-1]
				if z != 0 {
					d[n] = x - w/z
				}
				e[n-1], e[n] = 0, 0
				x = h[n][n-1]
				s = math.Abs(x) + math.Abs(z)
				p, q = x/s, z/s
				r = math.Sqrt(p*p + q*q)
				p /= r
				q /= r
				for j := n - 1; j < nn; j++ {
					z = h[n-1][j]
					h[n-1][j] = q*z + p*h[n][j]
					h[n][j] = q*h[n][j] - p*z
				}
				for i := 0; i <= n; i++ {
					z = h[i][n-1]
					h[i][n-1] = q*z + p*h[i][n]
					h[i][n] = q*h[i][n] - p*z
				}
				for i := range nn {
					z = v[i][n-1]
					v[i][n-1] = q*z + p*v[i][n]
					v[i][n] = q*v[i][n] - p*z
				}
			} else {
				d[n-1], d[n] = x+p, x+p
				e[n-1], e[n] = z, -z
			}
			n -= 2
			iter = 0
		default:
			x := h[n][n]
			y := h[n-1][n-1]
			w := h[n][n-1] * h[n-1][n]
			if iter == 10 || iter == 20 { // exceptional shift
				shift += x
				for i := 0; i <= n; i++ {
					h[i][i] -= x
				}
				s = math.Abs(h[n][n-1]) + math.Abs(h[n-1][n-2])
				x = 0.75 * s
				y = x
				w = -0.4375 * s * s
			}
			iter++
			if total++; total > 60*nn {
				return false
			}
			m := n - 2
			for m >= l {
				z = h[m][m]
				r = x - z
				s = y - z
				p = (r*s-w)/h[m+1][m] + h[m][m+1]
				q = h[m+1][m+1] - z - r - s
				r = h[m+2][m+1]
				s = math.Abs(p) + math.Abs(q) + math.Abs(r)
				p /= s
				q /= s
				r /= s
				if m == l || math.Abs(h[m][m-1])*(math.Abs(q)+math.Abs(r)) <
					epsilon*(math.Abs(p)*(math.Abs(h[m-1][m-1])+math.Abs(z)+math.Abs(h[m+1][m+1]))) {
					break
				}
				m--
			}
			for i := m + 2; i <= n; i++ {
				h[i][i-2] = 0
				if i > m+2 {
					h[i][i-3] = 0
				}
			}
			for k := m; k <= n-1; k++ {
				notLast := k != n-1
				if k != m {
					p = h[k][k-1]
					q = h[k+1][k-1]
					r = 0
					if notLast {
						r = h[k+2][k-1]
					}
					x = math.Abs(p) + math.Abs(q) + math.Abs(r)
					if x == 0 {
						continue
					}
					p /= x
					q /= x
					r /= x
				}
				s = math.Sqrt(p*p + q*q + r*r)
				if p < 0 {
					s = -s
				}
				if s == 0 {
					continue
				}
				if k != m {
					h[k][k-1] = -s * x
				} else if l != m {
					h[k][k-1] = -h[k][k-1]
				}
				p += s
				x = p / s
				y = q / s
				z = r / s
				q /= p
				r /= p
				if notLast {
					for j := k; j < nn; j++ {
						t := h[k][j] + q*h[k+1][j] + r*h[k+2][j]
						h[k+2][j] -= t * z
						h[k][j] -= t * x
						h[k+1][j] -= t * y
					}
					for i := 0; i <= min(n, k+3); i++ {
						t := x*h[i][k] + y*h[i][k+1] + z*h[i][k+2]
						h[i][k+2] -= t * r
						h[i][k] -= t
						h[i][k+1] -= t * q
					}
					for i := range nn {
						t := x*v[i][k] + y*v[i][k+1] + z*v[i][k+2]
						v[i][k+2] -= t * r
						v[i][k] -= t
						v[i][k+1] -= t * q
					}
				} else {
					for j := k; j < nn; j++ {
						t := h[k][j] + q*h[k+1][j]
						h[k][j] -= t * x
						h[k+1][j] -= t * y
					}
					for i := 0; i <= min(n, k+3); i++ {
						t := x*h[i][k] + y*h[i][k+1]
						h[i][k] -= t
						h[i][k+1] -= t * q
					}
					for i := range nn {
						t := x*v[i][k] + y*v[i][k+1]
						v[i][k] -= t
						v[i][k+1] -= t * q
					}
				}
			}
		}
	}
	return true
}

// divide returns (a+bi)/(c+di) without needless overflow.
func divide(a, b, c, d float64) (re, im float64) {
	if math.Abs(c) > math.Abs(d) {
		r := d / c
		t := c + r*d
		return (a + r*b) / t, (b - r*a) / t
	}
	r := c / d
	t := d + r*c
	return (r*a + b) / t, (r*b - a) / t
}

// backSubstitute finds the vectors of the triangular form and turns them back.
func backSubstitute(nn int, h, v *matrix, d, e *vector) {
	var r, s, z, norm float64
	for i := range nn {
		for j := max(i-1, 0); j < nn; j++ {
			norm += math.Abs(h[i][j])
		}
	}
	if norm == 0 {
		return
	}
	for n := nn - 1; n >= 0; n-- {
		p, q := d[n], e[n]
		switch {
		case q == 0: // real vector
			l := n
			h[n][n] = 1
			for i := n - 1; i >= 0; i-- {
				w := h[i][i] - p
				r = 0
				for j := l; j <= n; j++ {
					r += h[i][j] * h[j][n]
				}
				if e[i] < 0 {
					z, s = w, r
					continue
				}
				l = i
				if e[i] == 0 {
					if w == 0 {
						w = epsilon * norm
					}
					h[i][n] = -r / w
				} else {
					x, y := h[i][i+1], h[i+1][i]
					den := (d[i]-p)*(d[i]-p) + e[i]*e[i]
					t := (x*s - z*r) / den
					h[i][n] = t
					if math.Abs(x) > math.Abs(z) {
						h[i+1][n] = (-r - w*t) / x
					} else {
						h[i+1][n] = (-s - y*t) / z
					}
				}
				if t := math.Abs(h[i][n]); epsilon*t*t > 1 {
					for j := i; j <= n; j++ {
						h[j][n] /= t
					}
				}
			}
		case q < 0: // last vector of a pair, as two columns
			l := n - 1
			if math.Abs(h[n][n-1]) > math.Abs(h[n-1][n]) {
				h[n-1][n-1] = q / h[n][n-1]
				h[n-1][n] = -(h[n][n] - p) / h[n][n-1]
			} else {
				h[n-1][n-1], h[n-1][n] = divide(0, -h[n-1][n], h[n-1][n-1]-p, q)
			}
			h[n][n-1], h[n][n] = 0, 1
			for i := n - 2; i >= 0; i-- {
				ra, sa := 0.0, 0.0
				for j := l; j <= n; j++ {
					ra += h[i][j] * h[j][n-1]
					sa += h[i][j] * h[j][n]
				}
				w := h[i][i] - p
				if e[i] < 0 {
					z, r, s = w, ra, sa
					continue
				}
				l = i
				if e[i] == 0 {
					h[i][n-1], h[i][n] = divide(-ra, -sa, w, q)
				} else {
					x, y := h[i][i+1], h[i+1][i]
					vr := (d[i]-p)*(d[i]-p) + e[i]*e[i] - q*q
					vi := (d[i] - p) * 2 * q
					if vr == 0 && vi == 0 {
						vr = epsilon * norm * (math.Abs(w) + math.Abs(q) + math.Abs(x) + math.Abs(y) + math.Abs(z))
					}
					h[i][n-1], h[i][n] = divide(x*r-z*ra+q*sa, x*s-z*sa-q*ra, vr, vi)
					if math.Abs(x) > math.Abs(z)+math.Abs(q) {
						h[i+1][n-1] = (-ra - w*h[i][n-1] + q*h[i][n]) / x
						h[i+1][n] = (-sa - w*h[i][n] - q*h[i][n-1]) / x
					} else {
						h[i+1][n-1], h[i+1][n] = divide(-r-y*h[i][n-1], -s-y*h[i][n], z, q)
					}
				}
				if t := max(math.Abs(h[i][n-1]), math.Abs(h[i][n])); epsilon*t*t > 1 {
					for j := i; j <= n; j++ {
						h[j][n-1] /= t
						h[j][n] /= t
					}
				}
			}
		}
	}
	for j := nn - 1; j >= 0; j-- {
		for i := range nn {
			z = 0
			for k := 0; k <= j; k++ {
				z += v[i][k] * h[k][j]
			}
			v[i][j] = z
		}
	}
}
