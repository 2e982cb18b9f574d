package wiring

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/specs"
)

// names reports whether a finding speaks of a part or wire.
func (f Finding) about(name string) bool {
	return f.Part == name || slices.Contains(f.Names, name)
}

// Harnesses met in the trade, written by hand from what mechanics tell and from
// the switch and reading tables of manuals, before the rules were. The first
// line of each says what must be found: rule, then parts or wires that the
// finding must name. A rule after "?" need not be more than a doubt.
func TestHarnessesMetInTheTrade(t *testing.T) {
	files, err := filepath.Glob("../../testdata/wiring/harnesses/*.toml")
	if err != nil || len(files) < 30 {
		t.Fatalf("%d harnesses, %v", len(files), err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".toml"), func(t *testing.T) {
			src, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			first, _, _ := strings.Cut(string(src), "\n")
			want, ok := strings.CutPrefix(first, "# Expected: ")
			if !ok {
				t.Fatalf("the first line does not say what is expected: %s", first)
			}
			h, err := Read(specs.Builtin(), file, src)
			if err != nil {
				t.Fatal(err)
			}
			r, err := Check(specs.Builtin(), h)
			if err != nil {
				t.Fatal(err)
			}
			condemned := false
			for _, w := range strings.Split(want, "; ") {
				rule, doubt := strings.CutPrefix(w, "?")
				words := strings.Fields(rule)
				condemned = condemned || !doubt
				if !slices.ContainsFunc(r.Findings, func(f Finding) bool {
					return f.Rule == words[0] && (doubt && f.Severity > ignition.Note || f.Severity == ignition.Fault) &&
						!slices.ContainsFunc(words[1:], func(n string) bool { return !f.about(n) })
				}) {
					t.Errorf("no finding %q", w)
				}
			}
			if condemned != (r.Verdict == ignition.Unfit) {
				t.Errorf("the verdict is %s", r.Verdict)
			}
			for _, f := range r.Findings {
				if t.Failed() || testing.Verbose() {
					t.Logf("%s\n  names %v\n  state %s\n  path %s\n  harm %s", f.Finding, f.Names, f.State, f.Path, f.Harm)
				}
				if f.Text == "" || f.Harm == "" || f.Hint == "" || f.Part == "" || f.At.Line == 0 && f.Part != "ignition" {
					t.Errorf("%s lacks what, harm, cure, part or place: %+v", f.Rule, f)
				}
			}
		})
	}
}

// Sound harnesses raise no fault and no doubt.
func TestSoundLayoutsPass(t *testing.T) {
	all := layouts()
	for _, name := range sortedKeys(all) {
		h, err := Layout(specs.Builtin(), all[name])
		if err != nil {
			t.Fatal(err)
		}
		r, err := Check(specs.Builtin(), h)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range r.Findings {
			if f.Severity != ignition.Note {
				t.Errorf("%s: %s\n  %s\n  %s", name, f.Finding, f.State, f.Path)
			}
		}
	}
}
