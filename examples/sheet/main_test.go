package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"gapbook.example/examples/jobs"
	"gapbook.example/examples/shell"
	"gapbook.example/specs"
)

func call(stdin string, args ...string) (string, string, int) {
	return shell.Run(run, usage, stdin, args...)
}

const goodJob = "[engine]\nlabel = \"Press engine\"\nsystem = \"battery-points\"\n[figures.points_gap]\nmin = \"0.018 in\"\nmax = \"0.022 in\"\nsays = \"plate\"\nbasis = \"invented\"\n[readings]\npoints_gap = \"20 thou\"\n"

func TestExitCodes(t *testing.T) {
	bad := strings.Replace(goodJob, "20 thou", "40 thou", 1)
	dir := t.TempDir()
	there := filepath.Join(dir, "there.txt")
	if err := os.WriteFile(there, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	answers := filepath.Join(dir, "answers")
	if err := os.WriteFile(answers, []byte("1 20 kΩ\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		Name, Stdin string
		Args        []string
		Code        int
		Words       string
	}{
		{"default", "", nil, 0, "FIT"},
		{"help", "", []string{"-h"}, 0, "go run ./examples/sheet"},
		{"good on stdin", goodJob, []string{"-"}, 0, "FIT"},
		{"fault", bad, []string{"-"}, 1, "UNFIT"},
		{"fault in JSON", bad, []string{"-json", "-"}, 1, `"word": "UNFIT"`},
		{"flags behind the file", goodJob, []string{"-", "-as", "markdown"}, 0, "> **FIT** for"},
		{"date", goodJob, []string{"-", "-date", "3 May"}, 0, "Date: 3 May"},
		{"readings", goodJob, []string{"-ask", "setting", "-"}, 0, "0.018 to 0.022 in"},
		{"unknown question", goodJob, []string{"-ask", "frob", "-"}, 2, "no-spark"},
		{"answers alone", goodJob, []string{"-answers", answers, "-"}, 2, "goes with -ask"},
		{"bad answers", goodJob, []string{"-ask", "setting", "-answers", answers, "-"}, 2, "answers:1:1"},
		{"unknown form", "", []string{"-as", "pdf"}, 2, "html"},
		{"two forms", "", []string{"-json", "-as", "html"}, 2, "take one"},
		{"picture without svg", "", []string{"-picture", "x"}, 2, "-as svg"},
		{"no such picture", "", []string{"-as", "svg", "-picture", "frob"}, 2, "no picture"},
		{"no page", goodJob, []string{"-page", "2", "-"}, 2, "pages 1 to 1"},
		{"never over a file", goodJob, []string{"-o", there, "-"}, 2, "-force"},
		{"no folder", goodJob, []string{"-o", filepath.Join(dir, "none", "x"), "-"}, 2, "cannot be written"},
		{"a folder as output", goodJob, []string{"-force", "-o", dir, "-"}, 2, "no plain file"},
		{"no output name", goodJob, []string{"-o", "", "-"}, 2, "-o -"},
		{"unknown flag", "", []string{"-frob"}, 2, "-h shows"},
		{"two files", "", []string{"a.toml", "b.toml"}, 2, "one file at a time"},
		{"file and engine", "", []string{"-engine", "x", "b.toml"}, 2, "take one"},
		{"missing file", "", []string{"nowhere.toml"}, 2, "no file of this name"},
		{"a folder", "", []string{"."}, 2, "folder"},
		{"missing overlay", "", []string{"-specs", "nowhere"}, 2, "no folder"},
		{"unknown engine", "", []string{"-engine", "nobody"}, 2, "nobody"},
		{"about nothing known", "", []string{"-engine", "x", "-about", "frob"}, 2, "it knows spark"},
		{"about without an engine", "", []string{"-about", "spark"}, 2, "-engine"},
		{"about and a question", "", []string{"-engine", "x", "-about", "spark", "-ask", "setting"}, 2, "take one"},
		{"about an unknown engine", "", []string{"-engine", "nobody", "-about", "spark"}, 2, "nobody"},
		{"system alone", "", []string{"-engine", "x", "-system", "battery-points"}, 2, "-about"},
		{"empty", "", []string{"-"}, 2, "engine"},
	} {
		t.Run(c.Name, func(t *testing.T) {
			for _, wrong := range shell.Call(c).Wrong(run, usage) {
				t.Error(wrong)
			}
		})
	}
	if got, _ := os.ReadFile(there); string(got) != "mine" {
		t.Error("a file that was there is gone")
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".sheet-*")); len(left) > 0 {
		t.Errorf("half-made files stay: %v", left)
	}
}

// Where one file of several cannot be written, none is.
func TestAllOrNone(t *testing.T) {
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "p-wiring.svg"), 0o700); err != nil {
		t.Fatal(err)
	}
	out, errs, code := call("", "-as", "markdown", "-force", "-o", filepath.Join(dir, "p.md"))
	if code != 2 || out != "" || !strings.Contains(errs, "p-wiring.svg") {
		t.Errorf("ends with %d: %s%s", code, out, errs)
	}
	if left, _ := os.ReadDir(dir); len(left) != 1 {
		t.Errorf("files stay: %v", left)
	}
}

