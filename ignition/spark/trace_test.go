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

// TestTraceMagnets: the traces of magnetos, modules and capacitor-discharge sets
// are their events, sample by sample: peaks, burning time, and the current at
// the opening.
func TestTraceMagnets(t *testing.T) {
	ran := 0
	for _, c := range readMagnetoCases(t) {
		var e Event
		var opposite units.Voltage
		var trace func(gap bool) ([]Sample, error)
		const n = 12001
		if c.Kind == "capacitor-discharge" {
			d := c.discharge()
			got, err := ComputeDischarge(d)
			if err != nil {
				t.Fatal(err)
			}
			e, opposite = got.Event, got.Opposite
			trace = func(gap bool) ([]Sample, error) { return TraceDischarge(d, gap, units.Milliseconds(5), n) }
		} else {
			m := c.magneto()
			got, err := ComputeMagneto(m)
			if err != nil {
				t.Fatal(err)
			}
			e, opposite = got.Event, got.Opposite
			trace = func(gap bool) ([]Sample, error) { return TraceMagneto(m, gap, units.Milliseconds(5), n) }
		}
		for _, gap := range []bool{false, true} {
			samples, err := trace(gap)
			if err != nil || len(samples) != n {
				t.Fatalf("%s: %d samples, %v", c.Name, len(samples), err)
			}
			span := magnetoOpenSeconds
			if gap {
				span = mostOpenSeconds
			}
			if got := samples[n-1].Time.Seconds(); !e.Fired.Capped && off(got, span) > 1e-9 {
				t.Errorf("%s: traced for %g s, want %g", c.Name, got, span)
			}
			most, least, primary, burning := 0.0, 0.0, 0.0, 0
			for _, s := range samples {
				most, least, primary = max(most, s.Secondary.Volts()), min(least, s.Secondary.Volts()), max(primary, s.Primary.Volts())
				if s.Burning {
					burning++
				}
			}
			if c.Kind != "energy-transfer" && c.Kind != "capacitor-discharge" && off(samples[0].Current.Amperes(), e.Current.Amperes()) > 1e-9 {
				t.Errorf("%s: begins with %v, the event with %v", c.Name, samples[0].Current, e.Current)
			}
			step := samples[1].Time.Seconds()
			if !gap {
				if off(most, e.Open.Secondary.Volts()) > 1e-3 || off(-least, opposite.Volts()) > 1e-3 {
					t.Errorf("%s: from %g to %g V, the event from %v to %v", c.Name, least, most, opposite, e.Open.Secondary)
				}
			} else if got := float64(burning) * step; math.Abs(got-e.Fired.Burn.Seconds()) > step*float64(e.Fired.Strikes+1) {
				t.Errorf("%s: burns %g s in the trace, %v in the event", c.Name, got, e.Fired.Burn)
			}
			want := e.Fired.Primary.Volts()
			if !gap {
				want = e.Open.Primary.Volts()
			}
			if primary > want*(1+1e-7) || primary < 0.98*want {
				t.Errorf("%s: %g V at the primary, the event %g", c.Name, primary, want)
			}
		}
		ran++
	}
	if ran != 20 {
		t.Errorf("%d cases", ran)
	}
}
