package spark

import (
	"math"

	"gapbook.example/units"
)

// A Discharge is a capacitor-discharge set: a charge coil fills a store through
// a diode, and a thyristor empties it into the coil's primary.
type Discharge struct {
	Charge    ChargeCoil
	Store     Store
	Thyristor Thyristor
	// Freewheel is optional: a diode across the primary.
	Freewheel *Diode
	Coil      Coil
	Lead      units.Resistance
	Plug      Plug
	// Speed of the magnet, and how far it turns from one spark to the next.
	Speed units.Speed
	Turn  units.MagnetAngle
}

// ChargeCoil is the coil that a magnet's poles pass.
type ChargeCoil struct {
	Inductance units.Inductance
	Resistance units.Resistance
	// Linkage is the peak flux linkage, PolePairs the voltage's periods a turn.
	Linkage   units.FluxLinkage
	PolePairs int
	// Phase of the voltage at the last spark, in degrees of its own period. It
	// moves the charge at cranking by up to 60 %.
	Phase units.PlaneAngle
}

// Store is the capacitor that holds the charge.
type Store struct {
	Capacitance units.Capacitance
	Leakage     units.Resistance
	// Regulator is the voltage at which charging stops; nought for none.
	Regulator units.Voltage
	// DiodeDrop is the voltage across the diode that fills it.
	DiodeDrop units.Voltage
}

// Thyristor empties the store; it stays on until its current is spent, and the
// gate is held longer than the ring lasts.
type Thyristor struct {
	Drop       units.Voltage
	Resistance units.Resistance
}

// A DischargeEvent is one spark of a capacitor-discharge set. Current is nought:
// the primary rests when the store is let go; Stored is the store's energy.
type DischargeEvent struct {
	Event
	// Charge is the voltage of the store as the spark is triggered.
	Charge units.Voltage
	// Opposite is the greatest voltage at the plug against the sense of the
	// spark, within 1 ms, with the gap disabled.
	Opposite units.Voltage
}

func (d *Discharge) check(c *circuit, k *checker) {
	p := Parts{
		Battery: Battery{Voltage: volts(1)}, Coil: d.Coil, Points: Points{}, Lead: d.Lead, Plug: d.Plug,
		Condenser: Condenser{d.Store.Capacitance, d.Thyristor.Resistance, d.Store.Leakage},
		Run:       Run{d.Speed, 0.5, 1},
	}
	p.circuit(c, k)
	within := func(key string, v, least, most float64, q interface{ String() string }) {
		if !(v >= least && v <= most) {
			k.add(key, "it is "+q.String()+", out of the range that can be computed with", "")
		}
	}
	within("charge_coil.inductance", d.Charge.Inductance.Henries(), 1e-6, 1e4, d.Charge.Inductance)
	within("charge_coil.resistance", d.Charge.Resistance.Ohms(), 1e-3, 1e6, d.Charge.Resistance)
	within("charge_coil.linkage", d.Charge.Linkage.Webers(), 1e-9, 1e4, d.Charge.Linkage)
	if d.Charge.PolePairs < 1 || d.Charge.PolePairs > 100 {
		k.add("charge_coil.pole_pairs", "there have to be from 1 to 100", "")
	}
	within("charge_coil.phase", math.Abs(d.Charge.Phase.Degrees()), 0, 360, d.Charge.Phase)
	within("store.regulator", d.Store.Regulator.Volts(), 0, 1e5, d.Store.Regulator)
	within("store.diode_drop", d.Store.DiodeDrop.Volts(), 0, 100, d.Store.DiodeDrop)
	within("thyristor.drop", d.Thyristor.Drop.Volts(), 0, 100, d.Thyristor.Drop)
	within("spark_angle", d.Turn.MagnetDegrees(), 1, 7200, d.Turn)
	c.batteryVolts = 0
	c.openSeconds = mostOpenSeconds
	c.thyristor = true
	if f := d.Freewheel; f != nil {
		within("freewheel.voltage", f.Voltage.Volts(), 0, 1e5, f.Voltage)
		within("freewheel.resistance", f.Resistance.Ohms(), 0, 1e6, f.Resistance)
		c.reverses = true
		c.reverseVolts, c.reverseOhms = f.Voltage.Volts(), max(f.Resistance.Ohms(), leastContactOhms)
	}
}

// Check returns every value that no spark can be computed from.
func (d *Discharge) Check() Problems {
	var c circuit
	var k checker
	d.check(&c, &k)
	return k.problems
}

