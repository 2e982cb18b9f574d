package wiring

import (
	"math"
	"math/rand/v2"
	"testing"

	"gapbook.example/specs"
	"gapbook.example/units"
)

// No harness whose parts lie within their limits reads outside the bands, and
// some come near their ends: random corners and random points, a second way to
// the same figures.
func TestBandsHoldEveryPart(t *testing.T) {
	rng := rand.New(rand.NewPCG(17, 19))
	all := layouts()
	for _, name := range sortedKeys(all) {
		h, err := Layout(specs.Builtin(), all[name])
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		states := h.States()
		for range 3 {
			st := states[rng.IntN(len(states))]
			b, err := h.Bands(st)
			if err != nil {
				t.Fatalf("%s, %s: %v", name, h.Describe(st), err)
			}
			w := b.frozen()
			for round := range 60 {
				for i := range h.params {
					p := &h.params[i]
					switch {
					case round%2 == 0:
						w.values[i] = []float64{p.low, p.high}[rng.IntN(2)]
					default:
						w.values[i] = p.low + (p.high-p.low)*rng.Float64()
					}
				}
				if err := w.run(st); err != nil {
					t.Fatal(err)
				}
				volts := w.grid.volts
				amperes := make([]float64, len(h.elements))
				for i, e := range w.elements {
					amperes[e] = w.grid.amperes[i]
				}
				for i, v := range volts {
					if b.s.group[i] == 0 && (v < b.volts[i][0]-1e-9 || v > b.volts[i][1]+1e-9) {
						t.Fatalf("%s, %s: %s reads %g V, outside %v", name, h.Describe(st), h.nodes[i].addr, v, b.volts[i])
					}
				}
				for k, i := range amperes {
					if e := &h.elements[k]; has(b.s.active, k) && h.quiet(e) && (i < b.amperes[k][0]-1e-6 || i > b.amperes[k][1]+1e-6) {
						t.Fatalf("%s, %s: %s carries %g A, outside %v", name, h.Describe(st), h.owner(e.owner), i, b.amperes[k])
					}
				}
			}
		}
	}
}

// quiet leaves out elements that are so slight that their band is rounding.
func (h *Harness) quiet(e *element) bool { return e.r >= 0 && h.params[e.r].nominal >= noResistance }

// Two resistances in series across a source, worked by hand: 12 V (11 to 13)
// with 0.5 Ω, a load of 5 Ω ± 10 %. The load reads 12 × 5 / 5.5 = 10.909 V; at
// most 13 × 5.5 / 6 V, at least 11 × 4.5 / 5 V.
func TestBandByHand(t *testing.T) {
	h, err := Build(specs.Builtin(), Draft{
		Parts: []Part{
			{Name: "block", Kind: Block},
			{Name: "battery", Kind: Battery, Values: map[Attribute]Value{
				Rest: Within(units.Volts(11), units.Volts(12), units.Volts(13)), Resistance: Of(units.Ohms(0.5)), Volts: Of(units.Volts(12)),
			}},
			{Name: "lamp", Kind: Load, Values: map[Attribute]Value{Resistance: Within(units.Ohms(4.5), units.Ohms(5), units.Ohms(5.5))}},
		},
		Wires: []Wire{
			{Name: "ground", From: "battery.minus", To: "block"},
			{Name: "feed", From: "battery.30", To: "lamp.a"},
			{Name: "back", From: "lamp.b", To: "block.31"},
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	b, err := h.Bands(State{})
	if err != nil {
		t.Fatal(err)
	}
	v, _ := b.Solution().Volts("lamp.a")
	low, high, ok := b.Volts("lamp.a")
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"volts", v.Volts(), 12 * 5 / 5.5}, {"least volts", low.Volts(), 11 * 4.5 / 5}, {"greatest volts", high.Volts(), 13 * 5.5 / 6},
	} {
		if !ok || math.Abs(c.got-c.want) > 1e-12 {
			t.Errorf("%s: %g, want %g", c.what, c.got, c.want)
		}
	}
	lo, hi, ok := b.Current("lamp")
	if !ok || math.Abs(lo.Amperes()-11/6.0) > 1e-12 || math.Abs(hi.Amperes()-13/5.0) > 1e-12 {
		t.Errorf("current from %g to %g A, want 11/6 to 13/5", lo.Amperes(), hi.Amperes())
	}
	lo2, hi2, ok := b.Across("lamp.b", "lamp.a")
	if !ok || math.Abs(lo2.Volts()+high.Volts()) > 1e-12 || math.Abs(hi2.Volts()+low.Volts()) > 1e-12 {
		t.Errorf("backwards %g to %g V", lo2.Volts(), hi2.Volts())
	}
}
