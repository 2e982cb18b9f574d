package picture

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// circuit is one harness that is drawn in the tests.
type circuit struct {
	name string
	h    *wiring.Harness
}

// layouts are sound harnesses of every system, with every kind of switch,
// ballast, safety switch, charging set and number of plugs.
func layouts(tb testing.TB) []circuit {
	tb.Helper()
	var out []circuit
	add := func(name string, f wiring.Facts) {
		h, err := wiring.Layout(specs.Builtin(), f)
		if err != nil {
			tb.Fatalf("%s: %v", name, err)
		}
		out = append(out, circuit{name, h})
	}
	all := []string{"seat", "drive", "pto"}
	for _, s := range []ignition.System{ignition.BatteryPoints, ignition.BatteryBreakerless} {
		for _, g := range []ignition.Polarity{ignition.NegativeGround, ignition.PositiveGround} {
			n := fmt.Sprintf("%s %s ", s, g)
			add(n+"bare", wiring.Facts{System: s, Ground: g})
			add(n+"charged", wiring.Facts{System: s, Ground: g, Starter: true, Charging: wiring.Alternator})
			add(n+"six", wiring.Facts{System: s, Ground: g, Starter: true, Switch: "battery-six", Interlocks: all, Charging: wiring.Generator})
			add(n+"ballasted", wiring.Facts{System: s, Ground: g, Ballast: wiring.Ballasted, Interlocks: []string{"seat"}})
			add(n+"bypassed", wiring.Facts{System: s, Ground: g, Ballast: wiring.Bypassed, Starter: true, Charging: wiring.Alternator})
			add(n+"bypass switch", wiring.Facts{System: s, Ground: g, Ballast: wiring.Bypassed, Starter: true, Switch: "battery-bypass"})
			add(n+"twin", wiring.Facts{System: s, Ground: g, Twin: true, Starter: true})
		}
	}
	add("six volts", wiring.Facts{System: ignition.BatteryPoints, Volts: units.Volts(6)})
	add("capacitor battery", wiring.Facts{System: ignition.CapacitorDischarge, BatteryFed: true, Starter: true, Interlocks: []string{"seat"}})
	for _, s := range []ignition.System{ignition.FlywheelMagnetoPoints, ignition.RotorMagnetoPoints, ignition.MagnetoBreakerless, ignition.EnergyTransfer, ignition.CapacitorDischarge} {
		n := s.String() + " "
		add(n+"bare", wiring.Facts{System: s})
		add(n+"button", wiring.Facts{System: s, StopButton: true, Interlocks: []string{"seat"}})
		add(n+"twin", wiring.Facts{System: s, Twin: true, Starter: true, Charging: wiring.Alternator})
		add(n+"six", wiring.Facts{System: s, Starter: true, Switch: "magneto-six", Interlocks: all})
		add(n+"five", wiring.Facts{System: s, Starter: true, Switch: "magneto-five"})
	}
	for _, s := range []ignition.System{ignition.Trembler, ignition.MakeAndBreak} {
		add(s.String(), wiring.Facts{System: s})
		add(s.String()+" twin", wiring.Facts{System: s, Twin: true, Interlocks: []string{"seat"}})
	}
	return out
}

// mutants are harnesses with one thing changed: a wire gone, moved,
// turned or added, a part added or gone.
func mutants(tb testing.TB, n int) []circuit {
	tb.Helper()
	sound := layouts(tb)
	var out []circuit
	for i := 0; len(out) < n; i++ {
		from := sound[i%len(sound)]
		rng := rand.New(rand.NewPCG(uint64(i), 9))
		d := from.h.Draft()
		mutate(rng, &d, from.h.Terminals())
		h, err := wiring.Build(specs.Builtin(), d)
		if err != nil {
			if i > 50*n {
				tb.Fatalf("%s: %v", from.name, err)
			}
			continue
		}
		out = append(out, circuit{fmt.Sprintf("mutant %d of %s", i, from.name), h})
	}
	return out
}

func mutate(rng *rand.Rand, d *wiring.Draft, terminals []string) {
	wire := &d.Wires[rng.IntN(len(d.Wires))]
	some := func() string { return terminals[rng.IntN(len(terminals))] }
	name := func(p string) string { return fmt.Sprintf("%s-%d", p, len(d.Parts)+len(d.Wires)) }
	switch rng.IntN(7) {
	case 0:
		d.Wires = append(d.Wires[:0:0], d.Wires...)
		i := rng.IntN(len(d.Wires))
		d.Wires = append(d.Wires[:i], d.Wires[i+1:]...)
	case 1:
		wire.To = some()
	case 2:
		wire.From = some()
	case 3:
		d.Wires = append(d.Wires, wiring.Wire{Name: name("extra"), From: some(), To: some(), Gauge: units.MustWireSize("16 AWG"), Length: units.Metres(1), Colour: "yellow"})
	case 4:
		lamp := name("lamp")
		d.Parts = append(d.Parts, wiring.Part{Name: lamp, Kind: wiring.Load, Values: map[wiring.Attribute]wiring.Value{wiring.Resistance: wiring.Of(units.Ohms(6))}})
		d.Wires = append(d.Wires, wiring.Wire{Name: lamp + "-feed", From: some(), To: lamp + ".a", Gauge: units.MustWireSize("16 AWG"), Length: units.Metres(1), Colour: "blue"},
			wiring.Wire{Name: lamp + "-ground", From: lamp + ".b", To: "block.ground", Gauge: units.MustWireSize("16 AWG"), Length: units.Metres(1), Colour: "black"})
	case 5:
		c := name("condenser")
		d.Parts = append(d.Parts, wiring.Part{Name: c, Kind: wiring.Condenser})
		d.Wires = append(d.Wires, wiring.Wire{Name: c + "-lead", From: some(), To: c + ".lead", Gauge: units.MustWireSize("18 AWG"), Length: units.Metres(0.2)})
	case 6:
		f := name("fuse")
		d.Parts = append(d.Parts, wiring.Part{Name: f, Kind: wiring.Fuse, Values: map[wiring.Attribute]wiring.Value{wiring.Rating: wiring.Of(units.Amperes(10))}})
		old := wire.To
		wire.To = f + ".a"
		d.Wires = append(d.Wires, wiring.Wire{Name: f + "-out", From: f + ".b", To: old, Gauge: wire.Gauge, Length: wire.Length, Colour: wire.Colour})
	}
}

// sampled keeps every fifth circuit where tests are to be short: under the race
// detector a drawing takes ten times as long.
func sampled(circuits []circuit) []circuit {
	if !testing.Short() {
		return circuits
	}
	var few []circuit
	for i := 0; i < len(circuits); i += 5 {
		few = append(few, circuits[i])
	}
	return few
}
