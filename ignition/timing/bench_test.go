package timing

import (
	"testing"

	"gapbook.example/units"
)

// conversions are the calls that must not allocate.
func conversions(t testing.TB) map[string]func() error {
	c, err := NewCrank(Geometry{Exactly(units.Millimetres(60)), Give(units.Millimetres(110), units.Millimetres(4)), Give(units.Millimetres(3), units.Millimetres(0.5))})
	if err != nil {
		t.Fatal(err)
	}
	w, err := NewWheel(Give(units.Millimetres(180), units.Millimetres(0.5)))
	if err != nil {
		t.Fatal(err)
	}
	b, err := FromSlope(units.Thou(20), units.ThouPerDegree(1.5), units.Number(0.5), CamLobe())
	if err != nil {
		t.Fatal(err)
	}
	adv, err := TwoSpeeds(units.RPM(1600), units.RPM(4200), units.BTDC(5), units.BTDC(45))
	if err != nil {
		t.Fatal(err)
	}
	a, x, s := crankDeg(f(20, 0.5)), mm(2, 0.02), mm(31, 0.5)
	// constructors of other than base units take the exact decimal path, which
	// is no part of a conversion
	fine, wide := units.Millimetres(0.01), units.Thou(20)
	narrow := Give(units.Thou(18), units.Thou(1))
	h := Hole{Slant: deg(30, 1)}
	sens := Sensitivity{Least: units.ThouPerDegree(0.4), Most: units.ThouPerDegree(1.5)}
	squeeze := Compression{share(7, 0.1), share(1.3, 0.02), Exactly(units.Bars(1))}
	return map[string]func() error{
		"angle to piston": func() error { _, err := c.Piston(a); return err },
		"piston to angle": func() error { _, err := c.Angle(x, Before); return err },
		"stop":            func() error { _, err := c.Stop(crankDeg(f(30, 1)), crankDeg(f(-30, 1))); return err },
		"dead zone":       func() error { _ = c.DeadZone(fine); return nil },
		"bore to gauge":   func() error { _, err := h.Gauge(x); return err },
		"angle to strip":  func() error { _, err := w.Strip(a, x); return err },
		"arc to angle":    func() error { _, err := w.OfArc(s); return err },
		"angle to chord":  func() error { _, err := w.Chord(a); return err },
		"chord to angle":  func() error { _, err := w.OfChord(s); return err },
		"gap to shift":    func() error { _ = sens.Shift(x); return nil },
		"gap along curve": func() error {
			_, err := b.Earlier(Exactly(wide), narrow)
			return err
		},
		"gap to dwell":      func() error { _, _, err := b.Dwell(wide); return err },
		"speed to dwell":    func() error { _ = CamLobe().DwellTime(share(0.5, 0.01), rpm(3000, 20)); return nil },
		"speed to timing":   func() error { _ = adv.At(rpm(3000, 20)); return nil },
		"ratio to pressure": func() error { _, err := squeeze.Gauge(); return err },
	}
}

func TestConversionsAllocateNothing(t *testing.T) {
	for name, call := range conversions(t) {
		if err := call(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if n := testing.AllocsPerRun(100, func() { call() }); n != 0 {
			t.Errorf("%s allocates %v times", name, n)
		}
	}
}

func BenchmarkConversions(b *testing.B) {
	for name, call := range conversions(b) {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				call()
			}
		})
	}
}
