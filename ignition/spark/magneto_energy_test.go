package spark

import (
	"math"
	"math/rand/v2"
	"testing"

	"gapbook.example/units"
)

// A books adds up where the energy of a run went, in joules.
type books struct{ start, supplied, heat, gap, end float64 }

// imbalance is what is missing, over all that was there.
func (b books) imbalance() float64 {
	return math.Abs(b.start+b.supplied-b.heat-b.gap-b.end) / (b.start + math.Abs(b.supplied) + b.heat + b.gap)
}

// auditDriven follows a log with a magnet: every resistance's heat, and the
// magnet's work e i in every winding, as closed-form integrals. The heat terms
// are written down from the circuit's branches and not from its matrix.
func auditDriven(t *testing.T, r *runner, log []stretch) (b books) {
	c := r.c
	var s segment
	var now instant
	var w, e wave
	var z vector
	var d drive
	for i := range log {
		st := &log[i]
		if st.seconds == 0 {
			continue
		}
		left := math.Inf(1)
		magnet := c.driveAt(st.start, &d, &left)
		if left < st.seconds*(1-1e-9) {
			t.Fatalf("stretch %d of %g s runs over a knot at %g s", i, st.seconds, left)
		}
		var ok bool
		if s.phase, ok = r.phase(st.set); !ok {
			t.Fatal("no modes")
		}
		var rest vector
		c.restAt(st, &rest)
		s.begin(&rest, &st.from, magnet)
		s.at(st.seconds, &now)
		if magnet != nil {
			zero := output{}
			s.wave(&zero, &e)
			for k := range s.m {
				if s.column[k] == forced {
					e.set(&s, k, magnet.re, magnet.im)
				}
			}
		}
		square := func(o output, by float64) {
			s.wave(&o, &w)
			b.heat += by * s.areaSquare(&w, &now)
		}
		for k, ohm := range []float64{c.loopOhms, c.secondaryOhms, c.thirdOhms}[:c.windings] {
			square(c.current(k), ohm)
			if magnet != nil {
				b.supplied += c.emf[k] * s.areaProduct(&w, &e, &now)
			}
		}
		square(c.towerVolts(), c.coreSiemens)
		square(c.plugVolts(), c.shuntSiemens)
		if !c.merged {
			lead, plug := c.towerVolts(), c.plugVolts()
			for k := range lead.row {
				lead.row[k] -= plug.row[k]
			}
			square(lead, 1/c.leadOhms)
		}
		square(c.condenserVolts(), c.leakSiemens)
		square(c.branchCurrent(st.set), c.series(st.set))
		ohm, source := c.path(st.set.points)
		pts := c.pointsCurrent(st.set)
		square(pts, ohm)
		b.heat += source * s.area(&w, &now)
		if st.set.burning {
			g := c.gapCurrent(st.sign * c.burnVolts)
			s.wave(&g, &w)
			b.gap += st.sign*c.burnVolts*s.area(&w, &now) + c.burnOhms*s.areaProduct(&w, &w, &now)
		}
		if i == 0 {
			for _, x := range st.from {
				b.start += x * x / 2
			}
		}
		s.state(&now, &z)
	}
	for _, x := range z {
		b.end += x * x / 2
	}
	return b
}

// randomDischarge draws a capacitor-discharge set.
func randomDischarge(r *rand.Rand) *Discharge {
	p := randomParts(r)
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	d := &Discharge{
		Charge:    ChargeCoil{henries(between(2, 8)), ohms(between(80, 600)), webers(between(0.4, 1)), 1 + r.IntN(4), units.Degrees(between(0, 180))},
		Store:     Store{farads(between(0.3e-6, 2e-6)), ohms(between(1e5, 1e7)), volts(between(120, 350)), volts(0.8)},
		Thyristor: Thyristor{volts(1.2), ohms(between(0.02, 0.3))},
		Coil:      p.Coil, Lead: p.Lead, Plug: p.Plug, Speed: units.RPM(math.Pow(10, between(2, 3.8))), Turn: units.MagnetDegrees(360),
	}
	d.Coil.Shorted = nil
	d.Coil.PrimaryInductance, d.Coil.PrimaryResistance = henries(between(0.2e-3, 1e-3)), ohms(between(0.1, 1))
	if r.IntN(2) == 0 {
		d.Freewheel = &Diode{volts(0.9), ohms(0.05)}
	}
	return d
}

