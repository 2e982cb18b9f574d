package trace

import (
	"math"
	"strings"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
)

// prepared is a builder that has everything but its atoms.
func prepared(t testing.TB, f Facts) *builder {
	t.Helper()
	b := &builder{book: specs.Builtin(), facts: f, all: specs.Builtin().Faults(), system: f.System.String(), m: &Model{System: f.System}}
	if err := b.figures(); err != nil {
		t.Fatal(err)
	}
	b.causes()
	b.tests()
	if err := b.paths(); err != nil {
		t.Fatal(err)
	}
	if err := b.kilovolts(); err != nil {
		t.Fatal(err)
	}
	return b
}

// predicted is the middle of what a fault does to a test: its factor.
func predicted(t testing.TB, b *builder, test, fault string) (factor float64, low, high bool) {
	t.Helper()
	at, cause := b.m.Test(test), b.m.Cause(fault)
	if at < 0 || cause < 0 {
		t.Fatalf("%s has no %s or %s", b.system, test, fault)
	}
	alts := b.alts(at, cause)
	if alts == nil {
		return 1, false, false
	}
	a := alts[len(alts)/2]
	return math.Exp(a.shift), a.low, a.high
}

// TestFeedByHand works the feed of a battery set out a second way, as one loop of
// resistances in series, and compares what faults do to the readings.
func TestFeedByHand(t *testing.T) {
	b := prepared(t, Facts{System: ignition.BatteryPoints})
	h, err := b.harness()
	if err != nil {
		t.Fatal(err)
	}
	ohms := func(part string, a wiring.Attribute) float64 {
		p, _ := h.Part(part)
		return p.Values[a].Nominal.SI()
	}
	wire := func(name string) float64 {
		w, ok := h.Wire(name)
		if !ok {
			t.Fatalf("no wire %s", name)
		}
		return h.Resistance(w).Ohms()
	}
	volts := ohms("battery", wiring.Rest)
	// Feed and return, key and seat closed; then coil to ground.
	before := ohms("battery", wiring.Resistance) + wire("fuse-feed") + ohms("fuse", wiring.Resistance) + wire("key-feed") + ohms("key", wiring.Contact) + wire("seat-feed") + ohms("seat", wiring.Contact) + wire("coil-feed")
	coil, wirePoints, points := ohms("coil", wiring.Primary), wire("points-wire"), ohms("points", wiring.Contact)
	ground := wire("ground-strap")
	feed := func(more, coil, points float64) float64 {
		i := volts / (before + more + coil + wirePoints + points + ground)
		return i * (coil + wirePoints + points)
	}
	drop := func(more, coil, points float64) float64 {
		return volts / (before + more + coil + wirePoints + points + ground) * points
	}
	healthy := feed(0, coil, points)
	if got := b.m.Tests[b.m.Test("feed-volts-run")].Healthy.SI(); math.Abs(got-healthy) > 0.05 { // three digits are kept
		t.Errorf("a healthy feed is %.4f V, by hand %.4f V", got, healthy)
	}
	for _, c := range []struct {
		test, fault string
		want        float64
	}{
		{"feed-volts-run", "feed-wire-high-resistance", feed(0.9, coil, points) / healthy},
		{"feed-volts-run", "key-switch-contact-burnt", feed(0.6-ohms("key", wiring.Contact), coil, points) / healthy},
	} {
		got, low, high := predicted(t, b, c.test, c.fault)
		if low || high || math.Abs(got/c.want-1) > 2e-3 {
			t.Errorf("%s under %s: %.4f of the healthy one, by hand %.4f", c.test, c.fault, got, c.want)
		}
	}
	// What film adds to the points adds to the engine's own figure.
	own := b.m.Tests[b.m.Test("points-drop")].Healthy.SI()
	want := 1 + (drop(0, coil, 0.45)-drop(0, coil, points))/own
	if got, _, _ := predicted(t, b, "points-drop", "points-film"); math.Abs(got/want-1) > 2e-3 {
		t.Errorf("points-drop under film: %.3f, by hand %.3f", got, want)
	}
	// Points that never close put the whole battery across themselves.
	want = 1 + (volts-drop(0, coil, points))/own
	if got, _, _ := predicted(t, b, "points-drop", "points-never-close"); math.Abs(got/want-1) > 5e-3 {
		t.Errorf("points-drop with open points: %.1f, by hand %.1f", got, want)
	}
}

