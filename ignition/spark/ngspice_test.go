//go:build ngspice

package spark

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
)

// These checks call a general-purpose circuit simulator, ngspice, which has to
// be installed. Run them with
//
//	go test -tags ngspice -run Ngspice -v ./ignition/spark

// netlist writes the circuit of a case for the simulator, from a state.
func netlist(in, ic map[string]float64) string {
	var b strings.Builder
	f := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	l2 := in["l1"] * in["n"] * in["n"]
	f("VB b 0 %v", in["vb"])
	f("RS b a %v", in["rint"]+in["rwire"]+in["rbal"]+in["rp"])
	f("L1 a p %v IC=%v", in["l1"], ic["xi1"])
	f("L2 0 x %v IC=%v", l2, ic["xi2"])
	f("K12 L1 L2 %v", in["k"])
	f("R2 x s %v", in["r2"])
	f("RFE s 0 %v", in["rfe"])
	f("CS s 0 %v IC=%v", in["cs"], ic["xvs"])
	if in["rl"] == 0 {
		f("VL s g 0")
		f("CG g 0 %v", in["cg"])
	} else {
		f("RL s g %v", in["rl"])
		f("CG g 0 %v IC=%v", in["cg"], ic["xvg"])
	}
	f("RSH g 0 %v", in["rsh"])
	f("RE p cc %v", in["esr"])
	f("C1 cc 0 %v IC=%v", in["c1"], ic["xvc"])
	f("RLK cc 0 %v", in["rleak"])
	if in["l3n"] > 0 {
		f("L3 0 y %v IC=%v", l2*in["l3n"]*in["l3n"], ic["xi3"])
		f("R3 y 0 %v", in["r3"])
		f("K13 L1 L3 %v\nK23 L2 L3 %v", in["k3"], in["k3"])
	}
	return b.String()
}

// gapNetlist is the plug's gap: two switches with a source each, one a
// polarity.
func gapNetlist(in map[string]float64) string {
	on, off := in["vbd"], in["vburn"]+in["rg"]*in["iext"]
	return fmt.Sprintf("S1 g m1 g 0 sgap\nVM1 m1 0 %v\nS2 m2 g 0 g sgap\nVM2 0 m2 %v\n.model sgap sw vt=%v vh=%v ron=%v roff=1e12\n",
		in["vburn"], in["vburn"], (on+off)/2, (on-off)/2, in["rg"])
}

const (
	fine    = ".options reltol=1e-6 abstol=1e-11 vntol=1e-6 chgtol=1e-16 trtol=1 method=trap itl4=100 numdgt=12\n"
	measure = "meas tran vgpk MAX v(g)\nmeas tran vppk MAX v(p)\nlet ig=i(VM1)-i(VM2)\nlet ion=(abs(ig) gt 1e-3)\nlet pg=v(g)*ig\nmeas tran burn INTEG ion\nmeas tran en INTEG pg\nmeas tran tbd WHEN ion=0.5 RISE=1\n"
)

var (
	measured = regexp.MustCompile(`(?m)^(\w+)\s*=\s*([-+0-9.eE]+)`)
)

// simulate runs one netlist and returns what it printed and how long the
// process took.
func simulate(t testing.TB, text string) (map[string]float64, time.Duration) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "case.cir")
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	start := time.Now()
	out, _ := exec.Command("ngspice", "-b", file).CombinedOutput()
	took := time.Since(start)
	res := map[string]float64{}
	for _, m := range measured.FindAllStringSubmatch(string(out), -1) {
		res[m[1]], _ = strconv.ParseFloat(m[2], 64)
	}
	if len(res) == 0 {
		t.Fatalf("the simulator gave nothing: %s", out)
	}
	return res, took
}

// dwellRun closes the points from rest and returns the state at opening.
func dwellRun(t testing.TB, in map[string]float64) map[string]float64 {
	closed := min(120/in["rpm"]*in["dwell"], mostClosedSeconds)
	text := "dwell\n" + netlist(in, nil) + fmt.Sprintf("RPT p 0 %v\n", in["rc"]) + fine +
		fmt.Sprintf(".control\nset numdgt=12\ntran 1e-6 %v 0 1e-6 uic\n", closed)
	states := [][2]string{{"xi1", "i(L1)"}, {"xi2", "i(L2)"}, {"xvs", "v(s)"}, {"xvg", "v(g)"}, {"xvc", "v(cc)"}}
	if in["l3n"] > 0 {
		states = append(states, [2]string{"xi3", "i(L3)"})
	}
	for _, s := range states {
		text += fmt.Sprintf("let q=%s\nlet %s=q[length(q)-1]\nprint %s\n", s[1], s[0], s[0])
	}
	res, _ := simulate(t, text+"quit\n.endc\n.end\n")
	return res
}

