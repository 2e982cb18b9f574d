package picture

import (
	"os"
	"strings"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

func TestRender(t *testing.T) {
	dir := os.Getenv("GAPBOOK_PICTURES")
	if dir == "" {
		t.Skip("set GAPBOOK_PICTURES to a folder")
	}
	for _, c := range layouts(t) {
		if c.name != os.Getenv("ONLY") && os.Getenv("ONLY") != "" && os.Getenv("ONLY") != "all" {
			continue
		}
		for _, paper := range []Paper{Phone, Landscape} {
			st := c.h.UsualState()
			if st.Key == "" && len(c.h.Keys()) > 1 {
				st.Key = c.h.Keys()[1]
			}
			sol, err := c.h.Solve(st)
			if err != nil {
				t.Fatal(err)
			}
			v := View{Paper: paper, State: &st, Solution: sol, Name: "x"}
			d := Wiring(c.h, v)
			n := strings.ReplaceAll(c.name, " ", "-")
			if paper == Landscape {
				n += "-a4"
			}
			if err := os.WriteFile(dir+"/"+n+".svg", d.SVG, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	fault, before, after := examples(t)
	for _, d := range []*Diagram{fault, before, after} {
		if err := os.WriteFile(dir+"/ex-"+d.Name+".svg", d.SVG, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// examples are a fault, and a machine before and after a conversion; all
// invented.
func examples(tb testing.TB) (fault, before, after *Diagram) {
	tb.Helper()
	must := func(err error) {
		if err != nil {
			tb.Fatal(err)
		}
	}
	d, err := wiring.LayoutDraft(specs.Builtin(), wiring.Facts{System: ignition.BatteryPoints})
	must(err)
	d.Title = "Withy Bottom pump: an old seat switch grounds the coil feed"
	colours := []string{"red", "black", "violet", "green", "blue", "yellow"}
	for i := range d.Wires {
		if !d.Wires[i].IsJoint() {
			d.Wires[i].Colour = colours[i%len(colours)]
		}
	}
	d.Parts = append(d.Parts, wiring.Part{Name: "seat", Kind: wiring.Interlock, Words: map[string]string{"of": "seat", "normally": "closed"}})
	d.Wires = append(d.Wires, wiring.Wire{Name: "old-kill-wire", From: "coil.plus", To: "seat.a", Gauge: units.MustWireSize("18 AWG"), Length: units.Metres(1), Colour: "yellow"},
		wiring.Wire{Name: "seat-ground", From: "seat.b", To: "block.ground", Gauge: units.MustWireSize("18 AWG"), Length: units.Metres(1), Colour: "black"})
	h, err := wiring.Build(specs.Builtin(), d)
	must(err)
	st := wiring.State{Key: "run", Unsafe: 1}
	sol, err := h.Solve(st)
	must(err)
	fault = Wiring(h, View{Name: "fault", State: &st, Solution: sol, Faults: []Fault{{
		Names: []string{"seat"}, Wrong: []string{"old-kill-wire", "seat-ground"}, Dead: []string{"points-wire"},
		Text: "With the seat empty the seat switch joins the coil feed to the block: the fuse blows and no spark is made.",
	}}})
	was, err := wiring.Layout(specs.Builtin(), wiring.Facts{System: ignition.MagnetoBreakerless, Starter: true, Interlocks: []string{"seat"}})
	must(err)
	is, err := wiring.Layout(specs.Builtin(), wiring.Facts{System: ignition.BatteryPoints, Starter: true, Interlocks: []string{"seat"}})
	must(err)
	before, after = Pair(was, is, View{Name: "change", Title: "Before: breakerless magneto"}, View{Name: "change", Title: "After: battery and points"})
	return fault, before, after
}
