package spark

import (
	"math"
	"testing"

	"gapbook.example/units"
)

// TestAir: published figures of air breakdown, with where each stands.
func TestAir(t *testing.T) {
	near := func(what string, got, want, within float64) {
		t.Helper()
		if !(math.Abs(got-want) <= within) {
			t.Errorf("%s: %.7g, published %g ± %g", what, got, want, within)
		}
	}
	cm := units.Centimetres
	// High-voltage engineering textbook, ch. 4, example 4.1, p. 144: formula
	// and inputs read, results worked out from them.
	near("uniform field, 0.2 cm", UniformField(cm(0.2), 1).Kilovolts(), 7.563, 0.0005)
	near("uniform field, 1.5 cm", UniformField(cm(1.5), 1).Kilovolts(), 43.776, 0.0005)
	near("uniform field, 0.1 cm", UniformField(cm(0.1), 1).Kilovolts(), 4.345, 0.0005)
	// Public plotting code of a research group: the density form at 750 torr,
	// 298 K, 1.5 mm (its own points read 5.86, 6.6, 6.6 and 6.36 kV).
	d := AirDensity(units.Torrs(750), units.Kelvins(298))
	near("uniform field with density", UniformField(units.Millimetres(1.5), d).Kilovolts(), 5.845, 0.0005)
	for _, kv := range []float64{5.86, 6.6, 6.6, 6.36} {
		near("measured at 1.5 mm", UniformField(units.Millimetres(1.5), d).Kilovolts(), kv, 0.12*kv)
	}
	// The same textbook's density factor is referred to 25 °C: 3.92 b/(273+t) =
	// 0.9545 at 75 cm Hg and 35 °C; ours to 20 °C, so 293/298 of it.
	near("density at 75 cm Hg, 35 °C", AirDensity(units.Torrs(750), units.Celsius(35))*298/293, 0.9545, 0.0005)
	// IEC 60052 second-hand, relative density to correction factor: close to
	// proportional, k within 0.02 of δ from 0.7 to 1.15 (as the table prints).
	for i, delta := range []float64{0.7, 0.8, 0.9, 0.95, 1, 1.05, 1.1, 1.15} {
		k := []float64{0.72, 0.82, 0.91, 0.95, 1, 1.05, 1.09, 1.12}[i]
		near("correction factor", UniformField(cm(1), delta).Kilovolts()/UniformField(cm(1), 1).Kilovolts(), k, 0.02)
	}
	// AIEE corrections, referred to 25 °C: 0.96 at 20 °C and 720 mm Hg, 1.09 at
	// 0 °C, 0.98 at 30 °C, 1.08 at 10 °C and 780 mm Hg.
	for _, r := range [][3]float64{{20, 720, 0.96}, {0, 760, 1.09}, {30, 760, 0.98}, {10, 780, 1.08}} {
		near("AIEE correction", AirDensity(units.Torrs(r[1]), units.Celsius(r[0]))*298/293, r[2], 0.006)
	}
	// Sphere gaps, peak kV (IEC 60052 / ANSI second-hand: 5 cm spheres 17.4,
	// 32.0, 57.5 at 0.5, 1, 2 cm; 10 cm spheres 16.9, 31.7; Peek, 5 cm: 31.8 at
	// 1 cm; AIEE, 2.5 cm spheres: 10 to 30 kV at 0.27 to 0.95 cm). These
	// check the band that the package states, 7 %: spheres are no planes, and
	// the tables are not of one mind (17.4 and 16.9 kV at 0.5 cm).
	for _, r := range [][2]float64{{0.5, 17.4}, {1, 32}, {0.5, 16.9}, {1, 31.7}, {1, 31.8}, {2, 57.5}, {0.27, 10}, {0.42, 15}, {0.58, 20}, {0.76, 25}, {0.95, 30}} {
		near("sphere gap", UniformField(cm(r[0]), 1).Kilovolts(), r[1], 0.07*r[1])
	}
	for _, r := range [][3]float64{{0.13, 5, 0.07}, {0.1, 4.95, 0.15}} { // AIEE 2.5 cm spheres; Peek
		near("sphere gap under 10 kV", UniformField(cm(r[0]), 1).Kilovolts(), r[1], r[2]*r[1])
	}
	// A hobby measuring table for 2 cm spheres, 0.5 to 15 mm: 12 % over the
	// formula at half a millimetre, 11 % under it where the gap is no longer
	// small beside the spheres.
	for i, mm := range []float64{0.5, 1, 3, 6, 10, 15} {
		kv := []float64{2.9, 4.7, 11.4, 20.4, 30.8, 39.3}[i]
		near("2 cm spheres", UniformField(cm(mm/10), 1).Kilovolts(), kv, 0.12*kv)
	}
	// A note's linear rule, 30 p d + 1.35 kV about 1 mm (another formula, met
	// to 1 %), and the round figure of 30 kV/cm at 1 cm.
	near("linear rule, 1 mm", UniformField(cm(0.1), 1).Kilovolts(), 30*0.1+1.35, 0.01*4.35)
	near("30 kV per centimetre", UniformField(cm(1), 1).Kilovolts(), 30, 1)
	// Needle points, AIEE: the table itself, and 5 mm between its rows.
	for i, gap := range []float64{0.42, 0.85, 1.3, 1.75, 2.2, 2.69} {
		v, ok := Needle(cm(gap))
		if !ok {
			t.Fatal(gap)
		}
		near("needle", v.Kilovolts(), float64(5*(i+1)), 1e-9)
	}
	v, _ := Needle(units.Millimetres(5))
	near("needle, 5 mm", v.Kilovolts(), 5.93, 0.005)
	for _, gap := range []float64{0, 27} {
		if _, ok := Needle(units.Millimetres(gap)); ok {
			t.Errorf("needle table at %g mm", gap)
		}
	}
	// Paschen constants of air as a high-voltage note quotes them: C = 1.18 ±
	// 0.005, least 305.27 V; a component page quotes 327 V measured, 7 % more.
	near("Paschen C", paschenC(), 1.18, 0.005)
	least := Paschen(units.Torrs(1), cm(0.8363)).Volts()
	near("Paschen least", least, 305.27, 0.01)
	near("measured least", least, 327, 0.1*327)
	if x := Paschen(units.Torrs(0.01), cm(0.1)).Volts(); off(x, least) > 1e-9 {
		t.Errorf("left of the minimum: %g", x)
	}
}

