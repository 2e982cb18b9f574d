package spark

import "gapbook.example/units"

// ClosingPulse is the greatest voltage at the coil's tower, in the sense
// against that of the opening, while the points are closed: a magneto or coil
// whose pulse comes near the plug's breakdown would fire early. [Compute] takes
// it for granted that the plug does not fire then. The error is that of
// Compute.
func ClosingPulse(p *Parts) (units.Voltage, error) {
	var c circuit
	var k checker
	p.circuit(&c, &k)
	if k.problems != nil {
		return units.Voltage{}, k.problems
	}
	c.prepare()
	r := runner{c: &c}
	set := setting{points: closed}
	ph, ok := r.phase(set)
	if !ok {
		return units.Voltage{}, ErrNoSolution
	}
	var rest, zero vector
	c.rest(set, 0, &rest)
	s := segment{phase: ph}
	s.begin(&rest, &zero, nil)
	var w wave
	o := c.towerVolts()
	s.wave(&o, &w)
	w.scale(-1, 0)
	best, _ := s.peak(&w, c.closedSeconds, 0, 0)
	return volts(best), nil
}
