package timing

import (
	"math"
	"strings"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/specs"
)

func cardOf(t testing.TB, src string) *Card {
	t.Helper()
	c, err := ReadCase("case.toml", []byte(src))
	if err != nil {
		t.Fatal(err)
	}
	card, err := NewCard(specs.Builtin(), c)
	if err != nil {
		t.Fatal(err)
	}
	return card
}

func form(t *testing.T, c *Card, setting int, name string) Line {
	t.Helper()
	for _, l := range c.Settings[setting].Forms {
		if l.Name == name {
			return l
		}
	}
	t.Fatalf("no %s in %+v", name, c.Settings[setting])
	return Line{}
}

func found(c *Card, rule string) (ignition.Finding, bool) {
	for _, f := range c.Findings {
		if f.Rule == rule {
			return f, true
		}
	}
	return ignition.Finding{}, false
}

const engine60 = "[engine]\nlabel = \"invented\"\nsystem = \"battery-points\"\nstrokes = 4\ncylinders = 1\nturns = \"clockwise\"\nstroke = \"60 mm\"\nrod = \"110 mm\"\nslant = \"30°\"\nwheel = \"180 mm\"\n"

// A card worked out by hand: stroke 60 mm, rod 110 mm, 20° BTDC.
// x = 30 + 110 - 30 cos 20° - √(110² - (30 sin 20°)²) = 2.28881 mm; through a
// hole of 30° 2.64289 mm; on a rim of 180 mm 31.41593 mm along and
// 180 sin 10° = 31.25667 mm across.
func TestCardByHand(t *testing.T) {
	c := cardOf(t, engine60+"[setting.static]\nangle = \"20° BTDC\"\nsays = \"plate\"\n")
	for _, row := range []struct {
		name string
		mm   float64
	}{{"piston", 2.28881}, {"gauge", 2.64289}, {"strip", 31.41593}, {"chord", 31.25667}} {
		l := form(t, c, 0, row.name)
		near(t, row.name, l.Nominal.Value.SI()*1000, row.mm, 1e-5)
		if l.Sets.BTDC() <= 0 || l.Sets.BTDC() > 1 {
			t.Errorf("%s sets within %v", row.name, l.Sets)
		}
	}
	near(t, "wheel", form(t, c, 0, "crank").Nominal.Value.SI(), 20, 0)
	// a gauge good to 0.02 mm where a degree is 0.2252 mm, r sin θ (1 +
	// r cos θ/√(l² - r² sin² θ)) π/180; a rule good to 0.5 mm, with half as much
	// again in its square for the mark, where a degree is 1.5708 mm, and the same
	// rule across 180 mm of wheel
	slope := mustPiston(t, c.Crank, 20.5)*1000 - mustPiston(t, c.Crank, 19.5)*1000
	near(t, "slope", slope, 0.22518, 1e-5)
	near(t, "set by the gauge", form(t, c, 0, "piston").Sets.BTDC(), 0.02/math.Sqrt(3)/slope, 1e-4)
	near(t, "set by the strip", form(t, c, 0, "strip").Sets.BTDC(), 0.5/math.Sqrt(3)*math.Hypot(math.Sqrt(1.5)/1.570796, 20.0/180), 1e-6)
	if text := strings.Join(c.Settings[0].Notes, " "); !strings.Contains(text, "lies clockwise of the mark") {
		t.Errorf("notes: %s", text)
	}
	// and back, from the piston
	c = cardOf(t, engine60+"[setting.static]\npiston = \"2.28881 mm\"\nsays = \"plate\"\n")
	near(t, "degrees", form(t, c, 0, "crank").Nominal.Value.SI(), 20, 1e-4)
}

