package wiring

import (
	"fmt"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// fortyParts is a harness of forty parts: a ballasted battery ignition with
// starter, charging, all safety switches, and what else hangs on a machine.
func fortyParts(t testing.TB) Draft {
	d, err := LayoutDraft(specs.Builtin(), Facts{
		System: ignition.BatteryPoints, Starter: true, Ballast: Bypassed, Charging: Alternator, Switch: "battery-six",
		Interlocks: []string{"seat", "drive", "pto"},
	})
	if err != nil {
		t.Fatal(err)
	}
	wire := func(name, from, to string) {
		d.Wires = append(d.Wires, Wire{Name: name, From: from, To: to, Gauge: units.AWG(14), Length: units.Feet(3)})
	}
	d.Parts = append(d.Parts,
		Part{Name: "clutch-relay", Kind: Relay}, Part{Name: "light-relay", Kind: Relay}, Part{Name: "buzzer-relay", Kind: Relay},
		Part{Name: "horn-button", Kind: Button},

		Part{Name: "meter", Kind: Meter}, Part{Name: "aux-fuse", Kind: Fuse, Values: map[Attribute]Value{Rating: Of(units.Amperes(15))}},
		Part{Name: "clutch", Kind: Load, Values: map[Attribute]Value{Resistance: Of(units.Ohms(3))}},
	)
	wire("aux-feed", "key.A", "aux-fuse.a")
	wire("clutch-coil", "aux-fuse.b", "clutch-relay.coil-a")
	wire("clutch-coil-ground", "clutch-relay.coil-b", "block")
	wire("clutch-feed", "aux-fuse.b", "clutch-relay.common")
	wire("clutch-wire", "clutch-relay.open", "clutch.a")
	wire("clutch-ground", "clutch.b", "block")
	wire("light-coil", "clutch-relay.open", "light-relay.coil-a") // pulls in only after the first
	wire("light-coil-ground", "light-relay.coil-b", "block")
	wire("light-feed", "aux-fuse.b", "light-relay.common")
	wire("buzzer-coil", "aux-fuse.b", "buzzer-relay.coil-a")
	wire("buzzer-button", "buzzer-relay.coil-b", "horn-button.a")
	wire("buzzer-ground", "horn-button.b", "block")
	wire("red", "meter.red", "coil.plus")
	wire("black", "meter.black", "block")
	from := "light-relay.open"
	for i := range 8 {
		lamp, plug := fmt.Sprintf("lamp-%d", i+1), fmt.Sprintf("connector-%d", i+1)
		d.Parts = append(d.Parts, Part{Name: lamp, Kind: Load, Values: map[Attribute]Value{Power: Of(units.Watts(5))}}, Part{Name: plug, Kind: Connector})
		wire(plug+"-feed", from, plug+".a")
		wire(lamp+"-feed", plug+".b", lamp+".a")
		wire(lamp+"-ground", lamp+".b", "block")
		from = plug + ".b"
	}
	if len(d.Parts) != 40 {
		t.Fatalf("%d parts, not 40", len(d.Parts))
	}
	return d
}

// BenchmarkSolve is one state of forty parts, solved: at most 100 µs is wanted
// for solving and judging together.
func BenchmarkSolve(b *testing.B) {
	h, err := Build(specs.Builtin(), fortyParts(b))
	if err != nil {
		b.Fatal(err)
	}
	s := State{Key: "run", Engine: Runs}
	for b.Loop() {
		if _, err := h.Solve(s); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkSolveAll is every state of forty parts; µs/state counts all states.
func BenchmarkSolveAll(b *testing.B) {
	h, err := Build(specs.Builtin(), fortyParts(b))
	if err != nil {
		b.Fatal(err)
	}
	n := 0
	for b.Loop() {
		s, err := h.SolveAll()
		if err != nil {
			b.Fatal(err)
		}
		n = s.Len()
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(n), "µs/state")
	b.ReportMetric(float64(n), "states")
}

// BenchmarkBuild is the check and compilation of a draft.
func BenchmarkBuild(b *testing.B) {
	d := fortyParts(b)
	for b.Loop() {
		if _, err := Build(specs.Builtin(), d); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkBands is every band of one state.
func BenchmarkBands(b *testing.B) {
	h, err := Build(specs.Builtin(), fortyParts(b))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := h.Bands(State{Key: "run", Engine: Runs}); err != nil {
			b.Fatal(err)
		}
	}
}
