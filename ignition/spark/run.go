package spark

import "math"

// What the gap and the points may do before a run is given up: a gap that
// relights more than this is reported as capped.
const (
	mostStrikes = 60
	mostEvents  = 400
)

// A stretch is one segment of a run as it is kept for traces and audits.
type stretch struct {
	set     setting
	sign    float64 // polarity of the burning gap
	from    vector
	start   float64 // since the points opened
	seconds float64
}

// A runner follows one spark. It lives on the stack: it holds all phases and
// needs no other memory.
type runner struct {
	c      *circuit
	phases [4][2][2]phase // [contact][burning][cut]
	log    *[]stretch     // nil unless somebody wants to see every segment
	// A primary voltage that the next opening reaches for sure, and when: where
	// its search for the peak may begin.
	sureVolts, sureSeconds float64
}

// prime tells the run without a gap what the run with it has found out: until
// the gap fires the two are the same.
func (r *runner) prime(fired *opening) {
	if !fired.fired || fired.primarySeconds < fired.fireSeconds {
		r.sureVolts, r.sureSeconds = fired.primaryVolts, fired.primarySeconds
	}
}

func (r *runner) phase(set setting) (*phase, bool) {
	b, k := 0, 0
	if set.burning {
		b = 1
	}
	if set.cut {
		k = 1
	}
	if set.points == holding {
		set.points = open // the same resistances
	}
	p := &r.phases[set.points][b][k]
	return p, p.solve(r.c, set)
}

// opening is the result of one run with the points open.
type opening struct {
	plugVolts, plugSeconds       float64
	primaryVolts, primarySeconds float64
	fired                        bool
	fireSeconds                  float64
	burnSeconds, gapJoules       float64
	lastSeconds                  float64 // last extinction
	gapCoulombs                  float64
	strikes, arcs                int
	oppositeVolts                float64 // without a battery only
	capped                       bool
}

// close runs the closed phase from rest and returns the state at opening.
func (r *runner) close(z *vector) bool {
	c := r.c
	set := setting{points: closed}
	p, ok := r.phase(set)
	if !ok {
		return false
	}
	var rest, zero vector
	c.rest(set, 0, &rest)
	var s segment
	s.phase = p
	s.begin(&rest, &zero, nil)
	if c.limitAmperes > 0 {
		var waves [maxWaves]wave
		o := c.current(0)
		s.wave(&o, &waves[0])
		waves[0].constant -= c.limitAmperes
		if _, which := s.crossing(&waves, 1, c.closedSeconds); which == 0 {
			vC := (c.batteryVolts - c.loopOhms*c.limitAmperes) / (1 + c.seriesOhms*c.leakSiemens)
			c.energyState(c.limitAmperes, 0, 0, vC, 0, 0, z)
			return true
		}
	}
	if r.log != nil {
		*r.log = append(*r.log, stretch{set: set, start: -c.closedSeconds, seconds: c.closedSeconds})
	}
	var now instant
	s.at(c.closedSeconds, &now)
	s.state(&now, z)
	return true
}

// A place is where a run without a burning gap stands.
type place struct {
	z   vector
	set setting
	t   float64 // since the points opened
}

// open runs from the opening of the points, state z, with the gap or without.
func (r *runner) open(z vector, gap bool, out *opening) bool {
	*out = opening{}
	if r.sureSeconds <= r.c.openSeconds {
		out.primaryVolts, out.primarySeconds = r.sureVolts, r.sureSeconds
	}
	at := place{z: z, set: setting{points: open}}
	return r.follow(&at, gap, out)
}

// both runs a magnet's opening without its gap, for magnetoOpenSeconds, and with
// it. Where the first run shows that the gap does not fire so soon, the second
// only goes on from there.
func (r *runner) both(z vector, open0, fired *opening) bool {
	c := r.c
	whole := c.openSeconds
	c.openSeconds = min(whole, magnetoOpenSeconds)
	*open0 = opening{}
	at := place{z: z, set: setting{points: open}}
	if !r.follow(&at, false, open0) {
		return false
	}
	c.openSeconds = whole
	// Peaks are told apart to 1e-8.
	if max(open0.plugVolts, open0.oppositeVolts) >= c.breakdownVolts*(1-1e-6) || open0.capped {
		return r.open(z, true, fired)
	}
	*fired = opening{primaryVolts: open0.primaryVolts, primarySeconds: open0.primarySeconds, arcs: open0.arcs}
	return r.follow(&at, true, fired)
}

