//go:build ngspice

package spark

import (
	"fmt"
	"testing"

	"gapbook.example/units"
)

// TestNgspiceSwitch runs battery-fed breakerless sets of our own design through
// the simulator: a transistor with its saturation voltage while on, and its
// clamp while off, as piecewise-linear conductors.
func TestNgspiceSwitch(t *testing.T) {
	for i, clamp := range []float64{0, 330, 280} {
		p := nominalParts()
		p.Points = Points{}
		p.Switch = &Switch{Saturation: volts(0.9), Resistance: ohms(0.1), Clamp: volts(clamp), ClampResistance: ohms(2)}
		p.Condenser.Capacitance = farads([]float64{0.1e-6, 0.03e-6, 0.05e-6}[i])
		p.Coil.TurnsRatio *= 1 + 0.1*float64(i)
		p.Run.Speed = units.RPM([]float64{700, 2500, 4000}[i])
		e, err := Compute(p)
		if err != nil {
			t.Fatal(err)
		}
		net := func(ic map[string]float64) string {
			n, l1 := p.Coil.TurnsRatio, p.Coil.PrimaryInductance.Henries()
			return fmt.Sprintf("VB b 0 %v\nRS b a %v\nL1 a p %v IC=%v\nL2 0 x %v IC=%v\nK12 L1 L2 %v\n", p.Battery.Voltage.Volts(),
				p.Battery.Resistance.Ohms()+p.Wiring.Ohms()+p.Ballast.Ohms()+p.Coil.PrimaryResistance.Ohms(), l1, ic["xi1"], l1*n*n, ic["xi2"], p.Coil.Coupling) +
				fmt.Sprintf("R2 x s %v\nRFE s 0 %v\nCS s 0 %v IC=%v\nRL s g %v\nCG g 0 %v IC=%v\nRSH g 0 %v\n", p.Coil.SecondaryResistance.Ohms(), p.Coil.CoreLoss.Ohms(),
					p.Coil.SecondaryCapacitance.Farads(), ic["xvs"], p.Lead.Ohms(), p.Plug.Capacitance.Farads(), ic["xvg"], p.Plug.Shunt.Ohms()) +
				fmt.Sprintf("RE p cc %v\nC1 cc 0 %v IC=%v\nRLK cc 0 %v\n", p.Condenser.SeriesResistance.Ohms(), p.Condenser.Capacitance.Farads(), ic["xvc"], p.Condenser.Leakage.Ohms())
		}
		span := min(60/p.Run.Speed.RPM()/p.Run.SparksPerRev*p.Run.Dwell, mostClosedSeconds)
		text := "on\n" + net(nil) + "VT q 0 0.9\nRT p q 0.1\n" + fine + fmt.Sprintf(".control\nset numdgt=12\ntran 1e-6 %.17g 0 1e-6 uic\n", span)
		for _, s := range [][2]string{{"xi1", "i(L1)"}, {"xi2", "i(L2)"}, {"xvs", "v(s)"}, {"xvg", "v(g)"}, {"xvc", "v(cc)"}} {
			text += fmt.Sprintf("let q1=%s\nlet %s=q1[length(q1)-1]\nprint %s\n", s[1], s[0], s[0])
		}
		ic, _ := simulate(t, text+"quit\n.endc\n.end\n")
		off := "RT p 0 1e9\n"
		if clamp > 0 {
			off = fmt.Sprintf("BT p 0 I=(v(p)>%v)?((v(p)-%v)/2):(v(p)/1e9)\n", clamp, clamp)
		}
		opened, _ := simulate(t, "off\n"+net(ic)+off+fine+".control\nset numdgt=12\ntran 10e-9 1e-3 0 10e-9 uic\n"+peaks)
		compareAll(t, fmt.Sprintf("switch %d", i), []compared{
			{"current", e.Current.Amperes(), ic["xi1"], 1e-6},
			{"secondary", e.Open.Secondary.Volts(), opened["vgpk"], 1e-5},
			{"primary", e.Open.Primary.Volts(), opened["vppk"], 1e-5},
		})
	}
}
