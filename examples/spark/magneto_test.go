package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"unicode/utf8"
)

// magnetoText writes a simulator case of another kind as a case file.
func magnetoText(kind string, in map[string]any) string {
	var b strings.Builder
	f := func(key string) float64 { x, _ := in[key].(float64); return x }
	set := func(key string, v float64, unit string) { fmt.Fprintf(&b, "%s = \"%v %s\"\n", key, v, unit) }
	b.WriteString("[coil]\n")
	set("primary_resistance", f("rp"), "Ω")
	set("primary_inductance", f("l1"), "H")
	fmt.Fprintf(&b, "turns_ratio = %v\ncoupling = %v\n", f("n"), f("k"))
	set("secondary_resistance", f("r2"), "Ω")
	set("core_loss", f("rfe"), "Ω")
	set("secondary_capacitance", f("cs"), "F")
	b.WriteString("[lead]\n")
	set("resistance", f("rl"), "Ω")
	b.WriteString("[plug]\n")
	set("capacitance", f("cg"), "F")
	set("shunt", f("rsh"), "Ω")
	if f("vbd") > 0 {
		set("breakdown", f("vbd"), "V")
		set("burning_voltage", f("vburn"), "V")
		set("burning_resistance", f("rg"), "Ω")
		set("extinction_current", f("iext"), "A")
	} else {
		b.WriteString("breakdown = \"900 kV\"\nburning_voltage = \"600 V\"\nburning_resistance = \"500 Ω\"\nextinction_current = \"4 mA\"\n")
	}
	if f("vhot") > 0 {
		fmt.Fprintf(&b, "hot_gap = { breakdown = \"%v V\", recovery = \"%v s\" }\n", f("vhot"), f("tauhot"))
	}
	rpm := f("rpm")
	if rpm == 0 {
		rpm = 60 // an impulse coupling turns at its own speed
	}
	fmt.Fprintf(&b, "[run]\nspeed = \"%v rpm\"\n", rpm)
	if kind == "capacitor-discharge" {
		b.WriteString("[charge_coil]\n")
		set("inductance", f("lchg"), "H")
		set("resistance", f("rchg"), "Ω")
		set("linkage", f("lamchg"), "Wb")
		fmt.Fprintf(&b, "pole_pairs = %v\nphase = \"%v deg\"\n[store]\n", f("pairs"), f("phase"))
		set("capacitance", f("c_store"), "F")
		set("leakage", f("rleak"), "Ω")
		set("diode_drop", f("vd"), "V")
		if f("vmax") > 0 {
			set("regulator", f("vmax"), "V")
		}
		b.WriteString("[thyristor]\n")
		set("drop", f("von"), "V")
		set("resistance", f("rscr"), "Ω")
		fmt.Fprintf(&b, "freewheel = \"%v\"\n", in["freewheel"])
		return b.String()
	}
	b.WriteString("[condenser]\n")
	set("capacitance", f("c1"), "F")
	set("series_resistance", f("esr"), "Ω")
	set("leakage", f("rleak"), "Ω")
	flux, _ := json.Marshal(in["flux_knots"])
	fmt.Fprintf(&b, "[magnet]\nflux = %s\n", flux)
	if r, ok := in["reluctance"].(map[string]any); ok {
		fmt.Fprintf(&b, "circuit = { mmf = \"%v A\", magnet_reluctance = %v, magnet_leakage_reluctance = %v, leg_leakage_reluctance = %v, core_reluctance = %v, gap = \"%v m\", gap_area = %v, turns = %v }\n",
			r["magnet_mmf"], r["magnet_reluctance"], r["magnet_leakage_reluctance"], r["leg_leakage_reluctance"], r["core_reluctance"], r["gap_m"], r["gap_area"], r["turns"])
	} else {
		set("linkage", f("lam"), "Wb")
	}
	if f("core_share") > 0 {
		fmt.Fprintf(&b, "saturation = { core_share = %v, linkage = \"%v Wb\" }\n", f("core_share"), f("psi_sat"))
	}
	switch kind {
	case "magneto-breakerless":
		b.WriteString("[module]\n")
		set("saturation", f("vsat"), "V")
		set("on_resistance", f("ron"), "Ω")
		set("trip_current", f("itrip"), "A")
		set("clamp", f("vclamp"), "V")
		set("clamp_resistance", f("rclamp"), "Ω")
		if f("vrev") > 0 {
			set("reverse", f("vrev"), "V")
			set("reverse_resistance", f("rrev"), "Ω")
		}
	default:
		b.WriteString("[points]\n")
		set("contact_resistance", f("rc"), "Ω")
		closes := f("theta_close")
		if f("snap_rpm") > 0 {
			closes = f("hold")
		}
		set("closes", closes, "deg")
		set("opens", f("theta_open"), "deg")
		if _, early := in["theta_from"]; early {
			set("from", f("theta_from"), "deg")
		}
	}
	if f("snap_rpm") > 0 {
		fmt.Fprintf(&b, "[impulse]\nhold = \"%v deg\"\nsnap_speed = \"%v rpm\"\n", f("hold"), f("snap_rpm"))
	}
	if f("ls") > 0 {
		b.WriteString("[source_coil]\n")
		set("inductance", f("ls"), "H")
		set("resistance", f("rs"), "Ω")
	}
	return b.String()
}

