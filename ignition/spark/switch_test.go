package spark

import (
	"math"
	"math/rand/v2"
	"testing"

	"gapbook.example/units"
)

// TestSwitch: a transistor without saturation is a pair of points; saturation
// takes from the battery; limit and clamp hold.
func TestSwitch(t *testing.T) {
	compute := func(p *Parts) Event {
		t.Helper()
		e, err := Compute(p)
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	points := compute(nominalParts())
	p := nominalParts()
	p.Points = Points{}
	p.Switch = &Switch{Resistance: ohms(0.05)}
	if e := compute(p); e != points {
		t.Errorf("switch %+v, points %+v", e, points)
	}
	// The settled current is (V - saturation)/R.
	p.Switch.Saturation = volts(0.9)
	p.Run.Speed = units.RPM(600)
	if got, want := compute(p).Current.Amperes(), (12.6-0.9)/3.65; off(got, want) > 1e-6 {
		t.Errorf("%g A behind a saturated switch, want %g", got, want)
	}
	p.Switch.Limit = amperes(2)
	if got := compute(p).Current.Amperes(); off(got, 2) > 1e-12 {
		t.Errorf("%g A at a limit of 2 A", got)
	}
	p.Switch.Limit = amperes(5) // never reached
	if got, want := compute(p).Current.Amperes(), (12.6-0.9)/3.65; off(got, want) > 1e-6 {
		t.Errorf("%g A under a limit of 5 A, want %g", got, want)
	}
	// Without a condenser the clamp takes what the coil throws at it, and the
	// plug still gets less than the ratio of turns times the clamp. (With
	// leakage the ring rides on top.)
	p = nominalParts()
	p.Condenser.Capacitance = farads(2e-9)
	p.Switch = &Switch{Saturation: volts(0.9), Resistance: ohms(0.1), Clamp: volts(330), ClampResistance: ohms(2)}
	e := compute(p)
	if e.Open.Arcs == 0 || e.Open.Primary.Volts() > 330+2*e.Current.Amperes()+1 || e.Open.Primary.Volts() < 330 {
		t.Errorf("clamped at %v, %d times", e.Open.Primary, e.Open.Arcs)
	}
	if kv := e.Open.Secondary.Volts(); kv > 1.3*85*330 || kv < 0.3*85*330 {
		t.Errorf("%g V behind a clamp", kv)
	}
	if !e.Fired.Sparked {
		t.Error("no spark behind a clamp")
	}
	// And energy balances with clamps too.
	r := rand.New(rand.NewPCG(4, 6))
	for range 500 {
		q := randomParts(r)
		q.Points = Points{}
		q.Switch = &Switch{volts(0.2 + r.Float64()), ohms(0.1), units.Current{}, volts(200 + 200*r.Float64()), ohms(3 * r.Float64())}
		c := mustCircuit(q)
		var log []stretch
		run := runner{c: c, log: &log}
		var z vector
		var out opening
		if !run.close(&z) || !run.open(z, true, &out) {
			t.Fatal("no solution")
		}
		supplied, heat, gap, start, end := audit(t, c, &run, log)
		if x := math.Abs(start+supplied-heat-gap-end) / supplied; !(x <= 1e-9) {
			t.Errorf("energy out of balance by %.2g", x)
		}
	}
	p = nominalParts()
	p.Switch = &Switch{Saturation: volts(13)}
	if _, err := Compute(p); err == nil {
		t.Error("a switch that saturates above the battery was taken")
	}
	p.Switch = &Switch{Clamp: volts(12)}
	if _, err := Compute(p); err == nil {
		t.Error("a clamp below the battery was taken")
	}
}
