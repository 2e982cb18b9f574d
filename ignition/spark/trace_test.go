package spark

import (
	"math"
	"testing"

	"gapbook.example/units"
)

// TestTrace: a trace is the event, sample by sample.
func TestTrace(t *testing.T) {
	for _, c := range readCases(t) {
		p := c.parts()
		e, err := Compute(p)
		if err != nil {
			t.Fatal(err)
		}
		for _, gap := range []bool{false, true} {
			samples, err := Trace(p, gap, units.Milliseconds(5), 20001)
			if err != nil || len(samples) != 20001 {
				t.Fatalf("%s: %d samples, %v", c.Name, len(samples), err)
			}
			plug, primary, burning := 0.0, 0.0, 0
			for _, s := range samples {
				plug, primary = max(plug, s.Secondary.Volts()), max(primary, s.Primary.Volts())
				if s.Burning {
					burning++
				}
			}
			step := samples[1].Time.Seconds()
			wantPrimary := e.Fired.Primary.Volts()
			if !gap {
				wantPrimary = e.Open.Primary.Volts()
				if off(plug, e.Open.Secondary.Volts()) > 1e-3 {
					t.Errorf("%s: trace peaks at %g V, event at %v", c.Name, plug, e.Open.Secondary)
				}
			} else if got := float64(burning) * step; math.Abs(got-e.Fired.Burn.Seconds()) > step*float64(e.Fired.Strikes+1) {
				t.Errorf("%s: burns %g s in the trace, %v in the event", c.Name, got, e.Fired.Burn)
			}
			// An arc cuts the peak off between two samples.
			if primary > wantPrimary*(1+1e-9) || primary < 0.98*wantPrimary && e.Fired.Arcs == 0 {
				t.Errorf("%s: trace peaks at %g V at the points, event at %g", c.Name, primary, wantPrimary)
			}
		}
	}
	if samples, err := Trace(nominalParts(), true, units.Seconds(1), 0); err != nil || len(samples) != 2 || samples[1].Time.Seconds() > mostOpenSeconds {
		t.Errorf("%v, %v", samples, err)
	}
	if _, err := Trace(&Parts{}, true, units.Milliseconds(1), 10); err == nil {
		t.Error("a trace of nothing was made")
	}
}
