package spark

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"gapbook.example/units"
)

// simCase is one case of testdata/spark/cases.json, computed by a
// general-purpose circuit simulator; the file's note says how.
type simCase struct {
	Name     string             `json:"name"`
	Inputs   map[string]float64 `json:"inputs"`
	Expected struct {
		Current    float64      `json:"current_A"`
		PeakV      float64      `json:"peak_secondary_V"`
		PeakS      float64      `json:"time_to_peak_s"`
		PrimaryV   float64      `json:"peak_primary_V"`
		ClosingV   float64      `json:"closing_pulse_V"`
		FiredV     float64      `json:"fired_peak_secondary_V"`
		FiredPrimV float64      `json:"fired_peak_primary_V"`
		BreakdownS *float64     `json:"breakdown_s"`
		BurnS      float64      `json:"burn_s"`
		EnergyJ    float64      `json:"energy_J"`
		LastS      float64      `json:"last_s"`
		ChargeC    float64      `json:"charge_C"`
		Poles      [][2]float64 `json:"poles"`
	} `json:"expected"`
}

func readCases(t testing.TB) []simCase {
	t.Helper()
	src, err := os.ReadFile("../../testdata/spark/cases.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Cases []simCase `json:"cases"`
	}
	if err := json.Unmarshal(src, &file); err != nil {
		t.Fatal(err)
	}
	if len(file.Cases) != 32 {
		t.Fatalf("%d cases, want 32", len(file.Cases))
	}
	return file.Cases
}

// si makes a quantity of kind k; test inputs are plain SI numbers.
func si(k units.Kind, v float64) units.Quantity { return units.FromSI(k, v) }

func ohms(v float64) units.Resistance {
	q, _ := si(units.KindResistance, v).Resistance()
	return q
}

func farads(v float64) units.Capacitance {
	q, _ := si(units.KindCapacitance, v).Capacitance()
	return q
}

func (c simCase) parts() *Parts {
	in := c.Inputs
	henries, _ := si(units.KindInductance, in["l1"]).Inductance()
	rate, _ := si(units.KindVoltageRate, in["vag"]).VoltageRate()
	p := &Parts{
		Battery:   Battery{volts(in["vb"]), ohms(in["rint"])},
		Wiring:    ohms(in["rwire"]),
		Ballast:   ohms(in["rbal"]),
		Coil:      Coil{ohms(in["rp"]), henries, in["n"], in["k"], ohms(in["r2"]), ohms(in["rfe"]), farads(in["cs"]), nil},
		Points:    Points{ContactResistance: ohms(in["rc"])},
		Condenser: Condenser{farads(in["c1"]), ohms(in["esr"]), ohms(in["rleak"])},
		Lead:      ohms(in["rl"]),
		Plug:      Plug{farads(in["cg"]), ohms(in["rsh"]), volts(in["vbd"]), volts(in["vburn"]), ohms(in["rg"]), amperes(in["iext"]), nil},
		Run:       Run{units.RPM(in["rpm"]), in["dwell"], 0.5},
	}
	if in["l3n"] > 0 {
		p.Coil.Shorted = &ShortedTurns{in["l3n"], ohms(in["r3"]), in["k3"]}
	}
	if in["arc"] == 1 {
		p.Points.Arc = &Arc{volts(in["varc"]), ohms(in["rarc"]), amperes(in["iarc"]), volts(in["va0"]), rate}
	}
	if in["hot"] == 1 {
		p.Plug.HotGap = &HotGap{volts(in["vhot"]), seconds(in["tauhot"])}
	}
	return p
}

// off is the relative difference of got from want.
func off(got, want float64) float64 {
	if want == 0 {
		return math.Abs(got)
	}
	return math.Abs(got-want) / math.Abs(want)
}

// TestSimulator holds all cases to the bars of agreement with the simulator.
func TestSimulator(t *testing.T) {
	worst := map[string]float64{}
	where := map[string]string{}
	for _, c := range readCases(t) {
		e, err := Compute(c.parts())
		if err != nil {
			t.Errorf("%s: %v", c.Name, err)
			continue
		}
		hold := func(what string, got, want, bar float64) {
			t.Helper()
			x := off(got, want)
			if x > bar {
				t.Errorf("%s: %s %.9g, simulator %.9g: off by %.2g, bar %g", c.Name, what, got, want, x, bar)
			}
			if x > worst[what] {
				worst[what], where[what] = x, c.Name
			}
		}
		x := c.Expected
		hold("current", e.Current.Amperes(), x.Current, 1e-6)
		if c.Inputs["arc"] == 1 {
			hold("arc secondary", e.Open.Secondary.Volts(), x.FiredV, 1e-5)
			hold("arc primary", e.Open.Primary.Volts(), x.FiredPrimV, 1e-3)
			hold("arc fired primary", e.Fired.Primary.Volts(), x.FiredPrimV, 1e-3)
		} else {
			hold("secondary", e.Open.Secondary.Volts(), x.PeakV, 1e-5)
			hold("primary", e.Open.Primary.Volts(), x.PrimaryV, 1e-5)
			hold("time to peak", e.Open.PeakTime.Seconds(), x.PeakS, 1e-3)
			hold("fired primary", e.Fired.Primary.Volts(), x.FiredPrimV, 1e-4)
		}
		if x.BreakdownS == nil {
			if e.Fired.Sparked {
				t.Errorf("%s: fired at %v, the simulator did not", c.Name, e.Fired.Time)
			}
			continue
		}
		if !e.Fired.Sparked {
			t.Errorf("%s: did not fire, the simulator did", c.Name)
			continue
		}
		hold("firing time", e.Fired.Time.Seconds(), *x.BreakdownS, 1e-4)
		bar, kind := 1e-3, ""
		if e.Fired.Strikes > 1 {
			bar, kind = 1e-2, " restriking"
		}
		hold("burn"+kind, e.Fired.Burn.Seconds(), x.BurnS, bar)
		hold("energy"+kind, e.Fired.Energy.Joules(), x.EnergyJ, bar)
		hold("charge"+kind, e.Fired.ChargeCoulombs, x.ChargeC, bar)
	}
	for what, x := range worst {
		t.Logf("%-20s worst %.1e (%s)", what, x, where[what])
	}
}

// TestRings compares the natural frequencies with the simulator's pole-zero
// analysis where that gave them; its bar is 1e-8.
func TestRings(t *testing.T) {
	for _, c := range readCases(t) {
		e, err := Compute(c.parts())
		if err != nil {
			t.Fatal(err)
		}
		for _, pole := range c.Expected.Poles {
			if pole[1] <= 0 {
				continue
			}
			near := math.Inf(1)
			for _, f := range e.Open.Rings {
				near = min(near, off(f.Hertz(), pole[1]/(2*math.Pi)))
			}
			if near > 1e-8 {
				t.Errorf("%s: no ring at %.9g Hz", c.Name, pole[1]/(2*math.Pi))
			}
		}
	}
}

func nominal(t testing.TB) *Parts {
	return readCases(t)[0].parts()
}

func BenchmarkEvent(b *testing.B) {
	for _, c := range readCases(b) {
		switch c.Name {
		case "nominal", "cond_0u05", "hot_gap20kV", "k_0p995", "shorted_turns", "cond_open_arc", "foul_250k":
		default:
			continue
		}
		b.Run(c.Name, func(b *testing.B) {
			p := c.parts()
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Compute(p); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
