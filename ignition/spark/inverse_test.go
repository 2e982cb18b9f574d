package spark

import (
	"math"
	"testing"

	"gapbook.example/units"
)

// TestInverse: bench measurements turned into values of a coil.
func TestInverse(t *testing.T) {
	near := func(what string, got, want, within float64) {
		t.Helper()
		if !(math.Abs(got-want) <= within) {
			t.Errorf("%s: %.9g, want %g ± %g", what, got, want, within)
		}
	}
	henries := units.Henries
	// A rotor magneto's armature, measured by its restorer: 3.40 mH and 16.38 H
	// (engine records, one enthusiast's measurement); √ of their ratio 69.4.
	near("turns ratio", TurnsRatio(henries(3.40e-3), henries(16.38)), 69.4, 0.05)
	near("turns ratio of nothing", TurnsRatio(henries(0), henries(1)), 0, 0)
	// By its own definition: a transformer with coupling k shows L(1-k²).
	for _, k := range []float64{0.9, 0.98, 0.9999} {
		got, ok := Coupling(henries(8e-3), henries(8e-3*(1-k*k)))
		near("coupling", got, k, 1e-12)
		if !ok {
			t.Error("refused")
		}
	}
	if _, ok := Coupling(henries(1), henries(2)); ok {
		t.Error("a shorted secondary that raises the inductance was taken")
	}
	// A coil that rings with next to no loss gives its inductance back.
	p := nominalParts()
	p.Coil.PrimaryResistance, p.Wiring, p.Battery.Resistance = ohms(1e-3), ohms(0), ohms(0)
	p.Coil.SecondaryResistance, p.Coil.CoreLoss, p.Plug.Shunt, p.Condenser.Leakage = ohms(1e-3), ohms(math.Inf(1)), ohms(math.Inf(1)), ohms(math.Inf(1))
	p.Coil.Coupling = 1 - 1e-8
	p.Condenser.SeriesResistance, p.Lead = ohms(0), ohms(0)
	e, err := Compute(p)
	if err != nil {
		t.Fatal(err)
	}
	c := p.Condenser.Capacitance.Farads() + 85*85*57e-12
	near("inductance from the ring", InductanceFromRing(e.Open.Rings[len(rings(e))-1], farads(c)).Millihenries(), 8, 0.001)
	near("inductance from no ring", InductanceFromRing(units.Frequency{}, farads(c)).Henries(), 0, 0)

	// Ballast: the settled current then is the limit.
	p = nominalParts()
	p.Coil.PrimaryResistance = ohms(1.4)
	p.Run.Speed = units.RPM(300)
	r, err := BallastFor(p, amperes(4))
	if err != nil {
		t.Fatal(err)
	}
	p.Ballast = r
	if e, err = Compute(p); err != nil {
		t.Fatal(err)
	}
	near("current behind the ballast", e.Current.Amperes(), 4, 1e-4)
	if again, _ := BallastFor(p, amperes(4)); again.Cmp(r) != 0 && off(again.Ohms(), r.Ohms()) > 1e-12 {
		t.Errorf("a ballast that is there changes the answer: %v, %v", r, again)
	}
	if none, _ := BallastFor(nominalParts(), amperes(10)); !none.IsZero() {
		t.Errorf("ballast %v where none is needed", none)
	}
	if _, err := BallastFor(p, amperes(0)); err == nil {
		t.Error("a limit of nought was taken")
	}
}

func rings(e Event) []units.Frequency {
	var list []units.Frequency
	for _, f := range e.Open.Rings {
		if !f.IsZero() {
			list = append(list, f)
		}
	}
	return list
}

