package spark

import "math"

// Events and peaks are found by bounding. On an interval of length h from a to
// b a wave lies below
//
//	the greatest value of the cubic through both ends with both slopes
//	+ h⁴/384 Σ |c| |λ|⁴ e^{re a}     (Hermite interpolation error)
//
// for the modes that are slow on that scale; a mode that is fast there adds its
// larger end value if it only decays and its envelope if it rings. An interval
// whose bound stays below the threshold holds no event, for certain; one whose
// bound does not is cut until it does or until the wave is monotonic on it.

// maxWaves is the most conditions that are watched at once.
const maxWaves = 5

// slowBelow parts slow from fast modes by |λ| h.
const slowBelow = 2.5

// upper is an upper bound of the wave between a and b.
func (s *segment) upper(w *wave, a, b *instant) float64 {
	h := b.t - a.t
	va, da := w.constant+w.slope*a.t, w.slope
	vb, db := w.constant+w.slope*b.t, w.slope
	curve, extra := 0.0, 0.0
	for k := range s.m {
		c, d := w.re[k], w.im[k]
		if x := s.size[k] * h; x < slowBelow {
			e, f := w.dre[k], w.dim[k]
			va += c*a.er[k] - d*a.ei[k]
			vb += c*b.er[k] - d*b.ei[k]
			da += e*a.er[k] - f*a.ei[k]
			db += e*b.er[k] - f*b.ei[k]
			x *= x
			curve += w.amp[k] * a.envelop[k] * x * x
		} else if s.im[k] > 0 {
			extra += w.amp[k] * a.envelop[k]
		} else {
			extra += max(c*a.er[k], c*b.er[k])
		}
	}
	return cubicMax(va, vb, da*h, db*h) + curve/384 + extra
}

// cubicMax is the greatest value on [0, 1] of the cubic with ends va, vb and
// slopes da, db there.
func cubicMax(va, vb, da, db float64) float64 {
	top := max(va, vb)
	if va+da/3 <= top && vb-db/3 <= top { // Bézier hull
		return top
	}
	// p' = 3 c3 x² + 2 c2 x + da
	c3 := 2*(va-vb) + da + db
	c2 := 3*(vb-va) - 2*da - db
	disc := c2*c2 - 3*c3*da
	if disc < 0 {
		return top
	}
	root := math.Sqrt(disc)
	// The maximum is where p'' < 0: x = -da/(c2 - root) in a form that does
	// not cancel.
	var x float64
	if c2 > 0 {
		x = (-c2 - root) / (3 * c3)
	} else {
		x = da / (-c2 + root)
	}
	if x > 0 && x < 1 {
		return max(top, va+x*(da+x*(c2+x*c3)))
	}
	return top
}

// ceiling is an upper bound of the wave from a for ever after, for waves
// whose slope is not positive.
func (s *segment) ceiling(w *wave, a *instant) float64 {
	y := w.constant + w.slope*a.t
	for k := range s.m {
		if s.im[k] > 0 {
			y += w.amp[k] * a.envelop[k]
		} else if v := w.re[k] * a.er[k]; v > 0 {
			y += v
		}
	}
	return y
}

// bend bounds the second derivative of the wave from a on.
func (s *segment) bend(w *wave, a *instant) float64 {
	y := 0.0
	for k := range s.m {
		y += w.amp[k] * s.size[k] * s.size[k] * a.envelop[k]
	}
	return y
}

// firstStep is a step at which the fastest ring that counts for the wave is
// still slow. What only decays is bounded at any step.
func (s *segment) firstStep(w *wave, span float64) float64 {
	most, fast := 0.0, 1/span
	for k := range s.m {
		most = max(most, w.amp[k])
	}
	for k := range s.m {
		if w.amp[k] > 1e-6*most && s.im[k] > 0 {
			fast = max(fast, s.size[k])
		}
	}
	return min(span, 2.4/fast)
}

// crossing finds the first time in [0, span] at which one of the first count
// waves reaches nought from below. It returns which one, or -1 and span.
// A wave that starts at or above nought counts as reached at once, unless it
// starts at nought to within rounding and falls.
func (s *segment) crossing(waves *[maxWaves]wave, count int, span float64) (t float64, which int) {
	var p, q instant
	a, b := &p, &q
	s.at(0, a)
	h := span
	// A wave that leaves nought downwards stays below it until sure, for its
	// slope cannot turn faster than bend allows.
	var sure [maxWaves]float64
	for i := range count {
		w := &waves[i]
		y, d := w.both(s.m, a)
		small := 1e-9 * s.ceilingSize(w)
		if y >= 0 && !(d < 0 && y <= small) {
			return 0, i
		}
		h = min(h, s.firstStep(w, span))
		if d < 0 && y > -small {
			if bend := s.bend(w, a); bend > 0 {
				sure[i] = -d / bend
				h = min(h, sure[i])
			}
		}
	}
	least := 1e-13 * span
	for a.t < span {
		clear := true
		for i := range count {
			if s.ceiling(&waves[i], a) >= 0 {
				clear = false
				break
			}
		}
		if clear {
			return span, -1
		}
		if a.t+h > span || span-a.t-h < least {
			h = span - a.t
		}
		s.at(a.t+h, b)
		found, at := -1, b.t
		cut := false
		for i := range count {
			w := &waves[i]
			if b.t <= sure[i] || s.upper(w, a, b) < 0 {
				continue
			}
			vb := w.value(s.m, b)
			if vb < 0 {
				if h > least {
					cut = true
					break
				}
				continue
			}
			va := w.value(s.m, a)
			if h > least && h*h*s.bend(w, a) > vb-va {
				cut = true
				break
			}
			if x := s.root(w, a, b); found < 0 || x < at {
				found, at = i, x
			}
		}
		switch {
		case cut:
			h *= 0.35
		case found >= 0:
			return at, found
		default:
			a, b = b, a
			h *= 3.5
		}
	}
	return span, -1
}

