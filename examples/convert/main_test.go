package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"gapbook.example/examples/shell"
)

func call(stdin string, args ...string) (string, string, int) {
	return shell.Run(run, usage, stdin, args...)
}

func TestExitCodes(t *testing.T) {
	good := string(creameryPump)
	file := filepath.Join(t.TempDir(), "job.toml")
	if err := os.WriteFile(file, creameryPump, 0o644); err != nil {
		t.Fatal(err)
	}
	change := func(old, new string) string {
		out := strings.Replace(good, old, new, 1)
		if out == good {
			t.Fatalf("the job does not have %q", old)
		}
		return out
	}
	for _, c := range []struct {
		name, stdin string
		args        []string
		code        int
		words       string
	}{
		{"default", "", nil, 0, "POSSIBLE"},
		{"help", "", []string{"-h"}, 0, "go run ./examples/convert"},
		{"list", "", []string{"-list"}, 0, "six-to-twelve"},
		{"list and a file", "", []string{"-list", "x"}, 2, "no file"},
		{"file", "", []string{file}, 0, "POSSIBLE"},
		{"stdin", good, []string{"-"}, 0, "POSSIBLE"},
		{"JSON", good, []string{"-json", "-"}, 0, `"verdict": "possible"`},
		{"not looked at", change(`points-boss               = "yes"`, `points-boss = "unknown"`), []string{"-"}, 0, "NOT KNOWN YET"},
		{"no boss", change(`points-boss               = "yes"`, `points-boss = "no"`), []string{"-"}, 1, "NOT POSSIBLE"},
		{"no battery", change(`battery         = "yes"`, `battery = "no"`), []string{"-"}, 1, "gives no spark without one"},
		{"unknown flag", "", []string{"-frob"}, 2, "-h shows"},
		{"unknown recipe", change("module-to-points", "modul-to-points"), []string{"-"}, 2, `did you mean "module-to-points"?`},
		{"unknown key", good + "\n[machin]\n", []string{"-"}, 2, "machin"},
		{"no unit", change(`"0.020 in"`, `"0.020"`), []string{"-"}, 2, "unit"},
		{"missing file", "", []string{"nowhere.toml"}, 2, "no file of this name"},
		{"missing overlay", "", []string{"-specs", "nowhere"}, 2, "no folder"},
		{"two files", "", []string{"a", "b"}, 2, "one job"},
		{"empty", "", []string{"-"}, 2, "convert"},
		{"brackets", strings.Repeat("[", 1<<20), []string{"-"}, 2, "big"},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, errs, code := call(c.stdin, c.args...)
			if code != c.code {
				t.Errorf("ends with %d, want %d\n%s%s", code, c.code, out, errs)
			}
			if code == 2 && out != "" || code != 2 && errs != "" {
				t.Errorf("prints on the wrong stream: %q %q", out, errs)
			}
			if !strings.Contains(out+errs, c.words) {
				t.Errorf("lacks %q:\n%s%s", c.words, out, errs)
			}
			for line := range strings.Lines(out) {
				if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > 80 && !strings.Contains(strings.Join(c.args, " "), "-json") {
					t.Errorf("a line of %d columns: %s", n, line)
				}
			}
		})
	}
}

// TestEverySystemRuns plans all conversions of the book from the shortest jobs
// that can be written: what is not known is asked for first.
func TestEverySystemRuns(t *testing.T) {
	for id, job := range map[string]string{
		"module-to-points":           "[engine]\nsystem = \"magneto-breakerless\"\n[machine]\nbattery = \"yes\"\nstarter = true\ncharging = \"alternator\"\ncharging_rating = \"5 A\"\n",
		"points-to-breakerless":      "[engine]\nsystem = \"battery-points\"\n[machine]\nbattery = \"yes\"\nstarter = true\ncharging = \"alternator\"\ncharging_rating = \"7 A\"\n",
		"points-to-module":           "[engine]\nsystem = \"flywheel-magneto-points\"\npoints_on_crank = true\n",
		"rotor-magneto-to-points":    "[engine]\nsystem = \"rotor-magneto-points\"\n[machine]\nbattery = \"yes\"\nstarter = true\ncharging = \"generator\"\ncharging_rating = \"7 A\"\n",
		"six-to-twelve":              "[engine]\nsystem = \"battery-points\"\n[machine]\nbattery = \"yes\"\nstarter = true\ncharging = \"generator\"\ncharging_rating = \"11 A\"\n",
		"positive-to-negative":       "[engine]\nsystem = \"battery-points\"\n[machine]\nbattery = \"yes\"\nstarter = true\ncharging = \"generator\"\ncharging_rating = \"7 A\"\nground = \"positive\"\n",
		"energy-transfer-to-battery": "[engine]\nsystem = \"energy-transfer\"\n[machine]\nbattery = \"yes\"\nstarter = true\ncharging = \"alternator\"\ncharging_rating = \"5 A\"\n",
	} {
		out, errs, code := call("convert = \""+id+"\"\n"+job, "-")
		if code != 0 || !strings.Contains(out, "NOT KNOWN YET") || !strings.Contains(out, "Proof at the end") {
			t.Errorf("%s ends with %d: %s\n%s", id, code, errs, out)
		}
	}
}

