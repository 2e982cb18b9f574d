package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"gapbook.example/examples/shell"
)

func call(stdin string, args ...string) (string, string, int) {
	return shell.Run(run, usage, stdin, args...)
}

func sound(t *testing.T, facts string) string {
	t.Helper()
	out, errs, code := call("", "-layout", facts)
	if code != 0 {
		t.Fatal(errs)
	}
	return out
}

func TestExitCodes(t *testing.T) {
	good := sound(t, "battery-points starter charging seat")
	file := filepath.Join(t.TempDir(), "good.toml")
	if err := os.WriteFile(file, []byte(good), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, stdin string
		args        []string
		code        int
		words       string
	}{
		{"default", "", nil, 1, "UNFIT"},
		{"help", "", []string{"-h"}, 0, "go run ./examples/wiring"},
		{"sound on stdin", good, []string{"-"}, 0, "FIT"},
		{"sound in JSON", good, []string{"-json", "-"}, 0, `"verdict": "fit"`},
		{"cranking", good, []string{"-engine", "cranking", "-key", "start", "-"}, 0, "key in start"},
		{"points open", good, []string{"-open", "-unsafe", "seat", "-"}, 0, "seat unsafe"},
		{"reading that fits", good, []string{"-", "battery.plus to battery.minus 12.6 V"}, 0, "good "},
		{"reading that does not", good, []string{"-", "coil.plus 0.2 V"}, 1, "reading-off"},
		{"points drop", good, []string{"-", "coil.minus 0.4 V"}, 1, "reading-beyond-limit"},
		{"layout", "", []string{"-layout", "capacitor-discharge twin"}, 0, "[parts.unit]"},
		{"layout in JSON", "", []string{"-json", "-layout", "trembler"}, 0, `"verdict": "fit"`},
		{"unknown flag", "", []string{"-frob"}, 2, "-h shows"},
		{"unknown fact", "", []string{"-layout", "battery-pionts"}, 2, "battery-pionts"},
		{"facts that do not fit", "", []string{"-layout", "trembler starter"}, 2, "dry cells"},
		{"layout and a file", "", []string{"-layout", "trembler", "x"}, 2, "no file"},
		{"unknown position", good, []string{"-key", "strat", "-"}, 2, "off, run, start"},
		{"unknown engine", good, []string{"-engine", "idle", "-"}, 2, "still, cranking or running"},
		{"unknown safety switch", good, []string{"-unsafe", "seet", "-"}, 2, "it has: seat"},
		{"unknown terminal", good, []string{"-", "coil.pluss 6 V"}, 2, `did you mean "plus"?`},
		{"reading without unit", good, []string{"-", "coil.plus 6"}, 2, "unit"},
		{"bad accuracy", good, []string{"-meter", "perfect", "-", "coil.plus 6 V"}, 2, "accuracy"},
		{"missing file", "", []string{"nowhere.toml"}, 2, "no file of this name"},
		{"missing overlay", "", []string{"-specs", "nowhere"}, 2, "no folder"},
		{"empty", "", []string{"-"}, 2, "parts"},
		{"file", "", []string{file}, 0, "FIT"},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, errs, code := call(c.stdin, c.args...)
			if code != c.code {
				t.Errorf("ends with %d, want %d\n%s%s", code, c.code, out, errs)
			}
			if code == 2 && out != "" {
				t.Errorf("bad input prints on standard output: %s", out)
			}
			if code != 2 && errs != "" {
				t.Errorf("good input prints on standard error: %s", errs)
			}
			if !strings.Contains(out+errs, c.words) {
				t.Errorf("lacks %q:\n%s%s", c.words, out, errs)
			}
			for line := range strings.Lines(out) {
				if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > 80 && !strings.HasPrefix(line, " \"") && !strings.Contains(strings.Join(c.args, " "), "-json") && !strings.Contains(strings.Join(c.args, " "), "-layout") {
					t.Errorf("a line of %d columns: %s", n, line)
				}
			}
		})
	}
}