// ceilingSize is the size of the wave's terms, to judge rounding by.
func (s *segment) ceilingSize(w *wave) float64 {
	y := math.Abs(w.constant)
	for k := range s.m {
		y += w.amp[k]
	}
	return y
}

// root finds where the wave passes nought upwards between a and b, by Newton's
// method kept inside a shrinking bracket.
func (s *segment) root(w *wave, from, to *instant) float64 {
	var p instant
	a, b := from.t, to.t
	ya, da := w.both(s.m, from)
	yb, db := w.both(s.m, to)
	t := a + (b-a)*cubicRoot(ya, yb, da*(b-a), db*(b-a))
	for range 100 {
		s.at(t, &p)
		y, d := w.both(s.m, &p)
		if y >= 0 {
			b = t
		} else {
			a = t
		}
		next := t - y/d
		if !(next > a && next < b) {
			next = a + (b-a)/2
		}
		// Newton squares the error: after a step of 1e-10 it is rounding.
		if math.Abs(next-t) <= 1e-10*next+1e-21 || b-a <= 1e-15*b {
			return next
		}
		t = next
	}
	return t
}

// cubicRoot is about where the cubic with ends ya <= 0, yb >= 0 and slopes da, db
// there passes nought on [0, 1]: a place to start from.
func cubicRoot(ya, yb, da, db float64) float64 {
	if !(yb > ya) {
		return 1
	}
	x := -ya / (yb - ya)
	c3 := 2*(ya-yb) + da + db
	c2 := 3*(yb-ya) - 2*da - db
	for range 4 {
		y := ya + x*(da+x*(c2+x*c3))
		next := x - y/(da+x*(2*c2+x*3*c3))
		if !(next >= 0 && next <= 1) {
			break
		}
		x = next
	}
	return x
}

// top finds where the slope of the wave passes nought downwards between a and b.
// t is where to start.
func (s *segment) top(w *wave, a, b, t float64) (float64, float64) {
	var p instant
	if !(t > a && t < b) {
		t = a + (b-a)/2
	}
	for range 40 {
		s.at(t, &p)
		_, d := w.both(s.m, &p)
		if d > 0 {
			a = t
		} else {
			b = t
		}
		next := t - d/s.second(w, &p)
		if !(next > a && next < b) {
			next = a + (b-a)/2
		}
		step := math.Abs(next - t)
		t = next
		// The value is flat here: an error of 1e-8 in time is 1e-16 in it.
		if step <= 1e-9*t+1e-18 {
			break
		}
	}
	s.at(t, &p)
	return t, w.value(s.m, &p)
}

// peak finds the greatest value of the wave in [0, span] that exceeds best,
// and when. Where nothing exceeds it, best and when come back.
func (s *segment) peak(w *wave, span, best, when float64) (float64, float64) {
	// A second peak that beats the first by less than this is not told apart.
	const tie = 1e-8
	var p, q instant
	a, b := &p, &q
	s.at(0, a)
	ya, da := w.both(s.m, a)
	if ya > best {
		best, when = ya, 0
	}
	h := s.firstStep(w, span)
	least := 1e-13 * span
	for a.t < span {
		if s.ceiling(w, a) <= best {
			break
		}
		if a.t+h > span || span-a.t-h < least {
			h = span - a.t
		}
		s.at(a.t+h, b)
		u := s.upper(w, a, b)
		if u > best+tie*math.Abs(best) && h > least {
			yb, db := w.both(s.m, b)
			if yb > best {
				best, when = yb, b.t
			}
			solved := when > a.t && when < b.t // this peak is known already
			if !solved && da > 0 && db < 0 && s.slowAll(w, a, h) {
				if t, y := s.top(w, a.t, b.t, a.t+h*da/(da-db)); y > best {
					best, when = y, t
				}
			}
			if u > best+tie*math.Abs(best) {
				h *= 0.35
				continue
			}
			a, b = b, a
			ya, da = yb, db
			h *= 3.5
			continue
		}
		a, b = b, a
		_, da = w.both(s.m, a)
		h *= 3.5
	}
	return best, when
}

// slowAll tells whether every mode that counts is slow over h.
func (s *segment) slowAll(w *wave, a *instant, h float64) bool {
	most := 0.0
	for k := range s.m {
		most = max(most, w.amp[k]*a.envelop[k])
	}
	for k := range s.m {
		if w.amp[k]*a.envelop[k] > 1e-6*most && s.size[k]*h > 1 {
			return false
		}
	}
	return true
}
