package spark

import (
	"math/rand/v2"
	"testing"

	"gapbook.example/units"
)

// TestGrazing sets the plug's gap a hair under and over what the coil makes, and
// the points' strength likewise: an event that only just happens is found, one
// that only just does not is not. The peaks come from another search (peak) than
// the events (crossing), and tell two values apart to 1e-8, so a hair is 1e-7.
func TestGrazing(t *testing.T) {
	const hair = 1e-7
	r := rand.New(rand.NewPCG(4, 21))
	fired, arced := 0, 0
	try := func(what string, trial int, c *circuit, z vector, most float64) {
		for _, side := range []float64{-1, 1} {
			q := *c
			q.hot = false
			q.breakdownVolts = most * (1 + side*hair)
			if q.breakdownVolts <= q.burnVolts+q.burnOhms*q.extinctionAmperes {
				return // no plug
			}
			run := runner{c: &q}
			var out opening
			if !run.open(z, true, &out) {
				t.Fatalf("%s %d: no solution", what, trial)
			}
			if out.fired != (side < 0) {
				t.Errorf("%s %d: %.9g V at the plug, a gap of %.9g V, fired %v", what, trial, most, q.breakdownVolts, out.fired)
			}
		}
		fired++
	}
	for trial := range 2000 {
		p := randomParts(r)
		strength := p.Points.Arc
		p.Points.Arc = nil
		c := mustCircuit(p)
		run := runner{c: c}
		var z vector
		var out opening
		if !run.close(&z) || !run.open(z, false, &out) {
			t.Fatal("no solution")
		}
		// The gap fires on either polarity: take the greater.
		back := *c
		most := max(out.plugVolts, opposite(t, &back, z))
		try("battery", trial, c, z, most)
		if strength == nil || out.primaryVolts < 20 {
			continue
		}
		// Points that stand so many volts however far apart.
		for _, side := range []float64{-1, 1} {
			q := *c
			q.arcs, q.arcVolts, q.arcOhms, q.arcHoldAmperes = true, 5, 0.1, 0.1
			q.arcStartVolts, q.arcRiseVoltsPerSecond = out.primaryVolts*(1+side*hair), 0
			run := runner{c: &q}
			var again opening
			if !run.open(z, false, &again) {
				t.Fatal("no solution")
			}
			if (again.arcs > 0) != (side < 0) {
				t.Errorf("trial %d: %.9g V at the points, strength %.9g V, %d arcs", trial, out.primaryVolts, q.arcStartVolts, again.arcs)
			}
		}
		arced++
	}
	for trial := range 1500 {
		var d driven
		if _, ok := randomDriven(t, r, &d); !ok {
			continue
		}
		c := d.r.c
		d.r.log = nil
		var out opening
		if !d.r.open(d.z, false, &out) {
			t.Fatal("no solution")
		}
		try(d.kind, trial, c, d.z, max(out.plugVolts, out.oppositeVolts))
	}
	t.Logf("%d gaps and %d points grazed", fired, arced)
	if fired < 2500 || arced < 200 {
		t.Errorf("only %d gaps and %d points grazed", fired, arced)
	}
}

// opposite is the greatest voltage at the plug against the sense of the
// opening, which the kernel keeps for sets with a magnet only: one that has
// knots far away and no flux.
func opposite(t *testing.T, c *circuit, z vector) float64 {
	t.Helper()
	c.nKnots, c.knots[0], c.knots[1] = 2, knot{1e6, 1}, knot{2e6, 1}
	run := runner{c: c}
	var out opening
	if !run.open(z, false, &out) {
		t.Fatal("no solution")
	}
	return out.oppositeVolts
}

// TestGrazingModule sets a module's trip current a hair under and over the
// greatest current that the magnet drives: it opens, or never does.
func TestGrazingModule(t *testing.T) {
	m := withPickUp(t)
	m.Module.PickUp = nil
	// The greatest current, by bisection of the trip itself, then by a scan of
	// the current beside it.
	low, high := 0.1, 20.0
	for high-low > 1e-12*high {
		mid := (low + high) / 2
		m.Module.Trip = units.Amperes(mid)
		e, err := ComputeMagneto(m)
		if err != nil {
			t.Fatal(err)
		}
		if e.Tripped {
			low = mid
		} else {
			high = mid
		}
	}
	m.Module.Trip = units.Amperes(high * 1.5)
	c := new(circuit)
	var k checker
	m.check(c, &k)
	c.prepare()
	var log []stretch
	r := runner{c: c, log: &log}
	var z vector
	r.trip(m.Module, m.Speed, m.Magnet.Flux[len(m.Magnet.Flux)-1].At.MagnetDegrees(), &z)
	most := 0.0
	for i := range log {
		st := &log[i]
		var s segment
		var d drive
		var now instant
		left := 1.0
		s.phase, _ = r.phase(st.set)
		var rest, x vector
		c.restAt(st, &rest)
		s.begin(&rest, &st.from, c.driveAt(st.start, &d, &left))
		o := c.current(0)
		for j := range 20001 {
			s.at(st.seconds*float64(j)/20000, &now)
			s.state(&now, &x)
			most = max(most, o.apply(&x))
		}
	}
	if off(low, most) > 1e-7 {
		t.Errorf("the module opens up to %.12g A, and the current reaches %.12g", low, most)
	}
}

// TestBoth: going on from the run without a gap is the same as starting anew.
func TestBoth(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 22))
	went, anew := 0, 0
	for trial := range 1500 {
		var d driven
		if _, ok := randomDriven(t, r, &d); !ok {
			continue
		}
		d.r.log = nil
		c := d.r.c
		whole := c.openSeconds
		var open0, fired, first, second opening
		if !d.r.both(d.z, &open0, &fired) || !d.r.open(d.z, true, &first) {
			t.Fatal("no solution")
		}
		c.openSeconds = magnetoOpenSeconds
		if !d.r.open(d.z, false, &second) {
			t.Fatal("no solution")
		}
		c.openSeconds = whole
		if fired.fired != first.fired || fired.strikes != first.strikes || fired.arcs != first.arcs {
			t.Errorf("%s %d: %+v, anew %+v", d.kind, trial, fired, first)
		}
		for _, x := range [][2]float64{{fired.primaryVolts, first.primaryVolts}, {fired.burnSeconds, first.burnSeconds}, {fired.gapJoules, first.gapJoules},
			{fired.fireSeconds, first.fireSeconds}, {open0.plugVolts, second.plugVolts}, {open0.primaryVolts, second.primaryVolts}, {open0.oppositeVolts, second.oppositeVolts}} {
			if off(x[0], x[1]) > 1e-7 {
				t.Errorf("%s %d: %v", d.kind, trial, x)
			}
		}
		if first.fired {
			anew++
		} else {
			went++
		}
	}
	if went < 200 || anew < 200 {
		t.Errorf("%d went on and %d began anew", went, anew)
	}
}
