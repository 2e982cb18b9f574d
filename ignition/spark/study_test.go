package spark

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"gapbook.example/units"
)

func ratio(x float64) units.Quantity { return units.FromSI(units.KindRatio, x) }

// usualStudy varies ten values of the nominal set about as far as a bench
// leaves them open.
func usualStudy(n int) *Study {
	p := nominalParts()
	p.Plug.HotGap = &HotGap{volts(2500), units.Microseconds(150)}
	q := func(k units.Kind, v float64) units.Quantity { return units.FromSI(k, v) }
	return &Study{Parts: p, Sparks: n, Seed: 7, Spreads: []Spread{
		{"battery.voltage", q(units.KindVoltage, 11), q(units.KindVoltage, 13)},
		{"coil.primary_resistance", q(units.KindResistance, 3.2), q(units.KindResistance, 4.2)},
		{"coil.primary_inductance", q(units.KindInductance, 6e-3), q(units.KindInductance, 9e-3)},
		{"coil.coupling", ratio(0.96), ratio(0.985)},
		{"coil.turns_ratio", ratio(75), ratio(95)},
		{"condenser.capacitance", q(units.KindCapacitance, 0.18e-6), q(units.KindCapacitance, 0.26e-6)},
		{"coil.secondary_capacitance", q(units.KindCapacitance, 35e-12), q(units.KindCapacitance, 70e-12)},
		{"plug.shunt", q(units.KindResistance, 0.25e6), q(units.KindResistance, 20e6)},
		{"plug.breakdown", q(units.KindVoltage, 6e3), q(units.KindVoltage, 22e3)},
		{"plug.burning_voltage", q(units.KindVoltage, 450), q(units.KindVoltage, 1000)},
	}}
}

// TestStudySame: any number of workers and any cut into shards, through JSON,
// give the same result to the bit; another seed gives another.
func TestStudySame(t *testing.T) {
	s := usualStudy(1000)
	want, err := s.Run(1)
	if err != nil {
		t.Fatal(err)
	}
	for _, workers := range []int{2, 3, 16, 5000, -1} {
		got, err := s.Run(workers)
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%d workers: %+v, %v, want %+v", workers, got, err, want)
		}
	}
	var shards []Shard
	for _, cut := range [][2]int{{700, 1000}, {0, 1}, {1, 333}, {333, 700}, {700, 700}} {
		sh, err := s.Shard(cut[0], cut[1])
		if err != nil {
			t.Fatal(err)
		}
		text, err := json.Marshal(sh)
		if err != nil {
			t.Fatal(err)
		}
		var back Shard
		if err := json.Unmarshal(text, &back); err != nil {
			t.Fatal(err)
		}
		if cut[0] < cut[1] {
			shards = append(shards, back)
		}
	}
	if got, err := s.Merge(shards...); err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("merged: %+v, %v, want %+v", got, err, want)
	}
	if _, err := s.Merge(shards[1:]...); err == nil {
		t.Error("a missing shard went unnoticed")
	}
	if _, err := s.Merge(append(shards, shards[0])...); err == nil {
		t.Error("a shard that is there twice went unnoticed")
	}
	other := *s
	other.Seed++
	if got, _ := other.Run(2); reflect.DeepEqual(got, want) {
		t.Error("another seed gives the same draw")
	}
}

