package spark

import (
	"fmt"
	"math"

	"gapbook.example/units"
)

// TurnsRatio is secondary turns over primary turns from the inductances of the
// two windings, each with the other open: √(L2/L1). It is as good as the share
// of flux that both windings see alike, a few per cent. Nought inductances give
// nought.
func TurnsRatio(primary, secondary units.Inductance) float64 {
	a, b := primary.Henries(), secondary.Henries()
	if !(a > 0) || !(b > 0) {
		return 0
	}
	return math.Sqrt(b / a)
}

// Coupling is the share of flux that both windings see, from the inductance of
// the primary with the secondary open and with it shorted: √(1 - shorted/open).
// The meter's frequency has to be far above R/L of the shorted winding. ok is
// false unless 0 < shorted < open.
func Coupling(open, shorted units.Inductance) (k float64, ok bool) {
	a, b := open.Henries(), shorted.Henries()
	if !(b > 0) || !(b < a) {
		return 0, false
	}
	return math.Sqrt((a - b) / a), true
}

// InductanceFromRing is the inductance that rings at f with a capacitance:
// 1/((2πf)² C). For a coil that rings with its condenser while the plug does not
// fire, the capacitance is C1 + N² C2 of condenser and high-tension side.
// Damping lowers f by (1/(4πfτ))² of itself, which is left out. Nought in gives
// nought.
func InductanceFromRing(f units.Frequency, c units.Capacitance) units.Inductance {
	w := 2 * math.Pi * f.Hertz()
	x := 1 / (w * w * c.Farads())
	if !(x > 0) || math.IsInf(x, 0) {
		return units.Inductance{}
	}
	l, _ := units.FromSI(units.KindInductance, x).Inductance()
	return l
}

// BallastFor is the ballast that keeps the settled current of the parts with
// closed points at most at a limit, nought where none is needed. The error is
// that of [Compute], or names the limit.
func BallastFor(p *Parts, most units.Current) (units.Resistance, error) {
	var c circuit
	var k checker
	p.circuit(&c, &k)
	if !(most.Amperes() > 0) {
		k.add("limit", "it is "+most.String()+", and has to be more than nought", "")
	}
	if k.problems != nil {
		return units.Resistance{}, k.problems
	}
	// The settled current leaves the condenser's leakage out: it flows beside
	// the points.
	all := (c.batteryVolts - c.contactVolts) / most.Amperes()
	without := c.loopOhms - p.Ballast.Ohms() + c.contactOhms
	r, _ := units.FromSI(units.KindResistance, max(all-without, 0)).Resistance()
	return r, nil
}

// KeyOn is what becomes of a coil whose key was left on with the points closed.
type KeyOn struct {
	Current       units.Current
	Coil, Ballast units.Power
	// Rise of the coil's temperature once settled, and its resistance and the
	// current then; nought where no thermal resistance was given.
	Rise    units.TemperatureDifference
	Hot     units.Resistance
	Settled units.Current
	// Runaway is set where no temperature settles below 300 K of rise.
	Runaway bool
}

// copperZero is the inferred temperature of no resistance of copper, -234.5 °C
// (the constant of IEEE 118 and IEC 60034-1, as a note on winding temperatures
// gives it).
const copperZero = 234.5

// KeyLeftOn works out current and heat with the points closed for good. The
// primary's resistance is taken to have been measured at a temperature; its
// copper grows by (234.5 + t) and so settles where heat in equals heat out
// through kelvinsPerWatt, the coil's thermal resistance to the air at that same
// temperature: nought leaves the heating out. The error is that of [Compute].
func KeyLeftOn(p *Parts, at units.Temperature, kelvinsPerWatt float64) (KeyOn, error) {
	var c circuit
	var k checker
	p.circuit(&c, &k)
	if math.IsNaN(kelvinsPerWatt) || kelvinsPerWatt < 0 || kelvinsPerWatt > 1000 {
		k.add("thermal_resistance", fmt.Sprintf("it is %g K/W, and has to be between 0 and 1000", kelvinsPerWatt), "")
	}
	if t := at.Celsius(); t < -100 || t > 300 {
		k.add("temperature", "it is "+at.String()+", and has to be between -100 and 300 °C", "")
	}
	if k.problems != nil {
		return KeyOn{}, k.problems
	}
	cold := p.Coil.PrimaryResistance.Ohms()
	others := c.loopOhms - cold + c.contactOhms
	v := c.batteryVolts - c.contactVolts
	ohmsAt := func(rise float64) float64 {
		return cold * (copperZero + at.Celsius() + rise) / (copperZero + at.Celsius())
	}
	amps := func(ohms float64) float64 {
		i := v / (ohms + others)
		if c.limitAmperes > 0 {
			i = min(i, c.limitAmperes)
		}
		return i
	}
	i := amps(cold)
	var out KeyOn
	out.Current = amperes(i)
	out.Coil, _ = units.FromSI(units.KindPower, i*i*cold).Power()
	out.Ballast, _ = units.FromSI(units.KindPower, i*i*p.Ballast.Ohms()).Power()
	if kelvinsPerWatt == 0 {
		return out, nil
	}
	// Heat in less heat out falls through nought once; bisect.
	over := func(rise float64) float64 {
		r := ohmsAt(rise)
		i := amps(r)
		return i*i*r*kelvinsPerWatt - rise
	}
	low, high := 0.0, 300.0
	if over(high) > 0 {
		out.Runaway = true
		low = high
	}
	for high-low > 1e-9 {
		if mid := (low + high) / 2; over(mid) > 0 {
			low = mid
		} else {
			high = mid
		}
	}
	out.Rise, _ = units.FromSI(units.KindTemperatureDifference, low).TemperatureDifference()
	out.Hot, _ = units.FromSI(units.KindResistance, ohmsAt(low)).Resistance()
	out.Settled = amperes(amps(ohmsAt(low)))
	return out, nil
}