// TestMagnetoCases runs the simulator's magneto, module and discharge cases
// through the program.
func TestMagnetoCases(t *testing.T) {
	src, err := os.ReadFile("../../testdata/spark/magneto.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Cases []struct {
			Name, Kind string
			Inputs     map[string]any
			Expected   map[string]float64
		}
	}
	if err := json.Unmarshal(src, &file); err != nil {
		t.Fatal(err)
	}
	ran := 0
	for _, c := range file.Cases {
		ran++
		text := magnetoText(c.Kind, c.Inputs)
		out, errs, code := call(text, "-json", "-")
		if code != 0 {
			t.Errorf("%s: code %d, %s\n%s", c.Name, code, errs, text)
			continue
		}
		var got struct {
			Current float64 `json:"primary_current_A"`
			Open    struct {
				Secondary float64 `json:"peak_secondary_V"`
			}
			Fired struct {
				Burn *float64 `json:"burn_time_s"`
			}
			Charge *float64 `json:"charge_V"`
			Trip   *float64 `json:"trip_deg"`
		}
		if err := json.Unmarshal([]byte(out), &got); err != nil {
			t.Fatal(err)
		}
		near := func(what string, got float64, key string, bar float64) {
			t.Helper()
			if want, ok := c.Expected[key]; ok && math.Abs(got-want) > bar*math.Abs(want) {
				t.Errorf("%s: %s is %g, simulator %g", c.Name, what, got, want)
			}
		}
		bar := 1e-5
		if c.Kind == "capacitor-discharge" {
			bar = 5e-5
		}
		if c.Name == "fm_saturating" || c.Name == "rm_impulse" {
			bar = 2e-4
		}
		near("primary_current_A", got.Current, "i_open_A", bar)
		near("peak_secondary_V", got.Open.Secondary, "open_peak_V", bar)
		if got.Fired.Burn != nil {
			near("burn_time_s", *got.Fired.Burn, "burn_s", 1e-3)
		}
		if (got.Charge != nil) != (c.Kind == "capacitor-discharge") || (got.Trip != nil) == (c.Kind == "capacitor-discharge") {
			t.Errorf("%s: charge_V %v, trip_deg %v", c.Name, got.Charge, got.Trip)
		}
		if got.Charge != nil {
			near("charge_V", *got.Charge, "charge_V", 5e-5)
		}
		if want, ok := c.Expected["trip_deg"]; ok && math.Abs(*got.Trip-want) > 2e-4 {
			t.Errorf("%s: trip_deg %g, simulator %g", c.Name, *got.Trip, want)
		}
		if out, errs, code = call(text, "-"); code != 0 || !strings.Contains(out, "±50 %") {
			t.Errorf("%s: the plain run ends with %d and does not say what its kilovolts are worth: %s", c.Name, code, errs)
		}
		for line := range strings.Lines(out) {
			if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > 80 {
				t.Errorf("%s: %d columns: %s", c.Name, n, line)
			}
		}
	}
	if ran != 20 {
		t.Errorf("%d cases ran, not 20", ran)
	}
}

