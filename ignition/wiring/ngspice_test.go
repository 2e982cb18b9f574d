//go:build ngspice

package wiring

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"gapbook.example/specs"
)

// These checks call a general-purpose circuit simulator, ngspice, which has to
// be installed. With GAPBOOK_UPDATE set they write the references anew;
// without, they make a sample again and compare:
//
//	GAPBOOK_UPDATE=1 go test -tags ngspice -run Ngspice ./ignition/wiring

// netlist writes branches for the simulator; keep says which nodes take part.
func netlist(branches []branch, keep func(node int) bool, name func(node int) string) string {
	var b strings.Builder
	b.WriteString("wiring\n")
	parent := map[int]int{}
	var find func(int) int
	find = func(x int) int {
		if p, ok := parent[x]; ok && p != x {
			return find(p)
		}
		return x
	}
	for i, br := range branches {
		if !keep(br.a) || br.a == br.b {
			continue
		}
		if br.r < noResistance {
			// The simulator refuses loops of ideal sources: one of two joints
			// side by side is enough.
			x, y := find(br.a), find(br.b)
			if x == y {
				continue
			}
			parent[x] = y
			fmt.Fprintf(&b, "V%d %s %s %.17g\n", i, name(br.a), name(br.b), br.e)
			continue
		}
		if br.e == 0 {
			fmt.Fprintf(&b, "R%d %s %s %.17g\n", i, name(br.a), name(br.b), br.r)
			continue
		}
		fmt.Fprintf(&b, "V%d %s m%d %.17g\nR%d m%d %s %.17g\n", i, name(br.a), i, br.e, i, i, name(br.b), br.r)
	}
	return b.String()
}

var printed = regexp.MustCompile(`(?m)^n(\d+) = ([-+0-9.eE]+)`)

// simulate returns the volts of the nodes named n0, n1, ...
func simulate(t testing.TB, text string) map[int]float64 {
	t.Helper()
	if strings.Count(text, "\n") < 2 {
		return nil
	}
	file := filepath.Join(t.TempDir(), "case.cir")
	text += ".options reltol=1e-9 abstol=1e-15 vntol=1e-12 gmin=1e-18\n.control\nset numdgt=15\nop\nprint all\nquit\n.endc\n.end\n"
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	out, _ := exec.Command("ngspice", "-b", file).CombinedOutput()
	volts := map[int]float64{}
	for _, m := range printed.FindAllStringSubmatch(string(out), -1) {
		n, _ := strconv.Atoi(m[1])
		volts[n], _ = strconv.ParseFloat(m[2], 64)
	}
	if len(volts) == 0 {
		t.Fatalf("the simulator gave nothing: %s\n%s", out, text)
	}
	return volts
}

func (c *referenceCase) simulate(t testing.TB, h *Harness) {
	key, err := h.check(c.State)
	if err != nil {
		t.Fatal(err)
	}
	w := newSolver(h)
	if _, err := w.state(key, c.State); err != nil {
		t.Fatal(err)
	}
	// What a branch ties to the block, found here once more and not asked of
	// the solver.
	tied := map[int]bool{h.ref: true}
	for grown := true; grown; {
		grown = false
		for _, br := range w.branches {
			if tied[br.a] != tied[br.b] {
				tied[br.a], tied[br.b], grown = true, true, true
			}
		}
	}
	volts := simulate(t, netlist(w.branches, func(n int) bool { return tied[n] }, func(n int) string {
		if n == h.ref {
			return "0"
		}
		return fmt.Sprintf("n%d", n)
	}))
	c.Volts = map[string]float64{}
	for i, n := range h.nodes {
		v, ok := volts[i]
		switch {
		case i == h.ref:
			c.Volts[n.addr] = 0
		case ok:
			c.Volts[n.addr] = v
		}
	}
}

func (n *networkReference) simulate(t testing.TB) {
	volts := simulate(t, netlist(n.branches(), func(int) bool { return true }, func(n int) string {
		if n == 0 {
			return "0"
		}
		return fmt.Sprintf("n%d", n)
	}))
	n.Volts = make([]float64, n.Nodes)
	for i := range n.Volts {
		n.Volts[i] = volts[i]
	}
}

func TestNgspiceReferences(t *testing.T) {
	if os.Getenv("GAPBOOK_UPDATE") != "" {
		writeReferences(t)
		return
	}
	r := readReferences(t)
	worst, circuits := 0.0, 0
	compare := func(what string, got, want float64) {
		worst = max(worst, math.Abs(got-want))
		if !near(got, want) {
			t.Errorf("%s: %.9g V now, %.9g V in the file", what, got, want)
		}
	}
	for i, ref := range r.Harnesses {
		if i%7 != 0 {
			continue
		}
		h, err := Read(specs.Builtin(), ref.Name, []byte(ref.TOML))
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range ref.Cases {
			again := c
			again.simulate(t, h)
			circuits++
			for terminal, want := range c.Volts {
				compare(ref.Name+", "+terminal, again.Volts[terminal], want)
			}
		}
	}
	for i, n := range r.Networks {
		if i%7 != 0 {
			continue
		}
		again := n
		again.simulate(t)
		circuits++
		for k, want := range n.Volts {
			compare(fmt.Sprintf("network %d, node %d", i, k), again.Volts[k], want)
		}
	}
	t.Logf("%d circuits made again, worst difference %.2g V", circuits, worst)
}

func writeReferences(t *testing.T) {
	r := references{Simulator: "ngspice", Harnesses: referenceHarnesses(t), Networks: referenceNetworks()}
	for i := range r.Harnesses {
		ref := &r.Harnesses[i]
		h, err := Read(specs.Builtin(), ref.Name, []byte(ref.TOML))
		if err != nil {
			t.Fatal(err)
		}
		for k := range ref.Cases {
			ref.Cases[k].simulate(t, h)
		}
	}
	for i := range r.Networks {
		r.Networks[i].simulate(t)
	}
	out, err := json.MarshalIndent(r, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(filepath.Dir(referenceFile), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(referenceFile, append(out, '\n'), 0o644); err != nil {
		t.Fatal(err)
	}
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
