package picture

import (
	"bytes"
	"strings"
	"sync"
	"testing"

	"gapbook.example/ignition"
	"gapbook.example/ignition/wiring"
	"gapbook.example/specs"
	"gapbook.example/units"
)

// The same harness gives the same bytes, on every run and beside others.
func TestSameBytes(t *testing.T) {
	all := sampled(layouts(t)[:12])
	first := make([][]byte, len(all))
	for i, c := range all {
		first[i] = Wiring(c.h, View{}).SVG
	}
	var wg sync.WaitGroup
	for w := range 3 {
		wg.Go(func() {
			for i := range all {
				i = (i + 4*w) % len(all)
				if !bytes.Equal(Wiring(all[i].h, View{}).SVG, first[i]) {
					t.Errorf("%s: other bytes", all[i].name)
				}
			}
		})
	}
	wg.Wait()
}

// A change is drawn near the earlier drawing: what both have keeps its order.
func TestNearKeepsPlaces(t *testing.T) {
	for _, paper := range []Paper{Phone, Landscape} {
		turned, pairs := 0, 0
		for _, c := range sampled(layouts(t)) {
			d := c.h.Draft()
			d.Parts = append(d.Parts, wiring.Part{Name: "work-lamp", Kind: wiring.Load, Values: map[wiring.Attribute]wiring.Value{wiring.Resistance: wiring.Of(units.Ohms(6))}})
			at := ""
			for _, p := range d.Parts {
				if p.Kind == wiring.KeySwitch {
					at = p.Name + "." + "B"
				}
			}
			if at == "" || !hasTerminal(c.h, at) {
				continue
			}
			d.Wires = append(d.Wires, wiring.Wire{Name: "lamp-feed", From: at, To: "work-lamp.a", Colour: "blue"}, wiring.Wire{Name: "lamp-ground", From: "work-lamp.b", To: "block.ground", Colour: "black"})
			h, err := wiring.Build(specs.Builtin(), d)
			if err != nil {
				t.Fatal(err)
			}
			b, a := Pair(c.h, h, View{Paper: paper}, View{})
			if !strings.Contains(string(a.SVG), ">new</text>") {
				t.Errorf("%s: the new lamp has no tag", c.name)
			}
			where := func(d *Diagram) map[string][2]int {
				out := map[string][2]int{}
				for c := range d.plan.k {
					for i, it := range d.plan.cols[c] {
						if int(it) < len(d.model.parts) {
							out[d.model.parts[it].name] = [2]int{c, i}
						}
					}
				}
				return out
			}
			pb, pa := where(b), where(a)
			for x, bx := range pb {
				for y, by := range pb {
					ax, ok := pa[x]
					ay, ok2 := pa[y]
					if x >= y || !ok || !ok2 {
						continue
					}
					pairs++
					if bx[0] < by[0] != (ax[0] < ay[0]) || bx[0] == by[0] && bx[1] < by[1] != (ax[1] < ay[1]) {
						turned++
					}
				}
			}
		}
		if turned > 0 || pairs == 0 {
			t.Errorf("%d of %d pairs of parts turned round", turned, pairs)
		}
	}
}

func hasTerminal(h *wiring.Harness, terminal string) bool {
	for _, t := range h.Terminals() {
		if t == terminal {
			return true
		}
	}
	return false
}

// The twin has every part, wire and ground that the drawing has.
func TestTwinSaysAll(t *testing.T) {
	for _, c := range sampled(append(layouts(t), mutants(t, 40)...)) {
		st := c.h.UsualState()
		sol, err := c.h.Solve(st)
		if err != nil {
			t.Fatal(err)
		}
		d := Wiring(c.h, View{State: &st, Solution: sol})
		words := strings.Join(d.Words, "\n")
		svg := string(d.SVG)
		for _, p := range c.h.Parts() {
			if p.Kind == wiring.Block {
				continue
			}
			if !strings.Contains(words, p.Name) {
				t.Errorf("%s: the words lack %s", c.name, p.Name)
			}
			if !strings.Contains(svg, p.Name) {
				t.Errorf("%s: the drawing lacks %s", c.name, p.Name)
			}
		}
		count := 0
		for _, w := range d.Twin.Wires {
			if w.Path == "flow" {
				count++
			}
		}
		if n := strings.Count(svg, `<path class="flow"`); (count == 0) != (n == 0) && !strings.Contains(words, "current flows") {
			t.Errorf("%s: %d wires flow in words, %d strokes in the drawing", c.name, count, n)
		}
		if strings.Count(svg, `<g class="wire">`) != len(d.Twin.Wires) {
			t.Errorf("%s: %d wires drawn, %d in words", c.name, strings.Count(svg, `<g class="wire">`), len(d.Twin.Wires))
		}
		for _, o := range d.Twin.Open {
			if !strings.Contains(words, o) {
				t.Errorf("%s: the words lack the open %s", c.name, o)
			}
		}
		if open := len(d.Twin.Open) > 0; open != strings.Contains(svg, "nothing is joined here") {
			t.Errorf("%s: open terminals %v, legend otherwise", c.name, d.Twin.Open)
		}
	}
}