// TestKeyLeftOn checks heat against Ohm's law and the worked example of a
// winding's temperature: 80 Ω at 20 °C that reads 100 Ω is at 83.63 °C, by the
// 234.5 rule (physics forum, worked problem, its coefficient rounded).
func TestKeyLeftOn(t *testing.T) {
	p := nominalParts()
	k, err := KeyLeftOn(p, units.Celsius(20), 0)
	if err != nil {
		t.Fatal(err)
	}
	i := 12.6 / 3.65
	if off(k.Current.Amperes(), i) > 1e-12 || off(k.Coil.Watts(), i*i*3.4) > 1e-12 || !k.Ballast.IsZero() {
		t.Errorf("%+v", k)
	}
	hot, err := KeyLeftOn(p, units.Celsius(20), 3)
	if err != nil {
		t.Fatal(err)
	}
	rise := hot.Rise.KelvinDifference()
	a := hot.Settled.Amperes()
	if off(a*a*hot.Hot.Ohms()*3, rise) > 1e-6 || rise < 30 || hot.Runaway {
		t.Errorf("%+v", hot)
	}
	if got := (copperZero+20)*hot.Hot.Ohms()/3.4 - copperZero; off(got, 20+rise) > 1e-9 {
		t.Errorf("temperature %g from resistance, %g", got, 20+rise)
	}
	if got := (copperZero+20)*100/80 - copperZero; math.Abs(got-83.63) > 0.01 {
		t.Errorf("the worked example gives %g °C", got)
	}
	if k, _ := KeyLeftOn(p, units.Celsius(20), 100); !k.Runaway {
		t.Errorf("%+v", k)
	}
	for _, bad := range []float64{-1, math.NaN(), math.Inf(1)} {
		if _, err := KeyLeftOn(p, units.Celsius(20), bad); err == nil {
			t.Errorf("%g K/W was taken", bad)
		}
	}
}

// TestDraw: the mean current, from a numerical integral of the trace and from
// the textbook's exponential.
func TestDraw(t *testing.T) {
	for _, rpm := range []float64{300, 1800, 3600} {
		p := nominalParts()
		p.Run.Speed = units.RPM(rpm)
		got, err := Draw(p)
		if err != nil {
			t.Fatal(err)
		}
		cycle := 120 / rpm
		closed := 0.45 * cycle
		r, l := 3.65, 8e-3
		tau := l / r
		charge := 12.6 / r * (closed - tau*-math.Expm1(-closed/tau))
		// What flows while the coil is open is the spark's; it is small.
		low, high := charge/cycle*0.999, charge/cycle*1.01+4*3.5e-3/cycle
		if x := got.Amperes(); x < low || x > high {
			t.Errorf("%g rpm: %g A, expected %g to %g", rpm, x, low, high)
		}
	}
	p := nominalParts()
	p.Switch = &Switch{Resistance: ohms(0.05), Limit: amperes(2), Clamp: volts(350)}
	x, err := Draw(p)
	if err != nil || x.Amperes() > 2*0.5 || x.Amperes() < 2*0.35 {
		t.Errorf("%v behind a limit of 2 A: %v", x, err)
	}
}

// TestBestCondenser: at the answer the points just do not arc, and more
// capacitance only costs.
func TestBestCondenser(t *testing.T) {
	p := nominalParts()
	if _, err := BestCondenser(p, farads(0.02e-6), farads(1e-6)); err == nil {
		t.Error("points that never arc were taken")
	}
	p.Points.Arc = &Arc{volts(14), ohms(0.15), amperes(0.4), volts(60), units.VoltsPerMicrosecond(10)}
	best, err := BestCondenser(p, farads(0.02e-6), farads(1e-6))
	if err != nil {
		t.Fatal(err)
	}
	at := func(f float64) Event {
		q := p.clone()
		q.Condenser.Capacitance = farads(f)
		e, err := Compute(q)
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	c := best.Least.Farads()
	if at(c).Open.Arcs != 0 || at(c*0.999).Open.Arcs == 0 {
		t.Errorf("%v is not where arcs begin", best.Least)
	}
	if !(best.Arcing.Volts() < best.Available.Volts()/2) || at(c*1.3).Open.Secondary.Cmp(best.Available) >= 0 {
		t.Errorf("%+v; with 1.3 times %v", best, at(c*1.3).Open.Secondary)
	}
	if c < 0.1e-6 || c > 0.4e-6 {
		t.Errorf("best %v for a usual coil", best.Least) // usual condensers: 0.15 to 0.30 µF, common practice
	}
	p.Points.Arc.StrengthRise = units.VoltsPerMicrosecond(0.01)
	if _, err := BestCondenser(p, farads(0.02e-6), farads(0.03e-6)); err == nil {
		t.Error("points that always arc got a condenser")
	}
}
