package timing

import (
	"errors"
	"os"
	"strings"
	"testing"

	"gapbook.example/specs"
	"gapbook.example/specs/gate"
	"gapbook.example/units"
)

const pump = "../../examples/timing/orchard-pump.toml"

func readPump(t testing.TB) []byte {
	t.Helper()
	src, err := os.ReadFile(pump)
	if err != nil {
		t.Fatal(err)
	}
	return src
}

// good is the least that makes a case.
const good = "[setting.static]\nangle = \"20° BTDC\"\n"

// TestBadCases: every wrong case is refused with the right code, the place and
// what would be right, and never only with its first problem.
func TestBadCases(t *testing.T) {
	for _, row := range []struct {
		name, src string
		codes     []string
	}{
		{"nothing", "", []string{"no-setting"}},
		{"unknown key", good + "[engine]\nstrok = \"60 mm\"\n", []string{"unknown-key"}},
		{"unknown table", good + "[enigne]\nstroke = \"60 mm\"\n", []string{"unknown-key"}},
		{"short rod", good + "[engine]\nstroke = \"60 mm\"\nrod = \"30 mm\"\n", []string{"short-rod"}},
		{"rod short by the offset", good + "[engine]\nstroke = \"60 mm\"\nrod = \"39 mm\"\noffset = \"9 mm\"\n", []string{"short-rod"}},
		{"no stroke at all", good + "[engine]\nstroke = \"0 mm\"\n", []string{"out-of-range"}},
		{"wheel of no diameter", good + "[engine]\nwheel = \"0 in\"\n", []string{"out-of-range"}},
		{"negative wheel", good + "[engine]\nwheel = \"-3 in\"\n", []string{"out-of-range"}},
		{"plug hole square to the bore", good + "[engine]\nslant = \"90°\"\n", []string{"out-of-range"}},
		{"cam degrees", "[setting.static]\nangle = \"10° cam\"\n", []string{string(units.WrongQuantity)}},
		{"degrees without a sense", "[setting.static]\nangle = \"10°\"\n", []string{"no-sense"}},
		{"angle out of range", "[setting.static]\nangle = \"200° BTDC\"\n", []string{"angle-range"}},
		{"beyond the stroke", "[engine]\nstroke = \"60 mm\"\n[setting.static]\npiston = \"61 mm\"\n", []string{"distance-range"}},
		{"beyond the stroke, said later", "[setting.static]\npiston = \"61 mm\"\n[engine]\nstroke = \"60 mm\"\n", []string{"distance-range"}},
		{"piston above its top", "[setting.static]\npiston = \"-1 mm\"\n", []string{"angle-range"}},
		{"limits the wrong way", "[setting.static]\nangle_min = \"22° BTDC\"\nangle_max = \"18° BTDC\"\n", []string{"out-of-order"}},
		{"setting of nothing", "[setting.static]\nsays = \"me\"\n", []string{"no-figure"}},
		{"setting that is a word", "setting = \"20° BTDC\"\n", []string{"wrong-type"}},
		{"bad label", "[setting.Full_Advance]\nangle = \"20° BTDC\"\n", []string{"bad-id"}},
		{"no unit", "[engine]\nstroke = \"60\"\n" + good, []string{string(units.NoUnit)}},
		{"wrong quantity", "[engine]\nstroke = \"60 kΩ\"\n" + good, []string{string(units.WrongQuantity)}},
		{"which way", good + "[engine]\nturns = \"left\"\n", []string{"bad-word"}},
		{"gap of an inch", good + "[points]\ngap = \"1 in\"\n", []string{"out-of-range"}},
		{"gaps the wrong way", good + "[points]\ngap_min = \"0.022 in\"\ngap = \"0.020 in\"\n", []string{"out-of-order"}},
		{"shaft that stands", good + "[points]\nshaft = \"0\"\n", []string{"out-of-range"}},
		{"no gap for a degree", good + "[points]\nper_degree = \"0 in/°\"\n", []string{"out-of-range"}},
		{"dwell over the period", good + "[points]\nlobes = 2\ndwell = \"200° cam\"\n", []string{"angle-range"}},
		{"unknown reading", good + "[readings]\ntimming = \"20° BTDC\"\n", []string{"unknown-key"}},
		{"reading without a sense", good + "[readings]\ntiming = \"20°\"\n", []string{"no-sense"}},
		{"reading over range", good + "[readings]\ncompression = \"over 100 psi\"\n", []string{"not-a-value"}},
		{"reading of another kind", good + "[readings]\ncompression = \"20 mm\"\n", []string{string(units.WrongQuantity)}},
		{"readings in a line", good + "readings = \"20 mm\"\n", []string{"syntax"}},
		{"advance in a line", "advance = \"20°\"\n" + good, []string{"wrong-type"}},
		{"points in a line", "points = \"20 thou\"\n" + good, []string{"wrong-type"}},
		{"all at once", "[engine]\nstroke = \"60\"\nrodd = \"3 mm\"\n[setting.static]\nangle = \"20° cam\"\n[readings]\npiston = \"x\"\n", []string{string(units.NoUnit), "unknown-key", string(units.WrongQuantity), ""}},
	} {
		c, err := ReadCase("case.toml", []byte(row.src))
		var problems gate.Problems
		if !errors.As(err, &problems) || c != nil {
			t.Errorf("%s: %v, %v", row.name, c, err)
			continue
		}
		if row.codes[0] == "syntax" { // two tables of one name or a key after a header: the gate's to say
			continue
		}
		if len(problems) != len(row.codes) {
			t.Errorf("%s: %d problems, want %d:\n%v", row.name, len(problems), len(row.codes), err)
			continue
		}
		for i, p := range problems {
			if row.codes[i] != "" && p.Code != row.codes[i] {
				t.Errorf("%s: %s, want %s: %v", row.name, p.Code, row.codes[i], p)
			}
			if p.Line == 0 || p.Col == 0 || p.Message == "" || p.Hint == "" {
				t.Errorf("%s: the problem says too little: %v", row.name, p)
			}
		}
	}
}

