package spark

import (
	"fmt"
	"sort"

	"gapbook.example/units"
)

// A Chance is the reserve in one situation and what a study of tolerances makes
// of it.
type Chance struct {
	Reserve Reserve
	Result  Result
}

// Chances works out the reserve in every situation, and by a [Study] of so many
// sparks each the chance that the plug misses. Spreads are of the parts; what
// the plug asks for is drawn from its band in each situation, and a battery
// that a situation lowers is drawn around what it is then. Spreads of what a
// situation says itself, or of parts that are not there, are passed over. The
// error is that of [Reserves] or of [Study.Run].
func Chances(p *Parts, situations []Situation, spreads []Spread, sparks int, seed uint64, workers int) ([]Chance, error) {
	reserves, err := Reserves(p, situations)
	if err != nil {
		return nil, err
	}
	return chances(reserves, p.Plug, spreads, Study{Sparks: sparks, Seed: seed}, workers, func(s Situation, plug Plug) (Study, float64) {
		q := p.clone()
		q.Run.Speed, q.Plug = s.Speed, plug
		scale := 1.0
		if v := s.Battery; !v.IsZero() {
			scale = v.Volts() / q.Battery.Voltage.Volts()
			q.Battery.Voltage = v
		}
		return Study{Parts: q}, scale
	})
}

// MagnetoChances does the same for a magneto, its magnet turning ratio times as
// fast as the crank. Where nobody measured the linkage, give it the spread that
// this leaves: ±50 % drowns all else, and the chance says just that. The error
// is that of [MagnetoReserves] or of [Study.Run].
func MagnetoChances(m *Magneto, ratio float64, situations []Situation, spreads []Spread, sparks int, seed uint64, workers int) ([]Chance, error) {
	reserves, err := MagnetoReserves(m, ratio, situations)
	if err != nil {
		return nil, err
	}
	return chances(reserves, m.Plug, spreads, Study{Sparks: sparks, Seed: seed}, workers, func(s Situation, plug Plug) (Study, float64) {
		return Study{Magneto: m.at(s, ratio, plug)}, 1
	})
}

// DischargeChances does the same for a capacitor-discharge set. The error is
// that of [DischargeReserves] or of [Study.Run].
func DischargeChances(d *Discharge, situations []Situation, spreads []Spread, sparks int, seed uint64, workers int) ([]Chance, error) {
	reserves, err := DischargeReserves(d, situations)
	if err != nil {
		return nil, err
	}
	return chances(reserves, d.Plug, spreads, Study{Sparks: sparks, Seed: seed}, workers, func(s Situation, plug Plug) (Study, float64) {
		q := *d
		q.Plug, q.Speed = plug, s.Speed
		return Study{Discharge: &q}, 1
	})
}

// chances runs one study a reserve. at puts the set into a situation and says by
// how much that lowers the battery.
func chances(reserves []Reserve, plug Plug, spreads []Spread, like Study, workers int, at func(Situation, Plug) (Study, float64)) ([]Chance, error) {
	list := make([]Chance, 0, len(reserves))
	for _, r := range reserves {
		low, high := r.Need.Band.Low, r.Need.Band.High
		p := plug.asks(low, low.Add(high).Scale(0.5))
		study, scale := at(r.Situation, p)
		study.Sparks, study.Seed = like.Sparks, like.Seed
		study.Spreads = []Spread{{"plug.breakdown", low.Quantity(), high.Quantity()}}
		v := subjectOf(study.Parts, study.Magneto, study.Discharge)
		for _, s := range spreads {
			if s.Key == "plug.breakdown" || s.Key == "run.speed" {
				continue // the situation says them
			}
			if set, err := v.setter(s.Key, s.Low.Kind()); err != nil || !set(s.Low) {
				continue // of a part that is not there, or not in this situation
			}
			if s.Key == "battery.voltage" && scale != 1 {
				s.Low, s.High = units.FromSI(s.Low.Kind(), s.Low.SI()*scale), units.FromSI(s.High.Kind(), s.High.SI()*scale)
			}
			study.Spreads = append(study.Spreads, s)
		}
		result, err := study.Run(workers)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", r.Situation.Name, err)
		}
		list = append(list, Chance{r, result})
	}
	return list, nil
}

// asks returns the plug with a breakdown voltage, and a hot gap that fires at
// no more than most.
func (p Plug) asks(most, breakdown units.Voltage) Plug {
	p.Breakdown = breakdown
	if h := p.HotGap; h != nil && h.Breakdown.Cmp(most) > 0 {
		p.HotGap = &HotGap{most, h.Recovery}
	}
	return p
}

// at puts a magneto into a situation. With an impulse coupling the speed counts
// only from the coupling's own on.
func (m *Magneto) at(s Situation, ratio float64, plug Plug) *Magneto {
	q := *m
	q.Plug = plug
	q.Speed = s.Speed.Scale(ratio)
	if m.Impulse != nil && q.Speed.Cmp(m.Impulse.Snap) > 0 {
		q.Closes, q.Impulse = m.Impulse.Hold, nil
	}
	return &q
}

