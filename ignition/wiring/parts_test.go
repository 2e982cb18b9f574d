package wiring

import (
	"math"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// between builds a block, one part and a 12 V battery of no inside, its minus
// on the block, joined to the part, and returns the amperes the battery gives.
func between(t *testing.T, p Part, plus, minus string, s State) float64 {
	t.Helper()
	h := build(t, []Part{{Name: "battery", Kind: Battery, Values: battery(12, 0)}, p},
		[2]string{"battery.minus", "block"}, [2]string{"battery.plus", p.Name + "." + plus}, [2]string{p.Name + "." + minus, "block"})
	i, _ := solve(t, h, s).Current("battery")
	return -i.Amperes()
}

// What one part by itself draws from 12 V, by hand.
func TestPartsByHand(t *testing.T) {
	contact := map[Attribute]Value{Contact: Of(units.Ohms(0.012))}
	for _, c := range []struct {
		name        string
		part        Part
		plus, minus string
		state       State
		want        float64
	}{
		{"lamp by watts", Part{Kind: Load, Values: map[Attribute]Value{Power: Of(units.Watts(24)), Volts: Of(units.Volts(12))}}, "a", "b", State{}, 2},
		{"coil", Part{Kind: Coil, Values: map[Attribute]Value{Primary: Of(units.Ohms(3))}}, "plus", "minus", State{}, 4},
		{"coil's own temperature", Part{Kind: Coil, Values: map[Attribute]Value{Primary: Of(units.Ohms(3)), Temperature: Of(units.Celsius(75))}}, "plus", "minus", State{}, 4 / 1.21611},
		{"secondary", Part{Kind: Coil, Values: map[Attribute]Value{Primary: Of(units.Ohms(3)), Secondary: Of(units.Kilohms(12))}}, "ht", "minus", State{}, 1e-3},
		{"two towers", Part{Kind: Coil, Words: map[string]string{"towers": "2"}, Values: map[Attribute]Value{Secondary: Of(units.Kilohms(12))}}, "ht", "ht2", State{}, 1e-3},
		{"two towers to the primary", Part{Kind: Coil, Words: map[string]string{"towers": "2"}}, "ht", "minus", State{}, 0},
		{"broken coil", Part{Kind: Coil, Values: map[Attribute]Value{Primary: Of(units.MustResistance("OL"))}}, "plus", "minus", State{}, 0},
		{"points closed", Part{Kind: Points, Values: contact}, "arm", "plate", State{}, 1000},
		{"points open", Part{Kind: Points, Values: contact}, "arm", "plate", State{Open: 1}, 0},
		{"condenser", Part{Kind: Condenser}, "lead", "case", State{}, 0},
		{"leaking condenser", Part{Kind: Condenser, Values: map[Attribute]Value{Insulation: Of(units.Kilohms(12))}}, "lead", "case", State{}, 1e-3},
		{"plug", Part{Kind: Plug}, "terminal", "body", State{}, 0},
		{"fouled plug", Part{Kind: Plug, Values: map[Attribute]Value{Insulation: Of(units.Kilohms(12))}}, "terminal", "body", State{}, 1e-3},
		{"lead by the foot", Part{Kind: Lead, Values: map[Attribute]Value{PerLength: Of(units.KilohmsPerFoot(4)), Length: Of(units.Feet(3))}}, "a", "b", State{}, 1e-3},
		{"meter", Part{Kind: Meter, Values: map[Attribute]Value{Resistance: Of(units.Megohms(12))}}, "red", "black", State{}, 1e-6},
		{"button free", Part{Kind: Button, Values: contact}, "a", "b", State{}, 0},
		{"button pressed", Part{Kind: Button, Values: contact}, "a", "b", State{Pressed: 1}, 1000},
		{"breaking button free", Part{Kind: Button, Values: contact, Words: map[string]string{"normally": "closed"}}, "a", "b", State{}, 1000},
		{"breaking button pressed", Part{Kind: Button, Values: contact, Words: map[string]string{"normally": "closed"}}, "a", "b", State{Pressed: 1}, 0},
		// Somebody on the seat presses the switch.
		{"seat safe, normally open", Part{Kind: Interlock, Values: contact}, "a", "b", State{}, 1000},
		{"seat empty, normally open", Part{Kind: Interlock, Values: contact}, "a", "b", State{Unsafe: 1}, 0},
		{"seat safe, normally closed", Part{Kind: Interlock, Values: contact, Words: map[string]string{"normally": "closed"}}, "a", "b", State{}, 0},
		{"seat empty, normally closed", Part{Kind: Interlock, Values: contact, Words: map[string]string{"normally": "closed"}}, "a", "b", State{Unsafe: 1}, 1000},
		// A cutter that presses its switch when engaged.
		{"cutter in, normally open", Part{Kind: Interlock, Values: contact, Words: map[string]string{"pressed": "unsafe"}}, "a", "b", State{Unsafe: 1}, 1000},
		{"cutter out, normally open", Part{Kind: Interlock, Values: contact, Words: map[string]string{"pressed": "unsafe"}}, "a", "b", State{}, 0},
		{"second pole safe", Part{Kind: Interlock, Values: contact, Words: map[string]string{"second": "closed"}}, "c", "d", State{}, 0},
		{"second pole unsafe", Part{Kind: Interlock, Values: contact, Words: map[string]string{"second": "closed"}}, "c", "d", State{Unsafe: 1}, 1000},
		{"trembler coil", Part{Kind: TremblerCoil, Values: map[Attribute]Value{Primary: Of(units.Ohms(0.9)), Contact: Of(units.Ohms(0.1))}}, "plus", "timer", State{}, 12},
		{"module's supply", Part{Kind: Module, Values: map[Attribute]Value{Input: Of(units.Ohms(600))}}, "plus", "ground", State{}, 0.02},
		{"solenoid's coil", Part{Kind: Solenoid, Values: map[Attribute]Value{Resistance: Of(units.Ohms(4))}}, "switch", "ground", State{}, 3},
		{"magneto's primary", Part{Kind: FlywheelMagneto, Values: map[Attribute]Value{Primary: Of(units.Ohms(0.8)), EMF: Of(units.Volts(2))}}, "primary", "ground", State{}, 15},
		{"module of a magneto at rest", Part{Kind: FlywheelModule, Values: map[Attribute]Value{Primary: Of(units.Ohms(0.8)), EMF: Of(units.Volts(2))}}, "kill", "ground", State{}, 15},
		{"magneto that turns", Part{Kind: FlywheelMagneto, Values: map[Attribute]Value{Primary: Of(units.Ohms(0.8)), EMF: Of(units.Volts(2))}}, "primary", "ground", State{Engine: Runs}, 12.5},
	} {
		p := c.part
		p.Name = "x"
		if got := between(t, p, c.plus, c.minus, c.state); math.Abs(got-c.want) > 1e-4*math.Abs(c.want) {
			t.Errorf("%s: %g A, want %g A", c.name, got, c.want)
		}
	}
}

// Windings and wires follow the temperature of the harness.
func TestTemperature(t *testing.T) {
	d, err := LayoutDraft(specs.Builtin(), Facts{System: ignition.BatteryPoints})
	if err != nil {
		t.Fatal(err)
	}
	cold, _ := mustSolve(t, d, State{Key: "run"}).Across("coil.plus", "coil.minus")
	coldAmps, _ := mustSolve(t, d, State{Key: "run"}).Current("coil")
	d.Temperature = units.Celsius(75)
	hot, _ := mustSolve(t, d, State{Key: "run"}).Across("coil.plus", "coil.minus")
	hotAmps, _ := mustSolve(t, d, State{Key: "run"}).Current("coil")
	// 1.21611 from 20 to 75 °C by the 234.5 rule.
	if ratio := hot.Volts() / hotAmps.Amperes() / (cold.Volts() / coldAmps.Amperes()); math.Abs(ratio-1.21611) > 5e-6 {
		t.Errorf("the coil's resistance rises %g times", ratio)
	}
}

// Electronics do their work only with supply, ground, the right polarity and,
// while the engine turns, their trigger.
func TestElectronicsNeedTheirWires(t *testing.T) {
	step := func(d Draft, s State) float64 {
		s.Open = 0
		a, _ := mustSolve(t, d, s).Current("coil")
		s.Open = 1
		b, _ := mustSolve(t, d, s).Current("coil")
		return math.Abs(a.Amperes() - b.Amperes())
	}
	for _, f := range []Facts{
		{System: ignition.BatteryBreakerless}, {System: ignition.BatteryBreakerless, Ground: ignition.PositiveGround},
		{System: ignition.CapacitorDischarge}, {System: ignition.CapacitorDischarge, BatteryFed: true},
	} {
		sound, err := LayoutDraft(specs.Builtin(), f)
		if err != nil {
			t.Fatal(err)
		}
		run := State{Key: "run", Engine: Runs}
		if step(sound, run) < 0.2 {
			t.Errorf("%+v does not fire", f)
		}
		for _, w := range sound.Wires {
			switch w.Name {
			case "trigger-a", "trigger-b", "module-feed", "module-out", "module-mount", "unit-feed", "unit-mount", "charge-wire", "charge-mount", "coil-wire", "coil-mount", "coil-feed":
			default:
				continue
			}
			d := sound.Clone()
			for i := range d.Wires {
				if d.Wires[i].Name == w.Name {
					d.Wires = append(d.Wires[:i:i], d.Wires[i+1:]...)
					break
				}
			}
			if i := step(d, run); i > 0.05 {
				t.Errorf("%+v steps by %g A without its wire %s", f, i, w.Name)
			}
		}
		for i := range sound.Parts {
			p := &sound.Parts[i]
			if p.Kind != Module && p.Kind != CDBox {
				continue
			}
			d := sound.Clone()
			wrong := "positive"
			if f.Ground == ignition.PositiveGround {
				wrong = "negative"
			}
			d.Parts[i].Words = map[string]string{"polarity": wrong}
			if i := step(d, run); i > 0.05 {
				t.Errorf("%+v steps by %g A with a %s made for the other ground", f, i, p.Kind)
			}
		}
	}
	// A module needs no trigger to hold the coil on while the engine is still.
	d, err := LayoutDraft(specs.Builtin(), Facts{System: ignition.BatteryBreakerless})
	if err != nil {
		t.Fatal(err)
	}
	if i, _ := mustSolve(t, d, State{Key: "run"}).Current("coil"); i.Amperes() < 1 {
		t.Errorf("at rest the coil draws %s", i)
	}
}

// Figures that a harness gives without limits get those of their class, where
// the book has some; figures with limits keep them.
func TestGivenFigures(t *testing.T) {
	h := build(t, []Part{
		{Name: "one", Kind: Coil, Values: map[Attribute]Value{Primary: Of(units.Ohms(3.4))}},
		{Name: "two", Kind: Coil, Values: map[Attribute]Value{Primary: Within(units.Ohms(3.3), units.Ohms(3.4), units.Ohms(3.5))}},
		{Name: "cells", Kind: DryCells, Values: map[Attribute]Value{Rest: Of(units.Volts(6))}},
	})
	for _, c := range []struct {
		part      string
		attr      Attribute
		low, high float64
	}{{"one", Primary, 3.06, 3.74}, {"two", Primary, 3.3, 3.5}, {"cells", Rest, 6, 6}} {
		p, _ := h.Part(c.part)
		v := p.Values[c.attr]
		if math.Abs(v.Min.SI()-c.low) > 1e-9 || math.Abs(v.Max.SI()-c.high) > 1e-9 || v.Assumed {
			t.Errorf("%s: %v, want %g to %g", c.part, v, c.low, c.high)
		}
	}
	assumed := false
	for _, a := range h.Assumed() {
		assumed = assumed || a.Part == "one" && a.Attribute == Secondary && a.Value.Source != "" && a.Value.Basis != ""
		if a.Part == "one" && a.Attribute == Primary {
			t.Errorf("what was given is listed as assumed: %s", a)
		}
	}
	if !assumed {
		t.Error("what was assumed is not listed")
	}
}