// TestCaseOfPump reads the invented example back.
func TestCaseOfPump(t *testing.T) {
	c, err := ReadCase(pump, readPump(t))
	if err != nil {
		t.Fatal(err)
	}
	if stroke, ok := c.Stroke.Get(); !ok || stroke != units.Inches(2.375) {
		t.Errorf("stroke %v", c.Stroke)
	}
	if !c.Invented || c.Rotation != Clockwise || len(c.Settings) != 1 || len(c.Readings) != 5 || c.Points.Adjust != "gap" || c.Points.Drive != CamLobe() {
		t.Errorf("%+v", c)
	}
}

func TestMeasure(t *testing.T) {
	c := &Case{}
	for key, text := range map[string]string{"stroke": "60 mm", "rod": "4 1/2 in", "wheel": "7in", "slant": "30 deg"} {
		set, err := Measure(key, text)
		if err != nil {
			t.Errorf("%s %s: %v", key, text, err)
			continue
		}
		set(c)
	}
	if rod, ok := c.Rod.Get(); !ok || rod != units.Inches(4.5) || !c.Stroke.IsKnown() || !c.Wheel.IsKnown() || !c.Slant.IsKnown() {
		t.Errorf("%+v", c)
	}
	for _, row := range [][2]string{{"stroke", "60"}, {"stroke", "60 kΩ"}, {"wheel", "0 mm"}, {"label", "x"}, {"nothing", "1 mm"}} {
		if _, err := Measure(row[0], row[1]); err == nil {
			t.Errorf("%v is taken", row)
		}
	}
}

func FuzzReadCase(f *testing.F) {
	f.Add(string(readPump(f)))
	f.Add(good)
	f.Add("engine = \"x\"\n[measured]\nstroke = \"60 mm\"\nrod = \"20 mm\"\n")
	f.Add("[setting]\npiston_min = \"1e-300 mm\"\npiston_max = \"1e300 mm\"\n[engine]\nstroke = \"1e-9 mm\"\noffset = \"1e9 mm\"\n")
	f.Add("[setting.a]\nangle = \"180° ATDC\"\n[points]\ngap = \"20 thou\"\nper_degree = \"1e-12 in/°\"\nadjust = \"gap\"\n[readings]\npoints_gap = \"18 to 20 thou\"\ntiming = \"0° BTDC\"\nstrip = \"9 m\"\ngauge = \"1 mm\"\nstop_before = \"1° ATDC\"\nstop_after = \"1° BTDC\"\n")
	book := specs.Builtin()
	f.Fuzz(func(t *testing.T, src string) {
		c, err := ReadCase("fuzz.toml", []byte(src))
		if (c == nil) == (err == nil) {
			t.Fatalf("%v, %v", c, err)
		}
		if err != nil {
			var problems gate.Problems
			if !errors.As(err, &problems) || len(problems) == 0 {
				t.Fatalf("an error without problems: %v", err)
			}
			return
		}
		card, err := NewCard(book, c)
		if err != nil {
			return
		}
		for _, l := range card.Settings {
			for _, form := range l.Forms {
				for _, f := range []Figure{form.Min, form.Nominal, form.Max} {
					if !f.IsZero() && (!isFinite(f.Value.SI()) || !isFinite(f.Uncertainty.SI()) || f.Uncertainty.SI() < 0) {
						t.Fatalf("%s: %v", form.Name, f)
					}
				}
			}
		}
		for _, f := range card.Findings {
			if strings.Contains(f.Text, "NaN") || strings.Contains(f.Text, "Inf") {
				t.Fatalf("%v", f)
			}
		}
	})
}