// ComputeDischarge works out one spark of a capacitor-discharge set: the charge
// from an empty store over the turn since the last spark, then the dump, exactly
// as in [Compute]. The charge coil's iron does not saturate here, so an
// unregulated set at speed reads too high. The error is a [Problems], or
// [ErrNoSolution].
func ComputeDischarge(d *Discharge) (DischargeEvent, error) {
	var c circuit
	var k checker
	d.check(&c, &k)
	if k.problems != nil {
		return DischargeEvent{}, k.problems
	}
	var b bare
	var e DischargeEvent
	v, ok := d.run(&c, &b, nil, true, true)
	if !ok || !b.into(&e.Event) {
		return DischargeEvent{}, ErrNoSolution
	}
	e.Charge = volts(v)
	e.Opposite = volts(b.open.oppositeVolts)
	return e, nil
}

// run computes the parts asked for, on a circuit that check has filled, and
// returns the charge in volts. log, if not nil, gets every stretch of the one
// part that was asked for.
func (d *Discharge) run(c *circuit, b *bare, log *[]stretch, wantOpen, wantFired bool) (charge float64, ok bool) {
	*b = bare{}
	v := d.charge()
	if r := d.Store.Regulator.Volts(); r > 0 {
		v = min(v, r)
	}
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, false
	}
	c.prepare()
	r := runner{c: c, log: log}
	var z vector
	// The thyristor's drop stands in series with the store for as long as
	// current flows, so it is taken off at the start.
	c.energyState(0, 0, 0, max(v-d.Thyristor.Drop.Volts(), 0), 0, 0, &z)
	b.joules = c.condenserFarads * v * v / 2
	done := false
	switch {
	case wantOpen && wantFired:
		done = r.both(z, &b.open, &b.fired)
	case wantFired:
		done = r.open(z, true, &b.fired)
	default:
		c.openSeconds = magnetoOpenSeconds
		done = r.open(z, false, &b.open)
	}
	if !done {
		return v, false
	}
	return v, r.rings(b)
}

// chargeSteps is the number of steps in a period of the charge coil's voltage.
const chargeSteps = 96

// charge is the voltage that the store reaches: L i' = e - R i - Vd - v, C v' =
// i - v/Rleak while the diode conducts, by a Runge-Kutta rule of fourth order
// whose step ends on every start and end of conduction.
func (d *Discharge) charge() float64 {
	l, r := d.Charge.Inductance.Henries(), d.Charge.Resistance.Ohms()
	farads := max(d.Store.Capacitance.Farads(), leastCondenserFarads)
	leak := siemens(d.Store.Leakage.Ohms())
	w := float64(d.Charge.PolePairs) * d.Speed.RPM() * math.Pi / 30
	peak := w * d.Charge.Linkage.Webers()
	phase := d.Charge.Phase.Degrees() * math.Pi / 180
	end := d.Turn.MagnetDegrees() / (6 * d.Speed.RPM())
	drop := d.Store.DiodeDrop.Volts()
	emf := func(t float64) float64 { return peak * math.Sin(w*t+phase) }
	// The fastest of voltage, ring of coil and store, and coil's time constant
	// sets the step.
	fast := max(w, 1/math.Sqrt(l*farads), r/l/4)
	step := 2 * math.Pi / fast / chargeSteps
	step = max(step, end/200000)
	rk := func(t, h, i, v, e0 float64) (float64, float64, float64) {
		e1, e2 := emf(t+h/2), emf(t+h)
		di := func(e, i, v float64) float64 { return (e - r*i - drop - v) / l }
		dv := func(i, v float64) float64 { return (i - v*leak) / farads }
		a, p := di(e0, i, v), dv(i, v)
		b, q := di(e1, i+h/2*a, v+h/2*p), dv(i+h/2*a, v+h/2*p)
		c, s := di(e1, i+h/2*b, v+h/2*q), dv(i+h/2*b, v+h/2*q)
		f, u := di(e2, i+h*c, v+h*s), dv(i+h*c, v+h*s)
		return i + h/6*(a+2*b+2*c+f), v + h/6*(p+2*q+2*s+u), e2
	}
	var t, i, v float64
	e := emf(0)
	on := e-drop > 0
	for t < end {
		h := min(step, end-t)
		if on {
			i1, v1, e1 := rk(t, h, i, v, e)
			if i1 < 0 { // the current ends within the step
				low, high := 0.0, h
				for range 40 {
					mid := (low + high) / 2
					if x, _, _ := rk(t, mid, i, v, e); x < 0 {
						high = mid
					} else {
						low = mid
					}
				}
				_, v1, e1 = rk(t, low, i, v, e)
				i1, h, on = 0, high, false
			}
			i, v, e = i1, v1, e1
			t += h
			continue
		}
		decay := func(h float64) float64 { return v * math.Exp(-h*leak/farads) }
		if emf(t+h)-drop-decay(h) > 0 {
			low, high := 0.0, h
			for range 40 {
				mid := (low + high) / 2
				if emf(t+mid)-drop-decay(mid) > 0 {
					high = mid
				} else {
					low = mid
				}
			}
			h, on = high, true
			e = emf(t + h)
		}
		v = decay(h)
		t += h
	}
	return v
}