// A file whose name no disk takes leaves nothing behind, nor do the pictures of
// a page.
func TestUnwritableName(t *testing.T) {
	dir := t.TempDir()
	for _, stem := range []string{strings.Repeat("n", 300), strings.Repeat("n", 250)} { // a page's name may fit where its pictures' do not
		for _, form := range []string{"html", "markdown"} {
			name := filepath.Join(dir, stem+".x")
			if form == "html" && len(stem) < 255 {
				continue
			}
			out, errs, code := call("", "-as", form, "-o", name)
			if code != 2 || out != "" || !strings.Contains(errs, "cannot be written") || strings.Count(errs, stem) != 1 {
				t.Errorf("ends with %d: %s%s", code, out, errs)
			}
		}
	}
	var a asked
	if err := a.put(io.Discard, map[string][]byte{filepath.Join(dir, "a"): []byte("a"), filepath.Join(dir, strings.Repeat("n", 300)): []byte("n")}); err == nil {
		t.Error("a name of 300 letters is taken")
	}
	if left, _ := os.ReadDir(dir); len(left) != 0 {
		t.Errorf("files stay: %v", left)
	}
}

// A job with more findings than a page holds is paged: pages hold a hundred
// each, none of them twice, and say which they are.
func TestManyFindings(t *testing.T) {
	const n = 1500
	var job strings.Builder
	job.WriteString("[engine]\nlabel = \"Press engine\"\nsystem = \"battery-points\"\n[figures.points_gap]\nmin = \"0.018 in\"\nmax = \"0.022 in\"\nsays = \"plate\"\nbasis = \"invented\"\n")
	for i := range n {
		fmt.Fprintf(&job, "[readings.points_gap.r%d]\nvalue = \"%d thou\"\n", i, 30+i%9)
	}
	seen := map[string]int{}
	const pages = n / 100
	for _, page := range []int{1, 2, pages} {
		out, errs, code := call(job.String(), "-", "-page", strconv.Itoa(page), "-as", "markdown")
		if code != 1 || !strings.Contains(out, fmt.Sprintf("%d of %d", page, pages)) {
			t.Fatalf("page %d: %d %s%.300s", page, code, errs, out)
		}
		for line := range strings.Lines(out) {
			if strings.HasPrefix(line, "### FAULT") {
				seen[line]++
			}
		}
	}
	if len(seen) != 300 {
		t.Errorf("%d findings on three pages, want 300", len(seen))
	}
	for _, page := range []string{"0", "16"} {
		if _, errs, code := call(job.String(), "-", "-page", page); code != 2 || !strings.Contains(errs, "pages 1 to 15") {
			t.Errorf("page %s: %d %s", page, code, errs)
		}
	}
	if out, _, _ := call(job.String(), "-", "-as", "html"); len(out) > 150<<10 {
		t.Errorf("a page of %d bytes", len(out))
	}
}

// Every file of the examples comes out in every form, the same on every run.
func TestEveryExampleInEveryForm(t *testing.T) {
	dir := t.TempDir()
	var files []string
	names, err := jobs.Files.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range names {
		files = append(files, "../jobs/"+n.Name())
	}
	files = append(files, "../timing/orchard-pump.toml", "../spark/flywheel.toml", "../wiring/pressing-floor.toml", "../convert/creamery-pump.toml", "../trace/cider-press.toml")
	if len(files) < 8 {
		t.Fatalf("only %v", files)
	}
	for _, f := range files {
		for _, form := range []string{"text", "markdown", "html", "json", "svg"} {
			if testing.Short() && form != "html" {
				continue
			}
			out, errs, code := call("", f, "-as", form)
			if code == 2 || len(out) < 300 {
				t.Errorf("%s as %s: %d %s", f, form, code, errs)
			}
			if again, _, _ := call("", f, "-as", form); again != out {
				t.Errorf("%s as %s differs from run to run", f, form)
			}
			if form == "json" && !json.Valid([]byte(out)) {
				t.Errorf("%s: no JSON", f)
			}
			if form == "html" && len(out) > 150<<10 {
				t.Errorf("%s: a page of %d bytes", f, len(out))
			}
			name := filepath.Join(dir, filepath.Base(f)+"."+form)
			if out2, errs, code2 := call("", f, "-as", form, "-o", name); code2 != code || out2 != "" || errs != "" {
				t.Errorf("%s to a file: %d %s%s", f, code2, out2, errs)
			}
			if data, _ := os.ReadFile(name); string(data) != out && form != "markdown" {
				t.Errorf("%s as %s: the file differs from standard output", f, form)
			}
		}
	}
}

