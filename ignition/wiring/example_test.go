package wiring_test

import (
	"fmt"

	"gapbook.example/ignition"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// A magneto stops because the key grounds its primary in off.
func ExampleLayout() {
	h, err := wiring.Layout(specs.Builtin(), wiring.Facts{System: ignition.FlywheelMagnetoPoints})
	if err != nil {
		fmt.Println(err)
		return
	}
	s, err := h.Solve(wiring.State{Key: "off", Open: h.AllOpen(), Engine: wiring.Runs})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Path("magneto.primary", "magneto.ground"))
	// Output:
	// magneto.primary -(kill)- key.M > key.G -(key-ground)- block.ground -(magneto-mount)- magneto.ground
}

// What a mechanic should read at the coil's feed, points closed.
func ExampleHarness_Bands() {
	h, err := wiring.Layout(specs.Builtin(), wiring.Facts{System: ignition.BatteryPoints})
	if err != nil {
		fmt.Println(err)
		return
	}
	b, err := h.Bands(wiring.State{Key: "run"})
	if err != nil {
		fmt.Println(err)
		return
	}
	low, high, _ := b.Volts("coil.plus")
	fmt.Printf("coil feed from %.1f to %.1f V\n", low.Volts(), high.Volts())
	// Output:
	// coil feed from 12.0 to 12.7 V
}

// A harness from Go values, with a mistake in it.
func ExampleBuild() {
	_, err := wiring.Build(specs.Builtin(), wiring.Draft{
		Parts: []wiring.Part{
			{Name: "block", Kind: wiring.Block},
			{Name: "lamp", Kind: wiring.Load, Values: map[wiring.Attribute]wiring.Value{wiring.Resistance: wiring.Of(units.Ohms(5))}},
		},
		Wires: []wiring.Wire{{Name: "back", From: "lmap.a", To: "block.31"}},
	})
	fmt.Println(err)
	// Output:
	// harness: wires.back.from: there is no part "lmap" (unknown-part); did you mean "lamp"? one of: block, lamp
}

// 4 A over two feet of wire may lose 20 mV.
func ExampleChooseWire() {
	c, err := wiring.ChooseWire(specs.Builtin(), wiring.Run{Current: units.Amperes(4), Length: units.Feet(2), MaxDrop: units.Millivolts(20)})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(c.Gauge, "with a fuse of", c.Fuse, "at most", c.FuseLimit)
	// Output:
	// 12 AWG with a fuse of 5 A at most 20 A
}
