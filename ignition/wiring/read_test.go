package wiring

import (
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"gapbook.example/ignition"
	"gapbook.example/specs"
	"gapbook.example/specs/gate"
	"gapbook.example/units"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

const small = `version = 1
title = "Bench lamp"
invented = true
ground = "negative"

[parts.block]
kind = "block"

[parts.battery]
kind = "battery"
rest = "12.6 V"
resistance = "20 mΩ ± 10 %"

[parts.key]
kind = "key-switch"
terminals = ["B", "X"]

[parts.key.positions]
off = []
on = ["B+X"]

[parts.lamp]
kind = "load"
resistance = "4.5 to 5.5 Ω"

[wires.strap]
from = "battery.minus"
to = "block"
gauge = "6 AWG"
length = "2 ft"

[wires.feed]
from = "battery.30"
to = "key.B"
gauge = "14 AWG"
length = "3 ft"
colour = "red"

[wires.lamp]
from = "key.X"
to = "lamp.a"

[wires.back]
from = "lamp.b"
to = "block.31"
`

// spoil replaces one piece of the small harness.
func spoil(old, new string) string {
	out := strings.Replace(small, old, new, 1)
	if out == small {
		panic("nothing to spoil: " + old)
	}
	return out
}

func TestReadSmall(t *testing.T) {
	h, err := Read(specs.Builtin(), "lamp.toml", []byte(small))
	if err != nil {
		t.Fatal(err)
	}
	s := solve(t, h, State{Key: "on"})
	i, _ := s.Current("lamp")
	// 12.6 V over 20 mΩ, 2 ft of 6 AWG, 3 ft of 14 AWG, 5 mΩ of the key and 5 Ω.
	strap, _ := h.Wire("strap")
	feed, _ := h.Wire("feed")
	want := 12.6 / (0.02 + h.Resistance(strap).Ohms() + h.Resistance(feed).Ohms() + 0.005 + 5)
	if d := i.Amperes() - want; d > 1e-12 || d < -1e-12 {
		t.Errorf("%g A, want %g A", i.Amperes(), want)
	}
	if feed.From != "battery.plus" || feed.Colour != "red" {
		t.Errorf("the feed reads %+v", feed)
	}
	if v, ok := solve(t, h, State{}).Volts("lamp.a"); !ok || v.Volts() != 0 {
		t.Errorf("with the key off the lamp is at %v, tied %t", v, ok)
	}
	if got := h.Describe(State{Key: "on", Engine: Runs}); got != "key in on, engine running" {
		t.Errorf("Describe: %s", got)
	}
}

// Every mistake is named with its place and what was meant.
func TestReadProblems(t *testing.T) {
	for _, c := range []struct{ name, src, want string }{
		{"unknown part", spoil(`to = "lamp.a"`, `to = "lmap.a"`), `h.toml:41:6: wires.lamp.to: there is no part "lmap" (unknown-part); did you mean "lamp"?`},
		{"unknown terminal", spoil(`from = "battery.minus"`, `from = "battery.minos"`), `h.toml:27:8: wires.strap.from: there is no terminal "minos" (unknown-terminal); did you mean "minus"?`},
		{"unknown switch terminal", spoil(`to = "key.B"`, `to = "key.C"`), `h.toml:34:6: wires.feed.to: there is no terminal "C" (unknown-terminal); did you mean "B"? one of: B, X`},
		{"switch joins unknown terminal", spoil(`on = ["B+X"]`, `on = ["B+Y"]`), `h.toml:20:6: parts.key.positions.on: "Y" is not known here (unknown-word)`},
		{"unknown kind", spoil(`kind = "load"`, `kind = "laod"`), `h.toml:23:8: parts.lamp.kind: "laod" is not known here (unknown-word); did you mean "load"?`},
		{"unknown key", spoil(`resistance = "4.5`, `resistence = "4.5`), `h.toml:24:1: parts.lamp.resistence: this key is not known here (unknown-key); did you mean "resistance"?`},
		{"no unit", spoil(`"12.6 V"`, `"12.6"`), `h.toml:11:8: parts.battery.rest: `},
		{"wrong unit", spoil(`"12.6 V"`, `"12.6 A"`), `h.toml:11:8: parts.battery.rest: `},
		{"below nothing", spoil(`"12.6 V"`, `"-12.6 V"`), `h.toml:11:8: parts.battery.rest: -12.6 V cannot be the volts at rest (out-of-range)`},
		{"to nowhere", spoil("to = \"key.B\"\n", ""), `h.toml:32:8: wires.feed: "to" is missing (terminal at the other end) (missing-key)`},
		{"no terminal", spoil(`to = "key.B"`, `to = "key"`), `h.toml:34:6: wires.feed.to: "key" names no terminal (wire-to-nowhere)`},
		{"to itself", spoil(`to = "key.B"`, `to = "battery.plus"`), `h.toml:32:8: wires.feed: the wire runs from battery.plus to itself (wire-to-itself)`},
		{"two wires of one name", spoil("[wires.lamp]", "[wires.feed]"), `h.toml:39:8: wires.feed: "wires.feed" is already a table, set on line 32 (duplicate-key)`},
		{"no block", spoil("[parts.block]\nkind = \"block\"\n", ""), `h.toml:7:2: parts: the harness has no engine block, so there is nothing to measure against (no-block)`},
		{"no kind", spoil(`kind = "load"`, `rating = "1 A"`), `h.toml:22:8: parts.lamp: nothing says what kind of part this is (missing-key)`},
		{"no resistance", spoil(`resistance = "4.5 to 5.5 Ω"`, ``), `h.toml:22:8: parts.lamp.resistance: nothing says what the resistance of this load is`},
		{"limits round the wrong figure", spoil(`"4.5 to 5.5 Ω"`, `"7 Ω (4 Ω to 5 Ω)"`), `h.toml:24:14: parts.lamp.resistance: the figure lies outside its own limits (out-of-range)`},
		{"unknown table", spoil("terminals = [\"B\", \"X\"]\n\n[parts.key.positions]\noff = []\non = [\"B+X\"]", `table = "magneto-sixx"`), `h.toml:16:9: parts.key.table: there is no switch table "magneto-sixx" (unknown-switch-table); did you mean "magneto-six"?`},
		{"no table", spoil("terminals = [\"B\", \"X\"]\n\n[parts.key.positions]\noff = []\non = [\"B+X\"]", ``), `h.toml:14:8: parts.key.table: nothing says what the switch joins in each position (missing-key)`},
		{"positions without terminals", spoil(`terminals = ["B", "X"]`, ``), `h.toml:18:12: parts.key.positions: the switch names no terminals (missing-key)`},
		{"unknown table of the file", small + "\n[wirse.x]\nfrom = \"lamp.a\"\n", `h.toml:47:2: wirse: this table is not known here (unknown-key); did you mean "wires"?`},
		{"second key", small + "\n[parts.other]\nkind = \"key-switch\"\ntable = \"feed-two\"\n", `h.toml:47:8: parts.other: "key" is a key switch already (second-key)`},
		{"bad word", small + "\n[parts.seat]\nkind = \"interlock\"\nnormally = \"opne\"\n", `h.toml:49:12: parts.seat.normally: "opne" is not known here (unknown-word); one of: open, closed`},
		{"not TOML", "parts = [", `h.toml:1:9: `},
		{"nothing", "", `h.toml:1:1: the harness has no parts (missing-key)`},
	} {
		_, err := Read(specs.Builtin(), "h.toml", []byte(c.src))
		var problems gate.Problems
		if !errors.As(err, &problems) {
			t.Errorf("%s: error %v", c.name, err)
			continue
		}
		// One mistake is one problem, unless other lines lean on it.
		if leans := c.name == "no block"; !leans && len(problems) != 1 {
			t.Errorf("%s: %d problems: %v", c.name, len(problems), err)
		}
		if !strings.Contains("\n"+err.Error(), "\n"+c.want) {
			t.Errorf("%s: got\n%v\nwant\n%s", c.name, err, c.want)
		}
	}
}

// A harness inside another document has its keys below that table.
func TestReadNode(t *testing.T) {
	inside := strings.NewReplacer("[parts", "[harness.parts", "[wires", "[harness.wires").Replace(small)
	doc, problems := gate.Read("job.toml", []byte("job = 1\n[harness]\n"+inside))
	if problems != nil {
		t.Fatal(problems)
	}
	h, err := ReadNode(specs.Builtin(), "job.toml", doc.Root.Child("harness"))
	if err != nil || h.Title() != "Bench lamp" {
		t.Fatal(err)
	}
	doc, problems = gate.Read("job.toml", []byte("job = 1\n[harness]\n"+strings.Replace(inside, `"lamp.a"`, `"lmap.a"`, 1)))
	if problems != nil {
		t.Fatal(problems)
	}
	_, err = ReadNode(specs.Builtin(), "job.toml", doc.Root.Child("harness"))
	if want := `job.toml:43:6: harness.wires.lamp.to: there is no part "lmap"`; err == nil || !strings.HasPrefix(err.Error(), want) {
		t.Errorf("got %v, want %s", err, want)
	}
}

// All problems are reported, not the first.
func TestReadReportsAll(t *testing.T) {
	src := spoil(`to = "lamp.a"`, `to = "lmap.a"`)
	src = strings.Replace(src, `from = "battery.minus"`, `from = "battery.minos"`, 1)
	src = strings.Replace(src, `"12.6 V"`, `"12.6 Ω"`, 1)
	_, err := Read(specs.Builtin(), "h.toml", []byte(src))
	var problems gate.Problems
	if !errors.As(err, &problems) || len(problems) != 3 {
		t.Fatalf("want three problems, got %v", err)
	}
}

// Ten thousand wires are refused at once, in a file and from Go.
func TestTenThousandWires(t *testing.T) {
	var b strings.Builder
	b.WriteString("version = 1\n[parts.block]\nkind = \"block\"\n[parts.lamp]\nkind = \"load\"\nresistance = \"5 Ω\"\n")
	d := Draft{Parts: []Part{{Name: "block", Kind: Block}, {Name: "lamp", Kind: Load, Values: map[Attribute]Value{Resistance: Of(units.Ohms(5))}}}}
	for i := range 10000 {
		fmt.Fprintf(&b, "[wires.w%d]\nfrom = \"lamp.a\"\nto = \"block\"\n", i)
		d.Wires = append(d.Wires, Wire{Name: fmt.Sprintf("w%d", i), From: "lamp.a", To: "block"})
	}
	start := time.Now()
	_, err := Read(specs.Builtin(), "big.toml", []byte(b.String()))
	var problems gate.Problems
	if !errors.As(err, &problems) || problems[0].Line == 0 && problems[0].Code != gate.CodeTooBig {
		t.Errorf("the file: %v", err)
	}
	_, err = Build(specs.Builtin(), d)
	if !errors.As(err, &problems) || problems[0].Code != "too-many-wires" {
		t.Errorf("from Go: %v", err)
	}
	if took := time.Since(start); took > 2*time.Second {
		t.Errorf("it took %v", took)
	}
	// The greatest that is taken is solved.
	d.Wires = d.Wires[:MaxWires]
	for i := range d.Wires {
		d.Wires[i].Gauge, d.Wires[i].Length = units.AWG(18), units.Feet(float64(i+1))
	}
	h, err := Build(specs.Builtin(), d)
	if err != nil {
		t.Fatal(err)
	}
	solve(t, h, State{})
}

// same compares drafts by value; places do not count.
func same(a, b Draft) string {
	return cmp.Diff(a, b, cmpopts.EquateEmpty(), cmp.Comparer(func(x, y ignition.Position) bool { return true }), cmp.Comparer(func(x, y specs.Position) bool { return true }),
		cmp.Exporter(func(t reflect.Type) bool { return strings.HasPrefix(t.PkgPath(), "gapbook.example/units") }))
}

// What is written reads back the same: every layout, and every layout with all
// that it assumes written out.
func TestMarshalRoundTrip(t *testing.T) {
	all := layouts()
	drafts := map[string]Draft{"forty parts": fortyParts(t)}
	for name, f := range all {
		h, err := Layout(specs.Builtin(), f)
		if err != nil {
			t.Fatal(err)
		}
		drafts[name], drafts[name+", complete"] = h.Draft(), h.complete()
	}
	odd := h2(t, small)
	odd.Note = "a \"quoted\" word,\na second line and a \\"
	odd.Temperature = units.Celsius(60)
	odd.System = ignition.Trembler
	odd.Wires[1].Insulation, odd.Wires[1].EngineSpace, odd.Wires[1].Bundle = units.Celsius(105), true, 4
	drafts["odd"] = odd
	for name, d := range drafts {
		text := Marshal(d)
		h, err := Read(specs.Builtin(), name, text)
		if err != nil {
			t.Errorf("%s: %v\n%s", name, err, text)
			continue
		}
		if diff := same(normal(t, d), h.Draft()); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
		if again := Marshal(h.Draft()); string(again) != string(Marshal(normal(t, d))) {
			t.Errorf("%s is written differently the second time", name)
		}
	}
}

func h2(t *testing.T, src string) Draft {
	h, err := Read(specs.Builtin(), "x", []byte(src))
	if err != nil {
		t.Fatal(err)
	}
	return h.Draft()
}

// normal spells the ends of wires as the package does.
func normal(t *testing.T, d Draft) Draft {
	h, err := Build(specs.Builtin(), d)
	if err != nil {
		t.Fatal(err)
	}
	return h.Draft()
}

// Whatever the bytes, the reader refuses with places or makes a harness that
// solves without a NaN and reads back the same.
func FuzzRead(f *testing.F) {
	f.Add([]byte(small))
	all := layouts()
	for i, name := range sortedKeys(all) {
		if d, err := LayoutDraft(specs.Builtin(), all[name]); err == nil && i%5 == 0 {
			f.Add(Marshal(d))
		}
	}
	f.Add([]byte("version = 1\n[parts.block]\nkind = \"block\"\n[parts.a]\nkind = \"battery\"\nrest = \"12 V\"\nresistance = \"0 Ω\"\n[wires.x]\nfrom = \"a.plus\"\nto = \"a.minus\"\n"))
	f.Fuzz(func(t *testing.T, src []byte) {
		h, err := Read(specs.Builtin(), "fuzz.toml", src)
		if err != nil {
			var problems gate.Problems
			if !errors.As(err, &problems) || len(problems) == 0 {
				t.Fatalf("an error without problems: %v", err)
			}
			return
		}
		states := h.States()
		for i := 0; i < len(states); i += 1 + len(states)/20 {
			s, err := h.Solve(states[i])
			var loop *LoopError
			if errors.As(err, &loop) {
				continue
			}
			if err != nil {
				t.Fatal(err)
			}
			for _, terminal := range h.Terminals() {
				if v, _ := s.Volts(terminal); v.Volts() != v.Volts() {
					t.Fatalf("%s is at %v", terminal, v)
				}
			}
			for _, w := range h.Wires() {
				if x, ok := s.WireCurrent(w.Name); !ok || x.Amperes() != x.Amperes() {
					t.Fatalf("%s carries %v", w.Name, x)
				}
			}
		}
		again, err := Read(specs.Builtin(), "again.toml", Marshal(h.Draft()))
		if err != nil {
			t.Fatalf("what was written does not read: %v\n%s", err, Marshal(h.Draft()))
		}
		if diff := same(h.Draft(), again.Draft()); diff != "" {
			t.Fatal(diff)
		}
	})
}

func TestParseValue(t *testing.T) {
	for _, c := range []struct{ text, low, nominal, high string }{
		{"3.4 Ω", "3.4 Ω", "3.4 Ω", "3.4 Ω"},
		{"3.4 Ω ± 10 %", "3.06 Ω", "3.4 Ω", "3.74 Ω"},
		{"3.4 Ω +/- 0.2 Ω", "3.2 Ω", "3.4 Ω", "3.6 Ω"},
		{"3.2 to 3.6 Ω", "3.2 Ω", "3.4 Ω", "3.6 Ω"},
		{"320 mΩ to 0.36 Ω", "0.32 Ω", "0.34 Ω", "0.36 Ω"},
		{"3.6 to 3.2 Ω", "3.2 Ω", "3.4 Ω", "3.6 Ω"},
		{"3.4 Ω (3.3 Ω to 3.9 Ω)", "3.3 Ω", "3.4 Ω", "3.9 Ω"},
		{"1 Ω ± 200 %", "0 Ω", "1 Ω", "3 Ω"},
	} {
		v, err := ParseValue(units.KindResistance, c.text)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		for i, pair := range [][2]string{{v.Min.String(), c.low}, {v.Nominal.String(), c.nominal}, {v.Max.String(), c.high}} {
			want, got := units.MustResistance(pair[1]).Ohms(), units.MustResistance(pair[0]).Ohms()
			if d := got - want; d > 1e-12 || d < -1e-12 {
				t.Errorf("%q: figure %d is %s, want %s", c.text, i, pair[0], pair[1])
			}
		}
		if back, err := ParseValue(units.KindResistance, v.String()); err != nil || back != v {
			t.Errorf("%q prints as %q, which reads %v, %v", c.text, v, back, err)
		}
	}
	for _, text := range []string{"", "3.4", "Ω", "3.4 V", "3 to", "to 3 Ω", "3 Ω ± ", "3 Ω ± 4 V", "3 Ω (1 Ω to 2 Ω)", "± 3 Ω"} {
		if v, err := ParseValue(units.KindResistance, text); err == nil {
			t.Errorf("%q reads as %v", text, v)
		}
	}
}