// TestPathsSeeEverythingBetween holds the cases that tell a path from a part.
func TestPathsSeeEverythingBetween(t *testing.T) {
	battery := prepared(t, Facts{System: ignition.BatteryPoints})
	magneto := prepared(t, Facts{System: ignition.FlywheelMagnetoPoints})
	for _, c := range []struct {
		b           *builder
		test, fault string
		low, high   bool
		least, most float64
		why         string
	}{
		{battery, "battery-crank-volts", "battery-clamp-corroded", false, false, 1, 1.2, "the posts see less load behind a bad clamp"},
		{battery, "feed-volts-start", "battery-clamp-corroded", false, false, 0.3, 0.9, "the feed hangs on the clamp"},
		{battery, "feed-volts-run", "battery-clamp-corroded", false, false, 0.97, 1, "without the starter's current it hardly shows"},
		{battery, "feed-volts-run", "key-switch-run-dead", true, false, 0, 0, "no feed in run"},
		{battery, "feed-volts-start", "key-switch-run-dead", false, false, 0.99, 1.01, "and in start it is there"},
		{battery, "feed-volts-run", "key-switch-start-dead", false, false, 0.99, 1.01, "feed in run"},
		{battery, "feed-volts-start", "key-switch-start-dead", true, false, 0, 0, "none in start"},
		{battery, "switch-run-ohms", "key-switch-run-dead", false, true, 0, 0, "open contact"},
		{battery, "spark-path-ohms", "cap-open", false, true, 0, 0, "the cap is in the way"},
		{battery, "spark-path-ohms", "coil-secondary-open", false, true, 0, 0, "the winding too"},
		{battery, "secondary-ohms", "lead-open", false, false, 1, 1, "the lead is not"},
		{magneto, "secondary-ohms", "coil-primary-open", false, true, 0, 0, "its secondary ends on the primary"},
		{magneto, "kill-wire-ohms", "stop-switch-shorted", false, false, 0, 1e-6, "next to nothing against megohms"},
		{magneto, "stop-switch-ohms", "kill-wire-grounded", false, false, 1, 1, "the wire is off the switch"},
		{magneto, "kill-wire-off-ohms", "kill-wire-open", false, true, 0, 0, "nothing grounds it"},
		{magneto, "kill-wire-off-ohms", "stop-switch-dead", false, true, 0, 0, "nor here"},
		{magneto, "stop-switch-off-ohms", "kill-wire-open", false, false, 1, 1, "the switch alone is sound"},
	} {
		got, low, high := predicted(t, c.b, c.test, c.fault)
		if low != c.low || high != c.high || !low && !high && (got < c.least-1e-9 || got > c.most+1e-9) {
			t.Errorf("%s under %s: factor %.4g, low %t, high %t; %s", c.test, c.fault, got, low, high, c.why)
		}
	}
}

// TestOhmsByHand reads two windings in series and a leak beside an open one.
func TestOhmsByHand(t *testing.T) {
	b := prepared(t, Facts{System: ignition.FlywheelMagnetoPoints})
	h, err := b.harness()
	if err != nil {
		t.Fatal(err)
	}
	c := &circuit{b: b, harness: h, draft: h.Draft(), near: map[int]map[string]bool{}}
	m, _ := h.Part("magneto")
	primary, secondary := m.Values[wiring.Primary].Nominal.SI(), m.Values[wiring.Secondary].Nominal.SI()
	got, ok := c.ohms(c.draft, path{from: "magneto.ht", to: "magneto.ground", ohms: true, state: wiring.State{Open: h.AllOpen()}, lifted: []string{"kill"}})
	if want := primary + secondary; !ok || math.Abs(got/want-1) > 1e-9 {
		t.Errorf("%v Ω, by hand %v", got, want)
	}
	// With the points closed they short the primary: what is left is theirs.
	points, _ := h.Part("points")
	w, _ := h.Wire("points-wire")
	side := points.Values[wiring.Contact].Nominal.SI() + h.Resistance(w).Ohms()
	got, ok = c.ohms(c.draft, path{from: "magneto.primary", to: "block.ground", ohms: true, lifted: []string{"kill"}})
	if want := primary * side / (primary + side); !ok || math.Abs(got/want-1) > 1e-6 {
		t.Errorf("in circuit %v Ω, by hand %v", got, want)
	}
}

// TestActs reads every act of the book, and refuses what is none.
func TestActs(t *testing.T) {
	n := 0
	for _, f := range specs.Builtin().Faults().Faults {
		for _, text := range f.Acts {
			n++
			if _, err := parseAct(text); err != nil {
				t.Errorf("%s: %v", f.ID, err)
			}
		}
	}
	if n < 50 {
		t.Errorf("only %d acts", n)
	}
	for _, text := range []string{"", "open", "close fuse", "add 3 V to coil-feed", "add 3 Ω", "set coil.primary", "set coil.colour 3", "set coil 3 Ω", "join a.b", "in run open x", "add 1 Ω to x ± 3", "add 1 Ω to x ± 900 %", "set coil.primary x many"} {
		if _, err := parseAct(text); err == nil {
			t.Errorf("%q passes", text)
		}
	}
	a, err := parseAct("in run: set coil.primary x 0.72 ± 12 %")
	if err != nil || a.key != "run" || a.what != "coil" || a.attribute != wiring.Primary || !a.times || a.value.SI() != 0.72 || a.spread != 0.12 {
		t.Errorf("%+v, %v", a, err)
	}
}

