package specs

import (
	"os"
	"slices"
	"strings"
	"testing"

	"gapbook.example/specs/gate"
	"gapbook.example/units"
)

// The switch tables join what their sources print: continuity charts of
// machine makers' service manuals, read as "position: terminals joined".
func TestSwitchTablesAsPrinted(t *testing.T) {
	for id, printed := range map[string]string{
		// Greens aerator service manual, page 5-7.
		"magneto-six": "off G+M+A; run B+L+A; start B+L+S",
		// Utility vehicle service manual, page 8-17; compact loader, page 5-3.
		"battery-six": "off; run B+A+I X+Y; start B+S+I",
		// Zero-turn mower service manual, page 8-19.
		"numbered-five": "off; run 2+3+5+4; start 2+3+5+1",
		// Reference page: pairs B-S, B-A, G-M by position.
		"magneto-five": "off G+M; run B+A; start B+A+S",
		// Engine service manual, page 28: continuity only in off.
		"stop-two-lead": "off M+G; run",
	} {
		s, err := Builtin().SwitchTable(id)
		if err != nil {
			t.Error(err)
			continue
		}
		for part := range strings.SplitSeq(printed, "; ") {
			name, groups, _ := strings.Cut(part, " ")
			p, ok := s.Position(name)
			if !ok {
				t.Errorf("%s has no position %s", id, name)
				continue
			}
			joined := func(a, b string) bool {
				for g := range strings.SplitSeq(groups, " ") {
					in := strings.Split(g, "+")
					if slices.Contains(in, a) && slices.Contains(in, b) {
						return true
					}
				}
				return false
			}
			for _, a := range s.Terminals {
				for _, b := range s.Terminals {
					if a != b && p.Joined(a, b) != joined(a, b) {
						t.Errorf("%s in %s: %s and %s joined %t, printed %t", id, name, a, b, p.Joined(a, b), joined(a, b))
					}
				}
			}
		}
	}
}

// What the roles of a switch promise holds in every table: a battery switch
// feeds in run and start and not in off; a magneto switch grounds in off only;
// the starter is fed in start only.
func TestSwitchRoles(t *testing.T) {
	for _, id := range Builtin().SwitchTables() {
		s, _ := Builtin().SwitchTable(id)
		if len(s.Positions) == 0 || s.Positions[0].Name != "off" || len(s.Sources) == 0 {
			t.Errorf("%s: positions do not begin with off, or nobody says so", id)
		}
		r := s.Roles
		if s.Type == "battery" && (r.Battery == "" || r.Feed == "") || s.Type == "magneto" && (r.Kill == "" || r.Ground == "") {
			t.Errorf("%s is of type %s and has not its terminals", id, s.Type)
		}
		for _, p := range s.Positions {
			off, start := p.Name == "off", p.Name == "start"
			if r.Feed != "" && p.Joined(r.Battery, r.Feed) == off {
				t.Errorf("%s in %s: the feed", id, p.Name)
			}
			if r.Kill != "" && p.Joined(r.Kill, r.Ground) != off {
				t.Errorf("%s in %s: the kill terminal", id, p.Name)
			}
			if r.Starter != "" && p.Joined(r.Battery, r.Starter) != start {
				t.Errorf("%s in %s: the starter", id, p.Name)
			}
		}
	}
	if _, err := Builtin().SwitchTable("magneto-sixx"); err == nil || !strings.Contains(err.Error(), "magneto-six") {
		t.Errorf("unknown table: %v", err)
	}
}

const goodSwitch = `#:schema ../schema/switch.json
schema = 1
id = "shop-four"
label = "shop switch"
type = "magneto"
terminals = ["M", "G", "B", "S"]

[positions]
off = ["M+G"]
run = []
start = ["B+S"]

[roles]
kill = "M"
ground = "G"

[source.common-practice]
basis = "common-practice"
status = "single-source"
`

func TestDecodeSwitch(t *testing.T) {
	s, problems := DecodeSwitch("shop-four.toml", []byte(goodSwitch))
	if problems != nil {
		t.Fatal(problems)
	}
	if len(s.Positions) != 3 || s.Roles.Kill != "M" || s.Sources[0].Basis != CommonPractice {
		t.Errorf("%+v", s)
	}
	for _, c := range []struct{ old, new, want string }{
		{`off = ["M+G"]`, `off = ["M+H"]`, `s.toml:9:7: positions.off: "H" is not known here (unknown-word)`},
		{`off = ["M+G"]`, `off = ["M"]`, `s.toml:9:7: positions.off: "M" joins nothing (lone-terminal)`},
		{`off = ["M+G"]`, `off = "M+G"`, `s.toml:9:7: positions.off: a list of groups of joined terminals is needed (wrong-type)`},
		{`off = ["M+G"]`, `off = [1]`, `s.toml:9:7: positions.off: every group is words in quotes (wrong-type)`},
		{`kill = "M"`, `kill = "N"`, `s.toml:14:8: roles.kill: "N" is not known here (unknown-word)`},
		{`kill = "M"`, `kil = "M"`, `s.toml:14:1: roles.kil: this key is not known here (unknown-key)`},
		{`["M", "G", "B", "S"]`, `["M", "G", "B", "B"]`, `s.toml:6:13: terminals: "B" cannot be the name of a terminal here (bad-terminal)`},
		{`["M", "G", "B", "S"]`, `["M", "G", "B+", "S"]`, `s.toml:6:13: terminals: "B+" cannot be the name of a terminal here (bad-terminal)`},
		{`type = "magneto"`, `type = "mangeto"`, `s.toml:5:8: type: "mangeto" is not known here (unknown-word); did you mean "magneto"?`},
		{"[positions]\noff = [\"M+G\"]\nrun = []\nstart = [\"B+S\"]", "", `s.toml:1:1: the switch has no positions (missing-key)`},
		{"[source.common-practice]\nbasis = \"common-practice\"\nstatus = \"single-source\"\n", "", `s.toml:1:1: the switch table names no source (missing-key)`},
	} {
		src := strings.Replace(goodSwitch, c.old, c.new, 1)
		if src == goodSwitch {
			t.Fatalf("nothing to spoil: %s", c.old)
		}
		_, problems := DecodeSwitch("s.toml", []byte(src))
		if problems == nil || !strings.Contains("\n"+problems.Error(), "\n"+c.want) {
			t.Errorf("%s: got %v, want %s", c.new, problems, c.want)
		}
	}
}

