package spark

import (
	"math"
	"testing"

	"gapbook.example/specs"
	"gapbook.example/units"
)

// TestLowTension: the ignition solenoid of a circuits textbook (first-order
// circuits chapter, worked problem: 4 Ω and 6 mH on 12 V end at 3 A and 27 mJ),
// and University Physics' 45 V, 250 Ω, 0.12 H: 0.1134 A after one time constant
// of 0.48 ms (the page rounds 63.2 % to 63 %).
func TestLowTension(t *testing.T) {
	e, err := ComputeLowTension(LowTension{Battery: Battery{Voltage: units.Volts(12)}, Resistance: units.Ohms(4), Inductance: units.Millihenries(6)})
	if err != nil || off(e.Current.Amperes(), 3) > 1e-12 || off(e.Stored.Millijoules(), 27) > 1e-12 || off(e.TimeConstant.Seconds(), 1.5e-3) > 1e-12 {
		t.Errorf("%+v, %v", e, err)
	}
	e, err = ComputeLowTension(LowTension{Battery: Battery{Voltage: units.Volts(45)}, Resistance: units.Ohms(250), Inductance: units.Henries(0.12), Closed: units.Milliseconds(0.48)})
	if err != nil || math.Abs(e.Current.Amperes()-0.1134) > 0.0005 {
		t.Errorf("%+v, %v", e, err)
	}
	// The same loop by the kernel: a coil with next to nothing coupled to it.
	p := plain(45, 250, 0.12, 0.00048)
	k, err := Compute(p)
	if err != nil || off(e.Current.Amperes(), k.Current.Amperes()) > 1e-6 {
		t.Errorf("%v, the kernel %v (%v)", e.Current, k.Current, err)
	}
	if _, err := ComputeLowTension(LowTension{}); err == nil {
		t.Error("a coil of nothing was computed")
	}
	book := specs.Builtin()
	done := 0
	for entry := range book.Entries() {
		for _, system := range []string{"make-and-break", "trembler"} {
			s, err := LowTensionFromBook(book, entry.ID, system)
			if err != nil {
				t.Fatal(err)
			}
			e, err := ComputeLowTension(s.Coil)
			if err != nil || !(e.Current.Amperes() > 0.3 && e.Current.Amperes() < 20) || !(e.Stored.Millijoules() > 0.3 && e.Stored.Millijoules() < 1000) || len(s.Granted) < 4 {
				t.Errorf("%s, %s: %+v, %v", entry.ID, system, e, err)
			}
			done++
		}
		if entry.System == "battery-points" {
			if _, err := LowTensionFromBook(book, entry.ID, ""); err == nil {
				t.Errorf("%s was taken for a low-tension set", entry.ID)
			}
		}
	}
	if done < 100 {
		t.Errorf("only %d", done)
	}
}
