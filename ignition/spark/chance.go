package spark

import (
	"fmt"

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
// that a situation lowers is drawn around what it is then. The error is that of
// [Reserves] or of [Study.Run].
func Chances(p *Parts, situations []Situation, spreads []Spread, sparks int, seed uint64, workers int) ([]Chance, error) {
	reserves, err := Reserves(p, situations)
	if err != nil {
		return nil, err
	}
	list := make([]Chance, 0, len(reserves))
	for _, r := range reserves {
		q := p.clone()
		q.Run.Speed = r.Situation.Speed
		scale := 1.0
		if v := r.Situation.Battery; !v.IsZero() {
			scale = v.Volts() / q.Battery.Voltage.Volts()
			q.Battery.Voltage = v
		}
		low, high := r.Need.Band.Low, r.Need.Band.High
		q.Plug.Breakdown = low.Add(high).Scale(0.5)
		if h := q.Plug.HotGap; h != nil && h.Breakdown.Cmp(low) > 0 {
			h.Breakdown = low
		}
		all := []Spread{{"plug.breakdown", low.Quantity(), high.Quantity()}}
		for _, s := range spreads {
			switch {
			case s.Key == "plug.breakdown" || s.Key == "run.speed":
				continue // the situation says them
			case s.Key == "battery.voltage" && scale != 1:
				s.Low, s.High = units.FromSI(s.Low.Kind(), s.Low.SI()*scale), units.FromSI(s.High.Kind(), s.High.SI()*scale)
			}
			all = append(all, s)
		}
		study := Study{Parts: q, Spreads: all, Sparks: sparks, Seed: seed}
		result, err := study.Run(workers)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", r.Situation.Name, err)
		}
		list = append(list, Chance{r, result})
	}
	return list, nil
}

// MagnetoReserves works out the reserve of a magneto in every situation, its
// magnet turning ratio times as fast as the crank. Where the linkage was not
// measured the figures are worth ±50 %. With an impulse coupling the speed
// counts only from the coupling's own on. The error is that of [ComputeMagneto]
// or of [Demand.Kilovolts], with the situation's name.
func MagnetoReserves(m *Magneto, ratio float64, situations []Situation) ([]Reserve, error) {
	return reserves(situations, func(s Situation, p Plug) (Event, error) {
		q := *m
		q.Plug = p
		q.Speed = s.Speed.Scale(ratio)
		if m.Impulse != nil && q.Speed.Cmp(m.Impulse.Snap) > 0 {
			q.Closes, q.Impulse = m.Impulse.Hold, nil
		}
		e, err := ComputeMagneto(&q)
		return e.Event, err
	}, m.Plug)
}

// DischargeReserves does the same for a capacitor-discharge set. The error is
// that of [ComputeDischarge] or of [Demand.Kilovolts].
func DischargeReserves(d *Discharge, situations []Situation) ([]Reserve, error) {
	return reserves(situations, func(s Situation, p Plug) (Event, error) {
		q := *d
		q.Plug, q.Speed = p, s.Speed
		e, err := ComputeDischarge(&q)
		return e.Event, err
	}, d.Plug)
}

func reserves(situations []Situation, compute func(Situation, Plug) (Event, error), plug Plug) ([]Reserve, error) {
	list := make([]Reserve, 0, len(situations))
	for _, s := range situations {
		need, err := s.Demand.Kilovolts()
		if err != nil {
			return nil, fmt.Errorf("%s: %w", s.Name, err)
		}
		p := plug
		p.Breakdown = need.Band.Low.Add(need.Band.High).Scale(0.5)
		if h := p.HotGap; h != nil && h.Breakdown.Cmp(p.Breakdown) > 0 {
			p.HotGap = &HotGap{p.Breakdown, h.Recovery}
		}
		e, err := compute(s, p)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", s.Name, err)
		}
		kv := e.Open.Secondary.Volts()
		list = append(list, Reserve{s, e, need, kv / need.Band.High.Volts(), kv / need.Band.Low.Volts()})
	}
	return list, nil
}
