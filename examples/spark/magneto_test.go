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
// through the program, all but the one that starts before its points close,
// which a case file cannot say.
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
		if _, early := c.Inputs["theta_from"]; early {
			continue
		}
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
	if ran != 19 {
		t.Errorf("%d cases ran, not 19", ran)
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
