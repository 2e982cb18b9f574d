package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"unicode/utf8"

	"gapbook.example/examples/shell"
)

// TestMain lets studies draw a tenth of what they do for people.
func TestMain(m *testing.M) {
	sparks /= 10
	m.Run()
}

func call(stdin string, args ...string) (stdout, stderr string, code int) {
	return shell.Run(run, usage, stdin, args...)
}

// caseText writes a simulator case as a case file.
func caseText(in map[string]float64) string {
	var b strings.Builder
	table := func(name string) { fmt.Fprintf(&b, "[%s]\n", name) }
	set := func(key string, v float64, unit string) { fmt.Fprintf(&b, "%s = \"%v %s\"\n", key, v, unit) }
	table("battery")
	set("voltage", in["vb"], "V")
	set("resistance", in["rint"], "Ω")
	table("wiring")
	set("resistance", in["rwire"], "Ω")
	table("ballast")
	set("resistance", in["rbal"], "Ω")
	table("coil")
	set("primary_resistance", in["rp"], "Ω")
	set("primary_inductance", in["l1"], "H")
	fmt.Fprintf(&b, "turns_ratio = %v\ncoupling = %v\n", in["n"], in["k"])
	set("secondary_resistance", in["r2"], "Ω")
	set("core_loss", in["rfe"], "Ω")
	set("secondary_capacitance", in["cs"], "F")
	if in["l3n"] > 0 {
		fmt.Fprintf(&b, "shorted_turns = { fraction = %v, resistance = \"%v ohm\", coupling = %v }\n", in["l3n"], in["r3"], in["k3"])
	}
	table("points")
	set("contact_resistance", in["rc"], "Ω")
	if in["arc"] == 1 {
		fmt.Fprintf(&b, "arc = { voltage = \"%v V\", resistance = \"%v Ω\", holding_current = \"%v A\", strength_start = \"%v V\", strength_rise = \"%v V/s\" }\n",
			in["varc"], in["rarc"], in["iarc"], in["va0"], in["vag"])
	}
	table("condenser")
	set("capacitance", in["c1"], "F")
	set("series_resistance", in["esr"], "Ω")
	set("leakage", in["rleak"], "Ω")
	table("lead")
	set("resistance", in["rl"], "Ω")
	table("plug")
	set("capacitance", in["cg"], "F")
	set("shunt", in["rsh"], "Ω")
	set("breakdown", in["vbd"], "V")
	set("burning_voltage", in["vburn"], "V")
	set("burning_resistance", in["rg"], "Ω")
	set("extinction_current", in["iext"], "A")
	if in["hot"] == 1 {
		fmt.Fprintf(&b, "hot_gap = { breakdown = \"%v V\", recovery = \"%v s\" }\n", in["vhot"], in["tauhot"])
	}
	table("run")
	fmt.Fprintf(&b, "speed = \"%v rpm\"\ndwell = %v\nsparks_per_rev = 0.5\n", in["rpm"], in["dwell"])
	return b.String()
}

type simFile struct {
	Cases []struct {
		Name     string             `json:"name"`
		Inputs   map[string]float64 `json:"inputs"`
		Expected map[string]any     `json:"expected"`
	} `json:"cases"`
}

// TestCases runs every case of the circuit simulator through the program.
func TestCases(t *testing.T) {
	src, err := os.ReadFile("../../testdata/spark/cases.json")
	if err != nil {
		t.Fatal(err)
	}
	var file simFile
	if err := json.Unmarshal(src, &file); err != nil {
		t.Fatal(err)
	}
	for _, c := range file.Cases {
		out, errs, code := call(caseText(c.Inputs), "-json", "-")
		if code != 0 || errs != "" {
			t.Fatalf("%s: code %d\n%s", c.Name, code, errs)
		}
		var got map[string]any
		if err := json.Unmarshal([]byte(out), &got); err != nil {
			t.Fatal(err)
		}
		open, fired := got["open"].(map[string]any), got["fired"].(map[string]any)
		near := func(what string, x any, want string, bar float64) {
			t.Helper()
			w := c.Expected[want].(float64)
			if v, ok := x.(float64); !ok || math.Abs(v-w) > bar*math.Abs(w) {
				t.Errorf("%s: %s is %v, simulator %v", c.Name, what, x, w)
			}
		}
		near("primary_current_A", got["primary_current_A"], "current_A", 1e-6)
		if c.Inputs["arc"] == 1 {
			near("peak_secondary_V", open["peak_secondary_V"], "fired_peak_secondary_V", 1e-5)
			near("peak_primary_V", open["peak_primary_V"], "fired_peak_primary_V", 1e-3)
		} else {
			near("peak_secondary_V", open["peak_secondary_V"], "peak_secondary_V", 1e-5)
			near("peak_primary_V", open["peak_primary_V"], "peak_primary_V", 1e-5)
		}
		if rings := open["ring_Hz"].([]any); len(rings) < 1 || rings[0].(float64) < 1000 {
			t.Errorf("%s: rings %v", c.Name, rings)
		}
		if c.Expected["breakdown_s"] == nil {
			for _, key := range []string{"breakdown_time_s", "burn_time_s", "spark_energy_J"} {
				if v, there := fired[key]; !there || v != nil {
					t.Errorf("%s: %s is %v, want null", c.Name, key, v)
				}
			}
			if fired["breakdown"] != false || fired["strikes"] != 0.0 {
				t.Errorf("%s: fired %v", c.Name, fired)
			}
			continue
		}
		bar := 1e-3
		if fired["strikes"].(float64) > 1 {
			bar = 1e-2
		}
		near("breakdown_time_s", fired["breakdown_time_s"], "breakdown_s", 1e-4)
		near("burn_time_s", fired["burn_time_s"], "burn_s", bar)
		near("spark_energy_J", fired["spark_energy_J"], "energy_J", bar)
	}
}

