package spark

import "math"

// maxModes is the most terms of a wave: as many as states, one for a gap that
// cools and one for a magnet that turns.
const maxModes = maxStates + 2

// A segment is a stretch of time in one phase, from the state at its start.
// Time t counts from there.
type segment struct {
	phase *phase
	rest  vector
	m     int // modes; a pair counts as one
	// mode k decays with re, turns with im, and is |λ| fast.
	re, im, size [maxModes]float64
	column       [maxModes]int // of the phase's vectors, or one of the below
	gr, gi       [maxModes]float64
	fr, fi       vector // what the magnet forces, at its own frequency
}

// Columns that are no vector of the phase.
const (
	cooling = -1 // a gap that cools: in no state
	forced  = -2 // fr + i fi
)

// begin sets the segment up at state z. The caller has set s.phase: setting it
// here would hide from the compiler that it stays on the stack.
// drive is the magnet's part, nil without one.
func (s *segment) begin(rest, z *vector, drive *drive) {
	p := s.phase
	s.rest = *rest
	var x, g vector
	for i := range p.n {
		x[i] = z[i] - rest[i]
	}
	if drive != nil {
		s.force(drive)
		for i := range p.n {
			x[i] -= s.fr[i]
		}
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
	if drive != nil {
		k := s.m
		s.m++
		s.column[k], s.re[k], s.im[k], s.size[k] = forced, 0, drive.turn, drive.turn
		s.gr[k], s.gi[k] = 0, 0
	}
}

// A drive is Re((re + i im) e^{i turn t}) times a vector, added to z'.
type drive struct {
	turn, re, im float64
	into         vector
}

// force works out the steady answer X to a drive: (iω - A) X = b, mode by
// mode.
func (s *segment) force(d *drive) {
	p := s.phase
	var g vector
	p.weights(&d.into, &g)
	s.fr, s.fi = vector{}, vector{}
	for j := 0; j < p.n; j++ {
		if p.im[j] > 0 {
			// (γ v/(iω-λ) + γ* v*/(iω-λ*))/2 with γ = g[j] - i g[j+1]
			ar, ai := divide(g[j], -g[j+1], -p.re[j], d.turn-p.im[j])
			br, bi := divide(g[j], g[j+1], -p.re[j], d.turn+p.im[j])
			ar, ai = (ar*d.re-ai*d.im)/2, (ar*d.im+ai*d.re)/2
			br, bi = (br*d.re-bi*d.im)/2, (br*d.im+bi*d.re)/2
			for i := range p.n {
				vr, vi := p.v[i][j], p.v[i][j+1]
				s.fr[i] += (ar+br)*vr - (ai-bi)*vi
				s.fi[i] += (ai+bi)*vr + (ar-br)*vi
			}
			j++
			continue
		}
		ar, ai := divide(g[j]*d.re, g[j]*d.im, -p.re[j], d.turn)
		for i := range p.n {
			s.fr[i] += ar * p.v[i][j]
			s.fi[i] += ai * p.v[i][j]
		}
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
			var yr, yi float64
			if j == forced {
				for i := range p.n {
					yr += o.row[i] * s.fr[i]
					yi += o.row[i] * s.fi[i]
				}
			}
			w.set(s, k, yr, yi)
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
		if x < -42 { // less than 1e-18 of what it was
			p.envelop[k], p.er[k], p.ei[k] = 0, 0, 0
			continue
		}
		e := 1.0
		if x < 0 { // a magnet's own term does not decay
			e = math.Exp(x)
		}
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
		if j == forced {
			for i := range ph.n {
				z[i] += s.fr[i]*p.er[k] - s.fi[i]*p.ei[k]
			}
		}
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
