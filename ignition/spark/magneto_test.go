package spark

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"gapbook.example/units"
	"gonum.org/v1/gonum/mat"
)

// magnetoCase is one case of testdata/spark/magneto.json, computed by a
// general-purpose circuit simulator; the file's note says how.
type magnetoCase struct {
	Name     string             `json:"name"`
	Kind     string             `json:"kind"`
	Inputs   map[string]any     `json:"inputs"`
	Expected map[string]float64 `json:"expected"`
}

func (c *magnetoCase) in(key string) float64 {
	v, _ := c.Inputs[key].(float64)
	return v
}

func readMagnetoCases(t testing.TB) []magnetoCase {
	t.Helper()
	src, err := os.ReadFile("../../testdata/spark/magneto.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Cases []magnetoCase `json:"cases"`
	}
	if err := json.Unmarshal(src, &file); err != nil {
		t.Fatal(err)
	}
	if len(file.Cases) != 20 {
		t.Fatalf("%d cases, want 20", len(file.Cases))
	}
	return file.Cases
}

// plugOf is the plug of a case; one that is not to fire gets a gap that never
// does.
func (c *magnetoCase) plug() Plug {
	p := Plug{farads(c.in("cg")), ohms(c.in("rsh")), volts(9e5), volts(600), ohms(500), amperes(0.004), nil}
	if c.in("vbd") > 0 {
		p.Breakdown, p.BurningVoltage, p.BurningResistance, p.ExtinctionCurrent = volts(c.in("vbd")), volts(c.in("vburn")), ohms(c.in("rg")), amperes(c.in("iext"))
	}
	if c.in("vhot") > 0 {
		p.HotGap = &HotGap{volts(c.in("vhot")), seconds(c.in("tauhot"))}
	}
	return p
}

func henries(v float64) units.Inductance {
	q, _ := si(units.KindInductance, v).Inductance()
	return q
}

func webers(v float64) units.FluxLinkage {
	q, _ := si(units.KindFluxLinkage, v).FluxLinkage()
	return q
}

func (c *magnetoCase) coil() Coil {
	return Coil{ohms(c.in("rp")), henries(c.in("l1")), c.in("n"), c.in("k"), ohms(c.in("r2")), ohms(c.in("rfe")), farads(c.in("cs")), nil}
}

func (c *magnetoCase) magnet() Magnet {
	m := Magnet{Linkage: webers(c.in("lam"))}
	knots, _ := c.Inputs["flux_knots"].([]any)
	for _, k := range knots {
		pair := k.([]any)
		m.Flux = append(m.Flux, FluxKnot{units.MagnetDegrees(pair[0].(float64)), pair[1].(float64)})
	}
	if s := c.in("core_share"); s > 0 {
		m.Saturation = &Saturation{s, webers(c.in("psi_sat"))}
	}
	return m
}

func (c *magnetoCase) magneto() *Magneto {
	m := &Magneto{
		Magnet: c.magnet(), Coil: c.coil(), Points: Points{ContactResistance: ohms(c.in("rc"))},
		Condenser: Condenser{farads(c.in("c1")), ohms(c.in("esr")), ohms(c.in("rleak"))},
		Lead:      ohms(c.in("rl")), Plug: c.plug(),
		Closes: units.MagnetDegrees(c.in("theta_close")), Opens: units.MagnetDegrees(c.in("theta_open")), Speed: units.RPM(c.in("rpm")),
	}
	if _, ok := c.Inputs["theta_from"]; ok {
		from := units.MagnetDegrees(c.in("theta_from"))
		m.From = &from
	}
	if _, ok := c.Inputs["hold"]; ok {
		m.Impulse = &Impulse{units.MagnetDegrees(c.in("hold")), units.RPM(c.in("snap_rpm"))}
	}
	if c.in("itrip") > 0 {
		m.Module = &Module{Saturation: volts(c.in("vsat")), OnResistance: ohms(c.in("ron")), Trip: amperes(c.in("itrip")), Clamp: volts(c.in("vclamp")), ClampResistance: ohms(c.in("rclamp"))}
		if c.in("vrev") > 0 {
			m.Module.Reverse = &Diode{volts(c.in("vrev")), ohms(c.in("rrev"))}
		}
	}
	if c.in("ls") > 0 {
		m.Source = &SourceCoil{henries(c.in("ls")), ohms(c.in("rs"))}
	}
	return m
}

