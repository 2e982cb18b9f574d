package spark

import (
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// natural is a second derivation of a phase: the circuit's equations written
// down node by node in currents and volts, x' = A x + b, with a dense inverse of
// the inductance matrix, scaled by the square roots of L and C only to keep the
// exponential honest. It returns the augmented matrix [A b; 0 0] and the scale.
func natural(c *circuit, set setting, sign float64) (*mat.Dense, []float64) {
	m, n := c.windings, c.n
	l := []float64{c.primaryHenries, c.primaryHenries * c.turns * c.turns}
	k := [][]float64{{1, c.coupling, c.thirdCoupling}, {c.coupling, 1, c.thirdCoupling}, {c.thirdCoupling, c.thirdCoupling, 1}}
	if c.third {
		l = append(l, l[1]*c.thirdTurns*c.thirdTurns)
	}
	corr := mat.NewDense(m, m, nil)
	for i := range m {
		for j := range m {
			corr.Set(i, j, k[i][j])
		}
	}
	var inv mat.Dense
	if err := inv.Inverse(corr); err != nil {
		panic(err)
	}
	scale := make([]float64, n)
	for i := range m {
		scale[i] = math.Sqrt(l[i])
	}
	scale[c.iC] = math.Sqrt(c.condenserFarads)
	scale[c.iS] = math.Sqrt(c.towerFarads)
	if c.merged {
		scale[c.iS] = math.Sqrt(c.towerFarads + c.plugFarads)
	} else {
		scale[c.iG] = math.Sqrt(c.plugFarads)
	}
	// Right-hand sides in volts and amperes, row by row: f(x) = K x + s.
	f := func(x []float64) []float64 {
		i1, i2 := x[0], x[1]
		vC, vS, vG := x[c.iC], x[c.iS], x[c.iG]
		// Node P between primary, points and condenser branch.
		g, e := 1/c.contactOhms, c.contactVolts
		switch set.points {
		case open:
			g, e = 1/openOhms, 0
		case arcing:
			g, e = 1/c.arcOhms, c.arcVolts
		}
		vP := (i1 + vC/c.seriesOhms + g*e) / (1/c.seriesOhms + g)
		out := make([]float64, n)
		out[0] = c.batteryVolts - c.loopOhms*i1 - vP
		out[1] = -c.secondaryOhms*i2 - vS
		if c.third {
			out[2] = -c.thirdOhms * x[2]
		}
		out[c.iC] = (vP-vC)/c.seriesOhms - vC*c.leakSiemens
		gap := vG * c.shuntSiemens
		if set.burning {
			gap += (vG - sign*c.burnVolts) / c.burnOhms
		}
		if c.merged {
			out[c.iS] = i2 - vS*c.coreSiemens - gap
		} else {
			out[c.iS] = i2 - vS*c.coreSiemens - (vS-vG)/c.leadOhms
			out[c.iG] = (vS-vG)/c.leadOhms - gap
		}
		return out
	}
	zero := f(make([]float64, n))
	a := mat.NewDense(n+1, n+1, nil)
	column := func(j int, rhs []float64, by float64) {
		for i := range m {
			s := 0.0
			for q := range m {
				s += inv.At(i, q) * rhs[q] / scale[q]
			}
			a.Set(i, j, s*by)
		}
		for i := m; i < n; i++ {
			a.Set(i, j, rhs[i]/scale[i]*by)
		}
	}
	for j := range n {
		x := make([]float64, n)
		x[j] = 1
		y := f(x)
		for i := range y {
			y[i] -= zero[i]
		}
		column(j, y, 1/scale[j])
	}
	column(n, zero, 1)
	return a, scale
}

// TestMatrixExponential follows random states through random phases by the
// modal form and by gonum's matrix exponential of the natural equations.
func TestMatrixExponential(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	worst := 0.0
	for trial := range 2000 {
		p := randomParts(r)
		c := mustCircuit(p)
		set := setting{points: contact(r.IntN(3)), burning: r.IntN(2) == 0}
		if set.points == arcing && !c.arcs {
			set.points = open
		}
		sign := float64(1 - 2*r.IntN(2))
		i1, i2, i3 := 4*r.NormFloat64(), 0.05*r.NormFloat64(), 0.5*r.NormFloat64()
		vC, vS, vG := 100*r.NormFloat64(), 5000*r.NormFloat64(), 5000*r.NormFloat64()
		if !c.third {
			i3 = 0
		}
		var z, rest vector
		c.energyState(i1, i2, i3, vC, vS, vG, &z)
		var ph phase
		if !ph.solve(c, set) {
			t.Fatalf("trial %d: no modes", trial)
		}
		c.rest(set, sign*c.burnVolts, &rest)
		s := segment{phase: &ph}
		s.begin(&rest, &z, nil)
		// The exponential by scaling and squaring loses digits of its own as
		// ‖A‖ t grows; past 20,000 it no longer is a reference to 1e-9.
		span := min(1e-8*math.Pow(1e4, r.Float64()), 2e4/ph.fastest)
		var now instant
		s.at(span, &now)
		var got vector
		s.state(&now, &got)

		a, scale := natural(c, set, sign)
		a.Scale(span, a)
		var e mat.Dense
		e.Exp(a)
		x := mat.NewVecDense(c.n+1, nil)
		for i, v := range []float64{i1, i2} {
			x.SetVec(i, v*scale[i])
		}
		if c.third {
			x.SetVec(2, i3*scale[2])
		}
		x.SetVec(c.iC, vC*scale[c.iC])
		x.SetVec(c.iS, vS*scale[c.iS])
		if !c.merged {
			x.SetVec(c.iG, vG*scale[c.iG])
		}
		x.SetVec(c.n, 1)
		var y mat.VecDense
		y.MulVec(&e, x)
		w := func(i int) float64 { return y.AtVec(i) / scale[i] }
		var want vector
		third := 0.0
		if c.third {
			third = w(2)
		}
		c.energyState(w(0), w(1), third, w(c.iC), w(c.iS), w(c.iG), &want)
		diff, size := 0.0, 0.0
		for i := range c.n {
			diff += (got[i] - want[i]) * (got[i] - want[i])
			size += z[i]*z[i] + want[i]*want[i]
		}
		x2 := math.Sqrt(diff / size)
		worst = max(worst, x2)
		if x2 > 1e-9 {
			t.Errorf("trial %d: %+v off by %.2g after %g s", trial, set, x2, span)
		}
	}
	t.Logf("worst %.1e", worst)
}

// audit follows a log of stretches and adds up where the energy went.
func audit(t *testing.T, c *circuit, r *runner, log []stretch) (supplied, heat, gap, start, end float64) {
	var s segment
	var now instant
	var w wave
	var z vector
	for i := range log {
		st := &log[i]
		var ok bool
		if s.phase, ok = r.phase(st.set); !ok {
			t.Fatal("no modes")
		}
		var rest vector
		c.restAt(st, &rest)
		s.begin(&rest, &st.from, nil)
		s.at(st.seconds, &now)
		square := func(o output, by float64) {
			s.wave(&o, &w)
			heat += by * s.areaSquare(&w, &now)
		}
		o := c.current(0)
		s.wave(&o, &w)
		supplied += c.batteryVolts * s.area(&w, &now)
		square(c.current(0), c.loopOhms)
		square(c.current(1), c.secondaryOhms)
		if c.third {
			square(c.current(2), c.thirdOhms)
		}
		square(c.towerVolts(), c.coreSiemens)
		square(c.plugVolts(), c.shuntSiemens)
		if !c.merged {
			a, b := c.towerVolts(), c.plugVolts()
			for k := range a.row {
				a.row[k] -= b.row[k]
			}
			square(a, 1/c.leadOhms)
		}
		square(c.condenserVolts(), c.leakSiemens)
		ohm, e := c.path(st.set.points)
		pts := c.pointsCurrent(st.set)
		square(pts, ohm)
		s.wave(&pts, &w)
		heat += e * s.area(&w, &now)
		branch := c.current(0)
		for k := range branch.row {
			branch.row[k] -= pts.row[k]
		}
		branch.constant -= pts.constant
		square(branch, c.seriesOhms)
		if st.set.burning {
			g := c.gapCurrent(st.sign * c.burnVolts)
			s.wave(&g, &w)
			gap += st.sign*c.burnVolts*s.area(&w, &now) + c.burnOhms*s.areaProduct(&w, &w, &now)
		}
		if i == 0 {
			for _, x := range st.from {
				start += x * x / 2
			}
		}
		s.state(&now, &z)
	}
	for _, x := range z {
		end += x * x / 2
	}
	return supplied, heat, gap, start, end
}

// TestEnergyBalance: stored + supplied = heat + gap + left, over random parts,
// from closing to the end of the spark, to 1e-9 of what the battery gave.
func TestEnergyBalance(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 2))
	worst := 0.0
	fired, arced := 0, 0
	for trial := range 10000 {
		c := mustCircuit(randomParts(r))
		var log []stretch
		run := runner{c: c, log: &log}
		var z vector
		var out opening
		if !run.close(&z) || !run.open(z, true, &out) {
			t.Fatalf("trial %d: no solution", trial)
		}
		supplied, heat, gap, start, end := audit(t, c, &run, log)
		x := math.Abs(start+supplied-heat-gap-end) / supplied
		worst = max(worst, x)
		if !(x <= 1e-9) {
			t.Errorf("trial %d: energy out of balance by %.2g: supplied %g, heat %g, gap %g, left %g", trial, x, supplied, heat, gap, end)
		}
		if off(out.gapJoules, gap) > 1e-9 && math.Abs(out.gapJoules-gap) > 1e-12 {
			t.Errorf("trial %d: gap energy %g, audited %g", trial, out.gapJoules, gap)
		}
		if out.fired {
			fired++
		}
		if out.arcs > 0 {
			arced++
		}
	}
	t.Logf("worst %.1e; %d fired, %d arced", worst, fired, arced)
	if fired < 3000 || arced < 300 {
		t.Errorf("only %d fired and %d arced: the draw does not test enough", fired, arced)
	}
}