// Draw is the mean current from the battery over a whole cycle at the parts'
// speed and dwell, closed and open time together. The error is that of
// [Compute].
func Draw(p *Parts) (units.Current, error) {
	var c circuit
	var k checker
	p.circuit(&c, &k)
	if k.problems != nil {
		return units.Current{}, k.problems
	}
	c.prepare()
	var log []stretch
	r := runner{c: &c, log: &log}
	var z vector
	var out opening
	if !r.close(&z) {
		return units.Current{}, ErrNoSolution
	}
	var s segment
	var now instant
	var w wave
	o := c.current(0)
	// Closed: from rest for the time that the spark takes into account, then
	// settled for the rest of a longer dwell.
	s.phase, _ = r.phase(setting{points: closed})
	var rest, zero vector
	c.rest(setting{points: closed}, 0, &rest)
	s.begin(&rest, &zero, nil)
	s.wave(&o, &w)
	coulombs := 0.0
	held := c.closedSeconds
	if c.limitAmperes > 0 {
		var waves [maxWaves]wave
		waves[0] = w
		waves[0].constant -= c.limitAmperes
		held, _ = s.crossing(&waves, 1, c.closedSeconds)
		coulombs += (c.closedSeconds - held) * c.limitAmperes
	}
	s.at(held, &now)
	coulombs += s.area(&w, &now)
	whole := p.Run.Dwell * c.cycleSeconds
	settled := w.constant
	if c.limitAmperes > 0 {
		settled = min(settled, c.limitAmperes)
	}
	coulombs += (whole - c.closedSeconds) * settled
	log = log[:0]
	if !r.open(z, true, &out) {
		return units.Current{}, ErrNoSolution
	}
	for i := range log {
		st := &log[i]
		s.phase, _ = r.phase(st.set)
		var rest vector
		c.restAt(st, &rest)
		s.begin(&rest, &st.from, nil)
		s.at(st.seconds, &now)
		s.wave(&o, &w)
		coulombs += s.area(&w, &now)
	}
	return amperes(coulombs / c.cycleSeconds), nil
}

// A CondenserChoice is the condenser that gives a coil and its points the most.
type CondenserChoice struct {
	// Least is the smallest capacitance with which these points do not arc,
	// and Available what the coil makes with it: less arcs, more only costs
	// kilovolts.
	Least     units.Capacitance
	Available units.Voltage
	// Arcing is what would be left with a tenth less.
	Arcing units.Voltage
}

// BestCondenser looks for the smallest capacitance from low to high with which
// the points do not arc, as they open at the speed that their strength tells.
// That is the best for kilovolts: a larger one only lowers the peak. The parts
// need [Points.Arc]. The error is a [Problems]; it names the condenser where
// even the largest arcs.
func BestCondenser(p *Parts, low, high units.Capacitance) (CondenserChoice, error) {
	q := p.clone()
	ps := q.Check()
	if q.Points.Arc == nil || q.Switch != nil {
		ps = append(ps, Problem{"points.arc", "these parts do not say when their points arc, and a smaller condenser would always look better", "give strength and rise of the opening points"})
	}
	if !(low.Farads() > 0) || low.Cmp(high) > 0 {
		ps = append(ps, Problem{"condenser.capacitance", fmt.Sprintf("the search runs from %v to %v", low, high), "write the smaller first, more than nought"})
	}
	if ps != nil {
		return CondenserChoice{}, ps
	}
	try := func(farads float64) (Event, error) {
		q.Condenser.Capacitance, _ = units.FromSI(units.KindCapacitance, farads).Capacitance()
		return Compute(q)
	}
	a, b := math.Log(low.Farads()), math.Log(high.Farads())
	e, err := try(high.Farads())
	if err != nil {
		return CondenserChoice{}, err
	}
	if e.Open.Arcs > 0 {
		return CondenserChoice{}, Problems{{"condenser.capacitance", fmt.Sprintf("the points arc even with %v", high), "their opening is too slow or the current too high for any of these"}}
	}
	if e, err = try(low.Farads()); err != nil {
		return CondenserChoice{}, err
	}
	if e.Open.Arcs == 0 {
		b = a
	}
	for b-a > 1e-6 {
		mid := (a + b) / 2
		if e, err = try(math.Exp(mid)); err != nil {
			return CondenserChoice{}, err
		}
		if e.Open.Arcs > 0 {
			a = mid
		} else {
			b = mid
		}
	}
	var out CondenserChoice
	if e, err = try(math.Exp(b)); err != nil {
		return CondenserChoice{}, err
	}
	out.Least, out.Available = q.Condenser.Capacitance, e.Open.Secondary
	if e, err = try(math.Exp(b) * 0.9); err != nil {
		return CondenserChoice{}, err
	}
	out.Arcing = e.Open.Secondary
	return out, nil
}