// TestJSONContract holds the keys that tools rely on.
func TestJSONContract(t *testing.T) {
	out, _, _ := call("", "-json")
	var got map[string]json.RawMessage
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"book", "findings", "verify", "parts", "wires", "settings", "steps", "proof", "changes", "verdict", "reasons", "interlocks", "reserves", "assumed"} {
		if len(got[key]) < 2 {
			t.Errorf("lacks %q", key)
		}
	}
	var steps []struct {
		ID, Where, Do, Tool string
		Needs, Gives        []string
		Cautions            []struct{ ID, Text string }
		Reads               []struct {
			Where, State, Text string
			Low, Value, High   *float64
		}
	}
	if err := json.Unmarshal(got["steps"], &steps); err != nil || len(steps) < 30 {
		t.Fatalf("%d steps: %v", len(steps), err)
	}
	reads := 0
	for _, s := range steps {
		if s.ID == "" || s.Where == "" || s.Do == "" || s.Tool == "" || len(s.Gives) == 0 {
			t.Errorf("a step lacks keys: %+v", s)
		}
		for _, r := range s.Reads {
			reads++
			if r.Text == "" || r.Value != nil && (*r.Low > *r.Value+1e-3 || *r.Value > *r.High+1e-3) {
				t.Errorf("%s: a reading outside its band: %+v", s.ID, r)
			}
		}
	}
	if reads < 8 {
		t.Errorf("only %d readings", reads)
	}
}

// TestDefaultSaysAll holds what the default plan must say to somebody who has
// nothing but the page.
func TestDefaultSaysAll(t *testing.T) {
	out, _, _ := call("")
	text := strings.Join(strings.Fields(out), " ")
	for _, want := range []string{
		"The old unit, what was read on it", "Reads open", "the job includes an oil change", "battery-type key", "An invented job",
		"Wires to cut", "points-wire", "Wires to take out", "kill: module.kill to key.M", "it opens the ignition's feed", "points gap 0.020 in", "plug gap 0.035 in", "0.091 in (2.31 mm) below the top",
		"draw clean paper between them until it stays white", "Lift the battery's ground lead", "second way to stop", "the starter does not turn with the PTO engaged",
		"amperes, meter in series with the coil", "Spark in reserve", "What is lost", "A flat battery now stops the engine", "local codes and a licensed technician decide",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("lacks %q", want)
		}
	}
}

// TestCautionsInFullOnce holds that each caution of the default plan prints in
// full once, beside the first step that needs it, and by its name beside every
// other; and that the page stays one to be carried to the machine.
func TestCautionsInFullOnce(t *testing.T) {
	out, _, _ := call("")
	if n := strings.Count(out, "\n"); n > 800 {
		t.Errorf("the plan has grown to %d lines", n)
	}
	// The page tells figures in a second unit, in brackets.
	second := regexp.MustCompile(` \([0-9.]+ (mm|in)\)`)
	flat := func(s string) string { return second.ReplaceAllString(strings.Join(strings.Fields(s), " "), "") }
	text := flat(out)
	js, _, _ := call("", "-json")
	var plan struct {
		Steps []struct {
			ID, Do   string
			Cautions []struct{ ID, Text string }
		}
	}
	if err := json.Unmarshal([]byte(js), &plan); err != nil {
		t.Fatal(err)
	}
	first := map[string]int{}
	named := 0
	for i, s := range plan.Steps {
		begin := strings.Index(text, flat(s.Do))
		end := len(text)
		if i+1 < len(plan.Steps) {
			end = strings.Index(text, flat(plan.Steps[i+1].Do))
		}
		if begin < 0 || end < begin {
			t.Fatalf("%s does not stand in its place", s.ID)
		}
		for _, c := range s.Cautions {
			if _, ok := first[c.ID]; !ok {
				first[c.ID] = i + 1
				if strings.Count(text, c.Text) != 1 || !strings.Contains(text[begin:end], c.Text) {
					t.Errorf("%s is not in full beside %s, and nowhere else", c.ID, s.ID)
				}
				continue
			}
			named++
			if short := fmt.Sprintf("%s (%d)", strings.ReplaceAll(c.ID, "-", " "), first[c.ID]); !strings.Contains(text[begin:end], short) {
				t.Errorf("%s is not named beside %s", short, s.ID)
			}
		}
	}
	if len(first) < 25 || named < 25 {
		t.Errorf("%d cautions in full, %d named", len(first), named)
	}
}
