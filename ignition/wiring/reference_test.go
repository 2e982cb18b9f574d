package wiring

import (
	"encoding/json"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"gapbook.example/specs"
)

// References are operating points from a general-purpose circuit simulator
// (ngspice), made by TestNgspiceReferences with GAPBOOK_UPDATE set. Harnesses
// are written out in full, so that a change of the book's class figures does
// not touch them.
type references struct {
	Simulator string
	Harnesses []reference
	Networks  []networkReference
}

type reference struct {
	Name string
	TOML string
	// Cases give volts by terminal; terminals that float are left out.
	Cases []referenceCase
}

type referenceCase struct {
	State State
	Volts map[string]float64
}

type networkReference struct {
	Nodes    int
	Branches [][4]float64 // from, to, ohms, source volts
	Volts    []float64    // by node; node 0 is the reference
}

const referenceFile = "../../testdata/wiring/ngspice.json"

func readReferences(t testing.TB) references {
	t.Helper()
	src, err := os.ReadFile(referenceFile)
	if err != nil {
		t.Fatal(err)
	}
	var r references
	if err := json.Unmarshal(src, &r); err != nil {
		t.Fatal(err)
	}
	return r
}

// near is the agreement asked for: a microvolt, or a part in a million.
func near(a, b float64) bool { return math.Abs(a-b) <= 1e-6*max(1, math.Abs(b)) }

// Every voltage of every circuit agrees with the simulator, and what it leaves
// out is what floats.
func TestReferences(t *testing.T) {
	r := readReferences(t)
	circuits, worst := 0, 0.0
	for _, ref := range r.Harnesses {
		h, err := Read(specs.Builtin(), ref.Name, []byte(ref.TOML))
		if err != nil {
			t.Errorf("%s: %v", ref.Name, err)
			continue
		}
		for _, c := range ref.Cases {
			circuits++
			sol, err := h.Solve(c.State)
			if err != nil {
				t.Errorf("%s, %s: %v", ref.Name, h.Describe(c.State), err)
				continue
			}
			for _, terminal := range h.Terminals() {
				got, tied := sol.Volts(terminal)
				want, given := c.Volts[terminal]
				if tied != given {
					t.Errorf("%s, %s: %s tied %t, the simulator says %t", ref.Name, h.Describe(c.State), terminal, tied, given)
					continue
				}
				worst = max(worst, math.Abs(got.Volts()-want)/max(1, math.Abs(want)))
				if !near(got.Volts(), want) {
					t.Errorf("%s, %s: %s at %.9g V, the simulator says %.9g V", ref.Name, h.Describe(c.State), terminal, got.Volts(), want)
				}
			}
		}
	}
	var g grid
	for i, n := range r.Networks {
		circuits++
		if err := g.solve(n.Nodes, 0, n.branches(), nil); err != nil {
			t.Fatal(err)
		}
		for k, want := range n.Volts {
			worst = max(worst, math.Abs(g.volts[k]-want)/max(1, math.Abs(want)))
			if !near(g.volts[k], want) {
				t.Errorf("network %d: node %d at %.9g V, the simulator says %.9g V", i, k, g.volts[k], want)
			}
		}
	}
	if circuits < 80 {
		t.Errorf("only %d circuits are compared, 80 are wanted", circuits)
	}
	t.Logf("%d circuits, worst disagreement %.2g of a volt or of itself", circuits, worst)
}

func (n networkReference) branches() []branch {
	var out []branch
	for _, b := range n.Branches {
		out = append(out, branch{a: int(b[0]), b: int(b[1]), r: b[2], e: b[3]})
	}
	return out
}

// complete writes out what a harness assumes, and its switch table.
func (h *Harness) complete() Draft {
	d := h.Draft()
	d.Parts = h.Parts()
	for i := range d.Parts {
		p := &d.Parts[i]
		p.Values = maps.Clone(p.Values)
		for a, v := range p.Values {
			p.Values[a] = Value{Nominal: v.Nominal, Min: v.Nominal, Max: v.Nominal}
		}
		if p.Kind == KeySwitch {
			table := h.switches[i]
			p.Words = nil
			p.Terminals, p.Positions = table.Terminals, table.Positions
		}
	}
	return d
}

// referenceHarnesses are the circuits to compare: every layout with every
// position of its key, and layouts with a fault: a wire off, two terminals
// joined, a part turned round.
func referenceHarnesses(t testing.TB) []reference {
	rng := rand.New(rand.NewPCG(23, 29))
	var out []reference
	add := func(name string, d Draft, few bool) {
		h, err := Build(specs.Builtin(), d)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		ref := reference{Name: name, TOML: string(Marshal(h.complete()))}
		states := h.States()
		keys := h.Keys()
		if keys == nil {
			keys = []string{""}
		}
		for _, key := range keys {
			of := slices.DeleteFunc(slices.Clone(states), func(s State) bool { return s.Key != key })
			natural := State{Key: key, Engine: Runs}
			switch key {
			case "start":
				natural.Engine = Cranks
			case "off":
				natural.Engine = Still
			}
			pick := []State{natural}
			if few {
				pick = []State{of[rng.IntN(len(of))]}
			} else if s := of[rng.IntN(len(of))]; s != natural {
				pick = append(pick, s)
			}
			for _, s := range pick {
				ref.Cases = append(ref.Cases, referenceCase{State: s})
			}
		}
		out = append(out, ref)
	}
	add("forty parts", fortyParts(t), false)
	all := layouts()
	for i, name := range sortedKeys(all) {
		d, err := LayoutDraft(specs.Builtin(), all[name])
		if err != nil {
			t.Fatal(err)
		}
		add(name, d, i%2 == 1)
		if i%2 == 0 {
			continue
		}
		faulty := d.Clone()
		what := ""
		switch n := len(faulty.Wires); rng.IntN(3) {
		case 0:
			k := rng.IntN(n)
			what = faulty.Wires[k].Name + " off"
			faulty.Wires = slices.Delete(faulty.Wires, k, k+1)
		case 1:
			a, b := faulty.Wires[rng.IntN(n)].From, faulty.Wires[rng.IntN(n)].To
			if a == b {
				b = "block.ground"
			}
			what = a + " joined to " + b
			faulty.Wires = append(faulty.Wires, Wire{Name: "fault", From: a, To: b})
		default:
			w := &faulty.Wires[rng.IntN(n)]
			what = w.Name + " on the wrong terminal"
			w.To = faulty.Wires[rng.IntN(n)].From
			if w.To == w.From {
				w.To = "block.ground"
			}
		}
		if _, err := Build(specs.Builtin(), faulty); err == nil {
			add(name+", "+what, faulty, true)
		}
	}
	return out
}

func referenceNetworks() []networkReference {
	rng := rand.New(rand.NewPCG(31, 37))
	var out []networkReference
	for range 40 {
		n := 3 + rng.IntN(20)
		ref := networkReference{Nodes: n}
		for _, b := range randomNetwork(rng, n) {
			// A general decomposition needs a narrower range than ours.
			ref.Branches = append(ref.Branches, [4]float64{float64(b.a), float64(b.b), min(b.r, 1e5), b.e})
		}
		out = append(out, ref)
	}
	return out
}
