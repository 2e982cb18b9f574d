package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"gapbook.example/examples/shell"
	"gapbook.example/ignition/trace"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// asked plays a person who types lines, with what else stands on the command
// line.
func asked(t *testing.T, lines []string, args ...string) string {
	t.Helper()
	code, out, bad := call(t, strings.Join(lines, "\n")+"\n", append([]string{"-ask"}, args...)...)
	if code == shell.Bad || bad != "" {
		t.Fatalf("%v ends with %d: %s", args, code, bad)
	}
	return out
}

func contents(t *testing.T, file string) string {
	t.Helper()
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(src)
}

func has(t *testing.T, out string, wants ...string) {
	t.Helper()
	for _, want := range wants {
		if !strings.Contains(out, want) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
}

// A record that is there is gone on from, or left alone; never written over.
func TestSaveLosesNoRecord(t *testing.T) {
	dir := t.TempDir()
	first, second := filepath.Join(dir, "c3.toml"), filepath.Join(dir, "c4.toml")
	asked(t, []string{"5", "no-spark-seen", "quit"}, "-save", first)
	was := contents(t, first)
	has(t, was, `complaint = "no-spark-seen"`)

	out := asked(t, []string{"quit"}, "-save", first)
	has(t, out, "Going on from", "-ask -save "+first+"\n")
	if strings.Contains(out, "What kind of ignition") || contents(t, first) != was {
		t.Errorf("it began anew:\n%s\n%s", contents(t, first), out)
	}
	asked(t, []string{"3", "quit"}, "-save", first)
	has(t, contents(t, first), `complaint = "no-spark-seen"`, `spark-tester = "jumps"`)
	was = contents(t, first)

	asked(t, []string{"1", "1", "1", "misses", "quit"}, "-save", second)
	code, _, bad := call(t, "quit\n", "-ask", "-save", first, second)
	if code != shell.Bad || !strings.Contains(bad, "there already") || contents(t, first) != was {
		t.Errorf("another record in its place: %d %s", code, bad)
	}
	note := filepath.Join(dir, "note.toml")
	if err := os.WriteFile(note, []byte("eggs = 6\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if code, _, _ := call(t, "5\n1\n", "-ask", "-save", note); code != shell.Bad || contents(t, note) != "eggs = 6\n" {
		t.Errorf("what is no record ends with %d, and holds %q", code, contents(t, note))
	}
	if code, _, bad := call(t, "", "-save", first); code != shell.Bad || !strings.Contains(bad, "-ask") {
		t.Errorf("-save without asking: %d %s", code, bad)
	}
}

// Who leaves at the first question leaves no file, and who takes everything back
// neither.
func TestNothingSaidLeavesNoRecord(t *testing.T) {
	for _, lines := range [][]string{{"quit"}, {"?", "nonsense", "quit"}, {}, {"5", "undo", "quit"}, {"5", "1", "undo", "undo"}} {
		file := filepath.Join(t.TempDir(), "record.toml")
		out := asked(t, lines, "-save", file)
		if _, err := os.Stat(file); err == nil {
			t.Errorf("%q leaves %q", lines, contents(t, file))
		}
		if strings.Contains(out, "Saved") {
			t.Errorf("%q: %s", lines, out)
		}
	}
}

// What was answered without -save stands on the screen as a record that can be
// put into a file.
func TestUnsavedAnswersCanBeKept(t *testing.T) {
	out := asked(t, []string{"5", "no-spark-seen", "none", "quit"})
	_, text, ok := strings.Cut(out, "-ask -save job.toml\n")
	if !ok {
		t.Fatalf("it does not say how to go on:\n%s", out)
	}
	r, err := trace.ReadRecord(specs.Builtin(), "job.toml", []byte(text))
	if err != nil || len(r.Told) != 2 {
		t.Errorf("%v: %+v\n%s", err, r, text)
	}
	if out := asked(t, []string{"quit"}); strings.Contains(out, "Not saved") {
		t.Errorf("nothing was said, and it says: %s", out)
	}
}

// The file forgets an answer as soon as it is taken back, and undo goes back to
// the first question.
func TestUndoReachesTheFirstQuestion(t *testing.T) {
	file := filepath.Join(t.TempDir(), "record.toml")
	lines := []string{"5", "no-spark-seen", "none", "undo", "undo", "undo", "undo"}
	left := []string{"magneto-breakerless", "no-spark-seen", `"none"`}
	var out strings.Builder
	p := shell.New(usage)
	p.Args, p.Stdout, p.Stderr = []string{"-ask", "-save", file}, &out, &out
	step := 0
	p.Stdin = reader(func(b []byte) (int, error) {
		// What was typed before is on disk when the next line is wanted.
		src, _ := os.ReadFile(file)
		known := min(step, 6-step)
		for i, want := range left {
			if step <= 6 && strings.Contains(string(src), want) != (i < known) {
				t.Errorf("after %v the file holds %q", lines[:step], src)
			}
		}
		if step == len(lines) {
			return copy(b, "quit\n"), nil
		}
		step++
		return copy(b, lines[step-1]+"\n"), nil
	})
	if code := run(p); code != shell.Good {
		t.Errorf("ends with %d", code)
	}
	has(t, out.String(), "There is nothing to take back.")
	if n := strings.Count(out.String(), "What kind of ignition"); n != 3 {
		t.Errorf("the first question is asked %d times", n)
	}
}

// A tester that is not there is said once, kept, and can be taken back.
func TestNoToolIsSaidOnce(t *testing.T) {
	file := filepath.Join(t.TempDir(), "record.toml")
	lines := []string{"5", "no-spark-seen", "no tester"}
	for range 40 {
		lines = append(lines, "skip")
	}
	out := asked(t, lines, "-save", file)
	if n := strings.Count(out, "with: spark tester"); n != 1 || strings.Contains(out, "adjustable") {
		t.Errorf("a spark tester is asked for %d times:\n%s", n, out)
	}
	has(t, out, "Noted: no spark tester")
	has(t, contents(t, file), `spark-tester = "no spark tester"`)

	again := filepath.Join(t.TempDir(), "record.toml")
	asked(t, []string{"5", "no-spark-seen", "no tool", "undo", "none", "quit"}, "-save", again)
	has(t, contents(t, again), `spark-tester = "none"`)
}

// What the leads read alone is asked once, before the first reading of a few
// ohms, kept with the readings, and taken off.
func TestLeadsAreAskedOnce(t *testing.T) {
	file := filepath.Join(t.TempDir(), "record.toml")
	const touch = "touch the tips"
	out := asked(t, []string{"1", "1", "1", "misses", "other battery-rest-volts", "12.6 V", "other primary-ohms", "OL", "3 kΩ", "0.3", "4.1 ohm", "other switch-run-ohms", "0.4 Ω", "quit"}, "-save", file)
	if n := strings.Count(out, touch); n != 3 { // asked, and twice more after what cannot be
		t.Errorf("the leads are asked for %d times:\n%s", n, out)
	}
	has(t, contents(t, file), `primary-ohms = "4.1 ohm, leads 0.3 Ω"`, `switch-run-ohms = "0.4 Ω, leads 0.3 Ω"`)
	out = asked(t, []string{"other low", "again 2", "quit"}, "-save", file)
	if strings.Contains(out, touch) {
		t.Errorf("asked anew when going on:\n%s", out)
	}
	// Taken back, it is asked again; skipped, nothing is taken off.
	out = asked(t, []string{"1", "1", "1", "misses", "other primary-ohms", "0.3", "undo", "skip", "4.1 ohm", "quit"})
	has(t, out, `primary-ohms = "4.1 ohm"`)
	if n := strings.Count(out, touch); n != 2 {
		t.Errorf("after undo the leads are asked for %d times:\n%s", n, out)
	}
}

// ? and nonsense say at every question what can be typed.
func TestHelpEverywhere(t *testing.T) {
	out := asked(t, []string{"?", "banana", "0", "?", "banana", "undo", "5", "?", "banana", "no-spark-seen", "?", "banana"})
	has(t, out, "magneto-breakerless", "Type a number from 0 to 9", "where it cannot be seen", "will-not-start", "no tool", `"banana" is not one of its answers`)
	if n := strings.Count(out, "  quit       stop here"); n != 4 {
		t.Errorf("helps %d times:\n%s", n, out)
	}
}

func TestWords(t *testing.T) {
	choices := []choice{
		{"no-spark-seen", "no spark at all was seen"},
		{"will-not-start", "it will not start"},
		{"starts-hard", "it starts badly"},
		{"dies-hot", "it runs, and dies when it is warm"},
		{"runs-on-one", "it runs on one cylinder only"},
	}
	for typed, want := range map[string]int{
		"1": 0, "5": 4, "0": -1, "6": -1, "": -1,
		"no-spark-seen": 0, "NO SPARK": 0, "it won't start": 1, "doesn't start": 1,
		"dies warm": 3, "dies hot": 3, "runs on one": 4, "one cylinder": 4, "starts badly": 2,
		"spark":                 -1, // there is one, or there is none?
		"starts":                -1,
		"runs":                  -1,
		"dies when I sit on it": -1,
		"it is the":             -1,
		"banana":                -1,
	} {
		if at, near := pick(typed, 1, choices); at != want || at >= 0 && near != nil {
			t.Errorf("%q: %d %v, want %d", typed, at, near, want)
		}
	}
	for typed, want := range map[string]int{"spark": 0, "dies when I sit on it": 3} {
		if _, near := pick(typed, 1, choices); len(near) != 1 || near[0] != want {
			t.Errorf("%q is near %v", typed, near)
		}
	}
	if _, near := pick("runs", 1, choices); len(near) != 2 {
		t.Errorf("runs is near %v", near)
	}
}

// A bare number is taken where one unit makes sense, and asked about where ten or
// a thousand times would too.
func TestBareNumbers(t *testing.T) {
	at := func(healthy string, k units.Kind) *trace.Test {
		q, err := units.Parse(k, healthy)
		if err != nil {
			t.Fatal(err)
		}
		m, err := trace.Build(specs.Builtin(), trace.Facts{System: 1})
		if err != nil {
			t.Fatal(err)
		}
		for i := range m.Tests {
			if x := m.Tests[i]; x.Reading && x.Kind == k && x.Healthy.SI() > q.SI()/2 && x.Healthy.SI() < q.SI()*2 {
				return &x
			}
		}
		t.Fatalf("no test reads about %s", healthy)
		return nil
	}
	m, err := trace.Build(specs.Builtin(), trace.Facts{System: 1})
	if err != nil {
		t.Fatal(err)
	}
	talk := &talk{book: specs.Builtin(), c: trace.New(m, trace.Thorough())}
	for _, c := range []struct {
		healthy string
		kind    units.Kind
		typed   string
		want    string
	}{
		{"12.5 V", units.KindVoltage, "12.6", "12.6 V"},
		{"12.5 V", units.KindVoltage, "0", "0 V"},
		{"12.5 V", units.KindVoltage, "0.2", "0.2 V"},
		{"60 mV", units.KindVoltage, "55", "55 mV"},
		{"60 mV", units.KindVoltage, ".31", ".31 V"},
		{"60 mV", units.KindVoltage, "8", "8 V|8 mV"},
		{"3.6 Ω", units.KindResistance, "4.1", "4.1 Ω|4.1 kΩ|4.1 MΩ"},
		{"3.6 Ω", units.KindResistance, "0", "0 Ω"},
		{"0.4 mm", units.KindLength, "15", "15 thou"},
		{"0.4 mm", units.KindLength, ".4", ".4 mm"},
		{"0.4 mm", units.KindLength, "0.015", "0.015 in"},
		{"12.5 V", units.KindVoltage, "12.6 V", ""},
		{"12.5 V", units.KindVoltage, "OL", ""},
		{"12.5 V", units.KindVoltage, "NaN", ""},
	} {
		if got := strings.Join(talk.bare(at(c.healthy, c.kind), c.typed), "|"); got != c.want {
			t.Errorf("%s where %s is good: %q, want %q", c.typed, c.healthy, got, c.want)
		}
	}
	// Asked back, the unit alone is enough.
	out := asked(t, []string{"1", "1", "1", "misses", "other battery-rest-volts", "12.6", "other secondary-ohms", "one", "9.1", "k", "quit"})
	has(t, out, "Taken as 12.6 V.", "9.1 Ω, or 9.1 kΩ, or 9.1 MΩ? Type the unit.", `secondary-ohms = "9.1 k"`)
}

// A reading that is a good one with its decimal point elsewhere is asked again
// with that said.
func TestDecimalPointIsAskedAbout(t *testing.T) {
	m, err := trace.Build(specs.Builtin(), trace.Facts{System: 1})
	if err != nil {
		t.Fatal(err)
	}
	for text, want := range map[string]string{
		"1.24 V": "you gave 1.24 V, and 12.4 V would be a good one",
		"125 V":  "you gave 125 V, and 12.5 V would be a good one",
		"12.4 V": "", "7 V": "", "skip": "",
	} {
		c := trace.New(m, trace.Thorough())
		if err := c.Take(specs.Builtin(), trace.Told{Test: "battery-rest-volts", Text: text}); err != nil {
			t.Fatal(err)
		}
		if got := pointHint(c, m.Test("battery-rest-volts")); !strings.Contains(got, want) || want == "" && got != "" {
			t.Errorf("%s: %q, want %q", text, got, want)
		}
	}
}

// What else can be done comes a screen at a time, the cheap first; what was
// measured is listed with its words.
func TestOtherAndAgain(t *testing.T) {
	out := asked(t, []string{"1", "1", "1", "misses", "other", "other more", "other gap", "again", "other battery-rest-volts", "12.6", "again", "again 1 12.4 V", "again battery", "12.5 V", "quit"})
	_, list, _ := strings.Cut(out, "The quickest and safest come first.\n")
	list, _, _ = strings.Cut(list, "  other more")
	if n := strings.Count(list, "\n"); n == 0 || n > 20 || strings.Contains(list, "swap") {
		t.Errorf("the first screen has %d lines:\n%s", n, list)
	}
	has(t, out, "\n  13  ", "Which of these? Type other and its number:", "Nothing was measured yet", "   1  battery at rest: 12.6 V\n", `battery-rest-volts = ["12.6 V", "12.4 V", "12.5 V"]`)
}

// Nothing is wider than the screen, be it 80 columns or 40.
func TestWidth(t *testing.T) {
	lines := []string{"?", "x", "1", "?", "1", "?", "yes", "1", "?", "no-spark-seen", "?", "why", "other", "other more", "again", "no tester"}
	for range 12 {
		lines = append(lines, "skip", "?", "other")
	}
	lines = append(lines, "quit")
	for _, columns := range []string{"80", "40"} {
		t.Setenv("COLUMNS", columns)
		width := 80
		if columns == "40" {
			width = 40
		}
		for line := range strings.Lines(asked(t, lines)) {
			line = strings.TrimPrefix(strings.TrimSuffix(line, "\n"), "> ") // what was typed ended that line
			if utf8.RuneCountInString(line) > width && !strings.Contains(line, "go run") {
				t.Errorf("%d columns at %s: %s", utf8.RuneCountInString(line), columns, line)
			}
			if strings.Contains(line, "?.") || strings.Contains(line, "..") {
				t.Errorf("ends twice: %s", line)
			}
		}
	}
}
