package spark

import (
	"math"
	"reflect"
	"testing"

	"gapbook.example/specs"
	"gapbook.example/units"
)

// The factors that the book's class figures make of a plug.
var (
	edges   = Conditions{}.Factors(specs.Builtin())[0]
	mixture = Conditions{}.Factors(specs.Builtin())[1]
	worn    = Conditions{Worn: true}.Factors(specs.Builtin())[0]
)

// firstOfEach puts together the book's first engine of every kind.
func firstOfEach(t testing.TB) map[string]*Set {
	t.Helper()
	book := specs.Builtin()
	list := map[string]*Set{}
	for entry := range book.Entries() {
		if list[entry.System] != nil {
			continue
		}
		if s, err := FromBook(book, entry.ID, ""); err == nil {
			list[entry.System] = s
		}
	}
	if len(list) != len(labelOf) {
		t.Fatalf("%d kinds", len(list))
	}
	return list
}

// TestSetEveryKind: every kind of set gives event, trace, reserves, a chance of
// a miss and a curve with a band; a study does not depend on its workers.
func TestSetEveryKind(t *testing.T) {
	for system, s := range firstOfEach(t) {
		e, err := s.Compute()
		if err != nil {
			t.Fatal(err)
		}
		samples, err := s.Trace(true, units.Milliseconds(3), 3001)
		if err != nil || len(samples) != 3001 && e.Current.Amperes() != 0 {
			t.Errorf("%s: %d samples, %v", system, len(samples), err)
		}
		list, err := s.Chances(nil, 200, 1, 1)
		if err != nil || len(list) != 4 {
			t.Fatalf("%s: %v", system, err)
		}
		again, err := s.Chances(nil, 200, 1, 3)
		if err != nil || !reflect.DeepEqual(list, again) {
			t.Errorf("%s: three workers give another answer (%v)", system, err)
		}
		for _, c := range list {
			r := c.Result
			if r.Impossible > 20 || len(r.Governs) < 6 || !(r.Reserve[0] <= r.Reserve[1] && r.Reserve[1] <= r.Reserve[2]) {
				t.Errorf("%s, %s: %+v", system, c.Reserve.Situation.Name, r)
			}
			// A nominal set that reaches all that may be asked for misses less
			// than half of the time, one that reaches none of it more.
			if c.Reserve.Low > 1 && r.Miss > 0.5 || c.Reserve.High < 1 && r.Miss < 0.5 {
				t.Errorf("%s, %s: reserve %.2f to %.2f, and %.0f %% miss", system, c.Reserve.Situation.Name, c.Reserve.Low, c.Reserve.High, 100*r.Miss)
			}
		}
		curve, err := s.Curve(9, 50, 1, 2)
		if err != nil || len(curve) != 9 {
			t.Fatalf("%s: %d points of a curve, %v", system, len(curve), err)
		}
		first, last := curve[0].Reserve, curve[8].Reserve
		if first.Situation.Speed != s.Situations[0].Speed || off(first.Low, list[0].Reserve.Low) > 1e-9 || off(last.Low, list[3].Reserve.Low) > 1e-9 {
			t.Errorf("%s: the curve's ends are %+v and %+v", system, first, last)
		}
		reserves, err := s.Reserves()
		if err != nil || !reflect.DeepEqual(reserves[1], list[1].Reserve) {
			t.Errorf("%s: reserves differ: %v", system, err)
		}
	}
}

// TestStudyMagneto compares a study of a magneto with the event itself: without
// width every draw is the nominal; with the linkage alone the reserve follows it
// exactly, for kilovolts are linear in it; shards merge.
func TestStudyMagneto(t *testing.T) {
	m := readMagnetoCases(t)[1].magneto()
	e, err := ComputeMagneto(m)
	if err != nil {
		t.Fatal(err)
	}
	none := Study{Magneto: m, Sparks: 7}
	r, err := none.Run(2)
	if err != nil || off(r.Available[0].Volts(), e.Open.Secondary.Volts()) > 1e-12 || off(r.Available[2].Volts(), e.Open.Secondary.Volts()) > 1e-12 {
		t.Errorf("%+v, %v", r, err)
	}
	q := func(k float64) units.Quantity { return m.Magnet.Linkage.Scale(k).Quantity() }
	s := Study{Magneto: m, Sparks: 1000, Seed: 3, Spreads: []Spread{{"magnet.linkage", q(0.5), q(1.5)}}}
	r, err = s.Run(2)
	if err != nil {
		t.Fatal(err)
	}
	for i, x := range []float64{0.55, 1, 1.45} {
		if got := r.Available[i].Volts() / e.Open.Secondary.Volts(); math.Abs(got-x) > 2e-3 {
			t.Errorf("quantile %d: %.4f of the nominal, want %.2f", i, got, x)
		}
	}
	if g := r.Governs[0]; math.Abs(g.Correlation-1) > 1e-12 {
		t.Errorf("%+v", g)
	}
	a, err := s.Shard(0, 400)
	if err != nil {
		t.Fatal(err)
	}
	b, err := s.Shard(400, 1000)
	if err != nil {
		t.Fatal(err)
	}
	if merged, err := s.Merge(b, a); err != nil || !reflect.DeepEqual(merged, r) {
		t.Errorf("merged %+v, %v", merged, err)
	}
	if m.Magnet.Linkage.Quantity() != q(1) {
		t.Error("the study changed its magneto")
	}
	for _, bad := range []Study{
		{Sparks: 1}, {Magneto: m, Parts: nominalParts(), Sparks: 1},
		{Magneto: m, Sparks: 1, Spreads: []Spread{{"battery.voltage", q(1), q(1)}}},
		{Magneto: m, Sparks: 1, Spreads: []Spread{{"module.trip_current", units.Amperes(1).Quantity(), units.Amperes(2).Quantity()}}},
		{Magneto: m, Sparks: 1, Spreads: []Spread{{"store.regulator", units.Volts(1).Quantity(), units.Volts(2).Quantity()}}},
		{Magneto: m, Sparks: 1, Spreads: []Spread{{"magnet.linkage", units.Amperes(1).Quantity(), units.Amperes(2).Quantity()}}},
		{Magneto: m, Sparks: 1, Spreads: []Spread{{"magnet.linkage", q(0), q(1)}}},
	} {
		if _, err := bad.Run(1); err == nil {
			t.Errorf("%+v was run", bad)
		}
	}
}