// A shop's folder adds switches and replaces class figures.
func TestOverlaySwitches(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{
		"switches/shop-four.toml": goodSwitch,
		"parts/battery.toml":      "schema = 1\nid = \"battery\"\nlabel = \"shop battery\"\n\n[resistance.common-practice]\nnominal = \"30 mΩ\"\nbasis = \"common-practice\"\n",
	} {
		if err := os.MkdirAll(dir+"/"+name[:strings.Index(name, "/")], 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(dir+"/"+name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	b, err := Builtin().Overlay(os.DirFS(dir))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.SwitchTable("shop-four"); err != nil {
		t.Error(err)
	}
	c, ok := b.PartClass("battery")
	if !ok || c.Label != "shop battery" {
		t.Errorf("%+v", c)
	}
	if v, ok := c.Typical("resistance", "", units.Volts(12)); !ok || v.Band.Nominal.Text != "30 mΩ" {
		t.Errorf("%+v", v)
	}
	if _, err := Builtin().SwitchTable("shop-four"); err == nil {
		t.Error("the shipped book changed")
	}
}

// Figures are chosen by variant and by system voltage.
func TestTypical(t *testing.T) {
	c, ok := Builtin().PartClass("coil")
	if !ok {
		t.Fatal("no class of coils")
	}
	for _, x := range []struct {
		label string
		volts float64
		want  string
	}{
		{"", 12, "4 Ω"}, {"", 6, "1.5 Ω"}, {"ballasted", 12, "1.4 Ω"}, {"ballasted", 6, "1.4 Ω"}, {"no-such", 12, "4 Ω"},
	} {
		v, ok := c.Typical("primary", x.label, units.Volts(x.volts))
		if !ok || v.Band.Nominal.Text != x.want {
			t.Errorf("%q on %g V: %s, want %s", x.label, x.volts, v.Band.Nominal.Text, x.want)
		}
	}
	if _, ok := c.Typical("primary", "", units.Volts(48)); ok {
		t.Error("a figure for 48 V")
	}
	if _, ok := c.Typical("gap", "", units.Volts(12)); ok {
		t.Error("a gap of a coil")
	}
}

// Wire tables hold one figure for each gauge, rising with the wire.
func TestWireTables(t *testing.T) {
	a, ok := Builtin().WireTable("ampacity")
	if !ok || len(a.Gauges) != 10 || len(a.Columns) != 7 {
		t.Fatalf("%+v", a)
	}
	for _, c := range a.Columns {
		for i := 1; i < len(c.Amperes); i++ {
			if a.Gauges[i].Cmp(a.Gauges[i-1]) <= 0 || c.Amperes[i].Cmp(c.Amperes[i-1]) <= 0 {
				t.Errorf("%s: row %d does not rise", c.Name, i)
			}
		}
	}
	if i, _, ok := a.Amperes("t105", units.AWG(16)); !ok || i != units.Amperes(25) {
		t.Errorf("16 AWG at 105 °C: %s", i)
	}
	if _, _, ok := a.Amperes("t105", units.AWG(15)); ok {
		t.Error("a row that is not there")
	}
	for src, want := range map[string]string{
		"schema = 1\nid = \"x\"\nlabel = \"x\"\n": "the table has no columns (missing-key)",
		"schema = 1\nid = \"x\"\nlabel = \"x\"\ngauges = [\"16 AWG\"]\n[column.a]\namperes = [\"1 A\", \"2 A\"]\nsource = \"s\"\nbasis = \"published\"\n": "2 figures for 1 gauges (row-count)",
	} {
		doc, problems := gate.Read("w.toml", []byte(src))
		if problems != nil {
			t.Fatal(problems)
		}
		if _, problems := decodeWire(doc); problems == nil || !strings.Contains(problems.Error(), want) {
			t.Errorf("got %v, want %s", problems, want)
		}
	}
}

// Whatever the bytes, a switch table is refused with places or has positions
// whose terminals exist.
func FuzzDecodeSwitch(f *testing.F) {
	f.Add([]byte(goodSwitch))
	f.Fuzz(func(t *testing.T, src []byte) {
		s, problems := DecodeSwitch("fuzz.toml", src)
		if (s == nil) == (problems == nil) {
			t.Fatalf("%v, %v", s, problems)
		}
		if s == nil {
			return
		}
		for _, p := range s.Positions {
			for _, g := range p.Joins {
				for _, name := range g {
					if !slices.Contains(s.Terminals, name) {
						t.Fatalf("%s joins %q", p.Name, name)
					}
				}
			}
		}
	})
}
