//go:build ngspice

package wiring

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
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
