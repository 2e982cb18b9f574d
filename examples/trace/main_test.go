package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"gapbook.example/examples/shell"
	"gapbook.example/ignition/trace"
	"gapbook.example/specs"
)

// call runs the program with the given standard input.
func call(t *testing.T, in string, args ...string) (code int, out, bad string) {
	t.Helper()
	var stdout, stderr strings.Builder
	p := &shell.Program{Usage: usage, Args: args, Stdin: strings.NewReader(in), Stdout: &stdout, Stderr: &stderr}
	code = run(p)
	return code, stdout.String(), stderr.String()
}

func TestDefaultIsPlayedThrough(t *testing.T) {
	code, out, bad := call(t, "")
	if code != shell.Fault || bad != "" {
		t.Fatalf("%d, %s", code, bad)
	}
	for _, want := range []string{"1 The caller says", "likeliest now", "FOUND: condenser", "Which answer moved what", "Renew the condenser"} {
		if !strings.Contains(out, want) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
	for line := range strings.Lines(out) {
		if utf8.RuneCountInString(strings.TrimSuffix(line, "\n")) > 80 {
			t.Errorf("too wide: %s", line)
		}
	}
}

func TestJSON(t *testing.T) {
	code, out, bad := call(t, "[engine]\nsystem = \"magneto-breakerless\"\n[answers]\ncomplaint = \"no-spark-seen\"\n", "-json", "-")
	if code != shell.Good || bad != "" {
		t.Fatalf("%d, %s", code, bad)
	}
	var got struct {
		Ranking []struct {
			Fault  string
			Chance float64
		}
		Next struct {
			Measurement string
			Minutes     float64
		}
		Status string
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	if got.Status != "cannot-tell" || len(got.Ranking) < 20 || got.Next.Measurement == "" || got.Next.Minutes <= 0 {
		t.Errorf("%+v", got)
	}
}

func TestBadInput(t *testing.T) {
	for _, c := range []struct {
		in   string
		args []string
		want string
	}{
		{"[engine]\nsystem = \"magneto\"\n", []string{"-"}, "standard input"},
		{"[answers]\ncomplaint = \"misses\"\n", []string{"-"}, "kind of ignition"},
		{"[engine]\nsystem = \"trembler\"\n[answers]\nbuzz-listen = \"5\"\nprimary-ohms = \"2 V\"\n", []string{"-"}, "buzz"},
		{"", []string{"a", "b"}, "one record"},
		{"", []string{"-json", "-html"}, "name one"},
		{"", []string{"no-such-file.toml"}, "no file"},
		{"", []string{"-counts", "no-such-file.toml"}, "no file"},
	} {
		code, out, bad := call(t, c.in, c.args...)
		if code != shell.Bad || out != "" || !strings.Contains(bad, c.want) && !strings.Contains(bad, "-:") {
			t.Errorf("%q %v: %d %q %q", c.in, c.args, code, out, bad)
		}
	}
}

// talk plays a person at a terminal.
func conversation(t *testing.T, save string, lines ...string) (int, string) {
	t.Helper()
	code, out, bad := call(t, strings.Join(lines, "\n")+"\n", "-ask", "-save", save)
	if bad != "" {
		t.Fatal(bad)
	}
	return code, out
}

func TestAsking(t *testing.T) {
	file := filepath.Join(t.TempDir(), "case.toml")
	_, out := conversation(t, file, "1", "no-spark-seen", "why", "?", "banana", "undo", "1", "other spark-tester", "none", "again spark-tester 1", "quit")
	for _, want := range []string{"What kind of ignition", "What does it do?", "cannot be read", "Taken back", "skip", "Saved."} {
		if !strings.Contains(out, want) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	r, err := trace.ReadRecord(specs.Builtin(), file, src)
	if err != nil {
		t.Fatalf("%v\n%s", err, src)
	}
	if len(r.Told) != 3 || r.Told[1].Test != "spark-tester" {
		t.Errorf("%+v\n%s", r.Told, src)
	}
	// Going on where it stopped.
	code, out, bad := call(t, "quit\n", "-ask", "-save", file, file)
	if bad != "" || code == shell.Bad || strings.Contains(out, "What does it do?") {
		t.Errorf("%d %s %s", code, bad, out)
	}
}

func TestFindingOutWhatIsFitted(t *testing.T) {
	file := filepath.Join(t.TempDir(), "case.toml")
	_, out := conversation(t, file, "0", "skip", "1", "undo", "1", "2", "2", "1", "1", "1", "1", "1", "1", "1", "quit", "quit", "quit")
	if !strings.Contains(out, "chance") {
		t.Errorf("it names no kind:\n%s", out)
	}
	if _, err := os.Stat(file); err != nil {
		t.Error(err)
	}
}

func TestCounting(t *testing.T) {
	dir := t.TempDir()
	tally := filepath.Join(dir, "counts.toml")
	record := filepath.Join(dir, "job.toml")
	src := strings.Replace(string(ciderPress), "invented = true", "found = \"condenser-shorted\"", 1)
	if err := os.WriteFile(record, []byte(src), 0o644); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		if code, _, bad := call(t, "", "-count", tally, record); code == shell.Bad {
			t.Fatal(bad)
		}
	}
	text, err := os.ReadFile(tally)
	if err != nil || !strings.Contains(string(text), "condenser-shorted = 2") {
		t.Fatalf("%v\n%s", err, text)
	}
	code, out, bad := call(t, "", "-counts", tally, "-json", record)
	if code == shell.Bad || !strings.Contains(out, "condenser-shorted") {
		t.Errorf("%d %s", code, bad)
	}
	if code, _, bad := call(t, "", "-count", tally); code != shell.Bad || !strings.Contains(bad, "found =") {
		t.Errorf("%d %s", code, bad)
	}
}

func TestForms(t *testing.T) {
	for _, form := range []string{"-markdown", "-html"} {
		code, out, bad := call(t, "", form)
		if code != shell.Fault || bad != "" || !strings.Contains(out, "condenser") {
			t.Errorf("%s: %d %s", form, code, bad)
		}
	}
}