// TestDefaultExplains holds what the default must say: why the left-over key
// cannot serve, terminal by terminal, and what to buy.
func TestDefaultExplains(t *testing.T) {
	out, _, _ := call("")
	text := strings.Join(strings.Fields(out), " ")
	for _, want := range []string{
		"coil-on-kill-terminal", "not-fed-run", "not-fed-start", "buy a battery-type switch", "key.M -(coil-feed)- coil.plus",
		"M magneto kill: off G+A, run nothing, start nothing; wired to coil.plus", "B battery: off nothing, run L+A, start L+S; wired to fuse.b",
		"Lift the battery's ground lead", "An invented harness",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("lacks %q:\n%s", want, out)
		}
	}
}

// TestJSONContract holds the keys that tools rely on.
func TestJSONContract(t *testing.T) {
	out, _, _ := call("", "-json")
	var got struct {
		Book     map[string]string
		Verdict  string
		Findings []map[string]any
		States   []struct {
			Key, Points, Engine string
			Interlocks          map[string]string
			Volts               map[string]*float64
			Bands               map[string][2]float64
			Amperes             map[string]float64
		}
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	if got.Book["version"] == "" || got.Book["digest"] == "" || got.Verdict != "unfit" || len(got.Findings) == 0 {
		t.Errorf("keys are missing: %+v %s", got.Book, got.Verdict)
	}
	for _, key := range []string{"rule", "severity", "part", "quantity", "reading", "limit", "chance", "source", "text", "state", "path", "harm", "hint", "at"} {
		if _, ok := got.Findings[0][key]; !ok {
			t.Errorf("a finding lacks %q", key)
		}
	}
	if len(got.States) != 3*3*2 {
		t.Errorf("%d states", len(got.States))
	}
	floats := 0
	for _, s := range got.States {
		if s.Key == "" || s.Points == "" || s.Engine == "" || s.Interlocks == nil || len(s.Volts) != 29 || len(s.Amperes) == 0 {
			t.Fatalf("a state lacks keys: %+v", s)
		}
		for name, v := range s.Volts {
			b, banded := s.Bands[name]
			if v == nil {
				floats++
			} else if !banded || *v < b[0]-1e-4 || *v > b[1]+1e-4 {
				t.Errorf("%s %s: %s is %v, band %v", s.Key, s.Engine, name, *v, b)
			}
		}
	}
	if floats == 0 {
		t.Error("nothing floats")
	}
}

// TestHostileInput feeds what a bad day may feed: exit 2, everything on
// standard error, nothing on standard output, fast and small.
func TestHostileInput(t *testing.T) {
	good := sound(t, "battery-points starter")
	var wires strings.Builder
	for i := range 10000 {
		wires.WriteString("[wires.w" + strings.Repeat("x", 1+i%7) + "-" + time.Duration(i).String() + "]\nfrom=\"a.b\"\nto=\"c.d\"\n")
	}
	for _, c := range []struct{ name, src string }{
		{"empty", ""},
		{"truncated", good[:len(good)-9]},
		{"5 MB of brackets", strings.Repeat("[", 5<<20)},
		{"8,000-part key", "a" + strings.Repeat(".a", 8000) + " = 1\n"},
		{"10,000 wires", good + wires.String()},
		{"NUL", good + "# \x00\n"},
		{"unknown part", strings.Replace(good, "\"coil.plus\"", "\"koil.plus\"", 1)},
		{"wire to nowhere", strings.Replace(good, "\"coil.plus\"", "\"coil\"", 1)},
		{"no ground", strings.Replace(good, "kind = \"block\"", "kind = \"blok\"", 1)},
		{"wrong unit", strings.Replace(good, "\"12 V\"", "\"12 ohm\"", 1)},
		{"NaN", strings.Replace(good, "\"12 V\"", "\"NaN V\"", 1)},
	} {
		t.Run(c.name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			start := time.Now()
			out, errs, code := call(c.src, "-")
			took := time.Since(start)
			runtime.ReadMemStats(&after)
			if code != 2 || out != "" || errs == "" {
				t.Errorf("ends with %d, standard output %q, standard error %q", code, out, errs)
			}
			if n := after.TotalAlloc - before.TotalAlloc; n > 64<<20 {
				t.Errorf("allocates %d bytes", n)
			}
			if took > time.Second { // the gate holds the tenth that is promised; this machine may be busy
				t.Errorf("takes %v", took)
			}
		})
	}
}
