package main

import (
	"strings"
	"testing"
)

// TestBench: what was measured on the bench comes back as values of the coil,
// and the questions the other way round are answered. The armature's
// inductances are those that its restorer measured (one enthusiast's record).
func TestBench(t *testing.T) {
	out, errs, code := call(string(pump)+`
[bench]
primary_open    = "3.40 mH"
secondary_open  = "16.38 H"
primary_shorted = "0.2 mH"
ring            = "2.246 kHz"
ring_capacitance = "0.22 µF"
current_limit   = "3 A"
temperature     = "20 °C"
thermal_resistance = 1.0
`, "-")
	flat := strings.Join(strings.Fields(out), " ")
	if code != 0 {
		t.Fatalf("code %d, %s", code, errs)
	}
	for _, want := range []string{
		"turns ratio of 69.4",                 // √(16.38/0.0034)
		"coupling of 0.9701",                  // √(1 - 0.2/3.4)
		"an inductance of 22.8",               // 1/((2π 2246)² 0.22e-6) = 22.82 mH
		"ballast of 0.55",                     // 12.6/3 - 3.65 Ω
		"the coil takes 3.45 A, 41 W of heat", // 12.6/3.65; squared times 3.4
		"settles 36 K warmer",                 // the root of i²R(t) = rise, see below
		"the ignition draws 1.4",
		"The smallest condenser with which these points do not arc",
	} {
		if !strings.Contains(flat, want) {
			t.Errorf("does not say %q: %s", want, flat[strings.Index(flat, "On the bench"):])
		}
	}
	// 36 K: the coil is then at 3.4 (234.5+56)/254.5 = 3.88 Ω, takes 12.6/4.13 =
	// 3.05 A and 36.1 W, times 1 K/W.
	if out, _, code := call(string(pump)+"[bench]\nprimary_shorted = \"9 mH\"\nprimary_open = \"8 mH\"\nthermal_resistance = 50\n", "-"); code != 0 || !strings.Contains(strings.Join(strings.Fields(out), " "), "it has to be less") || !strings.Contains(out, "burns out") {
		t.Errorf("code %d, %s", code, out)
	}
	for _, bad := range []string{"current_limit = \"-1 A\"", "thermal_resistance = -1", "temperature = \"900 °C\""} {
		if out, errs, code := call(string(pump)+"[bench]\n"+bad+"\n", "-"); code != 2 || out != "" || errs == "" {
			t.Errorf("%s: code %d, %s%s", bad, code, out, errs)
		}
	}
}
