package wiring

import (
	"encoding/json"
	"maps"
	"math"
	"os"
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