// A driven is one random set of a magneto kind, ready to open.
type driven struct {
	kind   string
	r      runner
	z      vector
	before []stretch // closed, and what was before
}

// randomDriven draws a set and brings it to its opening, with the books of
// what was before. ok is false for a module that never opens.
func randomDriven(t *testing.T, r *rand.Rand, d *driven) (before books, ok bool) {
	*d = driven{}
	c := new(circuit)
	var k checker
	d.r.c = c
	if r.IntN(4) == 0 {
		d.kind = "discharge"
		s := randomDischarge(r)
		if s.check(c, &k); k.problems != nil {
			t.Fatal(k.problems)
		}
		c.prepare()
		c.energyState(0, 0, 0, s.Store.Regulator.Volts(), 0, 0, &d.z)
		return books{}, true
	}
	m := randomMagneto(r)
	if m.check(c, &k); k.problems != nil {
		t.Fatal(k.problems)
	}
	c.prepare()
	d.r.log = &d.before
	d.kind = "points"
	switch {
	case m.Module != nil:
		d.kind = "module"
		at, tripped, solved := d.r.trip(m.Module, m.Speed, m.Magnet.Flux[len(m.Magnet.Flux)-1].At.MagnetDegrees(), &d.z)
		if !solved {
			t.Fatal("no solution")
		}
		before = auditDriven(t, &d.r, d.before)
		if !tripped {
			return before, false
		}
		for i := range c.nKnots {
			c.knots[i].seconds -= at
		}
	default:
		if m.Source != nil {
			d.kind = "transfer"
		}
		if !d.r.drift(&d.z, setting{points: closed}, -c.closedSeconds, 0) {
			t.Fatal("no solution")
		}
		before = auditDriven(t, &d.r, d.before)
	}
	return before, true
}

// TestMagnetoEnergyBalance: stored + what the magnet gave = heat + gap + left,
// closed and open, over 10,000 random sets of every magneto kind, to 1e-9.
func TestMagnetoEnergyBalance(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 10))
	worst, ran, fired := map[string]float64{}, map[string]int{}, 0
	for trial := range 10000 {
		var d driven
		before, ok := randomDriven(t, r, &d)
		hold := func(when string, b books) {
			x := b.imbalance()
			worst[d.kind+" "+when] = max(worst[d.kind+" "+when], x)
			if !(x <= 1e-9) {
				t.Errorf("trial %d, %s %s: out of balance by %.2g: %+v", trial, d.kind, when, x, b)
			}
		}
		if len(d.before) > 0 {
			hold("closed", before)
		}
		if !ok {
			continue
		}
		var log []stretch
		d.r.log = &log
		var out opening
		if !d.r.open(d.z, true, &out) {
			t.Fatalf("trial %d: no solution", trial)
		}
		b := auditDriven(t, &d.r, log)
		hold("open", b)
		if off(out.gapJoules, b.gap) > 1e-9 && math.Abs(out.gapJoules-b.gap) > 1e-12 {
			t.Errorf("trial %d: gap energy %g, audited %g", trial, out.gapJoules, b.gap)
		}
		ran[d.kind]++
		if out.fired {
			fired++
		}
	}
	t.Logf("worst %v; ran %v, %d fired", worst, ran, fired)
	if len(ran) != 4 || ran["module"] < 300 || ran["discharge"] < 2000 || fired < 2000 {
		t.Errorf("ran %v, %d fired: the draw does not test enough", ran, fired)
	}
}

