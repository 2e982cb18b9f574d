package spark

import "gapbook.example/units"

// A Sample is the voltages at one instant of a spark.
type Sample struct {
	// Time from the opening of the points.
	Time units.Time
	// Secondary is at the plug, positive in the sense of the opening; Primary
	// is across the points.
	Secondary, Primary units.Voltage
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
	n = max(n, 2)
	var log []stretch
	c.prepare()
	r := runner{c: &c, log: &log}
	var z vector
	var out opening
	if !r.close(&z) || !r.open(z, gap, &out) {
		return nil, ErrNoSolution
	}
	whole := min(span.Seconds(), c.openSeconds)
	samples := make([]Sample, 0, n)
	var s segment
	var now instant
	at := -1
	for i := range n {
		t := whole * float64(i) / float64(n-1)
		for at < 0 || at+1 < len(log) && t >= log[at+1].start {
			at++
		}
		st := &log[at]
		s.phase, _ = r.phase(st.set)
		c.restAt(st, &s.rest)
		rest := s.rest
		s.begin(&rest, &st.from, nil)
		s.at(max(t-st.start, 0), &now)
		var x vector
		s.state(&now, &x)
		plug, primary := c.plugVolts(), c.primaryVolts(st.set)
		samples = append(samples, Sample{seconds(t), volts(plug.apply(&x)), volts(primary.apply(&x)), st.set.burning})
	}
	return samples, nil
}

// restAt is where the state of a stretch would settle.
func (c *circuit) restAt(st *stretch, z *vector) {
	c.rest(st.set, st.sign*c.burnVolts, z)
}
