package spark

import (
	"math"

	"gapbook.example/units"
)

// Module is a breakerless module in place of points: a transistor that turns on
// by the magnet's own voltage and opens at a current, so that its timing moves
// with speed. Below a threshold speed the current never gets there, and there
// is no spark at all.
type Module struct {
	// Saturation is the voltage at which it turns on and that stays across it;
	// OnResistance adds to it with current.
	Saturation   units.Voltage
	OnResistance units.Resistance
	// Trip is the current at which it opens.
	Trip units.Current
	// Clamp is the voltage at which it protects itself by conducting again;
	// nought for none.
	Clamp           units.Voltage
	ClampResistance units.Resistance
	// Reverse is optional: the diode across it.
	Reverse *Diode
}

// Diode conducts backwards at a voltage, with a resistance.
type Diode struct {
	Voltage    units.Voltage
	Resistance units.Resistance
}

// check puts the module into the circuit.
func (d *Module) check(c *circuit, k *checker) {
	within := func(key string, v, least, most float64, q interface{ String() string }) {
		if !(v >= least && v <= most) {
			k.add("module."+key, "it is "+q.String()+", out of the range that can be computed with", "")
		}
	}
	within("saturation", d.Saturation.Volts(), 0, 100, d.Saturation)
	within("on_resistance", d.OnResistance.Ohms(), 0, 1e6, d.OnResistance)
	within("trip_current", d.Trip.Amperes(), 1e-6, 1000, d.Trip)
	within("clamp", d.Clamp.Volts(), 0, 1e5, d.Clamp)
	within("clamp_resistance", d.ClampResistance.Ohms(), 0, 1e6, d.ClampResistance)
	c.contactVolts, c.contactOhms = d.Saturation.Volts(), max(d.OnResistance.Ohms(), leastContactOhms)
	if v := d.Clamp.Volts(); v > 0 {
		if v <= c.contactVolts {
			k.add("module.clamp", "it is "+d.Clamp.String()+", below the voltage of the module turned on", "")
		}
		c.arcs = true
		c.arcStartVolts, c.arcVolts, c.arcOhms = v, v, max(d.ClampResistance.Ohms(), leastContactOhms)
	}
	if r := d.Reverse; r != nil {
		within("reverse.voltage", r.Voltage.Volts(), 0, 1e5, r.Voltage)
		within("reverse.resistance", r.Resistance.Ohms(), 0, 1e6, r.Resistance)
		c.reverses = true
		c.reverseVolts, c.reverseOhms = r.Voltage.Volts(), max(r.Resistance.Ohms(), leastContactOhms)
	}
}

// trip follows a module from rest at time -closedSeconds until it opens. It
// returns when, and whether it does before the flux has come to its end.
func (r *runner) trip(m *Module, z *vector) (at float64, tripped, ok bool) {
	c := r.c
	set := setting{points: open}
	t := -c.closedSeconds
	end := c.knots[c.nKnots-1].seconds
	var s segment
	var waves [maxWaves]wave
	var d drive
	var now instant
	for range mostEvents {
		left := end - t
		if left <= 1e-12*math.Abs(end-(-c.closedSeconds)) {
			return 0, false, true
		}
		magnet := c.driveAt(t, &d, &left)
		p, solved := r.phase(set)
		if !solved {
			return 0, false, false
		}
		var rest vector
		c.rest(set, 0, &rest)
		s.phase = p
		s.begin(&rest, z, magnet)
		count := 0
		switch set.points {
		case open:
			o := c.primaryVolts(set)
			s.wave(&o, &waves[0])
			waves[0].constant -= c.contactVolts
			count = 1
		case closed:
			o := c.current(0)
			s.wave(&o, &waves[0])
			waves[0].constant -= m.Trip.Amperes()
			o = c.pointsCurrent(set)
			s.wave(&o, &waves[1])
			waves[1].scale(-1, 0)
			count = 2
		}
		reverse := -1
		if c.reverses && set.points != closed {
			r.reverseWave(&s, set, &waves[count])
			reverse = count
			count++
		}
		span, which := s.crossing(&waves, count, left)
		if r.log != nil {
			*r.log = append(*r.log, stretch{set: set, from: *z, start: t, seconds: span})
		}
		s.at(span, &now)
		s.state(&now, z)
		t += span
		switch {
		case which < 0:
		case which == reverse && set.points == reversed:
			set.points = open
		case which == reverse:
			set.points = reversed
		case set.points == open:
			set.points = closed
		case which == 0:
			return t, true, true
		default:
			set.points = open
		}
	}
	return 0, false, true
}
