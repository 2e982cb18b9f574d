package spark

import (
	"math"

	"gapbook.example/units"
)

// A Sample is the voltages at one instant of a spark.
type Sample struct {
	// Time from the opening of the points, or from when a thyristor turns on.
	Time units.Time
	// Secondary is at the plug, positive in the sense of the opening; Primary
	// is across the points, or across the coil's primary in a
	// capacitor-discharge set.
	Secondary, Primary units.Voltage
	// Current is that of the coil's primary.
	Current units.Current
	// Burning tells whether the gap is alight.
	Burning bool
}

// Trace follows a spark from the opening of the points for span and returns n
// evenly spaced samples, the first at the opening; with gap false the plug's
// gap never fires. The longest span is that of [Compute]: 5 ms or until the
// points close, and a longer one is cut to it. n less than 2 counts as 2. The
// error is that of Compute.
func Trace(p *Parts, gap bool, span units.Time, n int) ([]Sample, error) {
	var c circuit
	var k checker
	p.circuit(&c, &k)
	if k.problems != nil {
		return nil, k.problems
	}
	var log []stretch
	c.prepare()
	r := runner{c: &c}
	var z vector
	var out opening
	if !r.close(&z) {
		return nil, ErrNoSolution
	}
	r.log = &log
	if !r.open(z, gap, &out) {
		return nil, ErrNoSolution
	}
	return c.samples(log, span, n)
}

// TraceMagneto does the same for a magneto. Without a gap the longest span is
// 1 ms, as in [ComputeMagneto]: after that the magnet's next swing is another
// event. A module that never opens gives no samples at all. The error is that of
// ComputeMagneto.
func TraceMagneto(m *Magneto, gap bool, span units.Time, n int) ([]Sample, error) {
	var c circuit
	var k checker
	m.check(&c, &k)
	if k.problems != nil {
		return nil, k.problems
	}
	var log []stretch
	var b bare
	_, tripped, ok := m.run(&c, &b, &log, !gap, gap)
	switch {
	case !ok:
		return nil, ErrNoSolution
	case !tripped:
		return nil, nil
	}
	return c.samples(log, span, n)
}

// TraceDischarge does the same for a capacitor-discharge set, from when its
// thyristor turns on; without a gap for 1 ms at most. The error is that of
// [ComputeDischarge].
func TraceDischarge(d *Discharge, gap bool, span units.Time, n int) ([]Sample, error) {
	var c circuit
	var k checker
	d.check(&c, &k)
	if k.problems != nil {
		return nil, k.problems
	}
	var log []stretch
	var b bare
	if _, ok := d.run(&c, &b, &log, !gap, gap); !ok {
		return nil, ErrNoSolution
	}
	return c.samples(log, span, n)
}

// samples reads a log of stretches at n even times from 0 on.
func (c *circuit) samples(log []stretch, span units.Time, n int) ([]Sample, error) {
	for len(log) > 0 && log[0].start < -1e-15 { // what was before the opening
		log = log[1:]
	}
	if len(log) == 0 {
		return nil, ErrNoSolution
	}
	n = max(n, 2)
	last := &log[len(log)-1]
	whole := max(min(span.Seconds(), last.start+last.seconds), 0)
	r := runner{c: c}
	list := make([]Sample, 0, n)
	var s segment
	var now instant
	var d drive
	at := -1
	for i := range n {
		t := whole * float64(i) / float64(n-1)
		for at < 0 || at+1 < len(log) && t >= log[at+1].start {
			at++
		}
		st := &log[at]
		var ok bool
		if s.phase, ok = r.phase(st.set); !ok {
			return nil, ErrNoSolution
		}
		left := math.Inf(1)
		magnet := c.driveAt(st.start, &d, &left)
		var rest vector
		c.restAt(st, &rest)
		s.begin(&rest, &st.from, magnet)
		s.at(min(max(t-st.start, 0), st.seconds), &now)
		var x vector
		s.state(&now, &x)
		plug, primary, current := c.plugVolts(), c.primaryVolts(st.set), c.current(0)
		list = append(list, Sample{seconds(t), volts(plug.apply(&x)), volts(primary.apply(&x)), amperes(current.apply(&x)), st.set.burning})
	}
	return list, nil
}

// restAt is where the state of a stretch would settle.
func (c *circuit) restAt(st *stretch, z *vector) {
	c.rest(st.set, st.sign*c.burnVolts, z)
}