// some is few, or all where everything is checked.
func some(few, all int) int {
	if os.Getenv("GAPBOOK_CI") != "" {
		return all
	}
	return few
}

// TestBruteForce steps through random sparks at a twentieth of the fastest
// ring and finer after every event: no condition may be met before the event
// found, nothing may exceed the peaks found.
func TestBruteForce(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 3))
	for trial := range some(120, 400) {
		c := mustCircuit(randomParts(r))
		for _, gap := range []bool{true, false} {
			var log []stretch
			run := runner{c: c, log: &log}
			var z vector
			var out opening
			if !run.close(&z) || !run.open(z, gap, &out) {
				t.Fatalf("trial %d: no solution", trial)
			}
			lastOut := -1.0
			for i := 1; i < len(log); i++ {
				st := &log[i]
				ph, _ := run.phase(st.set)
				var rest vector
				c.restAt(st, &rest)
				s := segment{phase: ph}
				s.begin(&rest, &st.from, nil)
				ring := 1 / st.seconds
				for k := range s.m {
					if s.im[k] > 0 {
						ring = max(ring, s.size[k])
					}
				}
				step, t0 := 0.05/ring, 1e-10
				prim, plug := c.primaryVolts(st.set), c.plugVolts()
				pts, cur := c.pointsCurrent(st.set), c.gapCurrent(st.sign*c.burnVolts)
				for at := 0.0; at < st.seconds*(1-1e-9)-1e-13; {
					var now instant
					s.at(at, &now)
					var x vector
					s.state(&now, &x)
					vP, vG := prim.apply(&x), plug.apply(&x)
					if vP > out.primaryVolts*(1+1e-7) {
						t.Fatalf("trial %d: %g V at the points, peak found %g", trial, vP, out.primaryVolts)
					}
					if !gap && vG > out.plugVolts*(1+1e-7) {
						t.Fatalf("trial %d: %g V at the plug, peak found %g", trial, vG, out.plugVolts)
					}
					if c.arcs && st.set.points == open && vP > (c.arcStartVolts+c.arcRiseVoltsPerSecond*(st.start+at))*(1+1e-9) {
						t.Fatalf("trial %d stretch %d: an arc was missed", trial, i)
					}
					if st.set.points == arcing && at > 0 && pts.apply(&x) < c.arcHoldAmperes*(1-1e-9) {
						t.Fatalf("trial %d stretch %d: an arc's end was missed", trial, i)
					}
					if gap && !st.set.burning {
						threshold := c.breakdownVolts
						if c.hot && lastOut >= 0 {
							threshold = c.hotVolts + (c.breakdownVolts-c.hotVolts)*-math.Expm1(-(st.start+at-lastOut)/c.hotSeconds)
						}
						if math.Abs(vG) > threshold*(1+1e-9) {
							t.Fatalf("trial %d stretch %d: a breakdown was missed", trial, i)
						}
					}
					if st.set.burning && st.sign*cur.apply(&x) < c.extinctionAmperes*(1-1e-6) {
						t.Fatalf("trial %d stretch %d: an extinction was missed at %g of %g", trial, i, at, st.seconds)
					}
					at += min(step, t0)
					t0 *= 1.1
				}
				if st.set.burning {
					lastOut = st.start + st.seconds
				}
			}
		}
	}
}

