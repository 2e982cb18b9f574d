package main

import (
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"unicode/utf8"

	"gapbook.example/examples/shell"
	"gapbook.example/ignition"
	"gapbook.example/ignition/trace"
	"gapbook.example/ignition/wiring"
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
	_, out := conversation(t, file, "1", "1", "1", "no-spark-seen", "why", "?", "banana", "undo", "1", "other spark-tester", "none", "again spark-tester 1", "quit")
	for _, want := range []string{"What kind of ignition", "What does it do?", "is not one of its answers", "Taken back", "skip", "Saved."} {
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

// plays are invented engines, with what somebody who knows only what a
// meter shows would read on each: "first | second" where the first was a slip. What is not
// listed cannot be done there.
var plays = []struct {
	name, want string
	most       float64 // minutes
	head       string
	shows      map[string]string
}{
	{"mower, module, kill wire chafed through", "kill-wire-grounded", 40, "system = \"magneto-breakerless\"\n[answers]\ncomplaint = \"no-spark-seen\"\n", map[string]string{
		"kill-wire-ohms": "0.4 Ω", "kill-wire-off-ohms": "0.4 Ω", "stop-switch-ohms": "OL", "look-controls": "1", "look-wiring": "chafed", "interlock-by-interlock": "1",
		"spark-tester": "none", "spark-with-kill-lifted": "jumps", "spark-path-ohms": "11.6 kΩ", "ask-what-was-done": "nothing", "plug-look": "petrol-wet"}},
	{"garden tractor, weak spark, condenser leaks", "condenser-leaks", 60, "system = \"battery-points\"\n[answers]\ncomplaint = \"starts-hard\"\n", map[string]string{
		"ask-when-it-fails": "no-pattern", "ask-what-was-done": "stood-long", "spark-tester": "weak", "spark-tester-wide": "none", "battery-rest-volts": "12.5 V", "feed-volts-run": "12.3 V",
		"points-drop": "70 mV", "points-look": "burnt", "points-gap-feeler": "19 thou", "primary-ohms": "3.9 ohms", "spark-path-ohms": "13 kΩ", "condenser-capacity": "0.21 uF",
		"condenser-insulation": "300 k", "plug-look": "dry-soot", "plug-insulation": "OL", "plug-gap-feeler": "25 thou", "plug-swap": "same", "condenser-swap": "better", "compression-gauge": "650 kPa"}},
	{"generator, dies warm, charge coil opens", "charge-coil-opens-hot", 75, "system = \"capacitor-discharge\"\n[answers]\ncomplaint = \"dies-hot\"\n", map[string]string{
		"ask-when-it-fails": "warm", "plug-look": "tan", "charge-coil-ohms": "480 Ω", "charge-peak-volts": "140 V", "charge-peak-volts-warm": "2 V", "spark-tester-warm": "none",
		"trigger-peak-volts-warm": "2.9 V", "module-swap-warm": "same", "coil-swap-warm": "same", "connector-look": "bright", "compression-gauge": "700 kPa"}},
	{"old tractor, impulse coupling stuck", "impulse-coupling-stuck", 60, "system = \"rotor-magneto-points\"\n[answers]\ncomplaint = \"starts-hard\"\n", map[string]string{
		"ask-when-it-fails": "starting-only", "ask-what-was-done": "nothing", "impulse-snap-listen": "no-snap", "spark-tester": "weak", "points-gap-feeler": "15 thou", "plug-look": "tan",
		"points-drop": "60 mV", "points-look": "grey-frosted", "compression-gauge": "700 kPa", "magnet-pull": "20 mm"}},
	{"stationary engine, igniter sooted up", "igniter-fouled", 45, "system = \"make-and-break\"\n[answers]\ncomplaint = \"will-not-start\"\n", map[string]string{
		"ask-when-it-fails": "no-pattern", "ask-what-was-done": "nothing", "look-controls": "right", "look-wiring": "tidy", "snap-at-wire": "jumps", "igniter-out-snap": "none",
		"igniter-look": "sooty", "igniter-insulation": "3 Ω", "igniter-drop": "0.1 V", "battery-rest-volts": "6.2 V", "cells-load-volts": "3.6 V", "feed-volts-run": "3.4 V",
		"fuse-look": "whole", "igniter-clean-and-try": "better", "low-tension-coil-ohms": "0.8 Ω"}},
	{"log splitter, pick-up wire broken", "trigger-open", 30, "system = \"battery-breakerless\"\nlacks = [\"ballast\"]\n[answers]\ncomplaint = \"no-spark-seen\"\n", map[string]string{
		"spark-tester": "none", "spark-tester-wide": "none", "feed-volts-run": "12.4 V", "feed-volts-start": "10.5 V", "battery-rest-volts": "12.6 V", "battery-crank-volts": "10.6 V",
		"spark-path-ohms": "13.8 kΩ", "primary-ohms": "3.1 Ω", "secondary-ohms": "8.8 kΩ", "trigger-ohms": "OL", "trigger-peak-volts": "0 V", "connector-look": "bright", "look-wiring": "tidy",
		"ask-when-it-fails": "no-pattern", "ask-what-was-done": "nothing", "plug-look": "petrol-wet", "feed-jumper": "same", "fuse-look": "whole"}},
	{"old rotary mower, points filmed over a winter", "points-film", 70, "system = \"flywheel-magneto-points\"\n[answers]\ncomplaint = \"will-not-start\"\n", map[string]string{
		"spark-tester": "none", "spark-tester-wide": "none", "spark-with-kill-lifted": "none", "kill-wire-ohms": "OL", "kill-wire-off-ohms": "0.4 Ω", "stop-switch-ohms": "OL", "look-controls": "right",
		"spark-path-ohms": "13.1 kΩ", "ask-when-it-fails": "no-pattern", "ask-what-was-done": "stood-long", "plug-look": "petrol-wet", "plug-insulation": "OL", "plug-gap-feeler": "25 thou",
		"points-look": "film-or-oil", "points-ohms": "40 Ω", "points-insulation": "OL", "points-gap-feeler": "20 thou", "points-clean-and-try": "better", "condenser-capacity": "0.21 µF",
		"condenser-insulation": "OL", "primary-ohms": "0.8 Ω", "magnet-pull": "20 mm", "air-gap-gauge": "12 thou", "look-wiring": "tidy"}},
	{"moped, joint of the source coil green", "transfer-wire-poor", 75, "system = \"energy-transfer\"\n[answers]\ncomplaint = \"starts-hard\"\n", map[string]string{
		"spark-tester": "weak", "spark-tester-wide": "none", "spark-with-kill-lifted": "weak", "kill-wire-ohms": "OL", "spark-path-block-ohms": "13 kΩ", "ask-when-it-fails": "no-pattern", "ask-what-was-done": "nothing",
		"plug-look": "tan", "plug-insulation": "OL", "plug-gap-feeler": "25 thou", "source-coil-ohms": "6.2 Ω", "points-look": "grey-frosted", "points-ohms": "0.2 Ω", "points-insulation": "OL",
		"points-gap-feeler": "20 thou", "primary-ohms": "0.8 Ω", "magnet-pull": "20 mm", "air-gap-gauge": "12 thou", "condenser-capacity": "0.22 µF", "condenser-insulation": "OL", "look-wiring": "green-or-loose",
		"compression-gauge": "680 kPa"}},
	{"farm engine with a buzz box, cells run down", "cells-flat", 30, "system = \"trembler\"\n[answers]\ncomplaint = \"starts-hard\"\n", map[string]string{
		"spark-tester": "weak", "spark-tester-wide": "none", "buzz-listen": "thin", "battery-rest-volts": "5.5 V", "cells-load-volts": "2.8 V", "feed-volts-cells": "2.7 V", "ask-when-it-fails": "no-pattern",
		"ask-what-was-done": "nothing", "plug-look": "tan", "plug-insulation": "OL", "plug-gap-feeler": "30 thou", "timer-ohms": "0.2 Ω", "cells-swap": "better", "fuse-look": "whole", "look-wiring": "tidy"}},
	{"baler, secondary open, first read on the wrong two points", "coil-secondary-open", 45, "system = \"rotor-magneto-points\"\n[answers]\ncomplaint = \"no-spark-seen\"\n", map[string]string{
		"spark-tester": "none", "spark-tester-wide": "none", "spark-with-kill-lifted": "none", "kill-wire-ohms": "OL", "spark-path-ohms": "0.6 Ω | OL", "lead-ohms": "right", "cap-ohms": "right", "secondary-ohms": "OL",
		"primary-ohms": "0.6 Ω", "ask-when-it-fails": "no-pattern", "ask-what-was-done": "nothing", "plug-look": "petrol-wet", "points-look": "grey-frosted", "points-ohms": "0.1 Ω", "points-insulation": "OL",
		"points-gap-feeler": "15 thou", "brush-and-ring-look": "sound", "condenser-capacity": "0.2 µF", "condenser-insulation": "OL", "magnet-pull": "20 mm", "plug-insulation": "OL", "impulse-snap-listen": "snaps"}},
}

// TestEngines plays them, answering what is asked and nothing else.
func TestEngines(t *testing.T) {
	book := specs.Builtin()
	for _, p := range plays {
		r, err := trace.ReadRecord(book, p.name, []byte("[engine]\n"+p.head))
		if err != nil {
			t.Fatal(err)
		}
		c, err := r.Open(book, p.name)
		if err != nil {
			t.Fatal(err)
		}
		m := c.Model()
		var asked []string
		for range 40 {
			step := c.Next()
			if step.Kind == trace.Name {
				break
			}
			id := m.Tests[step.Test].ID
			text, ok := p.shows[id]
			if first, second, slipped := strings.Cut(text, " | "); slipped {
				if text = first; step.Kind == trace.Again {
					text = second
				}
			}
			if !ok {
				text = "skip"
			}
			asked = append(asked, id+" "+text)
			if err := c.Take(book, trace.Told{Test: id, Text: text}); err != nil {
				t.Fatalf("%s: %v", p.name, err)
			}
		}
		result := c.Result()
		// Faults that one part ends need not be told apart.
		if id := m.Causes[result.Causes[0].Cause].ID; result.Cures[0].Cure != m.Causes[m.Cause(p.want)].Cure || result.Grade == trace.CannotTell || c.Minutes().Minutes() > p.most {
			t.Errorf("%s: %s (%s) after %.0f minutes: %s", p.name, id, result.Grade, c.Minutes().Minutes(), strings.Join(asked, ", "))
		}
	}
}

// The complaint is asked again once it was taken back, the record keeps words
// and is on disk after every answer, and a place that cannot be written is said
// before the first question.
func TestAskingKeepsWhatWasSaid(t *testing.T) {
	file := filepath.Join(t.TempDir(), "record.toml")
	out, errs, code := shell.Run(run, usage, "5\n1\nundo\n3\nundo\nundo\n5\n2\n", "-ask", "-save", file)
	if code != shell.Good || errs != "" {
		t.Fatalf("ends with %d: %s", code, errs)
	}
	if n := strings.Count(out, "What does it do?"); n < 3 {
		t.Errorf("the complaint is asked %d times:\n%s", n, out)
	}
	data, err := os.ReadFile(file)
	if err != nil || !strings.Contains(string(data), `complaint = "will-not-start"`) {
		t.Errorf("%v\n%s", err, data)
	}
	// The terminal goes after the second line, and nothing is lost.
	next := filepath.Join(t.TempDir(), "record.toml")
	lines, seen := []string{"5\n", "1\n", "undo\n"}, ""
	p := shell.New(usage)
	p.Args, p.Stdout, p.Stderr = []string{"-ask", "-save", next}, io.Discard, io.Discard
	p.Stdin = reader(func(b []byte) (int, error) {
		if len(lines) == 1 {
			data, _ := os.ReadFile(next)
			seen = string(data)
		}
		if len(lines) == 0 {
			return 0, io.EOF
		}
		n := copy(b, lines[0])
		lines = lines[1:]
		return n, nil
	})
	run(p)
	if !strings.Contains(seen, `complaint = "no-spark-seen"`) {
		t.Errorf("after the first answer the file holds %q", seen)
	}
	out, errs, code = shell.Run(run, usage, "1\n1\n", "-ask", "-save", filepath.Join(file, "none"))
	if code != shell.Bad || !strings.Contains(errs, "-save") || strings.Contains(out, "What kind") {
		t.Errorf("ends with %d: %s%s", code, out, errs)
	}
}

// What is fitted can be taken back as every answer can: the ballast, the volts,
// the kind, and each look before it; ? helps from the first question on.
func TestWhatIsFittedCanBeTakenBack(t *testing.T) {
	file := filepath.Join(t.TempDir(), "record.toml")
	record := func() *trace.Record {
		t.Helper()
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		r, err := trace.ReadRecord(specs.Builtin(), file, src)
		if err != nil {
			t.Fatalf("%v\n%s", err, src)
		}
		return r
	}
	_, out := conversation(t, file, "?", "1", "?", "2", "2", "undo", "3", "undo", "undo", "undo", "5", "will-not-start")
	if r := record(); r.Facts.System != ignition.MagnetoBreakerless || !r.Facts.Volts.IsZero() || r.Facts.Ballast != 0 || len(r.Facts.Lacks) > 0 || len(r.Told) != 1 {
		t.Errorf("%+v\n%s", r, out)
	}
	if n := strings.Count(out, "its number, or its word"); n != 2 {
		t.Errorf("helps %d times:\n%s", n, out)
	}
	os.Remove(file)
	conversation(t, file, "1", "6 V", "yes", "1", "undo", "2", "no-spark-seen")
	if r := record(); r.Facts.Volts.Volts() != 6 || r.Facts.Ballast != wiring.Ballasted || len(r.Told) != 1 {
		t.Errorf("%+v", r)
	}
	// Looks are kept as they come, skipped ones too, and go on where they stopped.
	os.Remove(file)
	_, out = conversation(t, file, "0", "skip", "1")
	if r := record(); len(r.Seen) != 2 || r.Seen[0].Answer != trace.SkippedLook || r.Facts.System != ignition.UnknownSystem {
		t.Errorf("%+v\n%s", r, out)
	}
	code, out, bad := call(t, "undo\nundo\n5\n", "-ask", "-save", file, file)
	if code == shell.Bad || bad != "" || strings.Count(out, "What kind of ignition") != 1 {
		t.Errorf("%d %s %s", code, bad, out)
	}
	if r := record(); len(r.Seen) != 0 || r.Facts.System != ignition.MagnetoBreakerless {
		t.Errorf("%+v", r)
	}
}

// How many plugs the coil fires is asked once, before the first test that it
// matters to; what was answered stays, and two leads are read tower to tower.
func TestTwoPlugsOnOneCoil(t *testing.T) {
	file := filepath.Join(t.TempDir(), "record.toml")
	_, out := conversation(t, file, "6", "no-spark-seen", "none", "other spark-path-block-ohms", "2", "other spark-path-pair-ohms", "OL")
	if n := strings.Count(out, "How many plugs"); n != 1 {
		t.Errorf("asked %d times:\n%s", n, out)
	}
	if !strings.Contains(out, "from inside one cap to inside the other") {
		t.Errorf("two leads are not read from one to the other:\n%s", out)
	}
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"outputs = 2", `spark-tester = "none"`, `spark-path-pair-ohms = "OL"`} {
		if !strings.Contains(string(src), want) {
			t.Errorf("no %s in\n%s", want, src)
		}
	}
}

// TestInterrupt breaks off in the middle of a question: what was said is on
// disk, or, without -save, on the screen.
func TestInterrupt(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("there a program cannot interrupt itself")
	}
	for _, args := range [][]string{{"-ask"}, {"-ask", "-save", filepath.Join(t.TempDir(), "record.toml")}} {
		var out strings.Builder
		p := shell.New(usage)
		p.Args, p.Stdout, p.Stderr = args, &out, io.Discard
		lines := []string{"5\n", "no-spark-seen\n"}
		hold := make(chan struct{})
		p.Stdin = reader(func(b []byte) (int, error) {
			if len(lines) == 0 {
				me, err := os.FindProcess(os.Getpid())
				if err == nil {
					err = me.Signal(os.Interrupt)
				}
				if err != nil {
					t.Error(err)
				}
				<-hold
				return 0, io.EOF
			}
			n := copy(b, lines[0])
			lines = lines[1:]
			return n, nil
		})
		if code := run(p); code != shell.Good {
			t.Errorf("ends with %d", code)
		}
		close(hold)
		text := out.String()
		if len(args) > 1 {
			src, err := os.ReadFile(args[2])
			if err != nil {
				t.Error(err)
			}
			text = string(src)
		}
		if !strings.Contains(text, `complaint = "no-spark-seen"`) {
			t.Errorf("%v: nothing is kept:\n%s", args, text)
		}
	}
}

type reader func(b []byte) (int, error)

func (r reader) Read(b []byte) (int, error) { return r(b) }