// TestDemand: textbook ranges for plugs (automobile electrical textbook,
// ignition chapter abstracts).
func TestDemand(t *testing.T) {
	overlaps := func(what string, b Band, low, high float64) {
		t.Helper()
		if b.High.Kilovolts() < low || b.Low.Kilovolts() > high {
			t.Errorf("%s: %v to %v, textbook %g to %g kV", what, b.Low, b.High, low, high)
		}
	}
	kilovolts := func(gap, compression float64, spark units.CrankAngle, bar, celsius float64, fs ...Factor) Need {
		t.Helper()
		n, err := Demand{Gap: units.Millimetres(gap), Compression: compression, RodRatio: 3.5, Spark: spark,
			Pressure: units.Bars(bar), Temperature: units.Celsius(celsius), Factors: fs}.Kilovolts()
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	bottom := units.BTDC(180) // spark before compression: open air
	overlaps("1 mm at 1 bar", kilovolts(1, 8, bottom, 1, 20, edges).Band, 3, 4)
	overlaps("0.6 mm at 1 bar", kilovolts(0.6, 8, bottom, 1, 20, edges).Band, 2, 3)
	// 8:1, 1 mm: 8 to 10 kV usual (part throttle here), up to 30 kV at worst
	// (full throttle, cold, worn).
	overlaps("1 mm, 8:1, usual", kilovolts(1, 8, units.BTDC(25), 0.5, 80, edges).Band, 8, 10)
	worst := kilovolts(1, 8, units.BTDC(10), 1, 20, worn)
	if kv := worst.Band.High.Kilovolts(); kv < 20 || kv > 40 {
		t.Errorf("1 mm, 8:1 at worst: %g kV", kv)
	}
	// Slider-crank against its definition: piston travel and volumes.
	for _, deg := range []float64{0, 10, 45, 90, 135, 180} {
		th := deg * math.Pi / 180
		r, l, cr := 1.0, 3.7, 6.5
		x := r + l - (r*math.Cos(th) + math.Sqrt(l*l-r*r*math.Sin(th)*math.Sin(th)))
		want := (1/(cr-1)*2*r + x) / (1 / (cr - 1) * 2 * r)
		if got := VolumeRatio(cr, l, units.BTDC(deg)); off(got, want) > 1e-12 {
			t.Errorf("%g°: %g, want %g", deg, got, want)
		}
	}
	// Density does not depend on the polytrope: p/T of the gas at the spark.
	n := kilovolts(0.7, 6, units.BTDC(20), 0.9, 40)
	if got := AirDensity(n.Pressure, n.Temperature); off(got, n.Density) > 1e-12 {
		t.Errorf("density %g, from pressure and temperature %g", n.Density, got)
	}
	for _, bad := range []Demand{{}, {Gap: units.Millimetres(1), Compression: 1, RodRatio: 3.5, Pressure: units.Bars(1), Temperature: units.Celsius(20)},
		{Gap: units.Millimetres(1), Compression: 8, RodRatio: 0.5, Pressure: units.Bars(1), Temperature: units.Celsius(20)},
		{Gap: units.Millimetres(1), Compression: math.NaN(), RodRatio: 3, Pressure: units.Bars(1), Temperature: units.Celsius(20)},
		{Gap: units.Millimetres(1), Compression: 8, RodRatio: 3, Pressure: units.Bars(1), Temperature: units.Celsius(20), Factors: []Factor{{"x", 2, 1}}}} {
		if _, err := bad.Kilovolts(); err == nil {
			t.Errorf("%+v was taken", bad)
		}
	}
}

// TestReserves: cranking on a sagging battery leaves less than idling, and a
// loaded cylinder asks for more.
func TestReserves(t *testing.T) {
	p := nominalParts()
	demand := func(bar, celsius float64) Demand {
		return Demand{Gap: units.Millimetres(0.9), Compression: 6, RodRatio: 3.5, Spark: units.BTDC(20),
			Pressure: units.Bars(bar), Temperature: units.Celsius(celsius), Factors: []Factor{edges, mixture}}
	}
	list, err := Reserves(p, []Situation{
		{"cranking", units.RPM(300), units.Volts(9.5), demand(0.95, 10)},
		{"idling", units.RPM(900), units.Voltage{}, demand(0.4, 80)},
		{"loaded", units.RPM(3000), units.Voltage{}, demand(0.95, 80)},
	})
	if err != nil {
		t.Fatal(err)
	}
	crank, idle, loaded := list[0], list[1], list[2]
	if !(crank.Low < loaded.Low && loaded.Low < idle.Low && crank.Low < crank.High) {
		t.Errorf("reserves: cranking %.2f to %.2f, idling %.2f to %.2f, loaded %.2f to %.2f", crank.Low, crank.High, idle.Low, idle.High, loaded.Low, loaded.High)
	}
	if _, err := Reserves(p, []Situation{{Name: "nothing"}}); err == nil {
		t.Error("a situation without a demand was taken")
	}
}