// MagnetoReserves works out the reserve of a magneto in every situation, its
// magnet turning ratio times as fast as the crank. Where the linkage was not
// measured the figures are worth ±50 %. With an impulse coupling the speed
// counts only from the coupling's own on. The error is that of [ComputeMagneto]
// or of [Demand.Kilovolts], with the situation's name.
func MagnetoReserves(m *Magneto, ratio float64, situations []Situation) ([]Reserve, error) {
	return reserves(situations, m.Plug, func(s Situation, p Plug) (Event, error) {
		e, err := ComputeMagneto(m.at(s, ratio, p))
		return e.Event, err
	})
}

// DischargeReserves does the same for a capacitor-discharge set. The error is
// that of [ComputeDischarge] or of [Demand.Kilovolts].
func DischargeReserves(d *Discharge, situations []Situation) ([]Reserve, error) {
	return reserves(situations, d.Plug, func(s Situation, p Plug) (Event, error) {
		q := *d
		q.Plug, q.Speed = p, s.Speed
		e, err := ComputeDischarge(&q)
		return e.Event, err
	})
}

// reserves computes the event of every situation, the gap firing at the middle
// of what it may ask for.
func reserves(situations []Situation, plug Plug, compute func(Situation, Plug) (Event, error)) ([]Reserve, error) {
	list := make([]Reserve, 0, len(situations))
	for _, s := range situations {
		need, err := s.Demand.Kilovolts()
		if err != nil {
			return nil, fmt.Errorf("%s: %w", s.Name, err)
		}
		middle := need.Band.Low.Add(need.Band.High).Scale(0.5)
		e, err := compute(s, plug.asks(middle, middle))
		if err != nil {
			return nil, fmt.Errorf("%s: %w", s.Name, err)
		}
		kv := e.Open.Secondary.Volts()
		list = append(list, Reserve{s, e, need, kv / need.Band.High.Volts(), kv / need.Band.Low.Volts()})
	}
	return list, nil
}

// Between fills in speeds between situations, for a curve: n of them evenly from
// the slowest to the fastest, at least two. Between two situations what the
// cylinder asks for (pressure, temperature, spark, closing, what is kept) and a
// battery that a situation names change evenly with speed; a situation without
// one counts as battery, its voltage at rest. All else is that of the slower
// situation, and so is the name. Situations that share a speed count once, the
// first; fewer than two come back as they are.
func Between(situations []Situation, battery units.Voltage, n int) []Situation {
	var s []Situation
	for _, x := range situations {
		same := false
		for _, y := range s {
			same = same || x.Speed == y.Speed
		}
		if !same {
			s = append(s, x)
		}
	}
	if len(s) < 2 {
		return s
	}
	sort.SliceStable(s, func(i, j int) bool { return s[i].Speed.Cmp(s[j].Speed) < 0 })
	n = max(n, 2)
	low, high := s[0].Speed.RPM(), s[len(s)-1].Speed.RPM()
	list := make([]Situation, 0, n)
	at := 0
	for i := range n {
		rpm := low + (high-low)*float64(i)/float64(n-1)
		for at < len(s)-2 && rpm >= s[at+1].Speed.RPM() {
			at++
		}
		a, b := s[at], s[at+1]
		x := min(max((rpm-a.Speed.RPM())/(b.Speed.RPM()-a.Speed.RPM()), 0), 1)
		mix := func(from, to units.Quantity) units.Quantity {
			return units.FromSI(from.Kind(), from.SI()*(1-x)+to.SI()*x)
		}
		one := a
		one.Speed = units.RPM(rpm)
		if i == n-1 {
			one.Speed, one.Name = b.Speed, b.Name
		}
		d, e := a.Demand, b.Demand
		one.Demand.Pressure, _ = mix(d.Pressure.Quantity(), e.Pressure.Quantity()).Pressure()
		one.Demand.Temperature, _ = mix(d.Temperature.Quantity(), e.Temperature.Quantity()).Temperature()
		one.Demand.Spark, _ = mix(d.Spark.Quantity(), e.Spark.Quantity()).CrankAngle()
		one.Demand.Closes, _ = mix(d.Closes.Quantity(), e.Closes.Quantity()).CrankAngle()
		if d.Kept > 0 && e.Kept > 0 {
			one.Demand.Kept = d.Kept*(1-x) + e.Kept*x
		}
		if len(d.Factors) == len(e.Factors) {
			one.Demand.Factors = nil
			for k, f := range d.Factors {
				g := e.Factors[k]
				one.Demand.Factors = append(one.Demand.Factors, Factor{f.Name, f.Low*(1-x) + g.Low*x, f.High*(1-x) + g.High*x})
			}
		}
		if v, w := a.Battery, b.Battery; !v.IsZero() || !w.IsZero() {
			if v.IsZero() {
				v = battery
			}
			if w.IsZero() {
				w = battery
			}
			one.Battery, _ = mix(v.Quantity(), w.Quantity()).Voltage()
		}
		list = append(list, one)
	}
	return list
}