// TestMagnetoBad: a magneto's own mistakes are named.
func TestMagnetoBad(t *testing.T) {
	src, err := os.ReadFile("flywheel.toml")
	if err != nil {
		t.Fatal(err)
	}
	if out, errs, code := call(string(src), "-"); code != 0 || !strings.Contains(out, "What changes it") {
		t.Fatalf("code %d, %s", code, errs)
	}
	for _, c := range []struct{ old, new, key, says string }{
		{`"7.5 mWb"`, `"0 mWb"`, "magnet.linkage", "more than nought"},
		{`linkage = "7.5 mWb"`, ``, "magnet", "linkage"},
		{`opens  = "6 deg"`, ``, "points", "opens"},
		{`closes = "-90 deg"`, `closes = "7 deg"`, "points.closes", "close first"},
		{`closes = "-90 deg"`, `closes = "-90 mm"`, "points.closes", ""},
		{`[[-45, 0], [-12, 1], [12, -1], [45, 0]]`, `[[-45, 0], [-12]]`, "magnet.flux", "pair"},
		{`[[-45, 0], [-12, 1], [12, -1], [45, 0]]`, `[[-45, 0], [-46, 1]]`, "magnet.flux", "after"},
		{`[[-45, 0], [-12, 1], [12, -1], [45, 0]]`, `[[-45, 0], [-12, 7]]`, "magnet.flux", "from -1 to 1"},
		{`ratio   = 1.0`, `ratio = 0`, "magnet.ratio", "more than nought"},
		{`coupling              = 0.97`, `coupling = 1`, "coil.coupling", "less than 1"},
		{`speed = "300 rpm"`, `speed = "0 rpm"`, "run.speed", "more than nought"},
		{`opens  = "6 deg"`, "opens = \"6 deg\"\nfrom = \"-20 deg\"", "points.from", "before the closing"},
		{`[lead]`, "[impulse]\nhold = \"-30 deg\"\n[lead]", "impulse", "snap_speed"},
		{`[lead]`, "[impulse]\nhold = \"-30 deg\"\nspring_torque = \"0.1 N·m\"\n[lead]", "impulse", "inertia"},
		{`[lead]`, "[impulse]\nhold = \"-30 deg\"\nspring_torque = \"0.1 N·m\"\ninertia = 0\n[lead]", "impulse.inertia", "more than nought"},
		{`[lead]`, "[impulse]\nhold = \"-30 deg\"\nspring_torque = \"0.1 mm\"\ninertia = 6e-5\n[lead]", "impulse.spring_torque", ""},
		{`[lead]`, "[bench]\nring = \"3 mm\"\n[lead]", "bench.ring", ""},
		{`[lead]`, "[battery]\nvoltage = \"12 V\"\n[lead]", "battery", "not known"},
	} {
		if strings.Count(string(src), c.old) != 1 {
			t.Fatal(c.old)
		}
		out, errs, code := call(strings.Replace(string(src), c.old, c.new, 1), "-json", "-")
		if code != 2 || out != "" || !strings.Contains(errs, c.key) || !strings.Contains(errs, c.says) {
			t.Errorf("%s: code %d, stdout %q, stderr %s", c.new, code, out, errs)
		}
	}
}