// What a view says of faults stands in the drawing by number, dash and words.
func TestFaultsAreTold(t *testing.T) {
	h, err := wiring.Layout(specs.Builtin(), wiring.Facts{System: ignition.BatteryPoints, Interlocks: []string{"seat"}})
	if err != nil {
		t.Fatal(err)
	}
	d := Wiring(h, View{Faults: []Fault{{Names: []string{"nothing", "seat"}, Dead: []string{"points-wire"}, Wrong: []string{"key-feed"}, Text: "The seat switch <shorts> the feed."}}})
	svg := string(d.SVG)
	for _, want := range []string{`class="bf"`, `class="dead"`, `class="wrong"`, `>1</text>`, "[1] The seat switch &lt;shorts&gt; the feed."} {
		if !strings.Contains(svg, want) {
			t.Errorf("the drawing lacks %q", want)
		}
	}
	words := strings.Join(d.Words, "\n")
	for _, want := range []string{"[1] The seat switch <shorts> the feed.", "Part seat [1]", "should carry current and does not", "must not carry current or not be there"} {
		if !strings.Contains(words, want) {
			t.Errorf("the words lack %q", want)
		}
	}
}

// A contact is drawn and told closed where it conducts in the state shown, and
// open where it does not: by the states of the harness itself, not by what the
// drawing made of them.
func TestContactsStandAsInTheState(t *testing.T) {
	h, err := wiring.Layout(specs.Builtin(), wiring.Facts{System: ignition.BatteryPoints, Starter: true, Interlocks: []string{"seat"}})
	if err != nil {
		t.Fatal(err)
	}
	// Of this layout the seat switch feeds the coil while somebody sits, the
	// points are a breaker, and the solenoid is pulled in by the key in start.
	const open, shut = "M-6 -1L7 -7", "M-5.4 0H5.4"
	for _, c := range []struct {
		state                  wiring.State
		seat, points, solenoid string
	}{
		{wiring.State{Key: "run"}, "closed now", "closed now", "open now"},
		{wiring.State{Key: "run", Unsafe: 1}, "open now", "closed now", "open now"},
		{wiring.State{Key: "run", Open: 1}, "closed now", "open now", "open now"},
		{wiring.State{Key: "start", Engine: wiring.Cranks}, "closed now", "closed now", "closed now"},
	} {
		sol, err := h.Solve(c.state)
		if err != nil {
			t.Fatal(err)
		}
		d := Wiring(h, View{Paper: Landscape, State: &c.state, Solution: sol})
		said := map[string]string{}
		for _, p := range d.Twin.Parts {
			if n := len(p.Notes); n > 0 {
				said[p.Name] = p.Notes[n-1]
			}
		}
		if said["seat"] != c.seat || said["points"] != c.points || said["solenoid"] != c.solenoid {
			t.Errorf("%+v: %v", c.state, said)
		}
		svg := string(d.SVG)
		if one, none := map[string][2]string{"closed now": {shut, open}, "open now": {open, shut}}[c.seat][0], map[string][2]string{"closed now": {shut, open}, "open now": {open, shut}}[c.seat][1]; !strings.Contains(svg, one) || strings.Contains(svg, none) {
			t.Errorf("%+v: the seat switch is not drawn as it stands", c.state)
		}
	}
	if svg := string(Wiring(h, View{Paper: Landscape}).SVG); !strings.Contains(svg, open) || strings.Contains(svg, shut) {
		t.Error("without a state a contact is not drawn open")
	}
}