// Readings of one still engine by every means, all meaning 19° BTDC: x(19°) =
// 2.0684 mm, through the hole 2.3884 mm and 0.03 mm of zero error, 29.845 mm
// along the rim.
func TestReadingsAgree(t *testing.T) {
	for _, row := range []string{
		"timing = \"19° BTDC\"",
		"piston = \"2.07 mm\"",
		"gauge = \"2.42 mm\"\ngauge_zero = \"0.03 mm\"",
		"strip = \"29.8 mm\"",
		"stop_before = \"33° BTDC\"\nstop_after = \"27° ATDC\"\ntiming = \"22° BTDC\"",
	} {
		c := cardOf(t, engine60+"[setting.static]\nangle = \"20° BTDC\"\nsays = \"plate\"\n[readings]\n"+row+"\n")
		f, ok := found(c, ignition.RuleWithin)
		if !ok || !strings.Contains(f.Text, "19.") && !strings.Contains(f.Text, "18.9") {
			t.Errorf("%s: %+v", row, c.Findings)
		}
		if c.Verdict != ignition.Fit {
			t.Errorf("%s: %v %+v", row, c.Verdict, c.Findings)
		}
	}
}

func TestVerdicts(t *testing.T) {
	limits := "[setting.static]\nangle_min = \"18° BTDC\"\nangle_max = \"22° BTDC\"\n"
	for _, row := range []struct {
		name, src string
		want      ignition.Verdict
		rule      string
	}{
		{"far early, limits in print", engine60 + limits + "says = \"plate\"\n[readings]\ntiming = \"30° BTDC\"\n", ignition.Unfit, ignition.RuleOutside},
		{"far late, limits in print", engine60 + limits + "says = \"plate\"\n[readings]\npiston = \"0.5 mm\"\n", ignition.Unfit, ignition.RuleOutside},
		{"far early, nobody's word", engine60 + limits + "[readings]\ntiming = \"30° BTDC\"\n", ignition.CannotTell, ignition.RuleHearsay},
		{"far early, bare nominal", engine60 + "[setting.static]\nangle = \"20° BTDC\"\nsays = \"plate\"\n[readings]\ntiming = \"30° BTDC\"\n", ignition.CannotTell, ignition.RuleAssumed},
		{"limits by the piston, rod not known", "[engine]\nstroke = \"60 mm\"\n[setting]\npiston_min = \"2 mm\"\npiston_max = \"2.4 mm\"\nsays = \"plate\"\n[readings]\ntiming = \"40° BTDC\"\n", ignition.CannotTell, ignition.RuleHearsay},
		{"limits by the piston, rod known", engine60 + "[setting]\npiston_min = \"2 mm\"\npiston_max = \"2.4 mm\"\nsays = \"plate\"\n[readings]\ntiming = \"40° BTDC\"\n", ignition.Unfit, ignition.RuleOutside},
		{"on the limit", engine60 + limits + "says = \"plate\"\n[readings]\ntiming = \"22° BTDC\"\n", ignition.CannotTell, ignition.RuleUndecided},
		{"nothing read", engine60 + limits, ignition.CannotTell, ""},
		{"no stroke", limits + "[readings]\npiston = \"2 mm\"\n", ignition.CannotTell, ignition.RuleUndecided},
		{"no wheel", limits + "[readings]\nstrip = \"20 mm\"\n", ignition.CannotTell, ignition.RuleUndecided},
		{"too deep", engine60 + limits + "[readings]\npiston = \"70 mm\"\n", ignition.CannotTell, ignition.RuleUndecided},
		{"stop the wrong way", engine60 + limits + "[readings]\nstop_before = \"20° ATDC\"\nstop_after = \"20° BTDC\"\n", ignition.CannotTell, ignition.RuleUndecided},
		{"good compression", engine60 + "ratio = \"6\"\n" + limits + "[readings]\ncompression = \"100 psi\"\n", ignition.Fit, ignition.RuleWithin},
		{"bad compression, as a guide", engine60 + "ratio = \"6\"\n" + limits + "[readings]\ncompression = \"30 psi\"\n", ignition.CannotTell, ignition.RuleAssumed},
		{"compression of what", engine60 + limits + "[readings]\ncompression = \"30 psi\"\n", ignition.CannotTell, ignition.RuleUndecided},
	} {
		c := cardOf(t, row.src)
		if c.Verdict != row.want {
			t.Errorf("%s: %v, want %v: %+v", row.name, c.Verdict, row.want, c.Findings)
		}
		if _, ok := found(c, row.rule); !ok && row.rule != "" {
			t.Errorf("%s: no %s: %+v", row.name, row.rule, c.Findings)
		}
	}
}

