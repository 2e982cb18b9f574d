package main

import (
	"encoding/json"
	"strings"
	"testing"
	"unicode/utf8"

	"gapbook.example/specs"
)

// TestEngine runs the first engine of every kind of ignition in the book
// through the program, in words and as JSON.
func TestEngine(t *testing.T) {
	seen := map[string]bool{}
	for entry := range specs.Builtin().Entries() {
		if seen[entry.System] {
			continue
		}
		seen[entry.System] = true
		out, errs, code := call("", "-engine", entry.ID)
		if entry.System == "unknown" || entry.System == "make-and-break" || entry.System == "trembler" {
			if code != 2 || out != "" || !strings.Contains(errs, "battery-points") {
				t.Errorf("%s: code %d, %s", entry.ID, code, errs)
			}
			out, errs, code = call("", "-engine", entry.ID, "-system", "flywheel-magneto-points")
		}
		if code != 0 || errs != "" {
			t.Errorf("%s: code %d, %s", entry.ID, code, errs)
			continue
		}
		flat := strings.Join(strings.Fields(out), " ")
		for _, want := range []string{entry.ID, "From its record:", "Taken for granted", "coil.coupling = ", "demand.compression = 6", "needed available reserve", "cranking", "top speed"} {
			if !strings.Contains(flat, want) {
				t.Errorf("%s: does not say %q", entry.ID, want)
			}
		}
		for line := range strings.Lines(out) {
			if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > 80 {
				t.Errorf("%s: %d columns: %s", entry.ID, n, line)
			}
		}
		args := []string{"-json", "-engine", entry.ID, "-system", "flywheel-magneto-points"}
		if out, errs, code := call("", args...); code != 0 || errs != "" || !json.Valid([]byte(out)) || !strings.Contains(out, "trip_deg") {
			t.Errorf("%s as JSON: code %d, %s%s", entry.ID, code, out, errs)
		}
	}
	if len(seen) < 7 {
		t.Errorf("only %d kinds of ignition", len(seen))
	}
	for _, args := range [][]string{{"-engine", "no-such-engine"}, {"-system", "battery-points"}, {"-engine", "x", "case.toml"}} {
		if out, errs, code := call("", args...); code != 2 || out != "" || errs == "" {
			t.Errorf("%v: code %d, %q, %q", args, code, out, errs)
		}
	}
}

// TestCylinder: a cylinder that is none is refused by name; without one the
// program says how to give one; a magneto and a worn set are judged.
func TestCylinder(t *testing.T) {
	if out, errs, code := call(replaced(t, "compression = 6.0", "compression = 0.5"), "-"); code != 2 || out != "" || !strings.Contains(errs, "demand.compression") {
		t.Errorf("code %d, %s%s", code, out, errs)
	}
	without, _, _ := strings.Cut(string(pump), "[cylinder]")
	if out, errs, code := call(without, "-"); code != 0 || !strings.Contains(strings.Join(strings.Fields(out), " "), "where the case has a [cylinder] table") {
		t.Errorf("code %d, %s", code, errs)
	}
	fouled := replaced(t, `shunt              = "1 GΩ"`, `shunt = "200 kΩ"`)
	if out, _, code := call(fouled, "-"); code != 0 || !strings.Contains(out, "the plug cannot fire") {
		t.Errorf("a fouled plug: code %d, %s", code, out)
	}
	if out, _, code := call("", "flywheel.toml"); code != 0 || !strings.Contains(out, "may not be enough there") || !strings.Contains(out, "No chance of a miss") {
		t.Errorf("a magneto: code %d, %s", code, out)
	}
}
