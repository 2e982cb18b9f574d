//go:build ngspice

package spark

import (
	"fmt"
	"math"
	"testing"

	"gapbook.example/units"
)

// sine is the magnet's voltage times n as the simulator reads it, time 0 at
// the given angle.
func sine(m *Magneto, n, zero float64) string {
	rate := 6 * m.Speed.RPM()
	text := "0"
	for i := len(m.Magnet.Flux) - 1; i > 0; i-- {
		a, b := m.Magnet.Flux[i-1], m.Magnet.Flux[i]
		t0, t1 := (a.At.MagnetDegrees()-zero)/rate, (b.At.MagnetDegrees()-zero)/rate
		w := math.Pi / (t1 - t0)
		e := -n * m.Magnet.Linkage.Webers() * (b.Share - a.Share) / 2 * w
		text = fmt.Sprintf("((time<%.17g)?0:((time<%.17g)?(%.17g*sin(%.17g*(time-(%.17g)))):(%s)))", t0, t1, e, w, t0, text)
	}
	return text
}

// magnetoNetlist writes a magneto with points or an energy-transfer set.
func magnetoNetlist(m *Magneto, ic map[string]float64, zero float64) string {
	n := m.Coil.TurnsRatio
	l1 := m.Coil.PrimaryInductance.Henries()
	s := ""
	f := func(format string, args ...any) { s += fmt.Sprintf(format+"\n", args...) }
	if m.Source != nil {
		f("BE a 0 V=%s", sine(m, 1, zero))
		f("RSS a b %v", m.Source.Resistance.Ohms())
		f("LS b p %v IC=%v", m.Source.Inductance.Henries(), ic["xis"])
		f("R1 0 d %v\nL1 d p %v IC=%v", m.Coil.PrimaryResistance.Ohms(), l1, ic["xi1"])
		f("L2 0 x %v IC=%v", l1*n*n, ic["xi2"])
	} else {
		f("BE a 0 V=%s", sine(m, 1, zero))
		f("R1 a b %v\nL1 b p %v IC=%v", m.Coil.PrimaryResistance.Ohms(), l1, ic["xi1"])
		f("BN y 0 V=%s", sine(m, n, zero))
		f("L2 y x %v IC=%v", l1*n*n, ic["xi2"])
	}
	f("K12 L1 L2 %v\nR2 x s %v\nRFE s 0 %v", m.Coil.Coupling, m.Coil.SecondaryResistance.Ohms(), m.Coil.CoreLoss.Ohms())
	f("CS s 0 %v IC=%v\nRL s g %v\nCG g 0 %v IC=%v\nRSH g 0 %v", m.Coil.SecondaryCapacitance.Farads(), ic["xvs"], m.Lead.Ohms(), m.Plug.Capacitance.Farads(), ic["xvg"], m.Plug.Shunt.Ohms())
	f("RE p cc %v\nC1 cc 0 %v IC=%v\nRLK cc 0 %v", m.Condenser.SeriesResistance.Ohms(), m.Condenser.Capacitance.Farads(), ic["xvc"], m.Condenser.Leakage.Ohms())
	return s
}

// TestNgspiceMagneto runs magnetos of our own design through the simulator,
// spread over speeds, angles and values: current, kilovolts, primary volts.
func TestNgspiceMagneto(t *testing.T) {
	ran := 0
	for _, c := range readMagnetoCases(t) {
		switch c.Name {
		case "fm_300", "fm_two_leg", "rm_2000", "et_400":
		default:
			continue
		}
		for i := range 3 {
			m := c.magneto()
			x := func(k int) float64 { return 1 + 0.2*math.Sin(float64(7*k+5*i+len(c.Name))) }
			m.Speed = units.RPM([]float64{250, 1100, 4200}[i] * x(1))
			m.Magnet.Linkage = m.Magnet.Linkage.Scale(x(2))
			m.Coil.PrimaryResistance = m.Coil.PrimaryResistance.Scale(x(3))
			m.Coil.PrimaryInductance = m.Coil.PrimaryInductance.Scale(x(4))
			m.Coil.TurnsRatio *= x(5)
			m.Coil.Coupling = 0.96 + 0.02*(x(6)-1)
			m.Condenser.Capacitance = m.Condenser.Capacitance.Scale(x(7))
			m.Plug.Shunt = units.Megohms(3 * x(8))
			m.Opens = m.Opens.Scale(x(9))
			e, err := ComputeMagneto(m)
			if err != nil {
				t.Fatal(err)
			}
			closed := (m.Opens.MagnetDegrees() - m.Closes.MagnetDegrees()) / (6 * m.Speed.RPM())
			step := max(closed/60000, 2e-7)
			text := "closed\n" + magnetoNetlist(m, nil, m.Closes.MagnetDegrees()) + fmt.Sprintf("RPT p 0 %v\n", m.Points.ContactResistance.Ohms()) + fine +
				fmt.Sprintf(".control\nset numdgt=12\ntran %v %.17g 0 %v uic\n", step, closed, step)
			states := [][2]string{{"xi1", "i(L1)"}, {"xi2", "i(L2)"}, {"xvs", "v(s)"}, {"xvg", "v(g)"}, {"xvc", "v(cc)"}}
			if m.Source != nil {
				states = append(states, [2]string{"xis", "i(LS)"})
			}
			for _, s := range states {
				text += fmt.Sprintf("let q=%s\nlet %s=q[length(q)-1]\nprint %s\n", s[1], s[0], s[0])
			}
			ic, _ := simulate(t, text+"quit\n.endc\n.end\n")
			opened, _ := simulate(t, "open\n"+magnetoNetlist(m, ic, m.Opens.MagnetDegrees())+"RPT p 0 1e9\n"+fine+
				".control\nset numdgt=12\ntran 10e-9 1e-3 0 10e-9 uic\nmeas tran vgpk MAX v(g)\nmeas tran vppk MAX v(p)\nmeas tran vgmin MIN v(g)\nquit\n.endc\n.end\n")
			current := ic["xi1"]
			if m.Source != nil {
				current = ic["xis"]
			}
			for _, h := range []struct {
				what      string
				got, want float64
				bar       float64
			}{
				{"current", e.Current.Amperes(), current, 1e-6},
				{"secondary", e.Open.Secondary.Volts(), opened["vgpk"], 1e-5},
				{"primary", e.Open.Primary.Volts(), opened["vppk"], 1e-5},
				{"opposite", -e.Opposite.Volts(), opened["vgmin"], 1e-4},
			} {
				t.Logf("%-12s %d %-10s %.8g, off by %.1e", c.Name, i, h.what, h.got, off(h.got, h.want))
				if off(h.got, h.want) > h.bar {
					t.Errorf("%s %d: %s %.9g, simulator %.9g", c.Name, i, h.what, h.got, h.want)
				}
			}
			ran++
		}
	}
	if ran != 12 {
		t.Errorf("%d magnetos ran, not 12", ran)
	}
}