// Degrees and piston that contradict each other: 20° and 2.29 mm agree on this
// engine, 20° and 4 mm do not.
func TestPairFinding(t *testing.T) {
	for mm, want := range map[string]bool{"2.3 mm": false, "2.6 mm": false, "4 mm": true} {
		c := cardOf(t, engine60+"[setting.static]\nangle = \"20° BTDC\"\npiston = \""+mm+"\"\nsays = \"plate\"\n")
		if _, ok := found(c, RulePair); ok != want {
			t.Errorf("%s: %+v", mm, c.Findings)
		}
	}
}

// Two feeler blades mean the middle between them: 18 to 20 thou is 19, one
// under the nominal, which at a thou for a degree is 1° late. Two readings of a
// stop on a wheel good to 1° leave 2 × 1°/√3/√2 = 0.8°.
func TestReadingWords(t *testing.T) {
	c := cardOf(t, engine60+good+"[points]\ngap_min = \"0.015 in\"\ngap = \"0.020 in\"\ngap_max = \"0.025 in\"\nper_degree = \"0.001 in/°\"\nsays = \"cover\"\n[readings]\npoints_gap = \"18 to 20 thou\"\nstop_before = \"33° BTDC\"\nstop_after = \"35° ATDC\"\n")
	if f, ok := found(c, ignition.RuleWithin); !ok || !strings.Contains(f.Text, "1.0° later") {
		t.Errorf("%+v", c.Findings)
	}
	if f, ok := found(c, RuleTop); !ok || !strings.Contains(f.Text, "reads 1.0° ATDC ± 0.8°") {
		t.Errorf("%+v", c.Findings)
	}
}

// A rod that is not known gives a pair room, and not for ever.
func TestPairFindingWithoutRod(t *testing.T) {
	for mm, want := range map[string]bool{"2.4 mm": false, "4 mm": true} {
		c := cardOf(t, "[engine]\nstroke = \"60 mm\"\n[setting.static]\nangle = \"20° BTDC\"\npiston = \""+mm+"\"\nsays = \"plate\"\n")
		if _, ok := found(c, RulePair); ok != want {
			t.Errorf("%s: %+v", mm, c.Findings)
		}
	}
}

// The gap alone sets the timing: at 18 thou it fires at 16°, 1 thou is 1°, 20°
// is wanted: 22 thou.
func TestGapAndTimingAtOnce(t *testing.T) {
	for _, row := range []struct {
		high, text string
		severity   ignition.Severity
	}{{"0.026 in", "is within", ignition.Note}, {"0.019 in", "outside", ignition.Doubt}, {"0.022 in", "cannot tell", ignition.Doubt}} {
		c := cardOf(t, engine60+"[setting.static]\nangle = \"20° BTDC\"\nsays = \"plate\"\n[points]\ngap_min = \"0.014 in\"\ngap = \"0.018 in\"\ngap_max = \""+row.high+"\"\nper_degree = \"0.001 in/°\"\nadjust = \"gap\"\nsays = \"cover\"\n[readings]\npoints_gap = \"18 thou\"\ntiming = \"16° BTDC\"\n")
		f, ok := found(c, RuleBoth)
		if !ok || f.Severity != row.severity || !strings.Contains(f.Text, row.text) || !strings.Contains(f.Text, "0.56 mm") {
			t.Errorf("%s: %+v", row.high, f)
		}
	}
}

