package wiring

import (
	"math"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// layouts are facts for every system, ground polarity, kind of switch, ballast,
// safety switches and twins.
func layouts() map[string]Facts {
	out := map[string]Facts{}
	add := func(f Facts) {
		name := f.System.String()
		if f.BatteryFed {
			name += " battery-fed"
		}
		if f.Ground == ignition.PositiveGround {
			name += " positive"
		}
		if !f.Volts.IsZero() {
			name += " " + f.Volts.String()
		}
		if f.Starter {
			name += " starter"
		}
		if f.Switch != "" {
			name += " " + f.Switch
		}
		name += []string{"", " ballasted", " bypassed"}[f.Ballast]
		for _, k := range f.Interlocks {
			name += " " + k
		}
		if f.Twin {
			name += " twin"
		}
		if f.Charging != "" {
			name += " " + string(f.Charging)
		}
		if f.StopButton {
			name += " stop-button"
		}
		if !f.Loads.IsZero() {
			name += " loads"
		}
		if _, ok := out[name]; ok {
			panic(name)
		}
		out[name] = f
	}
	for _, ground := range []ignition.Polarity{ignition.NegativeGround, ignition.PositiveGround} {
		for _, s := range []ignition.System{ignition.BatteryPoints, ignition.BatteryBreakerless} {
			add(Facts{System: s, Ground: ground})
			add(Facts{System: s, Ground: ground, Starter: true, Charging: Alternator})
			add(Facts{System: s, Ground: ground, Starter: true, Switch: "battery-six", Interlocks: []string{"seat", "drive", "pto"}, Charging: Generator})
			add(Facts{System: s, Ground: ground, Ballast: Ballasted, Interlocks: []string{"seat"}})
			add(Facts{System: s, Ground: ground, Ballast: Bypassed, Starter: true, Charging: Alternator})
			add(Facts{System: s, Ground: ground, Ballast: Bypassed, Starter: true, Switch: "battery-bypass"})
			add(Facts{System: s, Ground: ground, Twin: true, Starter: true})
		}
		add(Facts{System: ignition.BatteryPoints, Ground: ground, Volts: units.Volts(6)})
		add(Facts{System: ignition.BatteryPoints, Ground: ground, Starter: true, Charging: Alternator, ChargingRating: units.Amperes(10), Loads: units.Amperes(4)})
		add(Facts{System: ignition.CapacitorDischarge, Ground: ground, BatteryFed: true, Starter: true, Interlocks: []string{"seat"}})
		add(Facts{System: ignition.Trembler, Ground: ground})
		add(Facts{System: ignition.MakeAndBreak, Ground: ground})
	}
	for _, s := range []ignition.System{ignition.FlywheelMagnetoPoints, ignition.RotorMagnetoPoints, ignition.MagnetoBreakerless, ignition.EnergyTransfer, ignition.CapacitorDischarge} {
		add(Facts{System: s})
		add(Facts{System: s, StopButton: true, Interlocks: []string{"seat"}})
		add(Facts{System: s, Twin: true, Starter: true, Charging: Alternator})
		add(Facts{System: s, Starter: true, Switch: "magneto-six", Interlocks: []string{"seat", "drive", "pto"}})
		add(Facts{System: s, Starter: true, Switch: "magneto-five", Ground: ignition.PositiveGround})
		add(Facts{System: s, Starter: true, Switch: "magneto-five", Interlocks: []string{"seat"}, Charging: Alternator, ChargingRating: units.Amperes(10), Loads: units.Amperes(3)})
	}
	add(Facts{System: ignition.Trembler, Twin: true, Interlocks: []string{"seat"}})
	add(Facts{System: ignition.MakeAndBreak, Twin: true, Interlocks: []string{"seat"}})
	return out
}

// Every layout builds, names no assumption without a source of its own, and
// solves in all of its states.
func TestLayoutsSolve(t *testing.T) {
	all := layouts()
	for _, name := range sortedKeys(all) {
		h, err := Layout(specs.Builtin(), all[name])
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		s, err := h.SolveAll()
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if s.Len() != len(h.States()) || s.Unique() > s.Len() {
			t.Errorf("%s: %d states, %d solved, %d different", name, len(h.States()), s.Len(), s.Unique())
		}
		for st, sol := range s.All() {
			if u := sol.Unsettled(); u != nil {
				t.Errorf("%s, %s: %v never settle", name, h.Describe(st), u)
			}
		}
	}
}

// What makes a spark is current in the primary that the breaker interrupts.
// Every layout has it where it should and nowhere else: with the key in run
// while the engine runs and in start while it is cranked; not in off, and not
// with the seat empty.
func TestLayoutsFireAndStop(t *testing.T) {
	all := layouts()
	for _, name := range sortedKeys(all) {
		f := all[name]
		h, err := Layout(specs.Builtin(), f)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		step := func(s State) float64 {
			least := math.Inf(1)
			for _, part := range h.OfKind(Coil, FlywheelMagneto, FlywheelModule, RotorMagneto, TremblerCoil, LowTensionCoil) {
				s.Open = 0
				shut := solve(t, h, s)
				s.Open = h.AllOpen()
				open := solve(t, h, s)
				a, _ := shut.Current(part)
				b, _ := open.Current(part)
				least = min(least, math.Abs(a.Amperes()-b.Amperes()))
			}
			return least
		}
		unsafe := uint32(0)
		for i, k := range h.Interlocks() {
			if k == "seat" {
				unsafe = 1 << i
			}
		}
		check := func(s State, fires bool) {
			t.Helper()
			if i := step(s); (i > 0.2) != fires || math.IsInf(i, 0) {
				t.Errorf("%s, %s: the primary steps by %.3g A, fires should be %t", name, h.Describe(s), i, fires)
			}
		}
		if f.StopButton {
			check(State{Engine: Runs}, true)
			check(State{Engine: Runs, Pressed: 1}, false)
		} else {
			check(State{Key: "run", Engine: Runs}, true)
			check(State{Key: "run", Engine: Cranks}, true)
			check(State{Key: "off", Engine: Runs}, false)
		}
		if f.Starter {
			check(State{Key: "start", Engine: Cranks}, true)
			s := State{Key: "start", Engine: Cranks}
			if i, _ := solve(t, h, s).Current("starter"); math.Abs(i.Amperes()) < 50 {
				t.Errorf("%s: the starter draws %s", name, i)
			}
			for i, k := range h.Interlocks() {
				s.Unsafe = 1 << i
				if amperes, _ := solve(t, h, s).Current("starter"); k != "seat" && amperes.Amperes() != 0 {
					t.Errorf("%s: the starter draws %s with the %s unsafe", name, amperes, k)
				}
			}
		}
		if unsafe != 0 {
			s := State{Unsafe: unsafe, Engine: Runs}
			if !f.StopButton {
				s.Key = "run"
			}
			check(s, false)
		}
	}
}

// Wires of one circuit have one gauge, in every layout; none is thicker than a
// fuse or what may be lost along the way asks for: the next thinner one breaks
// a limit.
func TestOneGaugeForACircuit(t *testing.T) {
	circuits := map[string]string{
		"fuse-feed": "feed", "key-feed": "feed", "seat-feed": "feed", "ballast-feed": "feed", "coil-feed": "feed", "unit-feed": "feed", "bypass": "feed", "module-feed": "feed",
		"battery-cable": "cables", "starter-cable": "cables", "start-feed": "start", "start-drive": "start", "start-pto": "start",
		"charge-feed": "charge", "charge-battery": "charge", "kill": "kill", "key-ground": "kill", "stop-ground": "kill", "seat-kill": "kill", "seat-ground": "kill",
	}
	all := layouts()
	for _, name := range sortedKeys(all) {
		d, err := LayoutDraft(specs.Builtin(), all[name])
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		of := map[string]units.WireSize{}
		for _, w := range d.Wires {
			c := circuits[w.Name]
			if c == "" || w.IsJoint() || c == "feed" && all[name].System == ignition.EnergyTransfer {
				continue
			}
			if was, ok := of[c]; ok && was != w.Gauge {
				t.Errorf("%s: %s is %s, the %s circuit %s", name, w.Name, w.Gauge, c, was)
			}
			of[c] = w.Gauge
		}
		if f := all[name]; f.System.NeedsBattery() && f.Volts.IsZero() && f.System != ignition.Trembler && f.System != ignition.MakeAndBreak && of["feed"].Cmp(units.MustWireSize("12 AWG")) > 0 {
			t.Errorf("%s: the feed is %s", name, of["feed"])
		}
	}
}

// A long feed at six volts keeps the limit of the whole way, with real lengths,
// in a gauge that a shop has; and with a gauge less it does not.
func TestFeedSharesItsLoss(t *testing.T) {
	long := map[string]units.Length{}
	for name, feet := range map[string]float64{"fuse-feed": 1.5, "key-feed": 4.75, "seat-feed": 4.75, "coil-feed": 4.75, "ground-strap": 3.5, "points-wire": 1.5} {
		long[name] = units.Feet(feet)
	}
	for _, c := range []struct {
		volts, may float64
		gauge      string
	}{{6, 0.18, "12 AWG"}, {12, 0.36, "16 AWG"}} {
		d, err := LayoutDraft(specs.Builtin(), Facts{System: ignition.BatteryPoints, Volts: units.Volts(c.volts), Interlocks: []string{"seat"}, FeedDrop: units.Volts(c.may), Lengths: long})
		if err != nil {
			t.Fatal(err)
		}
		if g := d.Wire("key-feed").Gauge; g != units.MustWireSize(c.gauge) {
			t.Errorf("%g V: the feed is %s, want %s", c.volts, g, c.gauge)
		}
		for _, thinner := range []bool{false, true} {
			for i := range d.Wires {
				if n := d.Wires[i].Name; thinner && long[n] != (units.Length{}) {
					g, _ := d.Wires[i].Gauge.AWG()
					d.Wires[i].Gauge = units.AWG(g + 2)
				}
			}
			h, err := Build(specs.Builtin(), d)
			if err != nil {
				t.Fatal(err)
			}
			sol := solve(t, h, State{Key: "run"})
			lost, _ := sol.Across("battery.plus", "coil.plus")
			if (1.05*lost.Volts() > c.may) != thinner { // wire of the class has 5 % more at most
				t.Errorf("%g V, thinner %t: %s lost of %g V", c.volts, thinner, lost, c.may)
			}
		}
	}
}

// A by-passed ballast gives the coil the battery's volts while cranking and its
// own share of them in run.
func TestBypass(t *testing.T) {
	for _, key := range []string{"", "battery-bypass"} {
		h, err := Layout(specs.Builtin(), Facts{System: ignition.BatteryPoints, Starter: true, Ballast: Bypassed, Switch: key})
		if err != nil {
			t.Fatal(err)
		}
		start, run := solve(t, h, State{Key: "start", Engine: Cranks}), solve(t, h, State{Key: "run"})
		post, _ := start.Volts("battery.plus")
		cranking, _ := start.Volts("coil.plus")
		running, _ := run.Volts("coil.plus")
		if post.Volts()-cranking.Volts() > 0.2 || running.Volts() > 7 {
			t.Errorf("%q: the coil has %s of %s while cranking, %s in run", key, cranking, post, running)
		}
		if i, _ := start.Current("ballast"); math.Abs(i.Amperes()) > 0.2 {
			t.Errorf("%q: the ballast carries %s while cranking", key, i)
		}
	}
}

func solve(t *testing.T, h *Harness, s State) *Solution {
	t.Helper()
	sol, err := h.Solve(s)
	if err != nil {
		t.Fatal(err)
	}
	return sol
}