// TestConditions: each condition moves the band the way it is said to, and only
// at work where it is heat.
func TestConditions(t *testing.T) {
	book := specs.Builtin()
	d := Demand{Gap: units.Millimetres(0.7), Compression: 6, Spark: units.BTDC(20)}
	band := func(c Conditions, i int) Band {
		d.Conditions = c
		n, err := SituationsFor(book, d, units.Speed{}, units.Speed{}, units.Voltage{})[i].Demand.Kilovolts()
		if err != nil {
			t.Fatal(err)
		}
		return n.Band
	}
	plain := band(Conditions{}, 2)
	for _, c := range []struct {
		is        Conditions
		low, high float64
	}{{Conditions{Worn: true}, 0.9 / 0.69, 1.2 / 1.02}, {Conditions{Reversed: true}, 1.1, 1.4}, {Conditions{Hot: true}, 0.8, 1}} {
		b := band(c.is, 2)
		if off(b.Low.Volts()/plain.Low.Volts(), c.low) > 1e-9 || off(b.High.Volts()/plain.High.Volts(), c.high) > 1e-9 {
			t.Errorf("%+v: %v, plain %v", c.is, b, plain)
		}
	}
	if band(Conditions{Hot: true}, 0) != band(Conditions{}, 0) {
		t.Error("the electrode glows while cranking")
	}
}

// TestBetween: ends and corners are the situations, the rest lies between.
func TestBetween(t *testing.T) {
	book := specs.Builtin()
	d := Demand{Gap: units.Millimetres(0.7), Compression: 6, Spark: units.BTDC(20)}
	s := SituationsFor(book, d, units.RPM(2000), units.RPM(3600), units.Volts(12))
	list := Between(s, units.Volts(12.6), 101)
	if len(list) != 101 || list[0].Speed != s[0].Speed || list[100].Speed != s[3].Speed || list[100].Name != s[3].Name {
		t.Fatalf("%d, %+v", len(list), list[len(list)-1])
	}
	for i, x := range list {
		p, v := x.Demand.Pressure.Bars(), x.Battery.Volts()
		if p < 0.39 || p > 0.96 || v != 0 && (v < 9.5 || v > 12.61) {
			t.Errorf("%v: %g bar, %g V", x.Speed, p, v)
		}
		if i > 0 && list[i-1].Speed.Cmp(x.Speed) >= 0 {
			t.Errorf("%v after %v", x.Speed, list[i-1].Speed)
		}
		if _, err := x.Demand.Kilovolts(); err != nil {
			t.Error(err)
		}
	}
	if got := Between(s[:1], units.Voltage{}, 5); len(got) != 1 {
		t.Errorf("%d situations out of one", len(got))
	}
}

// TestImpulseFromBook: a record that prints when an impulse coupling lets go has
// one, and it rescues starting.
func TestImpulseFromBook(t *testing.T) {
	book := specs.Builtin()
	found := 0
	for entry := range book.Entries() {
		s, err := FromBook(book, entry.ID, "rotor-magneto-points")
		if err != nil {
			t.Fatal(err)
		}
		if (s.Magneto.Impulse != nil) != (len(s.Engine.Of("impulse_release")) > 0) {
			t.Errorf("%s: impulse coupling %v", entry.ID, s.Magneto.Impulse)
		}
		if s.Magneto.Impulse == nil {
			continue
		}
		found++
		list, err := s.Reserves()
		if err != nil {
			t.Fatal(err)
		}
		without := *s.Magneto
		without.Closes, without.Impulse = s.Magneto.Impulse.Hold, nil
		bare, err := MagnetoReserves(&without, s.Ratio, s.Situations)
		if err != nil {
			t.Fatal(err)
		}
		if list[0].Low < bare[0].Low || math.Abs(list[3].Low-bare[3].Low) > 1e-9 {
			t.Errorf("%s: cranking %.2f, without the coupling %.2f; top speed %.2f and %.2f", entry.ID, list[0].Low, bare[0].Low, list[3].Low, bare[3].Low)
		}
	}
	if found == 0 {
		t.Error("no record has an impulse coupling")
	}
}
