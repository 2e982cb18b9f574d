package trace

import (
	"fmt"
	"math"
	"strings"

	"gapbook.example/ignition/spark"
	"gapbook.example/units"
)

// kilovolts works out what faults do to the volts that a healthy set makes, by
// the physics of the spark, for those that the tables put in its terms.
func (b *builder) kilovolts() error {
	var set *spark.Set
	var err error
	if b.engine != nil {
		set, err = spark.FromBook(b.book, b.engine.ID, b.system)
	} else {
		set, err = spark.FromClass(b.book, b.system)
	}
	if err != nil {
		return nil // a kind without a model of its spark: the tables stand
	}
	healthy := openVolts(set)
	if healthy <= 0 {
		return nil
	}
	for i := range b.m.Causes {
		f := b.m.Causes[i].Fault
		if len(f.Spark) == 0 {
			continue
		}
		var shifts []float64
		for _, z := range tertiles {
			changed, err := changedSet(set, f.Spark, z)
			if err != nil {
				return &FactsError{fmt.Sprintf("fault %s: %v", f.ID, err)}
			}
			if changed == nil {
				break
			}
			if v := openVolts(changed); v > 0 {
				shifts = append(shifts, math.Log(v/healthy))
			}
		}
		if len(shifts) < len(tertiles) {
			continue // this kind of set has nothing of the sort, or no spark at all
		}
		mean, square := 0.0, 0.0
		for _, s := range shifts {
			mean += s / float64(len(shifts))
			square += s * s / float64(len(shifts))
		}
		// The three states hold that much of the variance of the whole.
		held := 1 - rest(len(shifts))
		b.spark[i] = &sparkEffect{shift: mean, sd: math.Sqrt(max(square-mean*mean, 0) / held)}
	}
	return nil
}

// openVolts is what a set makes with its gap disabled; 0 where it makes nothing
// that can be worked out.
func openVolts(s *spark.Set) float64 {
	e, err := s.Compute()
	if err != nil {
		return 0
	}
	return e.Open.Secondary.Volts()
}

// changedSet is a set with what a fault does to it, at z standard deviations of
// what it states; nil where the set has no such thing. An entry reads
// "condenser.capacitance x 0.5 ± 25 %" or "condenser.leakage 3 kΩ ± 120 %".
func changedSet(s *spark.Set, entries []string, z float64) (*spark.Set, error) {
	changed := *s
	if s.Parts != nil {
		p := *s.Parts
		changed.Parts = &p
	}
	if s.Magneto != nil {
		m := *s.Magneto
		changed.Magneto = &m
	}
	if s.Discharge != nil {
		d := *s.Discharge
		changed.Discharge = &d
	}
	for _, text := range entries {
		bad := func(problem string) (*spark.Set, error) {
			return nil, fmt.Errorf("what it does to a spark, %q: %s", text, problem)
		}
		rest, spread := text, 0.0
		if before, share, ok := strings.Cut(text, " ± "); ok {
			q, err := units.Parse(units.KindRatio, share)
			if err != nil || !strings.HasSuffix(share, "%") {
				return bad("the spread is not a percentage")
			}
			rest, spread = before, q.SI()
		}
		key, value, ok := strings.Cut(rest, " ")
		if !ok {
			return bad("write key value, or key x factor")
		}
		factor := math.Exp(z * spread)
		if times, isFactor := strings.CutPrefix(value, "x "); isFactor {
			q, err := units.Parse(units.KindRatio, times)
			if err != nil {
				return bad(err.Error())
			}
			if !scale(&changed, key, q.SI()*factor) {
				return nil, nil
			}
			continue
		}
		kind := spark.KindOf(key)
		if kind == 0 {
			return bad("a spark has no such value")
		}
		q, err := units.Parse(kind, value)
		if err != nil {
			return bad(err.Error())
		}
		if !put(&changed, key, units.FromSI(kind, q.SI()*factor)) {
			return nil, nil
		}
	}
	return &changed, nil
}

// scale multiplies a value of a set; false where it has none.
func scale(s *spark.Set, key string, by float64) bool {
	switch {
	case key == "magnet.gap" && s.Magneto != nil:
		m := s.Magneto.WithGap(by)
		s.Magneto = &m
	case key == "magnet.linkage" && s.Magneto != nil:
		s.Magneto.Magnet.Linkage = s.Magneto.Magnet.Linkage.Scale(by)
	case key == "battery.voltage" && s.Parts != nil:
		s.Parts.Battery.Voltage = s.Parts.Battery.Voltage.Scale(by)
	case key == "condenser.capacitance" && s.Parts != nil && s.Parts.Switch == nil:
		s.Parts.Condenser.Capacitance = s.Parts.Condenser.Capacitance.Scale(by)
	case key == "condenser.capacitance" && s.Magneto != nil && s.Magneto.Module == nil:
		s.Magneto.Condenser.Capacitance = s.Magneto.Condenser.Capacitance.Scale(by)
	default:
		return false
	}
	return true
}

// put sets a value of a set; false where it has none.
func put(s *spark.Set, key string, q units.Quantity) bool {
	if s.Parts != nil {
		return s.Parts.Set(key, q) == nil
	}
	ohms, isOhms := q.Resistance()
	if !isOhms || s.Magneto == nil || s.Magneto.Module != nil {
		return false
	}
	switch key {
	case "points.contact_resistance":
		s.Magneto.Points.ContactResistance = ohms
	case "condenser.leakage":
		s.Magneto.Condenser.Leakage = ohms
	default:
		return false
	}
	return true
}
