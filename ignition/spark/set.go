package spark

import "gapbook.example/units"

// Compute works out one spark of the set, whatever its kind: [Compute],
// [ComputeMagneto] or [ComputeDischarge].
func (s *Set) Compute() (Event, error) {
	switch {
	case s.Parts != nil:
		return Compute(s.Parts)
	case s.Magneto != nil:
		e, err := ComputeMagneto(s.Magneto)
		return e.Event, err
	}
	e, err := ComputeDischarge(s.Discharge)
	return e.Event, err
}

// Trace follows one spark of the set: [Trace], [TraceMagneto] or
// [TraceDischarge].
func (s *Set) Trace(gap bool, span units.Time, n int) ([]Sample, error) {
	switch {
	case s.Parts != nil:
		return Trace(s.Parts, gap, span, n)
	case s.Magneto != nil:
		return TraceMagneto(s.Magneto, gap, span, n)
	}
	return TraceDischarge(s.Discharge, gap, span, n)
}

// Reserves works out the reserve in the set's situations: [Reserves],
// [MagnetoReserves] or [DischargeReserves].
func (s *Set) Reserves() ([]Reserve, error) {
	switch {
	case s.Parts != nil:
		return Reserves(s.Parts, s.Situations)
	case s.Magneto != nil:
		return MagnetoReserves(s.Magneto, s.Ratio, s.Situations)
	}
	return DischargeReserves(s.Discharge, s.Situations)
}

// Chances works out reserve and chance of a miss in situations, those of the set
// where none are given: [Chances], [MagnetoChances] or [DischargeChances] with
// the set's spreads. A set that has other parts than the record's wants its own
// spreads: see [Tolerances].
func (s *Set) Chances(situations []Situation, sparks int, seed uint64, workers int) ([]Chance, error) {
	if situations == nil {
		situations = s.Situations
	}
	switch {
	case s.Parts != nil:
		return Chances(s.Parts, situations, s.Spreads, sparks, seed, workers)
	case s.Magneto != nil:
		return MagnetoChances(s.Magneto, s.Ratio, situations, s.Spreads, sparks, seed, workers)
	}
	return DischargeChances(s.Discharge, situations, s.Spreads, sparks, seed, workers)
}

// Curve is the reserve over speed from cranking to top speed at n speeds, each
// with a study of so many sparks: what a picture draws, with its band. The error
// is that of [Set.Chances].
func (s *Set) Curve(n, sparks int, seed uint64, workers int) ([]Chance, error) {
	var battery units.Voltage
	if s.Parts != nil {
		battery = s.Parts.Battery.Voltage
	}
	return s.Chances(Between(s.Situations, battery, n), sparks, seed, workers)
}
