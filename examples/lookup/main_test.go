package main

import (
	"encoding/json"
	"strings"
	"testing"

	"gapbook.example/examples/shell"
	"gapbook.example/specs"
)

func call(stdin string, args ...string) (string, string, int) {
	return shell.Run(run, usage, stdin, args...)
}

func TestExitCodes(t *testing.T) {
	for _, c := range []struct {
		name, stdin string
		args        []string
		code        int
		words       string
	}{
		{"summary", "", nil, 0, "The book holds"},
		{"help", "", []string{"-h"}, 0, "go run ./examples/lookup"},
		{"words", "", []string{"pump"}, 0, "engines fit"},
		{"standard input", "pump\n", []string{"-"}, 0, "engines fit"},
		{"nothing", "", []string{"zzyzx", "pump"}, 2, "\"pump\" alone fits"},
		{"unknown flag", "", []string{"-frob"}, 2, "-h shows"},
		{"missing overlay", "", []string{"-specs", "nowhere", "pump"}, 2, "no folder"},
		{"empty input", "", []string{"-"}, 2, "write a few words"},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, errs, code := call(c.stdin, c.args...)
			if code != c.code || !strings.Contains(out+errs, c.words) || code == 2 && out != "" || code != 2 && errs != "" {
				t.Errorf("ends with %d, want %d and %q\n%s%s", code, c.code, c.words, out, errs)
			}
		})
	}
}

// TestWholeBookAsJSON leaves with every figure of the book.
func TestWholeBookAsJSON(t *testing.T) {
	out, _, code := call("", "-all", "-json")
	if code != 0 {
		t.Fatalf("ends with %d", code)
	}
	var got struct {
		Book    map[string]string
		Engines []struct {
			ID, Maker, Label, Class, System string
			Models                          []string
			Figures                         []map[string]any
		}
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	b := specs.Builtin()
	figures := 0
	for e := range b.Engines() {
		figures += len(e.Figures)
	}
	n := 0
	for _, e := range got.Engines {
		n += len(e.Figures)
		for _, f := range e.Figures {
			for _, key := range []string{"quantity", "source", "place", "basis", "status"} {
				if f[key] == "" || f[key] == nil {
					t.Fatalf("%s: a figure lacks %q: %v", e.ID, key, f)
				}
			}
		}
	}
	if len(got.Engines) != b.Len() || n != figures || got.Book["digest"] != b.Digest() {
		t.Errorf("%d engines with %d figures, the book has %d with %d", len(got.Engines), n, b.Len(), figures)
	}
}

// TestEveryEngineShows prints every engine at phone and terminal width.
func TestEveryEngineShows(t *testing.T) {
	for e := range specs.Builtin().Entries() {
		for _, columns := range []string{"40", "80"} {
			t.Setenv("COLUMNS", columns)
			out, errs, code := call("", e.ID)
			if code != 0 || !strings.Contains(out, e.ID) {
				t.Fatalf("%s: ends with %d: %s", e.ID, code, errs)
			}
			for line := range strings.Lines(out) {
				if n := len([]rune(strings.TrimRight(line, "\n"))); n > 80 || columns == "40" && n > 40 {
					t.Errorf("%s: a line of %d columns at %s: %s", e.ID, n, columns, line)
				}
			}
		}
	}
}

func FuzzQuery(f *testing.F) {
	f.Add("pump four-stroke")
	f.Add("")
	f.Fuzz(func(t *testing.T, query string) {
		if strings.HasPrefix(query, "-") {
			return
		}
		if _, _, code := call("", query); code != 0 && code != 2 {
			t.Errorf("ends with %d", code)
		}
	})
}