// TestLimits: what must hold where the circuit gets simple.
func TestLimits(t *testing.T) {
	base := *nominal(t)
	compute := func(p Parts) Event {
		e, err := Compute(&p)
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	// Tighter coupling than 1 - 1e-6 changes nothing any more.
	var kv []float64
	for _, k := range []float64{1 - 1e-6, 1 - 1e-7, 1 - 1e-8, 1 - 1e-9, 1 - 1e-12, math.Nextafter(1, 0)} {
		p := base
		p.Coil.Coupling = k
		kv = append(kv, compute(p).Open.Secondary.Kilovolts())
	}
	for _, v := range kv {
		if off(v, kv[0]) > 1e-5 {
			t.Errorf("kilovolts at the limit of coupling: %v", kv)
		}
	}
	// A lead of 1 Ω is as good as none (energy: the discharge of the plug's own
	// capacitance is shared by lead and gap, 1e-4 at most).
	a, b := base, base
	a.Lead, b.Lead = ohms(0), ohms(1)
	ea, eb := compute(a), compute(b)
	if off(ea.Open.Secondary.Volts(), eb.Open.Secondary.Volts()) > 1e-5 || off(ea.Fired.Burn.Seconds(), eb.Fired.Burn.Seconds()) > 1e-4 || off(ea.Fired.Energy.Joules(), eb.Fired.Energy.Joules()) > 1e-3 {
		t.Errorf("no lead %+v, lead of 1 Ω %+v", ea, eb)
	}
	// Over random sets without faults the lossless estimate N I √(L/(C1+N²C2))
	// is an upper estimate: the ratio stays between 0.5 and 1.1.
	r := rand.New(rand.NewPCG(4, 4))
	for range 500 {
		p := randomParts(r)
		p.Points.Arc, p.Coil.Shorted = nil, nil
		p.Plug.Shunt, p.Coil.CoreLoss, p.Condenser.Leakage = ohms(1e9), ohms(1e9), ohms(1e9)
		e := compute(*p)
		n := p.Coil.TurnsRatio
		c2 := p.Coil.SecondaryCapacitance.Farads() + p.Plug.Capacitance.Farads()
		lossless := n * e.Current.Amperes() * math.Sqrt(p.Coil.PrimaryInductance.Henries()/(p.Condenser.Capacitance.Farads()+n*n*c2))
		if x := e.Open.Secondary.Volts() / lossless; x < 0.5 || x > 1.25 {
			t.Errorf("%.3f of the lossless estimate: %+v", x, p)
		}
	}
}