// follow runs on from a place to the end and leaves it there.
func (r *runner) follow(at *place, gap bool, out *opening) bool {
	c := r.c
	z, set, t := at.z, at.set, at.t
	defer func() { *at = place{z, set, t} }()
	sign, lastOut := 0.0, -1.0 // of the spark, -1: the gap is cold
	var s segment
	var waves [maxWaves]wave
	var tracked wave
	var dr drive
	for range mostEvents {
		left := c.openSeconds - t
		if left <= 0 {
			return true
		}
		magnet := c.driveAt(t, &dr, &left)
		p, ok := r.phase(set)
		if !ok {
			return false
		}
		var rest vector
		c.rest(set, sign*c.burnVolts, &rest)
		s.phase = p
		s.begin(&rest, &z, magnet)
		count := 0
		pointsWave, reverseWave, storeWave, gapWave, gapWaveBack := -1, -1, -1, -1, -1
		if c.arcs && set.points != reversed {
			w := &waves[count]
			switch set.points {
			case open: // volts - strength
				o := c.primaryVolts(set)
				s.wave(&o, w)
				w.scale(1, -(c.arcStartVolts + c.arcRiseVoltsPerSecond*t))
				w.slope = -c.arcRiseVoltsPerSecond
			case arcing: // holding current - current
				o := c.pointsCurrent(set)
				s.wave(&o, w)
				w.scale(-1, c.arcHoldAmperes)
			}
			pointsWave = count
			count++
		}
		if c.reverses && set.points != arcing {
			r.reverseWave(&s, set, &waves[count])
			reverseWave = count
			count++
		}
		if c.thyristor {
			// On until its current is spent; on again when the store stands
			// above the coil.
			o := c.branchCurrent(set)
			if set.cut {
				o = c.primaryVolts(set)
				for i := range o.row {
					o.row[i] = -o.row[i]
				}
				o.row[c.iC] += 1 / c.rootC
				o.constant = -o.constant
			}
			s.wave(&o, &waves[count])
			storeWave = count
			count++
		}
		switch {
		case !gap:
		case set.burning:
			o := c.gapCurrent(sign * c.burnVolts)
			s.wave(&o, &waves[count])
			waves[count].scale(-sign, c.extinctionAmperes)
			gapWave = count
			count++
		default:
			o := c.plugVolts()
			s.wave(&o, &waves[count])
			waves[count+1] = waves[count]
			waves[count+1].scale(-1, 0)
			waves[count].constant -= c.breakdownVolts
			waves[count+1].constant -= c.breakdownVolts
			gapWave, gapWaveBack = count, count+1
			count += 2
			if c.hot && lastOut >= 0 {
				s.cool(&waves, gapWave, gapWaveBack, c.breakdownVolts-c.hotVolts, c.hotSeconds, t-lastOut)
			}
		}
		span, which := left, -1
		if count > 0 {
			span, which = s.crossing(&waves, count, left)
		}
		// Peaks on the way.
		o := c.primaryVolts(set)
		s.wave(&o, &tracked)
		best, when := s.peak(&tracked, span, out.primaryVolts, -1)
		if when >= 0 {
			out.primaryVolts, out.primarySeconds = best, t+when
		}
		if !gap {
			o := c.plugVolts()
			s.wave(&o, &tracked)
			best, when := s.peak(&tracked, span, out.plugVolts, -1)
			if when >= 0 {
				out.plugVolts, out.plugSeconds = best, t+when
			}
		}
		if !gap && (c.nKnots > 0 || c.thyristor) {
			tracked.scale(-1, 0)
			out.oppositeVolts, _ = s.peak(&tracked, span, out.oppositeVolts, -1)
		}
		if r.log != nil {
			*r.log = append(*r.log, stretch{set: set, sign: sign, from: z, start: t, seconds: span})
		}
		var now instant
		s.at(span, &now)
		if set.burning {
			o := c.gapCurrent(sign * c.burnVolts)
			s.wave(&o, &tracked)
			coulombs := sign * s.area(&tracked, &now)
			out.gapCoulombs += sign * coulombs
			out.gapJoules += c.burnVolts*coulombs + c.burnOhms*s.areaSquare(&tracked, &now)
			out.burnSeconds += span
			out.lastSeconds = t + span
		}
		t += span
		s.state(&now, &z)
		if which < 0 && t >= c.openSeconds*(1-1e-15) {
			return true
		}
		switch {
		case which < 0: // a knot of the magnet's flux
		case which == pointsWave && set.points == open:
			set.points = arcing
			out.arcs++
		case which == pointsWave:
			set.points = open
		case which == reverseWave && set.points == reversed:
			set.points = open
		case which == reverseWave:
			set.points = reversed
		case which == storeWave:
			set.cut = !set.cut
		case set.burning:
			set.burning = false
			sign = 0
			lastOut = t
		default:
			set.burning = true
			sign = 1
			if which == gapWaveBack {
				sign = -1
			}
			out.strikes++
			if !out.fired {
				out.fired, out.fireSeconds = true, t
			}
			if out.strikes >= mostStrikes {
				out.capped = true
				return true
			}
		}
	}
	out.capped = true
	return true
}

// reverseWave is the condition that a diode across the points waits for: the
// voltage at which it conducts, or the end of its current.
func (r *runner) reverseWave(s *segment, set setting, w *wave) {
	if set.points == reversed {
		o := r.c.pointsCurrent(set)
		s.wave(&o, w)
		return
	}
	o := r.c.primaryVolts(set)
	s.wave(&o, w)
	w.scale(-1, -r.c.reverseVolts)
}

// cool adds the gap's memory to the waves of an unlit gap: its threshold is
// breakdown - (breakdown - hot) e^{-t/τ}, one more mode of the difference.
func (s *segment) cool(waves *[maxWaves]wave, i, j int, drop, seconds, since float64) {
	k := s.m
	s.m++
	s.column[k] = cooling
	s.re[k], s.im[k], s.size[k] = -1/seconds, 0, 1/seconds
	s.gr[k], s.gi[k] = 0, 0
	for n := range waves {
		waves[n].set(s, k, 0, 0)
	}
	x := since / seconds
	f := 0.0
	if x < 60 {
		f = drop * math.Exp(-x)
	}
	waves[i].set(s, k, f, 0)
	waves[j].set(s, k, f, 0)
}