// Without a stroke a printed pair gives one; without either the card asks.
func TestWhatIsNotKnown(t *testing.T) {
	c := cardOf(t, "[setting.static]\nangle = \"20° BTDC\"\npiston = \"2.29 mm\"\n")
	if !c.HasCrank || !strings.Contains(strings.Join(c.Assumed, " "), "worked back") {
		t.Errorf("%+v", c.Assumed)
	}
	near(t, "stroke worked back", c.Crank.Stroke().Value.Millimetres(), 60, 0.5)
	c = cardOf(t, good)
	if c.HasCrank || !strings.Contains(strings.Join(c.Asks, " "), "the stroke") {
		t.Errorf("%+v", c.Asks)
	}
	c = cardOf(t, "[engine]\nstroke = \"60 mm\"\n"+good)
	if u := form(t, c, 0, "piston").Nominal.Uncertainty.SI(); !c.HasCrank || u < 0.00002 || u > 0.0002 || !strings.Contains(strings.Join(c.Asks, " "), "connecting rod") {
		t.Errorf("%v %+v", u, c.Asks)
	}
	// degrees worked out from a printed piston carry the doubt of the rod, and
	// what is set by them does too
	c = cardOf(t, "[engine]\nstroke = \"60 mm\"\nwheel = \"180 mm\"\n[setting]\npiston = \"3 mm\"\n")
	wheel, strip := form(t, c, 0, "crank"), form(t, c, 0, "strip")
	if u := wheel.Nominal.Uncertainty.SI(); u < 0.1 || wheel.Sets.BTDC() <= math.Hypot(u, 0.5) || strip.Sets.BTDC() <= u {
		t.Errorf("%+v %+v", wheel, strip)
	}
	c = cardOf(t, engine60+"[setting.static]\nangle = \"4° ATDC\"\n")
	near(t, "after", form(t, c, 0, "strip").Nominal.Value.SI()*1000, math.Pi*180*4/360, 1e-6)
	if text := strings.Join(c.Settings[0].Notes, " "); !strings.Contains(text, "lies anticlockwise of the mark of") {
		t.Errorf("%s", text)
	}
}

// An advance, a magneto and a twin on one card, by hand: half way between the
// speeds the timing is half way; 15° of a magneto at half speed are 30° of the
// crank; 8° on 70 mm are 4.887 mm; two lobes at 3000 rpm 50 sparks a second,
// 60 % of 20 ms.
func TestRunningLines(t *testing.T) {
	c := cardOf(t, `
[engine]
strokes = 4
cylinders = 2
bank = "0°"
pins = "180°"
[setting.static]
angle = "4° BTDC"
[setting.full-advance]
angle = "26° BTDC"
[points]
lobes = 2
shaft = "0.5"
dwell = "108° cam"
[advance]
start = "1000 rpm"
full = "3000 rpm"
[magneto]
lag = "15° magnet"
shaft = "0.5"
edge_gap = "8° magnet"
rotor = "70 mm"
`)
	var got []float64
	for _, l := range c.Running {
		got = append(got, l.Nominal.Value.SI())
	}
	want := []float64{4, 15, 26, 50, 0.012, 30, -4, 8, 0.0048869, 180, 540}
	if len(got) != len(want) {
		t.Fatalf("%v", got)
	}
	for i := range want {
		near(t, c.Running[i].Title, got[i], want[i], 1e-6)
	}
}

func TestUnknownEngine(t *testing.T) {
	_, err := NewCard(specs.Builtin(), &Case{Engine: "no-such-engine"})
	if err == nil || !strings.Contains(err.Error(), "no-such-engine") {
		t.Errorf("%v", err)
	}
}

func TestStepsFollowTheEngine(t *testing.T) {
	text := func(src string) string { return strings.Join(cardOf(t, src).Steps, "\n") }
	battery := text(engine60 + good)
	if !strings.Contains(battery, "Key off") || !strings.Contains(battery, "both valves closed") || !strings.Contains(battery, "test lamp") {
		t.Errorf("%s", battery)
	}
	magneto := text("[engine]\nsystem = \"flywheel-magneto-points\"\nstrokes = 2\n" + good)
	if strings.Contains(magneto, "Key off") || strings.Contains(magneto, "both valves") || !strings.Contains(magneto, "condenser wires lifted") {
		t.Errorf("%s", magneto)
	}
	module := text("[engine]\nsystem = \"magneto-breakerless\"\nstrokes = 4\n" + good)
	if strings.Contains(module, "the gap") || !strings.Contains(module, "no points to watch") {
		t.Errorf("%s", module)
	}
}

// BenchmarkCard makes a full setting card; the aim is under 1 ms.
func BenchmarkCard(b *testing.B) {
	c, err := ReadCase(pump, readPump(b))
	if err != nil {
		b.Fatal(err)
	}
	book := specs.Builtin()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := NewCard(book, c); err != nil {
			b.Fatal(err)
		}
	}
}
