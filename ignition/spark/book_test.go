package spark

import (
	"errors"
	"math"
	"strings"
	"testing"

	"gapbook.example/specs"
	"gapbook.example/units"
)

// TestFromBook puts together every engine of the book whose ignition has a
// model: all compute, every value is accounted for once, and what the record
// prints is what is used.
func TestFromBook(t *testing.T) {
	book := specs.Builtin()
	sets, refused := map[string]int{}, 0
	for entry := range book.Entries() {
		s, err := FromBook(book, entry.ID, "")
		var unknown *SystemError
		if errors.As(err, &unknown) {
			refused++
			if labelOf[entry.System] != "" || !strings.Contains(err.Error(), "battery-points") {
				t.Errorf("%s: %v", entry.ID, err)
			}
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		sets[s.System]++
		var e Event
		var list []Reserve
		switch {
		case s.Parts != nil:
			e, err = Compute(s.Parts)
			if err == nil {
				list, err = Reserves(s.Parts, s.Situations)
			}
		case s.Magneto != nil:
			var m MagnetoEvent
			m, err = ComputeMagneto(s.Magneto)
			e = m.Event
			if err == nil {
				list, err = MagnetoReserves(s.Magneto, s.Ratio, s.Situations)
			}
		default:
			var d DischargeEvent
			d, err = ComputeDischarge(s.Discharge)
			e = d.Event
			if err == nil {
				list, err = DischargeReserves(s.Discharge, s.Situations)
			}
		}
		if err != nil {
			t.Errorf("%s: %v", entry.ID, err)
			continue
		}
		if kv := e.Open.Secondary.Kilovolts(); !(kv > 0.5 && kv < 80) || len(list) != 4 {
			t.Errorf("%s: %g kV, %d situations", entry.ID, kv, len(list))
		}
		for _, r := range list {
			if !(r.Need.Band.Low.Kilovolts() > 0.5 && r.Need.Band.High.Kilovolts() < 60) {
				t.Errorf("%s: %s asks for %v", entry.ID, r.Situation.Name, r.Need.Band)
			}
		}
		seen := map[string]bool{}
		for _, o := range append(append([]Origin(nil), s.Known...), s.Granted...) {
			if seen[o.Key] || o.Value == "" || o.Note == "" && o.Source == "" {
				t.Errorf("%s: %+v", entry.ID, o)
			}
			seen[o.Key] = true
			if _, ok := book.Source(o.Source); o.Source != "" && !ok {
				t.Errorf("%s: no source %q", entry.ID, o.Source)
			}
		}
		for key := range map[string]bool{"coil.primary_resistance": true, "coil.secondary_resistance": true, "demand.gap": true} {
			if !seen[key] {
				t.Errorf("%s: nothing says where %s comes from", entry.ID, key)
			}
		}
		for _, f := range s.Engine.Of("plug_gap") {
			if f.Band.IsZero() {
				continue
			}
			known := false
			for _, o := range s.Known {
				known = known || o.Key == "demand.gap"
			}
			if !known {
				t.Errorf("%s: the record prints a plug gap, and the class figure was taken", entry.ID)
			}
		}
	}
	for system := range labelOf {
		if sets[system] == 0 {
			t.Errorf("no engine with %s", system)
		}
	}
	t.Logf("%v put together, %d refused", sets, refused)
	if _, err := FromBook(book, "no-such-engine", ""); err == nil {
		t.Error("an engine that the book has not got was put together")
	}
}

// TestChances: a study's middle is the reserve's, a worn battery misses more,
// and the same seed gives the same.
func TestChances(t *testing.T) {
	book := specs.Builtin()
	p := nominalParts()
	d := Demand{Gap: units.Millimetres(0.9), Compression: 6, RodRatio: 3.7, Spark: units.BTDC(25)}
	list := SituationsFor(book, d, units.Speed{}, units.Speed{}, units.Volts(12))
	spreads := Tolerances(book, p)
	if len(spreads) < 10 {
		t.Fatalf("spreads %v", spreads)
	}
	one, err := Chances(p, list, spreads, 400, 1, 1)
	if err != nil {
		t.Fatal(err)
	}
	two, err := Chances(p, list, spreads, 400, 1, 3)
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range one {
		r := c.Result
		if r.Impossible > 0 || r.Reserve != two[i].Result.Reserve || r.Missed != two[i].Result.Missed {
			t.Errorf("%s: %+v, again %+v", c.Reserve.Situation.Name, r, two[i].Result)
		}
		if mid := r.Reserve[1]; !(mid > c.Reserve.Low*0.9 && mid < c.Reserve.High*1.1) {
			t.Errorf("%s: middle of the study %.2f, reserve %.2f to %.2f", c.Reserve.Situation.Name, mid, c.Reserve.Low, c.Reserve.High)
		}
		if r.Governs[0].Key != "plug.breakdown" && math.Abs(r.Governs[0].Correlation) < 0.3 {
			t.Errorf("%s: governed by %v", c.Reserve.Situation.Name, r.Governs)
		}
	}
	if one[0].Reserve.Situation.Battery.Volts() < 8 || one[0].Result.Reserve[1] >= one[1].Result.Reserve[1] {
		t.Errorf("cranking %+v", one[0])
	}
	p.Plug.Shunt = units.Kilohms(150)
	bad, err := Chances(p, list, spreads, 400, 1, 2)
	if err != nil {
		t.Fatal(err)
	}
	if bad[2].Result.Miss < 0.05 || bad[2].Result.Miss <= one[2].Result.Miss {
		t.Errorf("a fouled plug misses %g, a clean one %g", bad[2].Result.Miss, one[2].Result.Miss)
	}
}
