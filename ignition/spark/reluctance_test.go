package spark

import (
	"testing"

	"gapbook.example/units"
)

// TestMagnetCircuit: the network against the simulator's case of it (whose own
// values it states to 16 digits), against the figures that its defaults were
// chosen for, and the short form against the network.
func TestMagnetCircuit(t *testing.T) {
	usual := MagnetCircuit{units.Amperes(1100), 1.5e7, 1.5e7, 1.6e7, 5e5, units.Inches(0.0125), 1.6e-4, 155}
	var base *Magneto
	for _, c := range readMagnetoCases(t) {
		if c.Name == "fm_gap_030" {
			m := usual
			m.Gap = units.Inches(0.030)
			lam, l, ok := m.Solve()
			if !ok || off(lam.Webers(), c.in("lam")) > 1e-9 || off(l.Henries(), c.in("l1")) > 1e-9 {
				t.Errorf("0.030 in: %v, %v", lam, l)
			}
		}
		if c.Name == "fm_300" {
			base = c.magneto()
		}
	}
	lam0, l0, _ := usual.Solve()
	base.Magnet.Linkage, base.Coil.PrimaryInductance = lam0, l0
	for _, inch := range []float64{0.006, 0.010, 0.014, 0.020, 0.030} {
		m := usual
		m.Gap = units.Inches(inch)
		lam, l, _ := m.Solve()
		short := base.WithGap(inch / 0.0125)
		if off(short.Magnet.Linkage.Webers(), lam.Webers()) > 0.02 || off(short.Coil.PrimaryInductance.Henries(), l.Henries()) > 0.02 {
			t.Errorf("%g in: short form %v, %v, network %v, %v", inch, short.Magnet.Linkage, short.Coil.PrimaryInductance, lam, l)
		}
	}
	wide, err := ComputeMagneto(ptr(base.WithGap(2.4)))
	if err != nil {
		t.Fatal(err)
	}
	near, err := ComputeMagneto(base)
	if err != nil || wide.Open.Secondary.Volts() > 0.8*near.Open.Secondary.Volts() {
		t.Errorf("a wide gap makes %v, a narrow one %v (%v)", wide.Open.Secondary, near.Open.Secondary, err)
	}
	if _, _, ok := (MagnetCircuit{}).Solve(); ok {
		t.Error("a circuit of nothing was solved")
	}
}

func ptr[T any](v T) *T { return &v }

// TestComingIn: a rotor magneto and a tester of needle points 5 mm apart (5.9 kV
// by the AIEE's table): 150 to 200 rpm is what such magnetos are asked for
// (from memory).
func TestComingIn(t *testing.T) {
	need, _ := Needle(units.Millimetres(5))
	for _, c := range readMagnetoCases(t) {
		if c.Name != "rm_180" {
			continue
		}
		m := c.magneto()
		rpm, ok, err := ComingIn(m, need, units.RPM(20), units.RPM(2000))
		if err != nil || !ok || rpm.RPM() < 150 || rpm.RPM() > 200 {
			t.Errorf("comes in at %v, %v, %v", rpm, ok, err)
		}
		m.Magnet.Linkage = m.Magnet.Linkage.Scale(0.7)
		if weak, _, _ := ComingIn(m, need, units.RPM(20), units.RPM(2000)); weak.Cmp(rpm) <= 0 {
			t.Errorf("a weak magnet comes in at %v, a strong one at %v", weak, rpm)
		}
		if _, ok, _ := ComingIn(m, units.Kilovolts(100), units.RPM(20), units.RPM(2000)); ok {
			t.Error("100 kV came in")
		}
	}
}

func BenchmarkComingIn(b *testing.B) {
	need, _ := Needle(units.Millimetres(5))
	m := readMagnetoCases(b)[1].magneto()
	for b.Loop() {
		if _, ok, err := ComingIn(m, need, units.RPM(20), units.RPM(2000)); !ok || err != nil {
			b.Fatal(ok, err)
		}
	}
}