// TestMagnetoBruteForce steps through random openings of every magneto kind at
// a twentieth of the fastest ring and finer after every event: no condition may
// be met before the event found, nothing may exceed the peaks found.
func TestMagnetoBruteForce(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 11))
	events := map[string]int{}
	for trial := range some(100, 250) {
		var d driven
		if _, ok := randomDriven(t, r, &d); !ok {
			continue
		}
		c := d.r.c
		for _, gap := range []bool{true, false} {
			var log []stretch
			d.r.log = &log
			var out opening
			if !d.r.open(d.z, gap, &out) {
				t.Fatalf("trial %d: no solution", trial)
			}
			lastOut := -1.0
			for i := range log {
				st := &log[i]
				if st.seconds == 0 {
					continue
				}
				var dr drive
				left := 1.0
				magnet := c.driveAt(st.start, &dr, &left)
				ph, _ := d.r.phase(st.set)
				var rest vector
				c.restAt(st, &rest)
				s := segment{phase: ph}
				s.begin(&rest, &st.from, magnet)
				ring := 1 / st.seconds
				for k := range s.m {
					if s.im[k] > 0 {
						ring = max(ring, s.size[k])
					}
				}
				step, t0 := 0.05/ring, 1e-10
				prim, plug := c.primaryVolts(st.set), c.plugVolts()
				pts, cur := c.pointsCurrent(st.set), c.gapCurrent(st.sign*c.burnVolts)
				branch, store := c.branchCurrent(st.set), c.condenserVolts()
				missed := func(what string, at float64, is bool) {
					if is {
						t.Fatalf("trial %d, %s, stretch %d: %s was missed at %g of %g s", trial, d.kind, i, what, at, st.seconds)
					}
				}
				for at := 0.0; at < st.seconds*(1-1e-9)-1e-13; {
					var now instant
					s.at(at, &now)
					var x vector
					s.state(&now, &x)
					vP, vG, vC := prim.apply(&x), plug.apply(&x), store.apply(&x)
					since := st.start + at
					missed("a primary peak", at, vP > out.primaryVolts*(1+1e-7)+1e-9)
					missed("a plug's peak", at, !gap && vG > out.plugVolts*(1+1e-7)+1e-9)
					missed("an opposite peak", at, !gap && -vG > out.oppositeVolts*(1+1e-7)+1e-9)
					if at > 0 {
						missed("a clamp", at, c.arcs && st.set.points == open && vP > c.arcStartVolts+c.arcRiseVoltsPerSecond*since+1e-6*c.arcStartVolts)
						missed("a clamp's end", at, st.set.points == arcing && pts.apply(&x) < c.arcHoldAmperes-1e-6)
						missed("a diode", at, c.reverses && st.set.points == open && -vP > c.reverseVolts*(1+1e-6)+1e-6)
						missed("a diode's end", at, st.set.points == reversed && pts.apply(&x) > 1e-6)
						missed("a thyristor's end", at, c.thyristor && !st.set.cut && branch.apply(&x) > 1e-6)
						missed("a thyristor", at, c.thyristor && st.set.cut && vC-vP > 1e-6*math.Abs(vC)+1e-6)
					}
					if gap && !st.set.burning {
						threshold := c.breakdownVolts
						if c.hot && lastOut >= 0 {
							threshold = c.hotVolts + (c.breakdownVolts-c.hotVolts)*-math.Expm1(-(since-lastOut)/c.hotSeconds)
						}
						missed("a breakdown", at, math.Abs(vG) > threshold*(1+1e-9))
					}
					missed("an extinction", at, st.set.burning && st.sign*cur.apply(&x) < c.extinctionAmperes*(1-1e-6))
					at += min(step, t0)
					t0 *= 1.1
				}
				if st.set.burning {
					lastOut = st.start + st.seconds
				}
			}
			events[d.kind] += len(log)
		}
	}
	t.Logf("stretches %v", events)
	if len(events) != 4 {
		t.Errorf("only %v", events)
	}
}