func TestWidths(t *testing.T) {
	for _, width := range []string{"40", "80"} {
		t.Setenv("COLUMNS", width)
		limit := map[string]int{"40": 40, "80": 80}[width]
		for _, args := range [][]string{nil, {"../wiring/pressing-floor.toml"}, {"../timing/orchard-pump.toml"}, {"../spark/flywheel.toml"}, {"-ask", "no-spark"}, {"-ask", "everything"}} {
			out, _, _ := call("", args...)
			for line := range strings.Lines(out) {
				if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > limit {
					t.Errorf("%v: a line of %d columns: %s", args, n, line)
				}
			}
		}
	}
}

// A page goes out blank and comes back filled in.
func TestReadingsThereAndBack(t *testing.T) {
	answers := filepath.Join(t.TempDir(), "answers")
	for lines, want := range map[string]int{"1 20 thou\n": 0, "1: 0.031 in\n": 1} {
		if err := os.WriteFile(answers, []byte(lines), 0o600); err != nil {
			t.Fatal(err)
		}
		if out, errs, code := call(goodJob, "-ask", "setting", "-answers", answers, "-"); code != want {
			t.Errorf("%q ends with %d\n%s%s", lines, code, out, errs)
		}
	}
}

func TestEveryEngine(t *testing.T) {
	n := 0
	for e := range specs.Builtin().Entries() {
		n++
		if testing.Short() && n%10 != 0 {
			continue
		}
		for _, args := range [][]string{{"-engine", e.ID, "-as", "html"}, {"-engine", e.ID, "-ask", "everything"}} {
			if out, errs, code := call("", args...); code != 0 || len(out) < 200 {
				t.Errorf("%v: %d %s", args, code, errs)
			}
		}
	}
	if n < 300 {
		t.Errorf("only %d engines", n)
	}
}

// Every example file goes to the reader of its kind, and so does a file that
// lacks most of what its kind has.
func TestEveryExampleToItsReader(t *testing.T) {
	kinds := map[string]string{"jobs": "bench", "wiring": "harness", "timing": "setting", "spark": "spark", "convert": "plan", "trace": "trace"}
	files, err := filepath.Glob("../*/*.toml")
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]int{}
	for _, f := range files {
		folder := filepath.Base(filepath.Dir(f))
		out, errs, code := call("", f, "-json")
		var got struct{ Kind string }
		if code == 2 || json.Unmarshal([]byte(out), &got) != nil || got.Kind != kinds[folder] {
			t.Errorf("%s is read as %q, want %q: %s", f, got.Kind, kinds[folder], errs)
		}
		seen[folder]++
	}
	for folder := range kinds {
		if seen[folder] == 0 {
			t.Errorf("no example in %s", folder)
		}
	}
	for _, c := range []struct{ src, says string }{
		{"[points]\ncontact_resistance = \"0.05 Ω\"\n[coil]\n", "[battery]"}, // points are in settings too
		{"[battery]\nvoltage = \"6 V\"\n[points]\n", "[coil]"},
		{"[magnet]\n[points]\n", "[condenser]"},
		{"[charge_coil]\n", "[thyristor]"},
		{"[igniter]\n", "[wiring]"},
		{"[points]\n[magneto]\n", "setting.static"},
		{"[magneto]\n", "setting.static"},
	} {
		if _, errs, code := call(c.src, "-"); code != 2 || !strings.Contains(errs, c.says) {
			t.Errorf("%q does not ask for %s: %d %s", c.src, c.says, code, errs)
		}
	}
}

// The spark of an engine of every kind that the book has.
func TestEngineSpark(t *testing.T) {
	seen := map[string]bool{}
	for e := range specs.Builtin().Entries() {
		if seen[e.System] {
			continue
		}
		seen[e.System] = true
		args := []string{"-engine", e.ID, "-about", "spark", "-json"}
		if e.System == "unknown" {
			if _, errs, code := call("", args...); code != 2 || !strings.Contains(errs, "battery-points") {
				t.Errorf("%s: %d %s", e.ID, code, errs)
			}
			args = append(args, "-system", "rotor-magneto-points")
		}
		out, errs, code := call("", args...)
		if code != 0 || !strings.Contains(out, `"kind": "spark"`) || !strings.Contains(out, e.ID) || !strings.Contains(out, "Taken for granted") {
			t.Errorf("%s: %d %s", e.ID, code, errs)
		}
	}
	if len(seen) < 7 {
		t.Errorf("only %d kinds of ignition", len(seen))
	}
}