// TestEveryActLands wants each act of the book to find its place in the usual
// harness of at least one kind: a misspelled wire would change nothing, quietly.
func TestEveryActLands(t *testing.T) {
	landed := map[string]bool{}
	for _, s := range ignition.Systems() {
		facts := []Facts{{System: s}}
		if s == ignition.BatteryPoints {
			facts = append(facts, Facts{System: s, Ballast: wiring.Ballasted})
		}
		for _, f := range facts {
			b := &builder{book: specs.Builtin(), facts: f}
			h, err := b.harness()
			if err != nil {
				t.Fatal(err)
			}
			c := &circuit{b: b, harness: h, draft: h.Draft()}
			if table, part, ok := h.Switch(); ok {
				c.roles, c.switchPart = table.Roles, part
			}
			for _, fault := range specs.Builtin().Faults().Faults {
				if fault.Prior(s.String()) == 0 {
					continue
				}
				for _, text := range fault.Acts {
					a, err := parseAct(text)
					if err != nil {
						t.Fatal(err)
					}
					d := c.draft.Clone()
					if c.do(&d, a, 0, 0) {
						landed[fault.ID+": "+text] = true
						if _, err := wiring.Build(b.book, d); err != nil {
							t.Errorf("%s, %s: %q makes no harness: %v", s, fault.ID, text, err)
						}
					}
				}
			}
		}
	}
	for _, fault := range specs.Builtin().Faults().Faults {
		for _, text := range fault.Acts {
			if !landed[fault.ID+": "+text] {
				t.Errorf("%s: %q finds no place in any harness", fault.ID, text)
			}
		}
	}
}

// TestKilovoltsByHand holds the spark's share against the plain rule that a
// saturated coil makes volts in proportion to its current.
func TestKilovoltsByHand(t *testing.T) {
	b := prepared(t, Facts{System: ignition.BatteryPoints})
	for fault, least := range map[string]float64{"feed-wire-high-resistance": 0.75, "key-switch-contact-burnt": 0.8, "battery-flat": 0.65} {
		e := b.spark[b.m.Cause(fault)]
		if e == nil {
			t.Errorf("%s: no kilovolts", fault)
			continue
		}
		if share := math.Exp(e.shift); share < least || share > 0.93 {
			t.Errorf("%s leaves %.3f of the kilovolts", fault, share)
		}
	}
	// A joint of 1 Ω in a circuit of the coil's ohms and the wiring's.
	e := b.spark[b.m.Cause("feed-wire-high-resistance")]
	coil := 4.0
	if want := coil / (coil + 1); math.Abs(math.Exp(e.shift)-want) > 0.06 {
		t.Errorf("%.3f, by the current %.3f", math.Exp(e.shift), want)
	}
}

// TestEngineFigures takes healthy figures from an engine's record where it has
// them, and says so.
func TestEngineFigures(t *testing.T) {
	book := specs.Builtin()
	for e := range book.Engines() {
		if e.Identity.System != "battery-points" {
			continue
		}
		f, ok := preferred(e, specs.PointsGap)
		if !ok {
			continue
		}
		want, ok := middle(f.Band)
		if !ok {
			continue
		}
		m, err := Build(book, Facts{System: ignition.BatteryPoints, Engine: e.ID})
		if err != nil {
			t.Fatal(err)
		}
		x := m.Tests[m.Test("points-gap-feeler")]
		if x.Healthy.Cmp(want) != 0 || strings.Contains(x.Source, "assumed") {
			t.Errorf("%s: %s by %s, not %s", e.ID, x.Healthy, x.Source, want)
		}
		return
	}
	t.Error("no engine with points and a gap")
}

func TestFactsProblems(t *testing.T) {
	for _, f := range []Facts{{}, {System: ignition.BatteryPoints, Set: "no-such-set"}, {System: ignition.BatteryPoints, Engine: "no-such-engine"}} {
		if _, err := Build(specs.Builtin(), f); err == nil {
			t.Errorf("%+v passes", f)
		}
	}
	// An engine without a part has neither its faults nor the tests that only
	// look for them.
	m, err := Build(specs.Builtin(), Facts{System: ignition.FlywheelMagnetoPoints, Lacks: []string{"plug cap", "interlock"}})
	if err != nil {
		t.Fatal(err)
	}
	if m.Cause("cap-open") >= 0 || m.Test("cap-ohms") >= 0 {
		t.Error("a cap that is not there is still suspected")
	}
	if _, err := m.Answer(specs.Builtin(), "cap-ohms", "5 kΩ"); err == nil || !strings.Contains(err.Error(), "no such part") {
		t.Errorf("%v", err)
	}

}
