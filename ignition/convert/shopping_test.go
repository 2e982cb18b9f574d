package convert_test

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/ignition/convert"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

func planOf(t *testing.T, src string) *convert.Plan {
	t.Helper()
	j, err := convert.ReadJob("job.toml", []byte(src))
	if err != nil {
		t.Fatal(err)
	}
	p, err := convert.NewPlan(specs.Builtin(), j)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func items(p *convert.Plan, word string) []convert.Item {
	var out []convert.Item
	for _, x := range p.Shopping {
		if strings.Contains(strings.ToLower(x.What), word) {
			out = append(out, x)
		}
	}
	return out
}

const pumpJob = `convert = "module-to-points"
[engine]
label = "pump"
system = "magneto-breakerless"
thread = "14 mm"
reach = "9.5 mm"
seat = "gasket"
[machine]
battery = "yes"
starter = true
charging = "alternator"
charging_rating = "5 A"
interlocks = ["seat"]
[facts]
push-rod-hole-open = "no"
`

// What the steps use up or bolt on stands on the list: a push rod, what holds the
// points, oil where it is drained, what holds the coil, what keeps wires whole.
// Without the driven plug no oil is bought.
func TestListHasWhatTheJobWants(t *testing.T) {
	p := planOf(t, pumpJob)
	for _, word := range []string{"push rod", "points box", "gasket", "engine oil", "bracket for the coil", "grommets", "shakeproof washers", "solvent", "crimp terminals", "fuse and holder"} {
		if items(p, word) == nil {
			t.Errorf("the list has no %s", word)
		}
	}
	if open := planOf(t, strings.Replace(pumpJob, `open = "no"`, `open = "yes"`, 1)); items(open, "engine oil") != nil || items(open, "push rod") == nil {
		t.Errorf("with the hole open: %v", open.Shopping)
	}
	for id, list := range plans(specs.Builtin()) {
		for n, p := range list {
			for _, x := range p.Shopping {
				text := x.What + x.Ask + x.Enough + x.Test
				if x.What == "" || x.Ask == "" || strings.ContainsAny(text, "{}") || strings.Contains(text, " while cranking at least") {
					t.Errorf("%s %d: %+v", id, n, x)
				}
			}
		}
	}
}

// The terminals on the list are the ends of the wires to be cut, no more and no
// fewer.
func TestTerminalsAreCounted(t *testing.T) {
	for id, list := range plans(specs.Builtin()) {
		for n, p := range list {
			ends := 0
			for _, c := range p.Wires {
				if c.Action == convert.CutNew && !c.Own {
					ends += 2
				}
			}
			got := 0
			for _, x := range items(p, "crimp terminals") {
				words := strings.Fields(x.What)
				for i := range words[1:] {
					if k, err := strconv.Atoi(words[i]); err == nil && words[i+1] == "x" {
						got += k
					}
				}
			}
			if got != ends {
				t.Errorf("%s %d: %d terminals for %d ends", id, n, got, ends)
			}
		}
	}
}

// A counter has an ohmmeter and a meter for capacity. Whatever reads inside the
// range that the list gives keeps the limits that are currents in the finished
// circuit: worked out here from Ohm's law and the limits in print, apart from
// the rules that chose it. Points carry 5 A at most (TM 9-8000); a coil wants 2 A
// while cranking, and a condenser 0.15 to 0.30 µF (common practice).
func TestCounterRangesKeepTheLimits(t *testing.T) {
	seen := 0
	for id, list := range plans(specs.Builtin()) {
		for n, p := range list {
			if p.To != ignition.BatteryPoints || p.Set == nil {
				continue
			}
			coil, _ := p.Set.Part(ignition.RoleCoil)
			if v := coil.Values[wiring.Primary]; !coil.Have {
				seen++
				h := p.After
				ballast := 0.0
				if b, ok := p.Set.Part(ignition.RoleBallast); ok {
					ballast = b.Values[wiring.Resistance].Min.SI()
				}
				charging := firstPart(h, wiring.Alternator, wiring.Generator).Values[wiring.Regulated].Max.SI()
				if charging == 0 {
					charging = firstPart(h, wiring.Battery).Values[wiring.Rest].Max.SI()
				}
				if i := charging / (v.Min.SI() + ballast); i > 5*1.04 { // the wiring's own ohms are left out here
					t.Errorf("%s %d: a coil of %s takes %.2f A at %.2f V", id, n, v.Min, i, charging)
				}
				for _, x := range items(p, "coil") {
					if strings.Contains(x.What, "points coil") && !strings.Contains(x.Test, "Ω") {
						t.Errorf("%s %d: %s", id, n, x.Test)
					}
				}
			}
			if c, ok := p.Set.Part(ignition.RoleCondenser); ok && !c.Have {
				v := c.Values[wiring.Capacitance]
				if v.Min.SI() < 0.15e-6 || v.Max.SI() > 0.30e-6 {
					t.Errorf("%s %d: a condenser of %s to %s", id, n, v.Min, v.Max)
				}
			}
		}
	}
	if seen < 20 {
		t.Errorf("only %d coils", seen)
	}
}

func firstPart(h *wiring.Harness, kinds ...wiring.Kind) wiring.Part {
	for _, name := range h.OfKind(kinds...) {
		x, _ := h.Part(name)
		return x
	}
	return wiring.Part{}
}

// A wire is work where it is cut or moves, and nowhere else; what moves keeps its
// length, what comes with its part is not bought, and the feet on the list are
// those of the wires to be cut.
func TestOnlyCutsAreCut(t *testing.T) {
	moved, own := 0, 0
	for id, list := range plans(specs.Builtin()) {
		for n, p := range list {
			feet := map[string]float64{}
			for _, c := range p.Wires {
				works := (c.Action == convert.CutNew || c.Action == convert.CutMoved) && !c.Own
				if works != (c.Handle != "") {
					t.Errorf("%s %d: %s is %s and has the number %q", id, n, c.Name, c.Action, c.Handle)
				}
				if c.Action == convert.CutNew && !c.Own {
					feet[c.Gauge.String()] += c.Length.Inches() / 12
				}
				if c.Action == convert.CutMoved {
					moved++
				}
				if c.Own && strings.Contains(c.Was, "thicker") {
					t.Errorf("%s %d: a part's own lead %s is called too thin", id, n, c.Name)
				}
				if c.Own {
					own++
				}
			}
			for gauge, x := range feet {
				found := slices.ContainsFunc(p.Lengths, func(s string) bool {
					l, g, _ := strings.Cut(s, " of ")
					v, err := units.ParseLength(l)
					return err == nil && g == gauge && v.Inches()/12 >= x && v.Inches()/12 < x+1.0001
				})
				if !found {
					t.Errorf("%s %d: %.2f ft of %s, and the list has %v", id, n, x, gauge, p.Lengths)
				}
			}
		}
	}
	if moved == 0 || own == 0 {
		t.Errorf("%d moved, %d own", moved, own)
	}
}

// Ignition wires of a plan have one gauge, thin enough to be crimped by hand.
func TestPlansHaveOneGauge(t *testing.T) {
	feed := []string{"fuse-feed", "key-feed", "seat-feed", "ballast-feed", "coil-feed"}
	for id, list := range plans(specs.Builtin()) {
		for n, p := range list {
			if !p.To.NeedsBattery() {
				continue
			}
			of := map[string]bool{}
			for _, c := range p.Wires {
				if c.Action == convert.CutOff || !slices.Contains(feed, c.Name) {
					continue
				}
				of[c.Gauge.String()] = true
				if c.Gauge.Cmp(units.AWG(12)) > 0 {
					t.Errorf("%s %d: %s is %s for %s", id, n, c.Name, c.Gauge, c.Carries)
				}
			}
			if len(of) != 1 {
				t.Errorf("%s %d: the feed has %v", id, n, of)
			}
		}
	}
}

// Other loads stand in the drawings where they hang on the key, live in run and
// dead in off, and a load never feeds the coil. What cannot be drawn is said.
func TestOtherLoads(t *testing.T) {
	lamps := strings.Replace(pumpJob, "interlocks", "loads = \"4 A\"\nloads_named = \"two head lamps\"\nswitch = \"magneto-five\"\ninterlocks", 1)
	lamps = strings.Replace(lamps, "\"5 A\"", "\"15 A\"", 1)
	p := planOf(t, lamps)
	if p.Before.OfKind(wiring.Load) == nil || p.After.OfKind(wiring.Load) == nil {
		t.Fatalf("no loads: %+v", p.Reasons)
	}
	for key, want := range map[string]float64{"run": 4, "off": 0, "start": 4} {
		for _, unsafe := range []uint32{0, 1} {
			s, err := p.After.Solve(wiring.State{Key: key, Engine: wiring.Still, Unsafe: unsafe})
			if err != nil {
				t.Fatal(err)
			}
			i, _ := s.Current("loads")
			if got := math.Abs(i.Amperes()); math.Abs(got-want) > 0.4 && !(key == "start" && got > 2) {
				t.Errorf("key in %s, seat unsafe %d: the lamps draw %.2f A", key, unsafe, got)
			}
			if v, ok := s.Volts("coil.plus"); (key == "off" || unsafe == 1) && ok && math.Abs(v.Volts()) > 0.01 {
				t.Errorf("key in %s, seat unsafe %d: the coil has %s", key, unsafe, v)
			}
		}
	}
	for _, c := range p.Wires {
		if c.Name == "load-feed" && c.Action == convert.CutStays {
			t.Errorf("the lamps hang on the old key: %+v", c)
		}
	}
	for name, job := range map[string]string{
		"no amperes":  strings.Replace(pumpJob, "interlocks", "loads_named = \"lamps\"\ninterlocks", 1),
		"no key":      strings.Replace(strings.Replace(pumpJob, "interlocks = [\"seat\"]", "loads = \"1 A\"", 1), "starter = true", "starter = false", 1),
		"no terminal": strings.Replace(lamps, "magneto-five", "magneto-four", 1),
	} {
		p := planOf(t, job)
		i := slices.IndexFunc(p.Reasons, func(r convert.Reason) bool { return r.Code == "loads-not-drawn" })
		if i < 0 || p.Reasons[i].Makes != "" || !strings.Contains(p.Reasons[i].Cure, "leave them on") {
			t.Errorf("%s: %+v", name, p.Reasons)
		}
		if p.After == nil || p.After.OfKind(wiring.Load) != nil {
			t.Errorf("%s: loads are drawn", name)
		}
	}
}

// Six volts to twelve: what is made for the volts is changed, the lamps take half
// the amperes, and a breakerless set gets another module; a magneto is told that
// nothing of it is made for six volts.
func TestTwelveForSix(t *testing.T) {
	job := strings.NewReplacer("module-to-points", "six-to-twelve", "magneto-breakerless", "battery-points", "battery = ", "volts = \"6 V\"\nloads = \"4 A\"\nloads_named = \"two lamps\"\nbattery = ", "\"5 A\"", "\"15 A\"", "[facts]\npush-rod-hole-open = \"no\"\n", "").Replace(pumpJob)
	for _, system := range []string{"battery-points", "battery-breakerless"} {
		p := planOf(t, strings.Replace(job, "\"battery-points\"", "\""+system+"\"", 1))
		if p.Verdict == convert.NotPossible || p.Verdict == convert.NotAdvised {
			t.Errorf("%s: %s: %+v", system, p.Verdict, p.Reasons)
			continue
		}
		changed := map[string]bool{}
		for _, e := range p.Changed {
			changed[e.Name] = true
		}
		want := []string{"battery", "solenoid", "charger", "loads", "coil"}
		if system == "battery-breakerless" {
			want = append(want, "module")
		}
		for _, name := range want {
			if !changed[name] {
				t.Errorf("%s: the %s of 6 V stays: %+v", system, name, p.Changed)
			}
		}
		s, err := p.After.Solve(wiring.State{Key: "run"})
		if err != nil {
			t.Fatal(err)
		}
		if i, _ := s.Current("loads"); math.Abs(math.Abs(i.Amperes())-2) > 0.2 {
			t.Errorf("%s: the lamps draw %s at 12 V", system, i)
		}
	}
	p := planOf(t, strings.Replace(job, "\"battery-points\"", "\"magneto-breakerless\"", 1))
	if p.Verdict != convert.NotPossible || len(p.Reasons) == 0 || !strings.Contains(p.Reasons[0].Text, "a magnet makes its spark") || !strings.Contains(p.Reasons[0].Cure, "kill wire") {
		t.Errorf("%s: %+v", p.Verdict, p.Reasons)
	}
}

// An old wire whose ends a new one does not follow comes out, and a step takes it
// off: left behind it would short the feed at the points, or by-pass what is new.
func TestOldWireComesOut(t *testing.T) {
	book := specs.Builtin()
	seen, harm := 0, 0
	for id, list := range plans(book) {
		for n, p := range list {
			for _, c := range p.Wires {
				if c.Out == "" {
					continue
				}
				seen++
				if c.Action != convert.CutNew || c.Own {
					t.Errorf("%s %d: %+v", id, n, c)
				}
				if !slices.ContainsFunc(p.Steps, func(s convert.Step) bool { return slices.Contains(s.Removes, c.Name) }) {
					t.Errorf("%s %d: no step takes the old %s out", id, n, c.Name)
				}
				from, to, _ := strings.Cut(c.Out, " to ")
				if !slices.Contains(p.After.Terminals(), from) || !slices.Contains(p.After.Terminals(), to) {
					continue // it goes with a part
				}
				d := p.After.Draft()
				d.Wires = append(slices.Clone(d.Wires), wiring.Wire{Name: "left-behind", From: from, To: to, Gauge: c.Gauge, Length: c.Length})
				h, err := wiring.Build(book, d)
				if err != nil {
					t.Fatal(err)
				}
				r, err := wiring.Check(book, h)
				if err != nil {
					t.Fatal(err)
				}
				if slices.ContainsFunc(r.Findings, func(f wiring.Finding) bool { return f.Severity == ignition.Fault }) {
					harm++
				}
			}
		}
	}
	if seen < 8 || harm < 7 {
		t.Errorf("%d old wires come out, %d of them would do harm", seen, harm)
	}
	// The source coil's own lead is no wire for the new coil.
	for _, p := range plans(book)["energy-transfer-to-battery"] {
		for _, c := range p.Wires {
			if c.Name == "points-wire" && (c.Action != convert.CutNew || c.Out != "source.out to points.arm") {
				t.Errorf("the source coil's lead serves as points wire: %+v", c)
			}
		}
	}
}
