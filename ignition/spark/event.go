package spark

import (
	"errors"
	"math"

	"gapbook.example/units"
)

// An Event is one spark: what the coil could do with the gap taken away, and
// what it does with it.
type Event struct {
	// Current in the primary when the points open.
	Current units.Current
	// Stored is the energy in the coil at that instant.
	Stored units.Energy
	// Open is the run with a gap that never fires.
	Open Open
	// Fired is the run with the gap.
	Fired Fired
}

// Open is what a coil makes with the plug's gap disabled: what is available.
type Open struct {
	// Secondary is the greatest voltage at the plug in the sense of the
	// opening, and PeakTime when it comes, from the opening of the points.
	Secondary units.Voltage
	PeakTime  units.Time
	// Primary is the greatest voltage across the points.
	Primary units.Voltage
	// Rings are the natural frequencies, the highest first; those not there
	// are nought.
	Rings [maxStates / 2]units.Frequency
	// Arcs counts arcs at the points, or how often a switch's clamp took over.
	Arcs int
}

// Fired is what happens with the plug's gap in place. Where Sparked is false
// no spark came, and times and energy are nought.
type Fired struct {
	Sparked bool
	// Time of the first breakdown, from the opening of the points.
	Time units.Time
	// Burn is all burning time; Last is when the last spark went out.
	Burn, Last units.Time
	// Energy delivered to the gap, capacitive part included.
	Energy units.Energy
	// Charge through the gap, in the opening sense, in coulombs.
	ChargeCoulombs float64
	// Strikes counts sparks: more than 1 where the gap went out and relit.
	Strikes int
	// Primary is the greatest voltage across the points.
	Primary units.Voltage
	// Arcs counts arcs at the points, or how often a switch's clamp took over.
	Arcs int
	// Capped is set where the gap relit 60 times and the rest was left out.
	Capped bool
}

// ErrNoSolution is returned where the arithmetic fails on parts that passed
// the check. No such parts are known.
var ErrNoSolution = errors.New("spark: no solution was found for these parts; this is a defect of the library, please report the values")

// Compute works out one spark, exactly within the model that the package's
// page describes. The error is a [Problems] with everything wrong with the
// parts. It needs no memory of its own and may be called from any number of
// goroutines.
func Compute(p *Parts) (Event, error) {
	var c circuit
	var k checker
	p.circuit(&c, &k)
	if k.problems != nil {
		return Event{}, k.problems
	}
	var e Event
	if !c.event(&e, nil) {
		return Event{}, ErrNoSolution
	}
	return e, nil
}

// bare is an event as plain SI numbers.
type bare struct {
	amperes, joules float64
	rings           [maxStates / 2]float64
	open, fired     opening
}

// event runs both parts. It reports false where no sound numbers came out.
func (c *circuit) event(e *Event, log *[]stretch) bool {
	var b bare
	return c.run(&b, log, true, true) && b.into(e)
}

// into makes quantities of plain numbers. It reports false where they are not
// sound.
func (b *bare) into(e *Event) bool {
	for _, v := range [...]float64{b.amperes, b.joules, b.open.plugVolts, b.open.plugSeconds, b.open.primaryVolts,
		b.fired.fireSeconds, b.fired.burnSeconds, b.fired.gapJoules, b.fired.gapCoulombs, b.fired.lastSeconds, b.fired.primaryVolts} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	e.Current = amperes(b.amperes)
	e.Stored = joules(b.joules)
	e.Open = Open{
		Secondary: volts(b.open.plugVolts), PeakTime: seconds(b.open.plugSeconds),
		Primary: volts(b.open.primaryVolts), Arcs: b.open.arcs,
	}
	for i, hertz := range b.rings {
		e.Open.Rings[i], _ = units.FromSI(units.KindFrequency, hertz).Frequency()
	}
	e.Fired = Fired{
		Sparked: b.fired.fired, Time: seconds(b.fired.fireSeconds), Burn: seconds(b.fired.burnSeconds),
		Last: seconds(b.fired.lastSeconds), Energy: joules(b.fired.gapJoules), ChargeCoulombs: b.fired.gapCoulombs,
		Strikes: b.fired.strikes, Primary: volts(b.fired.primaryVolts), Arcs: b.fired.arcs, Capped: b.fired.capped,
	}
	return true
}

// run closes the points and runs the parts asked for.
func (c *circuit) run(b *bare, log *[]stretch, wantOpen, wantFired bool) bool {
	*b = bare{}
	c.prepare()
	r := runner{c: c, log: log}
	var z vector
	if !r.close(&z) {
		return false
	}
	o := c.current(0)
	b.amperes = o.apply(&z)
	for _, x := range z[:c.windings] {
		b.joules += x * x / 2
	}
	if wantFired && !r.open(z, true, &b.fired) {
		return false
	}
	if wantOpen {
		if wantFired {
			r.prime(&b.fired)
		}
		r.log = nil
		if !r.open(z, false, &b.open) {
			return false
		}
	}
	return r.rings(b)
}

// rings reads the natural frequencies off the open phase.
func (r *runner) rings(b *bare) bool {
	p, ok := r.phase(setting{points: open})
	if !ok {
		return false
	}
	n := 0
	for j := range p.n {
		if p.im[j] > 0 {
			b.rings[n] = p.im[j] / (2 * math.Pi)
			n++
		}
	}
	for i := 1; i < n; i++ { // highest first
		for j := i; j > 0 && b.rings[j] > b.rings[j-1]; j-- {
			b.rings[j], b.rings[j-1] = b.rings[j-1], b.rings[j]
		}
	}
	return true
}

func volts(x float64) units.Voltage {
	q, _ := units.FromSI(units.KindVoltage, x).Voltage()
	return q
}

func amperes(x float64) units.Current {
	q, _ := units.FromSI(units.KindCurrent, x).Current()
	return q
}

func seconds(x float64) units.Time {
	q, _ := units.FromSI(units.KindTime, x).Time()
	return q
}

func joules(x float64) units.Energy {
	q, _ := units.FromSI(units.KindEnergy, x).Energy()
	return q
}
