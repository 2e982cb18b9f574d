package spark

import (
	"errors"
	"math"
	"os"
	"strings"
	"testing"

	"gapbook.example/specs"
	"gapbook.example/specs/gate"
	"gapbook.example/units"
)

func exampleCase(t testing.TB, name string) string {
	t.Helper()
	src, err := os.ReadFile("../../examples/spark/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return string(src)
}

const (
	igniterCase   = "title = \"Cellar engine\"\nnote = \"coil measured cold\"\n[battery]\nvoltage = \"6 V\"\nresistance = \"0.5 Ω\"\n[wiring]\nresistance = \"0.1 Ω\"\n[coil]\nprimary_resistance = \"1.4 Ω\"\nprimary_inductance = \"20 mH\"\n[igniter]\ncontact_resistance = \"0 Ω\"\n"
	dischargeCase = "[coil]\nprimary_resistance = \"0.5 Ω\"\nprimary_inductance = \"2 mH\"\nturns_ratio = 60\ncoupling = 0.97\nsecondary_resistance = \"3 kΩ\"\ncore_loss = \"3 MΩ\"\nsecondary_capacitance = \"40 pF\"\n[lead]\nresistance = \"5 kΩ\"\n[plug]\ncapacitance = \"12 pF\"\nshunt = \"OL\"\nbreakdown = \"8 kV\"\nburning_voltage = \"600 V\"\nburning_resistance = \"500 Ω\"\nextinction_current = \"4 mA\"\n[run]\nspeed = \"1500 rpm\"\n[charge_coil]\ninductance = \"5 H\"\nresistance = \"290 Ω\"\nlinkage = \"0.72 Wb\"\nmeasured = true\npole_pairs = 3\n[store]\ncapacitance = \"1 µF\"\n[thyristor]\ndrop = \"1.2 V\"\nresistance = \"0.05 Ω\"\n"
)

// TestReadCase: every kind of set comes out as what it is, with what only it
// has, and one kind alone.
func TestReadCase(t *testing.T) {
	read := func(src string) *Case {
		t.Helper()
		c, err := ReadCase("case.toml", []byte(src))
		if err != nil {
			t.Fatal(err)
		}
		if n := kindsOf(c); n != 1 || c.File != "case.toml" {
			t.Errorf("%d kinds of set from %q", n, c.File)
		}
		return c
	}
	pump := exampleCase(t, "pump.toml")
	c := read(pump + "[bench]\nprimary_open = \"8 mH\"\ntemperature = \"0 °C\"\nthermal_resistance = 3\n")
	if c.Parts == nil || c.Parts.Coil.TurnsRatio != 85 || c.Speed != units.RPM(1800) || c.Ratio != 1 || !c.Invented || c.Title == "" {
		t.Errorf("%+v", c)
	}
	if c.Cylinder == nil || c.Cylinder.Top != units.RPM(3000) || c.Cylinder.Demand.Gap != units.Millimetres(0.7) {
		t.Errorf("%+v", c.Cylinder)
	}
	if b := c.Bench; b.PrimaryOpen != units.Millihenries(8) || b.Temperature == nil || b.Temperature.Celsius() != 0 || b.KelvinsPerWatt != 3 {
		t.Errorf("%+v", b)
	}
	if c := read(pump); c.Bench != (Bench{}) {
		t.Errorf("a bench that nobody wrote: %+v", c.Bench)
	}
	c = read(strings.Replace(exampleCase(t, "flywheel.toml"), "ratio   = 1.0", "ratio = 0.5", 1))
	if c.Magneto == nil || len(c.Magneto.Magnet.Flux) != 4 || c.Measured || c.Speed != units.RPM(300) || c.Magneto.Speed != units.RPM(150) {
		t.Errorf("%+v", c)
	}
	c = read(dischargeCase)
	if c.Discharge == nil || !c.Measured || c.Discharge.Store.Capacitance != units.Microfarads(1) || c.Discharge.Turn != units.MagnetDegrees(360) || c.Cylinder != nil || c.Invented {
		t.Errorf("%+v", c)
	}
	c = read(igniterCase)
	if c.LowTension == nil || c.Trembler || c.LowTension.Resistance != units.Ohms(1.4) || c.Title != "Cellar engine" || c.Note != "coil measured cold" || c.Set(specs.Builtin()) != nil {
		t.Errorf("%+v", c)
	}
	if c = read(strings.Replace(igniterCase, "[igniter]", "[trembler]", 1)); !c.Trembler {
		t.Errorf("%+v", c)
	}
}

func kindsOf(c *Case) int {
	n := 0
	for _, is := range []bool{c.Parts != nil, c.Magneto != nil, c.Discharge != nil, c.LowTension != nil} {
		if is {
			n++
		}
	}
	return n
}

// TestBadCases: a wrong case is refused with every problem at its place.
func TestBadCases(t *testing.T) {
	for _, c := range []struct{ src, key, code string }{
		{"", "", "missing-key"},
		{"x = 1\n" + igniterCase, "x", "unknown-key"},
		{"lead = 3\n" + dischargeCase[strings.Index(dischargeCase, "[plug]"):], "lead", "wrong-type"},
		{strings.Replace(igniterCase, "[wiring]", "[wirring]", 1), "wirring", "unknown-key"},
		{strings.Replace(igniterCase, "20 mH", "20 mm", 1), "coil.primary_inductance", string(units.WrongQuantity)},
		{strings.Replace(igniterCase, "1.4 Ω", "0 Ω", 1), "coil.primary_resistance", "no-such-part"},
		{strings.Replace(igniterCase, `title = "Cellar engine"`, "title = 3", 1), "title", "wrong-type"},
		{strings.Replace(dischargeCase, "coupling = 0.97", "coupling = 2", 1), "coil.coupling", "no-such-part"},
		{strings.Replace(dischargeCase, "speed = \"1500 rpm\"", "speed = \"1500 rpm\"\nsparks_per_rev = 0", 1), "run.sparks_per_rev", "out-of-range"},
	} {
		got, err := ReadCase("case.toml", []byte(c.src))
		var problems gate.Problems
		if got != nil || !errors.As(err, &problems) {
			t.Errorf("%s: %v, %v", c.key, got, err)
			continue
		}
		found := false
		for _, p := range problems {
			if p.File != "case.toml" || p.Line < 1 || p.Message == "" {
				t.Errorf("%s: %+v", c.key, p)
			}
			found = found || p.Key == c.key && p.Code == c.code
		}
		if !found {
			t.Errorf("no problem %s of %q: %v", c.code, c.key, err)
		}
	}
	// Both of two at once.
	_, err := ReadCase("case.toml", []byte(strings.NewReplacer("20 mH", "20 mm", "1.4 Ω", "-1 Ω").Replace(igniterCase)))
	var problems gate.Problems
	if !errors.As(err, &problems) || len(problems) != 2 {
		t.Errorf("not two problems: %v", err)
	}
}

// TestReport: a case's report is what the functions of the package say of its
// parts, and so is an engine's.
func TestReport(t *testing.T) {
	book := specs.Builtin()
	for _, src := range []string{exampleCase(t, "pump.toml"), exampleCase(t, "flywheel.toml"), dischargeCase, igniterCase} {
		c, err := ReadCase("case.toml", []byte(src))
		if err != nil {
			t.Fatal(err)
		}
		r, err := NewReport(book, c, 20)
		if err != nil {
			t.Fatal(err)
		}
		if (r.Magneto != nil) != (c.Magneto != nil) || (r.Discharge != nil) != (c.Discharge != nil) || (r.Low != nil) != (c.LowTension != nil) || (r.Set == nil) != (c.LowTension != nil) {
			t.Errorf("%+v", r)
		}
		if c.LowTension != nil {
			if r.Event.Current != units.Amperes(3) || r.LowTension.System != "make-and-break" {
				t.Errorf("%+v", r)
			}
			continue
		}
		want, err := r.Set.Compute()
		if err != nil || want != r.Event {
			t.Errorf("%+v, want %+v, %v", r.Event, want, err)
		}
		if n := len(r.Reserves); c.Cylinder != nil && (n != 4 || len(r.Curve) != curveSpeeds || r.Reserves[0].Result.Sparks != 20) || c.Cylinder == nil && n+len(r.Curve) != 0 {
			t.Errorf("%d situations, %d speeds", n, len(r.Curve))
		}
		if guess := c.Magneto != nil; r.Guessed() != guess {
			t.Errorf("guessed: %v", r.Guessed())
		}
	}
	var system *SystemError
	seen := map[string]bool{}
	for e := range book.Entries() {
		if seen[e.System] {
			continue
		}
		seen[e.System] = true
		r, err := NewEngineReport(book, e.ID, "", 5)
		switch e.System {
		case "unknown":
			if r != nil || !errors.As(err, &system) {
				t.Errorf("%s: %v, %v", e.ID, r, err)
			}
		case "trembler", "make-and-break":
			if err != nil || r.LowTension == nil || r.Low == nil || r.Set != nil {
				t.Errorf("%s: %+v, %v", e.ID, r, err)
			}
		default:
			if err != nil || r.Set == nil || len(r.Reserves) != 4 {
				t.Errorf("%s: %+v, %v", e.ID, r, err)
			}
		}
	}
	if _, err := NewEngineReport(book, "no-such-engine", "", 5); err == nil {
		t.Error("an engine that nobody knows")
	}
}

// FuzzReadCase: whatever is in a file, it is refused with a place or holds one
// kind of set, and that computes to sound numbers.
func FuzzReadCase(f *testing.F) {
	pump, flywheel := exampleCase(f, "pump.toml"), exampleCase(f, "flywheel.toml")
	bare, _, _ := strings.Cut(pump, "[cylinder]")
	f.Add(pump)
	f.Add("[cylinder]\ngap = \"0.6 mm\"\ncompression = 6.0\nspark = \"25° BTDC\"\nelectrodes = \"worn\"\n")
	f.Add(bare + "[bench]\nprimary_open = \"8 mH\"\nprimary_shorted = \"1 mH\"\nring = \"2 kHz\"\ncurrent_limit = \"3 A\"\nthermal_resistance = 3\n")
	f.Add("[battery]\nvoltage = \"1e300 V\"\n")
	f.Add(strings.ReplaceAll(pump, "0.98", "0.9999999999999"))
	f.Add(flywheel)
	bare, _, _ = strings.Cut(flywheel, "[cylinder]")
	f.Add(strings.Replace(bare, "closes = ", "from = \"-200 deg\"\ncloses = ", 1))
	f.Add(strings.Replace(bare, "[points]", "[impulse]\nhold = \"-30 deg\"\nspring_torque = \"0.12 N·m\"\ninertia = 6e-5\nlag = \"9 deg\"\n[points]", 1))
	f.Add(bare + "[module]\nsaturation = \"0.9 V\"\non_resistance = \"0 Ω\"\nlimit = \"1 A\"\npick_up = { peak = \"2 V\", speed = \"500 rpm\", start = \"4 deg\", width = \"10 deg\", trigger = \"0.8 V\" }\n")
	f.Add(igniterCase)
	f.Add(strings.Replace(igniterCase, "[igniter]", "[trembler]\nclosed = \"3 ms\"", 1))
	f.Add(dischargeCase)
	book := specs.Builtin()
	f.Fuzz(func(t *testing.T, src string) {
		c, err := ReadCase("fuzz.toml", []byte(src))
		if err != nil {
			var problems gate.Problems
			if c != nil || !errors.As(err, &problems) || len(problems) == 0 {
				t.Fatalf("%v, %v", c, err)
			}
			return
		}
		if kindsOf(c) != 1 {
			t.Fatalf("%+v", c)
		}
		r, err := NewReport(book, c, 3)
		if err != nil {
			var problems Problems // of a cylinder that is none
			if !errors.As(err, &problems) || c.Cylinder == nil {
				t.Fatalf("a case that was read does not compute: %v", err)
			}
			return
		}
		numbers := []float64{r.Event.Current.Amperes(), r.Event.Stored.Joules(), r.Event.Open.Secondary.Volts(), r.Event.Open.Primary.Volts(), r.Event.Fired.Burn.Seconds(), r.Event.Fired.Energy.Joules()}
		for _, one := range append(r.Reserves, r.Curve...) {
			numbers = append(numbers, one.Reserve.Low, one.Reserve.High, one.Result.Miss, one.Result.Reserve[1])
		}
		for _, x := range numbers {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("%+v", r)
			}
		}
	})
}