// TestMagnetoSimulator holds the cases with points to their bars.
func TestMagnetoSimulator(t *testing.T) {
	worst, where := map[string]float64{}, map[string]string{}
	for _, c := range readMagnetoCases(t) {
		switch c.Kind {
		case "capacitor-discharge":
			continue
		}
		e, err := ComputeMagneto(c.magneto())
		if err != nil {
			t.Errorf("%s: %v", c.Name, err)
			continue
		}
		class := "linear "
		hold := func(what, key string, got, bar float64) {
			t.Helper()
			want, ok := c.Expected[key]
			if !ok {
				return
			}
			if class != "linear " {
				bar = max(bar, 2e-4)
			}
			x := off(got, want)
			if !(x <= bar) {
				t.Errorf("%s: %s %.9g, simulator %.9g: off by %.2g, bar %g", c.Name, what, got, want, x, bar)
			}
			if x > worst[class+what] {
				worst[class+what], where[class+what] = x, c.Name
			}
		}
		if c.Name == "fm_saturating" || c.Name == "rm_impulse" {
			class = "one-state "
		}
		if want, ok := c.Expected["trip_deg"]; ok {
			if x := math.Abs(e.Trip.MagnetDegrees() - want); x > 2e-4 {
				t.Errorf("%s: trips at %v, simulator %g", c.Name, e.Trip, want)
			}
		}
		hold("current", "i_open_A", e.Current.Amperes(), 1e-6)
		hold("secondary", "open_peak_V", e.Open.Secondary.Volts(), 1e-5)
		hold("time to peak", "open_peak_s", e.Open.PeakTime.Seconds(), 1e-3)
		hold("opposite", "open_min_V", -e.Opposite.Volts(), 1e-4)
		hold("primary", "open_primary_V", e.Open.Primary.Volts(), 1e-5)
		hold("firing time", "fire_s", e.Fired.Time.Seconds(), 1e-3)
		hold("burn", "burn_s", e.Fired.Burn.Seconds(), 1e-3)
		hold("energy", "energy_J", e.Fired.Energy.Joules(), 1e-3)
	}
	for what, x := range worst {
		t.Logf("%-24s worst %.1e (%s)", what, x, where[what])
	}
}

