package main

import (
	"encoding/json"
	"strings"
	"testing"
	"unicode/utf8"

	"gapbook.example/examples/shell"
	"gapbook.example/specs"
)

func call(stdin string, args ...string) (string, string, int) {
	return shell.Run(run, usage, stdin, args...)
}

const goodCase = "[engine]\nstroke = \"60 mm\"\n[setting.static]\nangle_min = \"18° BTDC\"\nangle_max = \"22° BTDC\"\nsays = \"plate\"\n[readings]\ntiming = \"20° BTDC\"\n"

func TestExitCodes(t *testing.T) {
	bad := strings.Replace(goodCase, "20° BTDC", "35° BTDC", 1)
	for _, c := range []struct {
		Name, Stdin string
		Args        []string
		Code        int
		Words       string
	}{
		{"default", "", nil, 0, "Setting card: Orchard pump 6"},
		{"help", "", []string{"-h"}, 0, "go run ./examples/timing"},
		{"good on stdin", goodCase, []string{"-"}, 0, "FIT"},
		{"fault", bad, []string{"-"}, 1, "UNFIT"},
		{"fault in JSON", bad, []string{"-json", "-"}, 1, `"verdict": "unfit"`},
		{"unknown flag", "", []string{"-frob"}, 2, "-h shows"},
		{"two files", "", []string{"a.toml", "b.toml"}, 2, "one case at a time"},
		{"missing file", "", []string{"nowhere.toml"}, 2, "no file of this name"},
		{"a folder", "", []string{"."}, 2, "folder"},
		{"missing overlay", "", []string{"-specs", "nowhere"}, 2, "nowhere"},
		{"unknown engine", "", []string{"-engine", "nobody"}, 2, "no engine"},
		{"stroke without engine", "", []string{"-stroke", "60 mm"}, 2, "go with -engine"},
		{"file and engine", "", []string{"-engine", "nobody", "a.toml"}, 2, "do not go together"},
		{"stroke without unit", "", []string{"-engine", "nobody", "-stroke", "60", "-wheel", "0 mm"}, 2, "-wheel"},
		{"rod too short", "[engine]\nstroke = \"60 mm\"\nrod = \"20 mm\"\n[setting]\nangle = \"20° BTDC\"\n", []string{"-"}, 2, "short-rod"},
		{"cam degrees", strings.Replace(goodCase, "18° BTDC", "9° cam", 1), []string{"-"}, 2, "cam"},
		{"empty", "", []string{"-"}, 2, "no-setting"},
	} {
		t.Run(c.Name, func(t *testing.T) {
			for _, wrong := range shell.Call(c).Wrong(run, usage) {
				t.Error(wrong)
			}
		})
	}
}

// TestEveryEngine makes a card of every engine of the book, with and without
// what a shed would measure: none may end badly, print wider than 80 columns,
// or print JSON that is not.
func TestEveryEngine(t *testing.T) {
	n := 0
	for e := range specs.Builtin().Entries() {
		n++
		for _, more := range [][]string{nil, {"-stroke", "70 mm", "-slant", "30°", "-wheel", "8 in"}} {
			out, errs, code := call("", append([]string{"-engine", e.ID}, more...)...)
			if code != 0 || errs != "" || !strings.Contains(out, "Steps") {
				t.Errorf("%s %v ends with %d: %s", e.ID, more, code, errs)
			}
			for line := range strings.Lines(out) {
				if w := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); w > 80 {
					t.Errorf("%s: a line of %d columns: %s", e.ID, w, line)
				}
			}
			asJSON, _, _ := call("", append([]string{"-json", "-engine", e.ID}, more...)...)
			if !json.Valid([]byte(asJSON)) || strings.Contains(asJSON, "null,\n  \"") {
				t.Errorf("%s: JSON with a null list", e.ID)
			}
		}
	}
	if n < 300 {
		t.Errorf("only %d engines", n)
	}
}

// TestJSONConversions reads the conversions of the invented engine with their
// uncertainty: 20° on 2.375 in with a rod of 1.5 to 2.3 strokes;
// 20° on a rim of 7 1/8 in are π 180.975 mm/18.
func TestJSONConversions(t *testing.T) {
	out, _, _ := call("", "-json")
	var got struct {
		Settings []struct {
			Conversions []struct {
				Name, Unit string
				Nominal    struct{ Value, Uncertainty float64 }
				Sets       float64 `json:"sets_within_deg"`
			}
		}
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	if len(got.Settings) != 1 {
		t.Fatalf("%+v", got)
	}
	for name, want := range map[string]struct{ value, least, most float64 }{
		"crank": {20, 0, 0}, "piston": {2.306, 0.04, 0.08}, "strip": {31.586, 0.03, 0.08},
	} {
		ok := false
		for _, c := range got.Settings[0].Conversions {
			if c.Name == name {
				ok = c.Nominal.Value > want.value-0.01 && c.Nominal.Value < want.value+0.01 && c.Nominal.Uncertainty >= want.least && c.Nominal.Uncertainty <= want.most && c.Sets > 0
			}
		}
		if !ok {
			t.Errorf("%s: %+v", name, got.Settings[0].Conversions)
		}
	}
}

// TestNarrow lays the card out for a narrow terminal.
func TestNarrow(t *testing.T) {
	t.Setenv("COLUMNS", "40")
	out, _, code := call("")
	if code != 0 {
		t.Fatalf("ends with %d", code)
	}
	for line := range strings.Lines(out) {
		if w := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); w > 40 {
			t.Errorf("a line of %d columns: %s", w, line)
		}
	}
}

// TestPicture wants the curve, the top and a number at the setting.
func TestPicture(t *testing.T) {
	out, _, _ := call("")
	if !strings.Contains(out, "60 BTDC") || !strings.Contains(out, "1: static: 20.0° before top") || !strings.Contains(out, "1   ") {
		t.Errorf("%s", out)
	}
}
