package wiring

import (
	"math"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// The terminals of DIN 72552 mean what the standard says (read as tables of
// ignition and battery terminals).
func TestDIN72552(t *testing.T) {
	for _, c := range []struct {
		code string
		kind Kind
		name string
		says string
	}{
		{"1", Coil, "minus", "ignition coil, low voltage, to the breaker"},
		{"1", Points, "arm", "distributor, low voltage"},
		{"2", FlywheelMagneto, "primary", "magneto: breaker or short-circuit terminal"},
		{"2", RotorMagneto, "kill", "magneto: short-circuit terminal"},
		{"2", FlywheelModule, "kill", "magneto: short-circuit terminal"},
		{"4", Coil, "ht", "ignition coil, high voltage"},
		{"4b", Coil, "ht2", "second circuit, high voltage"},
		{"15", Coil, "plus", "battery through the ignition switch"},
		{"15a", Ballast, "out", "from ballast resistor to coil and starter"},
		{"15a", Solenoid, "ignition", "from ballast resistor to coil and starter"},
		{"30", Battery, "plus", "battery positive direct"},
		{"31", Battery, "minus", "return to battery negative or ground"},
		{"31", Block, "ground", "ground"},
		{"50", Solenoid, "switch", "starter control"},
	} {
		if got, ok := c.kind.Terminal(c.code); !ok || got != c.name {
			t.Errorf("%s (%s) is %q of a %s, want %q", c.code, c.says, got, c.kind, c.name)
		}
	}
}

// Wires: the AWG table of a university physics reference (ohms in 1000 ft at
// 20 °C) and chapter 9, table 8 of NFPA 70 (solid, 75 °C, second hand); a
// boat pump of a marine supplier's chart (10 A, 21 ft, 10 % of 12 V: 16 AWG)
// with its drops worked out from that table; AC 43.13-1B, page 11-26, example 1
// (20 A, 50 ft, 1 V: between No. 8 and No. 10, take No. 8; its wire has a
// little more resistance than solid copper, as the class spread allows for).
func TestPublishedWires(t *testing.T) {
	resistance := func(awg int, celsius float64) float64 {
		h, err := Build(specs.Builtin(), Draft{Temperature: units.Celsius(celsius), Parts: []Part{{Name: "block", Kind: Block}}})
		if err != nil {
			t.Fatal(err)
		}
		return h.Resistance(Wire{Gauge: units.AWG(awg), Length: units.Feet(1000)}).Ohms()
	}
	for _, c := range []struct {
		awg               int
		at20, tolerance20 float64
		at75, tolerance75 float64
		table5, atEngine  float64
		fuse              float64
	}{
		// The table prints 4.89 Ω for 16 AWG, which follows from its area of
		// 2,580 circular mils; the rule's 2,583 give 4.884 (package units).
		// Amperes: 33 CFR 183.425 table 5, 105 °C column, and 0.85 of it in an
		// engine space; fuse of AC 43.13-1B table 11-3.
		{10, 0.9989, 6e-5, 1.21, 0.005, 60, 51, 30},
		{12, 1.588, 6e-4, 1.93, 0.005, 45, 38.25, 20},
		{14, 2.525, 6e-4, 3.07, 0.005, 35, 29.75, 15},
		{16, 4.016, 6e-4, 4.884, 0.005, 25, 21.25, 10},
		{18, 6.385, 6e-4, 7.77, 0.005, 20, 17, 10},
	} {
		if r := resistance(c.awg, 20); math.Abs(r-c.at20) > c.tolerance20 {
			t.Errorf("%d AWG at 20 °C: %g Ω, published %g", c.awg, r, c.at20)
		}
		if r := resistance(c.awg, 75); math.Abs(r-c.at75) > c.tolerance75 {
			t.Errorf("%d AWG at 75 °C: %g Ω, published %g", c.awg, r, c.at75)
		}
		size := units.AWG(c.awg)
		i, sources, ok := Allowable(specs.Builtin(), size, units.Celsius(105), false, 1)
		if !ok || i.Amperes() != c.table5 || len(sources) != 1 {
			t.Errorf("%d AWG carries %s by %v, published %g A", c.awg, i, sources, c.table5)
		}
		i, sources, ok = Allowable(specs.Builtin(), size, units.Celsius(105), true, 1)
		if !ok || math.Abs(i.Amperes()-c.atEngine) > 1e-9 || len(sources) != 2 {
			t.Errorf("%d AWG in the engine space carries %s by %v, published %g A", c.awg, i, sources, c.atEngine)
		}
		if f, _, ok := FuseLimit(specs.Builtin(), size, units.Celsius(105), false, 1); !ok || f.Amperes() != c.fuse {
			t.Errorf("%d AWG is fused with %s, published %g A", c.awg, f, c.fuse)
		}
	}
	// A bundle of four to six live wires, 18 AWG, 105 °C: 12 A (a boat cable
	// maker's row).
	if i, _, _ := Allowable(specs.Builtin(), units.AWG(18), units.Celsius(105), false, 5); math.Abs(i.Amperes()-12) > 1e-9 {
		t.Errorf("five wires of 18 AWG together carry %s, published 12 A", i)
	}

	pump := Run{Current: units.Amperes(10), Length: units.Feet(21), MaxDrop: units.Volts(1.2), Brief: true}
	c, err := ChooseWire(specs.Builtin(), pump)
	if err != nil || c.Gauge != units.AWG(16) || math.Abs(c.Drop.Volts()-0.84336) > 2e-4 {
		t.Errorf("the pump gets %s with a drop of %s, %v; published 16 AWG, 0.843 V", c.Gauge, c.Drop, err)
	}
	pump.MaxDrop = units.Volts(1.45)
	if c, _ = ChooseWire(specs.Builtin(), pump); c.Gauge != units.AWG(18) || math.Abs(c.Drop.Volts()-1.34085) > 2e-4 {
		t.Errorf("18 AWG drops %s, published 1.341 V", c.Drop)
	}
	c, err = ChooseWire(specs.Builtin(), Run{Current: units.Amperes(20), Length: units.Feet(50), MaxDrop: units.Volts(1)})
	if err != nil || c.Gauge != units.AWG(8) || !c.ByDrop {
		t.Errorf("20 A over 50 ft get %s, %v; published No. 8", c.Gauge, err)
	}
	if _, err := ChooseWire(specs.Builtin(), Run{Current: units.Amperes(20), Length: units.Feet(5000), MaxDrop: units.Volts(1)}); err == nil {
		t.Error("a wire was found for a mile")
	}
	// 9 A want a fuse of 15 A, and that wants 14 AWG, although 18 AWG would
	// carry them; wires in a bundle in the heat are fused by what they carry.
	c, err = ChooseWire(specs.Builtin(), Run{Current: units.Amperes(9), Length: units.Feet(2), Insulation: units.Celsius(105)})
	if err != nil || c.Gauge != units.AWG(14) || c.Fuse != units.Amperes(15) || c.ByDrop {
		t.Errorf("9 A get %+v, %v", c, err)
	}
	if f, _, _ := FuseLimit(specs.Builtin(), units.AWG(18), units.Celsius(60), true, 5); math.Abs(f.Amperes()-10*0.58*0.6) > 1e-9 {
		t.Errorf("18 AWG in the heat and in a bundle is fused with %s", f)
	}
	// 4 A of ignition: the smallest fuse that carries it steadily is 5 A, and
	// every wire of the table is protected by it.
	if f, ok := FuseFor(specs.Builtin(), units.Amperes(4)); !ok || f != units.Amperes(5) {
		t.Errorf("4 A are fused with %s", f)
	}
}

// 1 Ω on 6 V and on 12 V: 6 A, 36 W and 12 A, 144 W; another 1 Ω in series
// brings it back to 6 A (a vehicle club's technical page). 2.5 Ω on 14 V: 5.6 A,
// 78.4 W (single-cylinder engine service manual, page 31).
func TestPublishedOhms(t *testing.T) {
	for _, c := range []struct{ volts, load, series, amperes, watts float64 }{
		{6, 1, 0, 6, 36}, {12, 1, 0, 12, 144}, {12, 1, 1, 6, 36}, {14, 2.5, 0, 5.6, 78.4},
	} {
		h := build(t, []Part{{Name: "battery", Kind: Battery, Values: battery(c.volts, 0)}, {Name: "ballast", Kind: Ballast, Values: ohms(c.series)}, {Name: "load", Kind: Load, Values: ohms(c.load)}},
			[2]string{"battery.31", "block"}, [2]string{"battery.30", "ballast.in"}, [2]string{"ballast.out", "load.a"}, [2]string{"load.b", "block"})
		s := solve(t, h, State{})
		i, _ := s.Current("load")
		p, _ := s.Watts("load")
		if !close12(i.Amperes(), c.amperes) || !close12(p.Watts(), c.watts) {
			t.Errorf("%g Ω on %g V: %s, %s; published %g A, %g W", c.load, c.volts, i, p, c.amperes, c.watts)
		}
	}
}

// The tests of a ballasted set in NAVEDTRA 14329, fig. 6-48, on the laid-out
// harness: coil feed to ground with points closed 4.5 to 6.9 V, coil to ground
// at most 0.1 V, the starting feed at most 0.1 V. Limits are the book's.
func TestPublishedReadings(t *testing.T) {
	book := specs.Builtin()
	limit := func(key specs.Key, label string) specs.Band {
		l, _ := book.Limits(key)
		for _, b := range l.Bands {
			if b.Label == label && b.Source == "navedtra-14329" {
				return b.Band
			}
		}
		t.Fatalf("no %s %s", key, label)
		return specs.Band{}
	}
	h, err := Layout(book, Facts{System: ignition.BatteryPoints, Ballast: Bypassed, Starter: true})
	if err != nil {
		t.Fatal(err)
	}
	still := solve(t, h, State{Key: "run"})
	feed, _ := still.Volts("coil.plus")
	if b := limit("coil_feed", "ballasted"); feed.Quantity().Cmp(b.Min.Quantity) < 0 || feed.Quantity().Cmp(b.Max.Quantity) > 0 {
		t.Errorf("the ballasted coil is fed %s, published %s", feed, b)
	}
	points, _ := still.Volts("coil.minus")
	if b := limit("points_drop", "usual"); points.Quantity().Cmp(b.Max.Quantity) > 0 {
		t.Errorf("the points and their ground lose %s, published %s", points, b)
	}
	plain, err := Layout(book, Facts{System: ignition.BatteryPoints, Starter: true})
	if err != nil {
		t.Fatal(err)
	}
	drop, _ := solve(t, plain, State{Key: "start", Engine: Cranks}).Across("battery.plus", "coil.plus")
	if b := limit("feed_drop", "starting"); drop.Quantity().Cmp(b.Max.Quantity) > 0 {
		t.Errorf("the feed loses %s while cranking, published %s", drop, b)
	}
	// The same tests find what they are made to find: bad points, a lost
	// ballast, and a bad joint in the feed.
	d := h.Draft()
	d.Part("points").Values = map[Attribute]Value{Contact: Of(units.Ohms(0.1))}
	if v, _ := mustSolve(t, d, State{Key: "run"}).Volts("coil.minus"); v.Quantity().Cmp(limit("points_drop", "usual").Max.Quantity) <= 0 {
		t.Errorf("bad points lose only %s", v)
	}
	d = h.Draft()
	d.Part("ballast").Values = map[Attribute]Value{Resistance: Of(units.Ohms(0))}
	if v, _ := mustSolve(t, d, State{Key: "run"}).Volts("coil.plus"); v.Quantity().Cmp(limit("coil_feed", "ballasted").Max.Quantity) <= 0 {
		t.Errorf("without its ballast the coil is fed only %s", v)
	}
}

func mustSolve(t *testing.T, d Draft, s State) *Solution {
	t.Helper()
	h, err := Build(specs.Builtin(), d)
	if err != nil {
		t.Fatal(err)
	}
	return solve(t, h, s)
}