// TestMagnetoLaws: what must come out whatever the numbers: kilovolts are linear
// in the magnet; at crawling speed the current is the EMF over the resistance;
// without resistance the linkage is frozen; the effects that a restorer meets.
func TestMagnetoLaws(t *testing.T) {
	base := func() *Magneto {
		m := readMagnetoCases(t)[1].magneto() // 300 rpm
		return m
	}
	compute := func(m *Magneto) MagnetoEvent {
		t.Helper()
		e, err := ComputeMagneto(m)
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	m := base()
	one := compute(m)
	m.Magnet.Linkage = m.Magnet.Linkage.Scale(0.7)
	if x := compute(m).Open.Secondary.Volts() / one.Open.Secondary.Volts(); math.Abs(x-0.7) > 1e-12 {
		t.Errorf("a magnet at 70 %% gives %.15g of the kilovolts", x)
	}
	// Crawling: i = e/R at the opening.
	m = base()
	m.Speed = units.RPM(0.05)
	r := m.Coil.PrimaryResistance.Ohms() + m.Points.ContactResistance.Ohms()
	var c circuit
	var k checker
	k = checker{}
	m.check(&c, &k)
	_, volt := c.linkage(0)
	if got := compute(m).Current.Amperes(); off(got, volt/r) > 2e-3 {
		t.Errorf("crawling: %g A, EMF over resistance %g", got, volt/r)
	}
	// Next to no resistance: i = (0 - lam(open))/L1.
	m = base()
	m.Coil.PrimaryResistance, m.Points.ContactResistance = ohms(1e-3), ohms(0)
	m.Speed = units.RPM(6000)
	k = checker{}
	m.check(&c, &k)
	lam, _ := c.linkage(0)
	if got := compute(m).Current.Amperes(); off(got, -lam/m.Coil.PrimaryInductance.Henries()) > 2e-3 {
		t.Errorf("no resistance: %g A, frozen linkage %g", got, -lam/m.Coil.PrimaryInductance.Henries())
	}
	// Closed points by one state agree with all states to some 1e-5.
	m = base()
	m.Magnet.Saturation = &Saturation{0, webers(1)}
	if got := compute(m).Current.Amperes(); off(got, one.Current.Amperes()) > 1e-4 {
		t.Errorf("one state %g A, all states %v", got, one.Current)
	}
	// Slow turning makes little; late closing helps at speed; an impulse
	// coupling rescues starting; the edge gap off costs.
	kv := func(change func(*Magneto)) float64 {
		m := base()
		change(m)
		return compute(m).Open.Secondary.Kilovolts()
	}
	slow := kv(func(m *Magneto) { m.Speed = units.RPM(60) })
	fast := kv(func(m *Magneto) { m.Speed = units.RPM(6000) })
	late := kv(func(m *Magneto) { m.Speed, m.Closes = units.RPM(6000), units.MagnetDegrees(-12) })
	off5 := kv(func(m *Magneto) { m.Opens = units.MagnetDegrees(1) })
	if slow > 0.3*one.Open.Secondary.Kilovolts() || late < 1.5*fast || off5 > 0.9*one.Open.Secondary.Kilovolts() {
		t.Errorf("60 rpm %g, 300 %v, 6000 %g, closing late %g, edge gap off %g kV", slow, one.Open.Secondary, fast, late, off5)
	}
	for _, c := range readMagnetoCases(t) {
		if c.Name != "rm_impulse" {
			continue
		}
		m := c.magneto()
		with := compute(m).Open.Secondary.Kilovolts()
		m.Closes, m.Impulse, m.Speed = m.Impulse.Hold, nil, units.RPM(60)
		if without := compute(m).Open.Secondary.Kilovolts(); with < 4*without {
			t.Errorf("impulse %g kV, without %g", with, without)
		}
	}
}

// TestMagnetoBad: wrong values are refused by name.
func TestMagnetoBad(t *testing.T) {
	for _, c := range []struct {
		key    string
		change func(*Magneto)
	}{
		{"magnet.linkage", func(m *Magneto) { m.Magnet.Linkage = webers(0) }},
		{"magnet.flux", func(m *Magneto) { m.Magnet.Flux = nil }},
		{"magnet.flux", func(m *Magneto) { m.Magnet.Flux[1].At = m.Magnet.Flux[0].At }},
		{"magnet.flux", func(m *Magneto) { m.Magnet.Flux[1].Share = math.NaN() }},
		{"points.closes", func(m *Magneto) { m.Closes = units.MagnetDegrees(10) }},
		{"run.speed", func(m *Magneto) { m.Speed = units.RPM(0) }},
		{"coil.coupling", func(m *Magneto) { m.Coil.Coupling = 1 }},
		{"magnet.saturation", func(m *Magneto) { m.Magnet.Saturation = &Saturation{0.1, webers(0.001)} }},
		{"source_coil.inductance", func(m *Magneto) { m.Source = &SourceCoil{} }},
	} {
		m := readMagnetoCases(t)[1].magneto()
		c.change(m)
		found := false
		for _, p := range m.Check() {
			found = found || p.Key == c.key
		}
		if _, err := ComputeMagneto(m); !found || err == nil {
			t.Errorf("%s: %v", c.key, m.Check())
		}
	}
}

// TestMagnetoNoAllocation: a magneto's event needs no memory either.
func TestMagnetoNoAllocation(t *testing.T) {
	for _, c := range readMagnetoCases(t) {
		if c.Kind == "capacitor-discharge" {
			d := c.discharge()
			if n := testing.AllocsPerRun(20, func() {
				if _, err := ComputeDischarge(d); err != nil {
					t.Fatal(err)
				}
			}); n != 0 {
				t.Errorf("%s: %v allocations", c.Name, n)
			}
			continue
		}
		m := c.magneto()
		if n := testing.AllocsPerRun(20, func() {
			if _, err := ComputeMagneto(m); err != nil {
				t.Fatal(err)
			}
		}); n != 0 {
			t.Errorf("%s: %v allocations", c.Name, n)
		}
	}
}

func (c *magnetoCase) discharge() *Discharge {
	d := &Discharge{
		Charge:    ChargeCoil{henries(c.in("lchg")), ohms(c.in("rchg")), webers(c.in("lamchg")), int(c.in("pairs")), units.Degrees(c.in("phase"))},
		Store:     Store{farads(c.in("c_store")), ohms(c.in("rleak")), volts(c.in("vmax")), volts(c.in("vd"))},
		Thyristor: Thyristor{volts(c.in("von")), ohms(c.in("rscr"))},
		Coil:      c.coil(), Lead: ohms(c.in("rl")), Plug: c.plug(), Speed: units.RPM(c.in("rpm")), Turn: units.MagnetDegrees(c.in("spark_deg")),
	}
	if c.Inputs["freewheel"] == "primary" {
		d.Freewheel = &Diode{volts(c.in("vfw")), ohms(c.in("rfw"))}
	}
	return d
}

// TestDischargeSimulator holds the capacitor-discharge cases to their bars.
func TestDischargeSimulator(t *testing.T) {
	for _, c := range readMagnetoCases(t) {
		if c.Kind != "capacitor-discharge" {
			continue
		}
		e, err := ComputeDischarge(c.discharge())
		if err != nil {
			t.Errorf("%s: %v", c.Name, err)
			continue
		}
		hold := func(what, key string, got, bar float64) {
			t.Helper()
			want, ok := c.Expected[key]
			if !ok {
				return
			}
			t.Logf("%-14s %-14s %.9g, off by %.1e", c.Name, what, got, off(got, want))
			if x := off(got, want); !(x <= bar) {
				t.Errorf("%s: %s %.9g, simulator %.9g: off by %.2g, bar %g", c.Name, what, got, want, x, bar)
			}
		}
		hold("charge", "charge_V", e.Charge.Volts(), 5e-5)
		hold("secondary", "open_peak_V", e.Open.Secondary.Volts(), 5e-5)
		hold("time to peak", "open_peak_s", e.Open.PeakTime.Seconds(), 1e-3)
		hold("opposite", "open_min_V", -e.Opposite.Volts(), 1e-4)
		hold("firing time", "fire_s", e.Fired.Time.Seconds(), 1e-3)
		hold("burn", "burn_s", e.Fired.Burn.Seconds(), 1e-3)
		hold("energy", "energy_J", e.Fired.Energy.Joules(), 1e-3)
	}
}

// TestModuleThreshold: a module that needs more current than the magnet can
// push gives nothing at all, and fires earlier the faster it turns.
func TestModuleThreshold(t *testing.T) {
	var last float64
	for i, rpm := range []float64{300, 500, 1000, 3600} {
		for _, c := range readMagnetoCases(t) {
			if c.Name != "md_900" {
				continue
			}
			m := c.magneto()
			m.Speed = units.RPM(rpm)
			e, err := ComputeMagneto(m)
			if err != nil {
				t.Fatal(err)
			}
			if rpm == 300 {
				if e.Tripped || !e.Open.Secondary.IsZero() {
					t.Errorf("300 rpm: %+v", e)
				}
				continue
			}
			if at := e.Trip.MagnetDegrees(); !e.Tripped || i > 1 && at >= last {
				t.Errorf("%g rpm: trips %v at %g after %g", rpm, e.Tripped, at, last)
			} else {
				last = at
			}
		}
	}
}

func BenchmarkDischarge(b *testing.B) {
	for _, c := range readMagnetoCases(b) {
		if c.Kind != "capacitor-discharge" {
			continue
		}
		b.Run(c.Name, func(b *testing.B) {
			d := c.discharge()
			b.ReportAllocs()
			for b.Loop() {
				if _, err := ComputeDischarge(d); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkMagneto(b *testing.B) {
	for _, c := range readMagnetoCases(b) {
		switch c.Name {
		case "md_900", "et_fired_1500", "fm_fired_2000", "rm_2000", "rm_impulse", "et_400", "md_5000_rev":
		default:
			continue
		}
		b.Run(c.Name, func(b *testing.B) {
			m := c.magneto()
			b.ReportAllocs()
			for b.Loop() {
				if _, err := ComputeMagneto(m); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// randomMagneto draws a magneto of any kind with points or a module.
func randomMagneto(r *rand.Rand) *Magneto {
	p := randomParts(r)
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	b := between(8, 40)
	m := &Magneto{
		Magnet: Magnet{Linkage: webers(between(3e-3, 16e-3)), Flux: []FluxKnot{
			{units.MagnetDegrees(-b - between(10, 60)), between(-1, 1)}, {units.MagnetDegrees(-b), 1},
			{units.MagnetDegrees(b), -1}, {units.MagnetDegrees(b + between(10, 60)), between(-1, 1)}}},
		Coil: p.Coil, Points: p.Points, Condenser: p.Condenser, Lead: p.Lead, Plug: p.Plug,
		Closes: units.MagnetDegrees(between(-120, -5)), Opens: units.MagnetDegrees(between(0, b)),
		Speed: units.RPM(math.Pow(10, between(1.5, 3.8))),
	}
	m.Coil.PrimaryInductance = henries(between(2.5e-3, 6e-3))
	switch r.IntN(4) {
	case 0:
		m.Coil.Shorted = nil
		m.Source = &SourceCoil{henries(between(2e-3, 8e-3)), ohms(between(0.5, 2))}
	case 1:
		m.Points = Points{}
		m.Module = &Module{Saturation: volts(between(0.1, 1.5)), OnResistance: ohms(0.05), Trip: amperes(between(0.5, 2)), Clamp: volts(330), ClampResistance: ohms(2), Reverse: &Diode{volts(0.8), ohms(0.1)}}
		m.Closes = units.MagnetDegrees(-120)
	}
	return m
}

// TestDriveExponential: the answer to a magnet's sine, mode by mode, against
// gonum's matrix exponential of the same circuit with an oscillator joined to it.
func TestDriveExponential(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 8))
	worst := 0.0
	for trial := range 1000 {
		m := randomMagneto(r)
		var c circuit
		var k checker
		if m.check(&c, &k); k.problems != nil {
			t.Fatal(k.problems)
		}
		c.prepare()
		set := setting{points: open}
		if r.IntN(2) == 0 {
			set.points = closed
		}
		left := 1.0
		var d drive
		if c.driveAt(c.knots[1].seconds*r.Float64(), &d, &left) == nil {
			t.Fatal("the flux stands still in the main swing")
		}
		var ph phase
		if !ph.solve(&c, set) {
			t.Fatal("no modes")
		}
		var z, rest, got vector
		c.energyState(r.NormFloat64(), 1e-3*r.NormFloat64(), r.NormFloat64()*1e-3, 50*r.NormFloat64(), 1e3*r.NormFloat64(), 1e3*r.NormFloat64(), &z)
		c.rest(set, 0, &rest)
		s := segment{phase: &ph}
		s.begin(&rest, &z, &d)
		span := min(1e-7*math.Pow(1e4, r.Float64()), 2e4/ph.fastest)
		var now instant
		s.at(span, &now)
		s.state(&now, &got)

		var a matrix
		c.assemble(set, &a)
		n := c.n
		big := mat.NewDense(n+2, n+2, nil)
		for i := range n {
			for j := range n {
				big.Set(i, j, a[i][j]*span)
			}
			big.Set(i, n, d.into[i]*d.re*span)
			big.Set(i, n+1, -d.into[i]*d.im*span)
		}
		big.Set(n, n+1, -d.turn*span)
		big.Set(n+1, n, d.turn*span)
		var e mat.Dense
		e.Exp(big)
		diff, size := 0.0, 0.0
		for i := range n {
			want := rest[i] + e.At(i, n)
			for j := range n {
				want += e.At(i, j) * (z[j] - rest[j])
			}
			diff += (want - got[i]) * (want - got[i])
			size += want*want + z[i]*z[i]
		}
		x := math.Sqrt(diff / size)
		worst = max(worst, x)
		if !(x <= 1e-6) {
			t.Errorf("trial %d: off by %.2g", trial, x)
		}
	}
	t.Logf("worst %.1e", worst)
}

// TestMagnetoRandom computes random magnetos: none fails, and none gives the
// plug more than what coil and magnet held.
func TestMagnetoRandom(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 9))
	fired, silent := 0, 0
	for range 5000 {
		m := randomMagneto(r)
		e, err := ComputeMagneto(m)
		if err != nil {
			t.Fatalf("%v: %+v", err, m)
		}
		if !e.Tripped {
			silent++
		}
		if e.Fired.Sparked {
			fired++
		}
	}
	if fired < 100 || silent < 100 {
		t.Errorf("%d fired, %d modules never tripped: the draw does not test enough", fired, silent)
	}
}

// FuzzMagneto puts any number into a magneto and a capacitor-discharge set.
func FuzzMagneto(f *testing.F) {
	f.Add(uint8(0), 7.5e-3, -90.0, 6.0, 300.0, uint8(0))
	f.Add(uint8(1), 7.5e-3, -90.0, 6.0, 3000.0, uint8(1))
	f.Fuzz(func(t *testing.T, key uint8, x, closes, opens, rpm float64, kind uint8) {
		defer func() {
			// A quantity refuses what is no number: the program's own error.
			if s, ok := recover().(string); ok && len(s) > 6 && s[:6] != "units:" {
				panic(s)
			}
		}()
		p := nominalParts()
		setKey(p, bounds[int(key)%len(bounds)].key, x)
		if kind&1 != 0 {
			d := &Discharge{ChargeCoil{henries(5), ohms(290), webers(x), 3, units.Degrees(closes)}, Store{farads(opens), ohms(2e6), volts(0), volts(0.8)},
				Thyristor{volts(1.2), ohms(0.05)}, &Diode{volts(0.9), ohms(0.05)}, p.Coil, p.Lead, p.Plug, units.RPM(rpm), units.MagnetDegrees(360)}
			if _, err := ComputeDischarge(d); err == ErrNoSolution {
				t.Fatalf("no solution: %+v", d)
			}
			return
		}
		m := &Magneto{Magnet: Magnet{Linkage: webers(x), Flux: []FluxKnot{{units.MagnetDegrees(-45), 0}, {units.MagnetDegrees(-12), 1}, {units.MagnetDegrees(12), -1}}},
			Coil: p.Coil, Points: p.Points, Condenser: p.Condenser, Lead: p.Lead, Plug: p.Plug,
			Closes: units.MagnetDegrees(closes), Opens: units.MagnetDegrees(opens), Speed: units.RPM(rpm)}
		if kind&2 != 0 {
			m.Module = &Module{Saturation: volts(0.9), OnResistance: ohms(0.05), Trip: amperes(opens), Clamp: volts(330), ClampResistance: ohms(2)}
		}
		if kind&4 != 0 {
			m.Impulse = &Impulse{units.MagnetDegrees(closes), units.RPM(rpm)}
		}
		if kind&8 != 0 {
			m.Source = &SourceCoil{henries(4e-3), ohms(1.2)}
		}
		if _, err := ComputeMagneto(m); err == ErrNoSolution {
			t.Fatalf("no solution: %+v", m)
		}
	})
}