// TestModuleCase: a module with a pick-up and a limit as a case file, its
// mistakes by name, and the words for what it does and does not.
func TestModuleCase(t *testing.T) {
	src, err := os.ReadFile("flywheel.toml")
	if err != nil {
		t.Fatal(err)
	}
	points, _, _ := strings.Cut(string(src), "[points]")
	_, rest, _ := strings.Cut(string(src), "[condenser]")
	rest, _, _ = strings.Cut(rest, "[cylinder]")
	rest = strings.Replace(rest, "0.22 µF", "0.01 µF", 1)
	module := func(body, rpm string) string {
		return points + "[module]\nsaturation = \"0.9 V\"\non_resistance = \"0.05 Ω\"\nclamp = \"330 V\"\nclamp_resistance = \"2 Ω\"\n" + body + "\n[condenser]" + strings.Replace(rest, "300 rpm", rpm, 1)
	}
	const pickUp = `pick_up = { peak = "2 V", speed = "500 rpm", start = "4 deg", width = "10 deg", trigger = "0.8 V" }`
	flat := func(src string) string {
		t.Helper()
		out, errs, code := call(src, "-")
		if code != 0 {
			t.Fatalf("code %d, %s", code, errs)
		}
		return strings.Join(strings.Fields(out), " ")
	}
	for _, c := range []struct{ body, rpm, says string }{
		{pickUp, "1500 rpm", "The current is broken 4.4° of the magnet past neutral"},
		{pickUp, "150 rpm", "its pick-up does not give 0.8 V"},
		{pickUp + "\nlimit = \"1 A\"", "1500 rpm", "holds the current at 1 A"},
		{`trip_current = "2 A"`, "150 rpm", "cannot push 2 A through the coil, and there is no spark at all"},
		{`trip_current = "1 A"`, "1500 rpm", "below the speed at which the magnet drives that there is nothing at all"},
	} {
		if out := flat(module(c.body, c.rpm)); !strings.Contains(out, c.says) {
			t.Errorf("%s at %s does not say %q: %s", c.body, c.rpm, c.says, out)
		}
	}
	for _, c := range []struct{ body, key, says string }{
		{"", "module", "trip_current"},
		{`limit = "1 A"`, "module", "trip_current"},
		{"trip_current = \"2 A\"\nlimit = \"1 A\"", "module.limit", "never open"},
		{`pick_up = { peak = "2 V" }`, "module.pick_up", "trigger"},
		{strings.Replace(pickUp, "0.8 V", "0 V", 1), "module.pick_up.trigger", "range"},
	} {
		if out, errs, code := call(module(c.body, "1500 rpm"), "-json", "-"); code != 2 || out != "" || !strings.Contains(errs, c.key) || !strings.Contains(errs, c.says) {
			t.Errorf("%s: code %d, %s%s", c.body, code, out, errs)
		}
	}
	// An impulse coupling by its spring: the same spark at any cranking speed,
	// late by more the faster the drive.
	impulse := strings.Replace(string(src), "[lead]", "[impulse]\nhold = \"-30 deg\"\nspring_torque = \"0.12 N·m\"\ninertia = 6e-5\nlag = \"10 deg\"\n[lead]", 1)
	a, b := flat(impulse), flat(strings.Replace(impulse, "300 rpm", "60 rpm", 1))
	for _, out := range []string{a, b} {
		if !strings.Contains(out, "snaps the rotor over at") || !strings.Contains(out, "without the coupling, cranked at 100 rpm") {
			t.Errorf("%s", out)
		}
	}
	snap := func(out string) string {
		_, x, _ := strings.Cut(out, "snaps the rotor over at ")
		return x[:12]
	}
	if snap(a) != snap(b) {
		t.Errorf("snap speed %q and %q", snap(a), snap(b))
	}
}

// TestLowTension: of igniters and tremblers only current and stored energy, and
// it says so.
func TestLowTension(t *testing.T) {
	const src = "[battery]\nvoltage = \"6 V\"\nresistance = \"0.5 Ω\"\n[wiring]\nresistance = \"0.1 Ω\"\n[coil]\nprimary_resistance = \"1.4 Ω\"\nprimary_inductance = \"20 mH\"\n[igniter]\ncontact_resistance = \"0 Ω\"\n"
	out, errs, code := call(src, "-json", "-")
	var a map[string]any
	if code != 0 || json.Unmarshal([]byte(out), &a) != nil || a["primary_current_A"] != 3.0 || a["stored_J"] != 0.09 || a["open"] != nil || a["fired"] != nil {
		t.Errorf("code %d, %s%s", code, out, errs)
	}
	for _, s := range []string{src, strings.Replace(src, "[igniter]", "[trembler]", 1)} {
		if out, errs, code := call(s, "-"); code != 0 || !strings.Contains(strings.Join(strings.Fields(out), " "), "no kilovolts, no burning, no reserve") {
			t.Errorf("code %d, %s%s", code, out, errs)
		}
	}
	for _, c := range []struct{ old, new, key, says string }{
		{`"20 mH"`, `"-20 mH"`, "coil.primary_inductance", "range"},
		{`"1.4 Ω"`, `"0 Ω"`, "coil.primary_resistance", "range"},
		{"[igniter]", "[plug]\ncapacitance = \"1 pF\"\n[igniter]", "plug", "not known"},
		{"[igniter]", "[trembler]\ncontact_resistance = \"0 Ω\"\n[igniter]", "trembler", "take one"},
		{"[wiring]\nresistance = \"0.1 Ω\"\n", "", "", "[wiring] is missing"},
	} {
		if out, errs, code := call(strings.Replace(src, c.old, c.new, 1), "-"); code != 2 || out != "" || !strings.Contains(errs, c.key) || !strings.Contains(errs, c.says) {
			t.Errorf("%s: code %d, %s%s", c.new, code, out, errs)
		}
	}
}
