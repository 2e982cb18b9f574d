//go:build ngspice

package spark

import (
	"fmt"
	"math"
	"testing"

	"gapbook.example/units"
)

// side is the high-tension side and the primary with its magnet, time 0 at the
// given angle; without a magnet the primary hangs on ground.
func side(coil Coil, lead units.Resistance, plug Plug, magnet *Magneto, ic map[string]float64, zero float64) string {
	n, l1 := coil.TurnsRatio, coil.PrimaryInductance.Henries()
	s := ""
	f := func(format string, args ...any) { s += fmt.Sprintf(format+"\n", args...) }
	if magnet != nil {
		f("BE a 0 V=%s\nBN y 0 V=%s", sine(magnet, 1, zero), sine(magnet, n, zero))
	} else {
		f("VE a 0 0\nVN y 0 0")
	}
	f("R1 a b %v\nL1 b p %v IC=%v\nL2 y x %v IC=%v\nK12 L1 L2 %v", coil.PrimaryResistance.Ohms(), l1, ic["xi1"], l1*n*n, ic["xi2"], coil.Coupling)
	f("R2 x s %v\nRFE s 0 %v\nCS s 0 %v IC=%v", coil.SecondaryResistance.Ohms(), coil.CoreLoss.Ohms(), coil.SecondaryCapacitance.Farads(), ic["xvs"])
	f("RL s g %v\nCG g 0 %v IC=%v\nRSH g 0 %v", lead.Ohms(), plug.Capacitance.Farads(), ic["xvg"], plug.Shunt.Ohms())
	return s
}

// compareAll holds results to the simulator's.
type compared struct {
	what           string
	got, want, bar float64
}

func compareAll(t *testing.T, name string, list []compared) {
	t.Helper()
	for _, h := range list {
		t.Logf("%-14s %-10s %.8g, off by %.1e", name, h.what, h.got, off(h.got, h.want))
		if !(off(h.got, h.want) <= h.bar) {
			t.Errorf("%s: %s %.9g, simulator %.9g, bar %g", name, h.what, h.got, h.want, h.bar)
		}
	}
}

const peaks = "meas tran vgpk MAX v(g)\nmeas tran vppk MAX v(p)\nmeas tran vgmin MIN v(g)\nquit\n.endc\n.end\n"

// TestNgspiceModule runs breakerless modules of our own design through the
// simulator: the transistor, its clamp and its diode as one piecewise-linear
// conductor, the trip where the simulator's own current passes the module's.
func TestNgspiceModule(t *testing.T) {
	ran := 0
	for _, c := range readMagnetoCases(t) {
		if c.Name != "md_5000_rev" {
			continue
		}
		for i := range 4 {
			m := c.magneto()
			x := func(k int) float64 { return 1 + 0.15*math.Sin(float64(5*k+3*i)) }
			m.Speed = units.RPM([]float64{900, 1800, 3200, 5200}[i] * x(1))
			m.Magnet.Linkage = m.Magnet.Linkage.Scale(1.1 * x(2))
			m.Coil.PrimaryResistance = m.Coil.PrimaryResistance.Scale(x(3))
			m.Coil.PrimaryInductance = m.Coil.PrimaryInductance.Scale(x(4))
			m.Coil.TurnsRatio *= x(5)
			m.Condenser.Capacitance = m.Condenser.Capacitance.Scale(x(6))
			m.Module.Trip = m.Module.Trip.Scale(x(7))
			m.Plug.Shunt = units.Megohms(4 * x(8))
			e, err := ComputeMagneto(m)
			if err != nil || !e.Tripped {
				t.Fatalf("%d: tripped %v, %v", i, e.Tripped, err)
			}
			d, rate := m.Module, 6*m.Speed.RPM()
			zero := m.Closes.MagnetDegrees()
			reverse := fmt.Sprintf("(v(p)<-%v)?((v(p)+%v)/%v):(v(p)/1e9)", d.Reverse.Voltage.Volts(), d.Reverse.Voltage.Volts(), d.Reverse.Resistance.Ohms())
			net := func(ic map[string]float64, zero, volts, ohms float64) string {
				return side(m.Coil, m.Lead, m.Plug, m, ic, zero) +
					fmt.Sprintf("RE p cc %v\nC1 cc 0 %v IC=%v\nRLK cc 0 %v\n", m.Condenser.SeriesResistance.Ohms(), m.Condenser.Capacitance.Farads(), ic["xvc"], m.Condenser.Leakage.Ohms()) +
					fmt.Sprintf("BT p 0 I=(v(p)>%v)?((v(p)-%v)/%v):(%s)\n", volts, volts, ohms, reverse)
			}
			until := (e.Trip.MagnetDegrees() - zero + 2) / rate
			text := "on\n" + net(nil, zero, d.Saturation.Volts(), d.OnResistance.Ohms()) + fine +
				fmt.Sprintf(".control\nset numdgt=12\ntran %.17g %.17g 0 %.17g uic\n", until/60000, until, until/60000) +
				fmt.Sprintf("meas tran ttrip WHEN i(L1)=%v RISE=1\n", d.Trip.Amperes())
			for _, s := range [][2]string{{"xi1", "i(L1)"}, {"xi2", "i(L2)"}, {"xvs", "v(s)"}, {"xvg", "v(g)"}, {"xvc", "v(cc)"}} {
				text += fmt.Sprintf("meas tran %s FIND %s WHEN i(L1)=%v RISE=1\n", s[0], s[1], d.Trip.Amperes())
			}
			ic, _ := simulate(t, text+"quit\n.endc\n.end\n")
			ic["xi1"] = d.Trip.Amperes()
			trip := zero + rate*ic["ttrip"]
			opened, _ := simulate(t, "open\n"+net(ic, trip, d.Clamp.Volts(), d.ClampResistance.Ohms())+fine+
				".control\nset numdgt=12\ntran 10e-9 1e-3 0 10e-9 uic\n"+peaks)
			if x := math.Abs(e.Trip.MagnetDegrees() - trip); x > 2e-4 {
				t.Errorf("%d: trips at %v, simulator %g", i, e.Trip, trip)
			}
			compareAll(t, fmt.Sprintf("module %d", i), []compared{
				{"secondary", e.Open.Secondary.Volts(), opened["vgpk"], 1e-5},
				{"primary", e.Open.Primary.Volts(), opened["vppk"], 1e-5},
				{"opposite", -e.Opposite.Volts(), opened["vgmin"], 1e-4},
			})
			ran++
		}
	}
	if ran != 4 {
		t.Errorf("%d modules ran, not 4", ran)
	}
}

