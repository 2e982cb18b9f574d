package convert_test

import (
	"errors"
	"os"
	"strings"
	"testing"

	"gapbook.example/ignition/convert"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
)

const pump = "../../examples/convert/creamery-pump.toml"

// TestReadJob reads jobs that are wrong, each with its place and a hint.
func TestReadJob(t *testing.T) {
	src, err := os.ReadFile(pump)
	if err != nil {
		t.Fatal(err)
	}
	good := string(src)
	if _, err := convert.ReadJob("job.toml", src); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ old, new, words string }{
		{`convert  = "module-to-points"`, ``, `"convert" is missing`},
		{`system      = "magneto-breakerless"`, `system = "magneto-brakerless"`, `did you mean "magneto-breakerless"?`},
		{`system      = "magneto-breakerless"`, ``, `"system" is missing`},
		{`points_gap  = "0.020 in"`, `points_gap = "0.020"`, "unit"},
		{`points_gap  = "0.020 in"`, `points_gap = 0.02`, "quotes"},
		{`points_gap  = "0.020 in"`, `points_gap = "0 in"`, "cannot be the points gap"},
		{`timing      = "20° BTDC"`, `timing = "20 mm"`, "timing"},
		{`timing      = "20° BTDC"`, `timing = "20°"`, "before or after"},
		{`compression = "6.2"`, `compression = "62"`, "no compression ratio"},
		{`strokes     = 4`, `strokes = 5`, "not between"},
		{`interlocks      = ["seat", "pto"]`, `interlocks = ["seet"]`, `did you mean "seat"?`},
		{`interlocks      = ["seat", "pto"]`, `interlocks = ["seat", "seat"]`, "twice"},
		{`charging        = "alternator"`, `charging = "alternater"`, `did you mean "alternator"?`},
		{`volts           = "12 V"`, `volts = "12 ohm"`, "volts"},
		{`points-boss               = "yes"`, `points-boss = "perhaps"`, "yes, no, unknown"},
		{`battery-dash = "42 in"`, `battery-dsh = "42 in"`, `did you mean "battery-dash"?`},
		{`battery-dash = "42 in"`, `battery-dash = "42 km"`, "longer than any machine"},
		{`secondary = "OL"`, `secundary = "OL"`, `did you mean "secondary"?`},
		{`secondary = "OL"`, `secondary = "eleven"`, "secondary"},
		{`[machine]`, `[machin]`, "this key is not known here"},
	} {
		text := strings.Replace(good, c.old, c.new, 1)
		if text == good {
			t.Fatalf("the job does not have %q", c.old)
		}
		_, err := convert.ReadJob("job.toml", []byte(text))
		var problems gate.Problems
		if !errors.As(err, &problems) || !strings.Contains(err.Error(), c.words) || problems[0].Line == 0 {
			t.Errorf("%s: lacks %q: %v", c.new, c.words, err)
		}
	}
}

// FuzzReadJob reads jobs; whatever is read can be planned, and the plan is held
// by the check of steps unless it says not possible.
func FuzzReadJob(f *testing.F) {
	src, err := os.ReadFile(pump)
	if err != nil {
		f.Fatal(err)
	}
	book := specs.Builtin()
	f.Add(string(src))
	for _, id := range book.Conversions() {
		f.Add(strings.Replace(string(src), "module-to-points", id, 1))
	}
	f.Add("convert = \"six-to-twelve\"\n[engine]\nsystem = \"battery-points\"\n[machine]\nballast = \"bypassed\"\n")
	f.Fuzz(func(t *testing.T, text string) {
		j, err := convert.ReadJob("job.toml", []byte(text))
		if err != nil {
			var problems gate.Problems
			if !errors.As(err, &problems) || len(problems) == 0 {
				t.Fatalf("a refusal without problems: %v", err)
			}
			return
		}
		p, err := convert.NewPlan(book, j)
		if err != nil {
			return
		}
		if p.Verdict == "" || p.Verdict == convert.Possible && len(convert.CheckPlan(p)) > 0 {
			t.Errorf("%s: %v", p.Verdict, convert.CheckPlan(p))
		}
	})
}

// BenchmarkPlan is a full plan with all its checks: both harnesses in all
// states, parts chosen, readings predicted, steps put in order and checked.
func BenchmarkPlan(b *testing.B) {
	src, err := os.ReadFile(pump)
	if err != nil {
		b.Fatal(err)
	}
	book := specs.Builtin()
	for b.Loop() {
		j, err := convert.ReadJob("pump.toml", src)
		if err != nil {
			b.Fatal(err)
		}
		p, err := convert.NewPlan(book, j)
		if err != nil || len(convert.CheckPlan(p)) > 0 {
			b.Fatal(err)
		}
	}
}
