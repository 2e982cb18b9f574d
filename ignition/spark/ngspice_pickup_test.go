//go:build ngspice

package spark

import (
	"fmt"
	"testing"

	"gapbook.example/units"
)

// TestNgspicePickUp runs modules with a pick-up through the simulator, one that
// never reaches its current limit and three that hold it: the transistor there is
// a conductor that saturates at the limit.
func TestNgspicePickUp(t *testing.T) {
	for i, limit := range []float64{0, 1, 1.6, 2.1} {
		m := withPickUp(t)
		m.Module.PickUp.Start, m.Module.PickUp.Width = units.MagnetDegrees(4), units.MagnetDegrees(10)
		m.Module.Limit = units.Amperes(limit)
		m.Module.Reverse = &Diode{volts(0.8), ohms(0.1)}
		m.Speed = units.RPM([]float64{1500, 700, 1900, 3800}[i])
		m.Plug.Shunt = units.Megohms(2)
		m.Magnet.Linkage = m.Magnet.Linkage.Scale(1.2)
		e, err := ComputeMagneto(m)
		if err != nil || !e.Tripped {
			t.Fatalf("%d: %+v, %v", i, e, err)
		}
		d, rate := m.Module, 6*m.Speed.RPM()
		zero := m.Closes.MagnetDegrees()
		reverse := fmt.Sprintf("(v(p)<-%v)?((v(p)+%v)/%v):(v(p)/1e9)", d.Reverse.Voltage.Volts(), d.Reverse.Voltage.Volts(), d.Reverse.Resistance.Ohms())
		net := func(ic map[string]float64, zero float64, transistor string) string {
			return side(m.Coil, m.Lead, m.Plug, m, ic, zero) +
				fmt.Sprintf("RE p cc %v\nC1 cc 0 %v IC=%v\nRLK cc 0 %v\n", m.Condenser.SeriesResistance.Ohms(), m.Condenser.Capacitance.Farads(), ic["xvc"], m.Condenser.Leakage.Ohms()) +
				"BT p 0 I=" + transistor + "\n"
		}
		on := fmt.Sprintf("(v(p)-%v)/%v", d.Saturation.Volts(), d.OnResistance.Ohms())
		held := on
		if limit > 0 {
			held = fmt.Sprintf("((%s<%v)?(%s):(%v+v(p)/1e9))", on, limit, on, limit)
		}
		until := (e.Trip.MagnetDegrees() - zero) / rate
		text := "on\n" + net(nil, zero, fmt.Sprintf("(v(p)>%v)?(%s):(%s)", d.Saturation.Volts(), held, reverse)) + fine +
			fmt.Sprintf(".control\nset numdgt=12\ntran %.17g %.17g 0 %.17g uic\n", until/300000, until, until/300000)
		for _, s := range [][2]string{{"xi1", "i(L1)"}, {"xi2", "i(L2)"}, {"xvs", "v(s)"}, {"xvg", "v(g)"}, {"xvc", "v(cc)"}} {
			text += fmt.Sprintf("let q=%s\nlet %s=q[length(q)-1]\nprint %s\n", s[1], s[0], s[0])
		}
		ic, _ := simulate(t, text+"quit\n.endc\n.end\n")
		opened, _ := simulate(t, "open\n"+net(ic, e.Trip.MagnetDegrees(), fmt.Sprintf("(v(p)>%v)?((v(p)-%v)/%v):(%s)", d.Clamp.Volts(), d.Clamp.Volts(), d.ClampResistance.Ohms(), reverse))+fine+
			".control\nset numdgt=12\ntran 10e-9 1e-3 0 10e-9 uic\n"+peaks)
		compareAll(t, fmt.Sprintf("pick-up %d", i), []compared{
			{"current", e.Current.Amperes(), ic["xi1"], 1e-5},
			{"secondary", e.Open.Secondary.Volts(), opened["vgpk"], 1e-5},
			{"primary", e.Open.Primary.Volts(), opened["vppk"], 1e-5},
			{"opposite", -e.Opposite.Volts(), opened["vgmin"], 1e-4},
		})
	}
}
