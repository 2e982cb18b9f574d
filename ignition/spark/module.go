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
	// Saturation is the voltage at which it turns on and that stays across it,
	// less than 1 mV counting as 1 mV; OnResistance adds to it with current.
	Saturation   units.Voltage
	OnResistance units.Resistance
	// Trip is the current at which it opens; unused with a pick-up.
	Trip units.Current
	// PickUp is optional: a pick-up coil opens the module, in place of Trip.
	PickUp *PickUp
	// Limit is the current that the transistor holds until it opens; nought for
	// none.
	Limit units.Current
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

// PickUp is a pick-up coil that a magnet passes once a turn: its voltage is
//
//	v = Peak (n/Speed) sin(π (θ - Start)/Width)
//
// and the module opens where that reaches Trigger, so earlier as it turns
// faster, towards Start. Below Speed × Trigger/Peak it never does.
type PickUp struct {
	// Peak is the highest voltage with the magnet turning at Speed.
	Peak  units.Voltage
	Speed units.Speed
	// Start is where its voltage begins, and Width how far it lasts, in degrees
	// of the magnet.
	Start, Width units.MagnetAngle
	// Trigger is the voltage that the module waits for.
	Trigger units.Voltage
}

// At is where the module opens with the magnet at a speed. ok is false where the
// pick-up's voltage never gets there.
func (p PickUp) At(speed units.Speed) (at units.MagnetAngle, ok bool) {
	share := p.Trigger.Volts() * p.Speed.RPM() / (p.Peak.Volts() * speed.RPM())
	if !(share <= 1) {
		return at, false
	}
	return p.Start.Add(p.Width.Scale(math.Asin(share) / math.Pi)), true
}

// leastModuleVolts keeps a module from turning on and off for ever while nothing
// moves.
const leastModuleVolts = 1e-3

// check puts the module into the circuit.
func (d *Module) check(c *circuit, k *checker) {
	within := func(key string, v, least, most float64, q interface{ String() string }) {
		if !(v >= least && v <= most) {
			k.add("module."+key, "it is "+q.String()+", out of the range that can be computed with", "")
		}
	}
	within("saturation", d.Saturation.Volts(), 0, 100, d.Saturation)
	within("on_resistance", d.OnResistance.Ohms(), 0, 1e6, d.OnResistance)
	if p := d.PickUp; p == nil {
		within("trip_current", d.Trip.Amperes(), 1e-6, 1000, d.Trip)
	} else {
		within("pick_up.peak", p.Peak.Volts(), 1e-6, 1e5, p.Peak)
		within("pick_up.speed", p.Speed.RPM(), 1e-3, 1e6, p.Speed)
		within("pick_up.start", math.Abs(p.Start.MagnetDegrees()), 0, 3600, p.Start)
		within("pick_up.width", p.Width.MagnetDegrees(), 1e-3, 360, p.Width)
		within("pick_up.trigger", p.Trigger.Volts(), 1e-6, 1e5, p.Trigger)
	}
	within("limit", d.Limit.Amperes(), 0, 1000, d.Limit)
	c.limitAmperes = d.Limit.Amperes()
	if c.limitAmperes > 0 && d.PickUp == nil && c.limitAmperes <= d.Trip.Amperes() {
		k.add("module.limit", "it is "+d.Limit.String()+", and the module waits for "+d.Trip.String()+": it would never open", "a limit below the trip current goes with a pick-up")
	}
	within("clamp", d.Clamp.Volts(), 0, 1e5, d.Clamp)
	within("clamp_resistance", d.ClampResistance.Ohms(), 0, 1e6, d.ClampResistance)
	c.contactVolts, c.contactOhms = max(d.Saturation.Volts(), leastModuleVolts), max(d.OnResistance.Ohms(), leastContactOhms)
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
// returns when, and whether it does before the flux has come to its end. degrees
// is where that end is: a pick-up's angle counts from it.
func (r *runner) trip(m *Module, speed units.Speed, degrees float64, z *vector) (at float64, tripped, ok bool) {
	c := r.c
	set := setting{points: open}
	t := -c.closedSeconds
	end := c.knots[c.nKnots-1].seconds
	if m.PickUp != nil {
		angle, fires := m.PickUp.At(speed)
		if !fires {
			return 0, false, true
		}
		end = (angle.MagnetDegrees() - degrees) / (6 * speed.RPM())
	}
	on := c.contactVolts + c.contactOhms*c.limitAmperes // volts across it as it begins to hold
	var s segment
	var waves [maxWaves]wave
	var d drive
	var now instant
	for range mostEvents {
		left := end - t
		if left <= 1e-12*math.Abs(end-(-c.closedSeconds)) {
			// A pick-up opens what is on by now; a current's time is over.
			return t, m.PickUp != nil && set.points != open && set.points != reversed, true
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
		off, trips, limits, reverse := -1, -1, -1, -1
		switch set.points {
		case open:
			o := c.primaryVolts(set)
			s.wave(&o, &waves[0])
			waves[0].constant -= c.contactVolts
			count = 1
		case closed:
			o := c.pointsCurrent(set)
			s.wave(&o, &waves[0])
			off, count = 0, 1
			if c.limitAmperes > 0 {
				waves[count] = waves[0]
				waves[count].constant -= c.limitAmperes
				limits = count
				count++
			}
			waves[0].scale(-1, 0)
			if m.PickUp == nil {
				o = c.current(0)
				s.wave(&o, &waves[count])
				waves[count].constant -= m.Trip.Amperes()
				trips = count
				count++
			}
		case holding:
			o := c.primaryVolts(set)
			s.wave(&o, &waves[0])
			waves[0].scale(-1, on)
			count = 1
		}
		if c.reverses && (set.points == open || set.points == reversed) {
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
		case set.points == open || set.points == holding:
			set.points = closed
		case which == trips:
			return t, true, true
		case which == limits:
			set.points = holding
		case which == off:
			set.points = open
		}
	}
	return 0, false, true
}