// fired is the netlist of the run with the gap; step 0 leaves the steps to the
// simulator.
func fired(in, ic map[string]float64, step string, options string) string {
	text := "spark\n" + netlist(in, ic) + "RPT p 0 1e9\n" + gapNetlist(in) + options
	if step == "" {
		return text + ".control\nset numdgt=12\ntran 1e-6 5e-3 uic\n" + measure + "quit\n.endc\n.end\n"
	}
	return text + fmt.Sprintf(".control\nset numdgt=12\ntran %s 5e-3 0 %s uic\n", step, step) + measure + "quit\n.endc\n.end\n"
}

// TestNgspiceAgrees runs held-out cases through the simulator: those of the
// file with every input shifted by a few per cent.
func TestNgspiceAgrees(t *testing.T) {
	for _, c := range readCases(t) {
		switch c.Name {
		case "ballast_bypassed_crank", "fast_3600_short_dwell", "foul_250k", "lead_0", "shorted_turns", "contact_2R", "coil_12mH_n70", "cond_0u33":
		default:
			continue
		}
		// A shift of its own for every input, the same on every run.
		i := 0
		for _, key := range []string{"vb", "rint", "rwire", "rbal", "rp", "l1", "n", "r2", "rfe", "cs", "cg", "rl", "rsh", "c1", "esr", "rc", "dwell", "vbd", "vburn", "rg", "iext"} {
			c.Inputs[key] *= 1 + 0.04*math.Sin(float64(7*i+len(c.Name)))
			i++
		}
		e, err := Compute(c.parts())
		if err != nil {
			t.Fatal(err)
		}
		ic := dwellRun(t, c.Inputs)
		linear, _ := simulate(t, "linear\n"+netlist(c.Inputs, ic)+"RPT p 0 1e9\n"+fine+
			".control\nset numdgt=12\ntran 20e-9 1e-3 0 20e-9 uic\nmeas tran vgpk MAX v(g)\nmeas tran vppk MAX v(p)\nquit\n.endc\n.end\n")
		spark, _ := simulate(t, fired(c.Inputs, ic, "10e-9", fine))
		hold := func(what string, got, want, bar float64) {
			t.Helper()
			t.Logf("%-24s %-16s %.8g, off by %.1e", c.Name, what, got, off(got, want))
			if off(got, want) > bar {
				t.Errorf("%s: %s %.9g, simulator %.9g", c.Name, what, got, want)
			}
		}
		hold("current", e.Current.Amperes(), ic["xi1"], 1e-6)
		hold("secondary", e.Open.Secondary.Volts(), linear["vgpk"], 1e-5)
		hold("primary", e.Open.Primary.Volts(), linear["vppk"], 1e-5)
		if time, ok := spark["tbd"]; ok && spark["burn"] > 0 {
			hold("firing time", e.Fired.Time.Seconds(), time, 1e-4)
			bar := 1e-3
			if e.Fired.Strikes > 1 {
				bar = 1e-2
			}
			hold("burn", e.Fired.Burn.Seconds(), spark["burn"], bar)
			hold("energy", e.Fired.Energy.Joules(), spark["en"], bar)
		} else if e.Fired.Sparked {
			t.Errorf("%s: fired here, not in the simulator", c.Name)
		}
	}
}

// TestNgspiceSpeed measures both in the same run: one event with closing, both
// parts, against one simulator process for the fired part alone.
func TestNgspiceSpeed(t *testing.T) {
	c := readCases(t)[0]
	p := c.parts()
	ours := testing.Benchmark(func(b *testing.B) {
		for b.Loop() {
			if _, err := Compute(p); err != nil {
				b.Fatal(err)
			}
		}
	})
	ic := dwellRun(t, c.Inputs)
	best := func(text string) time.Duration {
		least := time.Hour
		for range 5 {
			_, took := simulate(t, text)
			least = min(least, took)
		}
		return least
	}
	event := float64(ours.NsPerOp())
	stepped := best(fired(c.Inputs, ic, "100e-9", fine))
	usual := best(fired(c.Inputs, ic, "", ""))
	t.Logf("one event %.1f µs; simulator at 100 ns %v (%.0f times), at its own steps %v (%.0f times)",
		event/1e3, stepped, float64(stepped.Nanoseconds())/event, usual, float64(usual.Nanoseconds())/event)
	if x := float64(stepped.Nanoseconds()) / event; x < 2000 {
		t.Errorf("only %.0f times a simulator process at 100 ns steps, not 2,000", x)
	}
	if x := float64(usual.Nanoseconds()) / event; x < 300 {
		t.Errorf("only %.0f times a simulator process at its own steps, not 300", x)
	}
}