// TestDefault checks that the plain run says what the reserve is and why a
// small condenser, a 15 kΩ lead and a fouled plug eat it, in 80 columns.
func TestDefault(t *testing.T) {
	out, errs, code := call("")
	if code != 0 || errs != "" {
		t.Fatalf("code %d, stderr %s", code, errs)
	}
	for _, want := range []string{"31.1 kV", "the reserve is 3.11", "condenser 0.055 µF", "the points arc", "lead 15 kΩ", "turns it into heat", "plug fouled to 250 kΩ", "does not fire at all", "pacemaker",
		"needed available reserve misses", "It is least at cranking", "the chance of a miss lies between", "What governs it", "what the plug needs -0.8"} {
		if !strings.Contains(strings.Join(strings.Fields(out), " "), want) {
			t.Errorf("the plain run does not say %q", want)
		}
	}
	for line := range strings.Lines(out) {
		if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > 80 {
			t.Errorf("%d columns: %s", n, line)
		}
	}
}

// replaced is the default case with one text put in place of another.
func replaced(t *testing.T, old, new string) string {
	t.Helper()
	s := string(pump)
	if strings.Count(s, old) != 1 {
		t.Fatalf("%q stands %d times in the default case", old, strings.Count(s, old))
	}
	return strings.Replace(s, old, new, 1)
}

// TestBad checks that a wrong value ends with 2, names its key and place and
// prints nothing on standard output.
func TestBad(t *testing.T) {
	for _, c := range []struct{ old, new, key, says string }{
		{`"8 mH"`, `"0 mH"`, "coil.primary_inductance", "more than nought"},
		{`"8 mH"`, `"-8 mH"`, "coil.primary_inductance", ""},
		{`"8 mH"`, `"8 kΩ"`, "coil.primary_inductance", ""},
		{`"8 mH"`, `8`, "coil.primary_inductance", "no unit"},
		{`coupling              = 0.98`, `coupling = 1.0`, "coil.coupling", "less than 1"},
		{`coupling              = 0.98`, `coupling = nan`, "coil.coupling", "not a number"},
		{`coupling              = 0.98`, ``, "coil", "coupling"},
		{`turns_ratio           = 85.0`, `turns_ratio = 0`, "coil.turns_ratio", "more than nought"},
		{`turns_ratio           = 85.0`, `turns_ratio = -85`, "coil.turns_ratio", "more than nought"},
		{`"0.22 µF"`, `"0 µF"`, "condenser.capacitance", "more than nought"},
		{`"45 pF"`, `"0 pF"`, "coil.secondary_capacitance", "more than nought"},
		{`"12 pF"`, `"0 pF"`, "plug.capacitance", "more than nought"},
		{`"1800 rpm"`, `"0 rpm"`, "run.speed", "the engine has to turn"},
		{`dwell          = 0.45`, `dwell = 0`, "run.dwell", "more than nought"},
		{`dwell          = 0.45`, `dwell = 1.0`, "run.dwell", "less than 1"},
		{`# shorted_turns = { fraction = 0.05, resistance = "450 Ω", coupling = 0.97 }`,
			`shorted_turns = { fraction = 0.05, resistance = "450 Ω", coupling = 0.999 }`, "coil.shorted_turns.coupling", "no such third winding"},
		{`breakdown          = "10 kV"`, `breakdown = "600 V"`, "plug.breakdown", "could not burn"},
		{`[lead]`, `[leed]`, "leed", "lead"},
		{`[lead]
resistance = "5 kΩ"`, ``, "", "[lead] is missing"},
		{`resistance = "5 kΩ"`, `resistence = "5 kΩ"`, "lead.resistence", "resistance"},
		{`resistance = "5 kΩ"`, `resistance = "OL"`, "lead.resistance", "open"},
	} {
		out, errs, code := call(replaced(t, c.old, c.new), "-json", "-")
		if code != 2 || out != "" || !strings.Contains(errs, c.key) || !strings.Contains(errs, c.says) {
			t.Errorf("%s: code %d, stdout %q, stderr %s", c.new, code, out, errs)
		}
	}
	// A breakerless set is computed, and not both ways at once.
	breakerless := strings.Replace(string(pump), "[points]\ncontact_resistance = \"0.05 Ω\"\narc = {", "[switch]\nsaturation = \"0.9 V\"\nresistance = \"0.1 Ω\"\nclamp = \"350 V\"\n# {", 1)
	if out, errs, code := call(breakerless, "-"); code != 0 || !strings.Contains(out, "kV") {
		t.Errorf("breakerless: code %d, %s", code, errs)
	}
	if _, errs, code := call(string(pump)+"[switch]\nsaturation = \"0.9 V\"\nresistance = \"0.1 Ω\"\n", "-"); code != 2 || !strings.Contains(errs, "both") {
		t.Errorf("both: code %d, %s", code, errs)
	}
	for _, args := range [][]string{{"no-such-file.toml"}, {"a", "b"}, {"-nonsense"}, {"-specs", "no-such-folder"}} {
		if out, errs, code := call("", args...); code != 2 || out != "" || errs == "" {
			t.Errorf("%v: code %d, stdout %q, stderr %q", args, code, out, errs)
		}
	}
}

func TestHelp(t *testing.T) {
	out, _, code := call("", "-h")
	if code != 0 || !strings.Contains(out, "go run ./examples/spark") {
		t.Errorf("code %d: %s", code, out)
	}
}