// TestStudyMonteCarlo compares a study with plain random draws of its own: the
// chance of a miss and the median agree within four standard errors.
func TestStudyMonteCarlo(t *testing.T) {
	s := usualStudy(4000)
	got, err := s.Run(2)
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(4, 7))
	const n = 4000
	missed, below := 0, 0
	for range n {
		p := s.Parts.clone()
		for _, sp := range s.Spreads {
			v := sp.Low.SI() + r.Float64()*(sp.High.SI()-sp.Low.SI())
			if err := p.Set(sp.Key, units.FromSI(sp.Low.Kind(), v)); err != nil {
				t.Fatal(err)
			}
		}
		e, err := Compute(p)
		if err != nil {
			t.Fatal(err)
		}
		if !e.Fired.Sparked {
			missed++
		}
		if e.Open.Secondary.Volts()/p.Plug.Breakdown.Volts() < got.Reserve[1] {
			below++
		}
	}
	miss := float64(missed) / n
	if sd := math.Sqrt(2 * miss * (1 - miss) / n); miss == 0 || math.Abs(miss-got.Miss) > 4*sd {
		t.Errorf("chance of a miss %.4f, plain draws %.4f", got.Miss, miss)
	}
	if got.MissLow > miss+0.01 || got.MissHigh < miss-0.01 || got.MissLow >= got.Miss || got.MissHigh <= got.Miss {
		t.Errorf("miss %.4f in %.4f to %.4f", got.Miss, got.MissLow, got.MissHigh)
	}
	if x := float64(below) / n; math.Abs(x-0.5) > 4*math.Sqrt(0.5/n) {
		t.Errorf("%.3f of plain draws below the median", x)
	}
	// What the plug asks for governs, downwards; burning volts do nothing.
	if g := got.Governs[0]; g.Key != "plug.breakdown" || g.Correlation > -0.6 {
		t.Errorf("governs: %+v", got.Governs)
	}
	for _, g := range got.Governs {
		if g.Key == "plug.burning_voltage" && math.Abs(g.Correlation) > 0.1 {
			t.Errorf("burning voltage moves the reserve: %+v", g)
		}
	}
}

// TestStudyStrips: the draw is a Latin hypercube, one point a strip.
func TestStudyStrips(t *testing.T) {
	s := usualStudy(500)
	d := s.design()
	for j := range s.Spreads {
		seen := map[int]bool{}
		for i := range s.Sparks {
			seen[int(d[j][i]*float64(s.Sparks))] = true
		}
		if len(seen) != s.Sparks {
			t.Errorf("%s: %d strips of %d used", s.Spreads[j].Key, len(seen), s.Sparks)
		}
	}
}

func TestStudyBad(t *testing.T) {
	for _, change := range []func(*Study){
		func(s *Study) { s.Parts = nil },
		func(s *Study) { s.Sparks = 0 },
		func(s *Study) { s.Spreads[0].Key = "battery.colour" },
		func(s *Study) { s.Spreads[0].Low = ratio(1) },
		func(s *Study) { s.Spreads[0].Low, s.Spreads[0].High = s.Spreads[0].High, s.Spreads[0].Low },
		func(s *Study) { s.Spreads[1] = s.Spreads[0] },
		func(s *Study) { s.Spreads[3].High = ratio(1) },
		func(s *Study) { s.Spreads[0].Key = "points.arc.voltage" },
	} {
		s := usualStudy(10)
		change(s)
		if _, err := s.Run(1); err == nil {
			t.Errorf("%+v was run", s.Spreads[0])
		}
	}
	// No spread at all is the nominal set again and again.
	s := usualStudy(10)
	s.Spreads = nil
	if r, err := s.Run(3); err != nil || r.Reserve[0] != r.Reserve[2] || r.Missed != 0 {
		t.Errorf("%+v, %v", r, err)
	}
	// Draws that are no parts are counted.
	s = usualStudy(200)
	s.Spreads = []Spread{{"plug.burning_voltage", units.FromSI(units.KindVoltage, 5e3), units.FromSI(units.KindVoltage, 9.9999e3)},
		{"plug.breakdown", units.FromSI(units.KindVoltage, 6e3), units.FromSI(units.KindVoltage, 12e3)}}
	s.Parts.Plug.HotGap = nil
	if r, err := s.Run(3); err != nil || r.Impossible == 0 || r.Impossible == 200 {
		t.Errorf("%+v, %v", r, err)
	}
}

func BenchmarkStudy(b *testing.B) {
	for _, workers := range []int{1, 2, 4} {
		b.Run(fmt.Sprintf("%d workers", workers), func(b *testing.B) {
			s := usualStudy(2000)
			for b.Loop() {
				if _, err := s.Run(workers); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.N*s.Sparks)/b.Elapsed().Seconds(), "events/s")
		})
	}
}
