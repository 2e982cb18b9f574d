package spark

import (
	"math"
	"math/rand/v2"

	"gapbook.example/units"
)

// randomParts draws a set from a wide window of what small engines have, with
// faults: fouling, leakage, arcs, shorted turns, no lead resistance.
func randomParts(r *rand.Rand) *Parts {
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	decades := func(a, b float64) float64 { return a * math.Pow(b/a, r.Float64()) }
	henries, _ := si(units.KindInductance, decades(2e-3, 15e-3)).Inductance()
	p := &Parts{
		Battery: Battery{volts(between(5, 15)), ohms(between(0.01, 0.3))},
		Wiring:  ohms(between(0, 0.5)),
		Ballast: ohms(between(0, 2)),
		Coil: Coil{ohms(between(0.5, 5)), henries, between(40, 130), 1 - decades(1e-3, 0.15),
			ohms(between(3e3, 20e3)), ohms(decades(1e6, 1e9)), farads(between(20e-12, 120e-12)), nil},
		Points:    Points{ContactResistance: ohms(decades(0.01, 3))},
		Condenser: Condenser{farads(decades(0.02e-6, 0.6e-6)), ohms(decades(0.01, 5)), ohms(decades(1e3, 1e10))},
		Lead:      ohms(decades(0.5, 20e3)),
		Plug: Plug{farads(between(5e-12, 30e-12)), ohms(decades(5e4, 1e10)), volts(between(4e3, 20e3)),
			volts(between(400, 1200)), ohms(decades(20, 2000)), amperes(between(1e-3, 10e-3)), nil},
		Run: Run{units.RPM(decades(100, 6000)), between(0.1, 0.8), 0.5},
	}
	if r.IntN(4) == 0 {
		p.Lead = ohms(0)
	}
	if r.IntN(2) == 0 {
		p.Plug.HotGap = &HotGap{volts(between(2000, 3500)), seconds(between(50e-6, 500e-6))}
	}
	if r.IntN(4) == 0 {
		rate, _ := si(units.KindVoltageRate, decades(1e6, 40e6)).VoltageRate()
		p.Points.Arc = &Arc{volts(between(11, 18)), ohms(decades(0.05, 1)), amperes(between(0.3, 1)), volts(between(40, 300)), rate}
	}
	if r.IntN(4) == 0 {
		p.Coil.Shorted = &ShortedTurns{between(0.01, 0.3), ohms(decades(10, 1e5)), between(0.5, 0.98*math.Sqrt((1+p.Coil.Coupling)/2))}
	}
	return p
}

// mustCircuit turns parts into the kernel's form.
func mustCircuit(p *Parts) *circuit {
	c := new(circuit)
	var k checker
	p.circuit(c, &k)
	if k.problems != nil {
		panic(k.problems)
	}
	c.prepare()
	return c
}
