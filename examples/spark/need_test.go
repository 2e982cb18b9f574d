package main

import (
	"encoding/json"
	"math"
	"os"
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
		if entry.System == "make-and-break" || entry.System == "trembler" {
			if code != 0 || errs != "" || !strings.Contains(strings.Join(strings.Fields(out), " "), "all that is computed for this kind of ignition") {
				t.Errorf("%s: code %d, %s%s", entry.ID, code, errs, out)
			}
			out, errs, code = call("", "-engine", entry.ID, "-system", "flywheel-magneto-points")
		}
		if entry.System == "unknown" {
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
		if len(seen) > 2 {
			continue // once more as JSON is enough for two
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
	if out, _, code := call("", "flywheel.toml"); code != 0 || !strings.Contains(out, "may not be enough there") || !strings.Contains(out, "linkage was not measured") || !strings.Contains(out, "misses") {
		t.Errorf("a magneto: code %d, %s", code, out)
	}
}

// TestConditions: what the plug is like goes into what it needs, and a measured
// linkage makes a magneto's chance of a miss mean something.
func TestConditions(t *testing.T) {
	flywheel, err := os.ReadFile("flywheel.toml")
	if err != nil {
		t.Fatal(err)
	}
	type row struct {
		Needed  [2]float64 `json:"needed_V"`
		Reserve [3]float64
		Miss    [3]float64
	}
	reserve := func(src string) []row {
		t.Helper()
		out, errs, code := call(src, "-json", "-")
		var a struct{ Reserve []row }
		if code != 0 || json.Unmarshal([]byte(out), &a) != nil || len(a.Reserve) != 4 {
			t.Fatalf("code %d, %s%s", code, out, errs)
		}
		return a.Reserve
	}
	plain := reserve(string(flywheel))
	for _, c := range []struct {
		key       string
		low, high float64
		cranking  bool
	}{{`electrodes = "worn"`, 0.9 / 0.69, 1.2 / 1.02, true}, {`centre_electrode = "positive"`, 1.1, 1.4, true}, {`heat = "glowing"`, 0.8, 1, false}} {
		got := reserve(string(flywheel) + c.key + "\n")
		low, high := got[2].Needed[0]/plain[2].Needed[0], got[2].Needed[1]/plain[2].Needed[1]
		if math.Abs(low-c.low) > 1e-9 || math.Abs(high-c.high) > 1e-9 || c.cranking == (got[0].Needed == plain[0].Needed) {
			t.Errorf("%s: %v, plain %v", c.key, got[2], plain[2])
		}
	}
	measured := reserve(strings.Replace(string(flywheel), "linkage = ", "measured = true\nlinkage = ", 1))
	wide, narrow := plain[3].Reserve[2]/plain[3].Reserve[0], measured[3].Reserve[2]/measured[3].Reserve[0]
	if narrow > 0.8*wide || measured[3].Miss[0] > plain[3].Miss[0] {
		t.Errorf("measured %+v, not measured %+v", measured[3], plain[3])
	}
	for _, bad := range []string{`electrodes = "old"`, `heat = 3`, `centre_electrode = ""`} {
		if out, errs, code := call(string(flywheel)+bad+"\n", "-"); code != 2 || out != "" || !strings.Contains(errs, "cylinder.") {
			t.Errorf("%s: code %d, %s", bad, code, errs)
		}
	}
}
