package spark

import "math"

// maxModes is the most terms of a wave: as many as states, and one for a gap
// that cools.
const maxModes = maxStates + 1

// A segment is a stretch of time in one phase, from the state at its start.
// Time t counts from there.
type segment struct {
	phase *phase
	rest  vector
	m     int // modes; a pair counts as one
	// mode k decays with re, turns with im, and is |λ| fast.
	re, im, size [maxModes]float64
	column       [maxModes]int // of the phase's vectors; -1 for a cooling gap
	gr, gi       [maxModes]float64
}

// begin sets the segment up at state z. The caller has set s.phase: setting it
// here would hide from the compiler that it stays on the stack.
func (s *segment) begin(rest, z *vector) {
	p := s.phase
	s.rest = *rest
	var x, g vector
	for i := range p.n {
		x[i] = z[i] - rest[i]
	}
	p.weights(&x, &g)
	s.m = 0
	for j := 0; j < p.n; j++ {
		k := s.m
		s.column[k] = j
		s.re[k], s.im[k] = p.re[j], p.im[j]
		s.gr[k], s.gi[k] = g[j], 0
		if p.im[j] > 0 {
			s.gi[k] = -g[j+1]
			s.size[k] = math.Hypot(p.re[j], p.im[j])
			j++
		} else {
			s.size[k] = -p.re[j]
		}
		s.m++
	}
}

// A wave is one quantity over a segment: constant + slope t + Σ Re(c e^{λt}).
type wave struct {
	constant, slope float64
	re, im          [maxModes]float64 // c
	dre, dim        [maxModes]float64 // c λ
	amp             [maxModes]float64 // |c|
}

// wave returns the output o over the segment.
func (s *segment) wave(o *output, w *wave) {
	p := s.phase
	w.constant, w.slope = o.apply(&s.rest), 0
	for k := range s.m {
		j := s.column[k]
		if j < 0 {
			w.set(s, k, 0, 0)
			continue
		}
		var yr, yi float64
		if s.im[k] > 0 {
			for i := range p.n {
				yr += o.row[i] * p.v[i][j]
				yi += o.row[i] * p.v[i][j+1]
			}
		} else {
			for i := range p.n {
				yr += o.row[i] * p.v[i][j]
			}
		}
		w.set(s, k, s.gr[k]*yr-s.gi[k]*yi, s.gr[k]*yi+s.gi[k]*yr)
	}
}

func (w *wave) set(s *segment, k int, re, im float64) {
	w.re[k], w.im[k] = re, im
	w.dre[k] = re*s.re[k] - im*s.im[k]
	w.dim[k] = re*s.im[k] + im*s.re[k]
	if im == 0 {
		w.amp[k] = math.Abs(re)
	} else {
		w.amp[k] = math.Sqrt(re*re + im*im)
	}
}

// scale multiplies the wave by f and adds c.
func (w *wave) scale(f, c float64) {
	w.constant = w.constant*f + c
	w.slope *= f
	for k := range w.re {
		w.re[k] *= f
		w.im[k] *= f
		w.dre[k] *= f
		w.dim[k] *= f
		w.amp[k] *= math.Abs(f)
	}
}

// An instant holds e^{λt} of all modes at one time.
type instant struct {
	t       float64
	er, ei  [maxModes]float64
	envelop [maxModes]float64 // |e^{λt}|
}

// at works out the modes at time t.
func (s *segment) at(t float64, p *instant) {
	p.t = t
	for k := range s.m {
		x := s.re[k] * t
		if x < -60 { // less than 1e-26 of what it was
			p.envelop[k], p.er[k], p.ei[k] = 0, 0, 0
			continue
		}
		e := math.Exp(x)
		p.envelop[k] = e
		if s.im[k] > 0 {
			sin, cos := math.Sincos(s.im[k] * t)
			p.er[k], p.ei[k] = e*cos, e*sin
		} else {
			p.er[k], p.ei[k] = e, 0
		}
	}
}

// value is the wave at an instant.
func (w *wave) value(m int, p *instant) float64 {
	y := w.constant + w.slope*p.t
	for k := range m {
		y += w.re[k]*p.er[k] - w.im[k]*p.ei[k]
	}
	return y
}

// both returns value and derivative at an instant.
func (w *wave) both(m int, p *instant) (y, d float64) {
	y, d = w.constant+w.slope*p.t, w.slope
	for k := range m {
		y += w.re[k]*p.er[k] - w.im[k]*p.ei[k]
		d += w.dre[k]*p.er[k] - w.dim[k]*p.ei[k]
	}
	return y, d
}

// second returns the second derivative at an instant.
func (s *segment) second(w *wave, p *instant) float64 {
	y := 0.0
	for k := range s.m {
		cr := w.dre[k]*s.re[k] - w.dim[k]*s.im[k]
		ci := w.dre[k]*s.im[k] + w.dim[k]*s.re[k]
		y += cr*p.er[k] - ci*p.ei[k]
	}
	return y
}

// state returns z at an instant.
func (s *segment) state(p *instant, z *vector) {
	*z = s.rest
	ph := s.phase
	for k := range s.m {
		j := s.column[k]
		if j < 0 {
			continue
		}
		cr := s.gr[k]*p.er[k] - s.gi[k]*p.ei[k]
		if s.im[k] > 0 {
			ci := s.gr[k]*p.ei[k] + s.gi[k]*p.er[k]
			for i := range ph.n {
				z[i] += cr*ph.v[i][j] - ci*ph.v[i][j+1]
			}
			continue
		}
		for i := range ph.n {
			z[i] += cr * ph.v[i][j]
		}
	}
}