// TestNgspiceDischarge runs capacitor-discharge sets of our own design through
// the simulator, charge and dump, with and without a freewheel diode.
func TestNgspiceDischarge(t *testing.T) {
	ran := 0
	for _, c := range readMagnetoCases(t) {
		if c.Kind != "capacitor-discharge" || ran >= 3 {
			continue
		}
		i := ran
		x := func(k int) float64 { return 1 + 0.15*math.Sin(float64(5*k+3*i)) }
		d := c.discharge()
		d.Speed = units.RPM([]float64{250, 450, 900, 2000}[i] * x(1))
		d.Charge.Linkage = d.Charge.Linkage.Scale(x(2))
		d.Charge.Resistance = d.Charge.Resistance.Scale(x(3))
		d.Store.Capacitance = d.Store.Capacitance.Scale(x(4))
		d.Store.Regulator = volts(0)
		d.Coil.TurnsRatio *= x(5)
		d.Coil.PrimaryInductance = d.Coil.PrimaryInductance.Scale(x(6))
		d.Plug.Shunt = units.Megohms(2 * x(7))
		d.Freewheel = nil
		if i%2 == 0 {
			d.Freewheel = &Diode{volts(0.9), ohms(0.05)}
		}
		e, err := ComputeDischarge(d)
		if err != nil {
			t.Fatal(err)
		}
		w := float64(d.Charge.PolePairs) * d.Speed.RPM() * math.Pi / 30
		end := d.Turn.MagnetDegrees() / (6 * d.Speed.RPM())
		// The diode has an ohm of its own, taken off the coil's. Off, it must leak
		// next to nothing: 1e-9 S over a turn at cranking costs 1e-4 of the charge.
		// Primary volts are not compared: their peak is the first instant, where
		// the simulator's trapezoids ring from a node that starts at nought.
		text := "charge\n" + fmt.Sprintf("BE a 0 V=%.17g*sin(%.17g*time+%.17g)\nR1 a b %v\nL1 b c %v IC=0\n", w*d.Charge.Linkage.Webers(), w, d.Charge.Phase.Degrees()*math.Pi/180, d.Charge.Resistance.Ohms()-1, d.Charge.Inductance.Henries()) +
			fmt.Sprintf("BD c st I=(v(c)-v(st)>%v)?(v(c)-v(st)-%v):(1e-12*(v(c)-v(st)))\nC1 st 0 %v IC=0\nRLK st 0 %v\n", d.Store.DiodeDrop.Volts(), d.Store.DiodeDrop.Volts(), d.Store.Capacitance.Farads(), d.Store.Leakage.Ohms()) +
			".options reltol=1e-6 abstol=1e-12 vntol=1e-6 method=gear maxord=2 itl4=200 numdgt=12\n" +
			fmt.Sprintf(".control\nset numdgt=12\ntran %.17g %.17g 0 %.17g uic\nlet q=v(st)\nlet vend=q[length(q)-1]\nprint vend\nquit\n.endc\n.end\n", end/100000, end, end/100000)
		charged, _ := simulate(t, text)
		v0 := charged["vend"] - d.Thyristor.Drop.Volts()
		free := "v(p)/1e6"
		if f := d.Freewheel; f != nil {
			free = fmt.Sprintf("(v(p)<-%v)?((v(p)+%v)/%v):(v(p)/1e6)", f.Voltage.Volts(), f.Voltage.Volts(), f.Resistance.Ohms())
		}
		dump := "dump\n" + side(d.Coil, d.Lead, d.Plug, nil, map[string]float64{}, 0) +
			fmt.Sprintf("C1 cc 0 %v IC=%.17g\nRLK cc 0 %v\nBT cc p I=(v(cc)-v(p)>0)?((v(cc)-v(p))/%v):((v(cc)-v(p))/1e9)\nBF p 0 I=%s\n", d.Store.Capacitance.Farads(), v0, d.Store.Leakage.Ohms(), d.Thyristor.Resistance.Ohms(), free)
		opened, _ := simulate(t, dump+fine+".control\nset numdgt=12\ntran 5e-9 1e-3 0 5e-9 uic\n"+peaks)
		compareAll(t, fmt.Sprintf("discharge %d", i), []compared{
			{"charge", e.Charge.Volts(), charged["vend"], 5e-5},
			{"secondary", e.Open.Secondary.Volts(), opened["vgpk"], 5e-5},
			{"opposite", -e.Opposite.Volts(), opened["vgmin"], 1e-4},
		})
		ran++
	}
	if ran != 3 {
		t.Errorf("%d sets ran, not 3", ran)
	}
}
