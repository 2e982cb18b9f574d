package convert

import (
	"gapbook.example/ignition/wiring"
	"gapbook.example/units"
)

// A Balance is what a battery ignition draws against what charging gives.
type Balance struct {
	// Closed is the current with the engine stopped, key on and points closed;
	// Average that of the running engine.
	Closed, Average units.Current
	// Coil and Ballast are the heat in them with the key left on.
	Coil, Ballast units.Power
	// Loads is what else draws, Rating what the charging set is rated for (zero
	// without one), Usable the share of it that may be counted on.
	Loads, Rating, Usable units.Current
	// Carries says that Usable covers Average and Loads.
	Carries bool
	// Capacity of the battery, as the time for which it gives one ampere.
	Capacity units.Time
	// Without is how long a full battery lasts without charging, the engine
	// running with all loads; LeftOn how long with the key left on and the
	// points closed. A battery gives less than its capacity at more than a
	// twentieth of it in amperes; that is left out.
	Without, LeftOn units.Time
	// Sources cite the figures.
	Sources []string
}

// balance works the balance of a set out. The average is the closed current at
// charging volts, for the share of time for which the points are closed.
func (j *judge) balance(c *cards) Balance {
	closed, running := j.current(j.rest, c, false).mid, j.current(j.charging, c, false).mid
	average := running * j.closedShare
	if in, ok := c.breaker.value(wiring.Input); ok && in > 0 {
		average += j.charging.mid / in
	}
	return balance(closed, average, j.need.Loads.Amperes(), j.rating.Amperes(), j.chargeShare, j.capacity.Seconds(), c.coil.primary.mid, c.ballast.ohms.mid, j.chargeCites)
}

// balance is the sum itself: currents in amperes, the capacity in seconds at one
// ampere, windings in ohms.
func balance(closed, average, loads, rating, share, capacity, coil, ballast float64, sources []string) Balance {
	b := Balance{Closed: units.Amperes(closed), Average: units.Amperes(average), Loads: units.Amperes(loads), Rating: units.Amperes(rating), Usable: units.Amperes(rating * share), Sources: sources}
	b.Coil, _ = units.FromSI(units.KindPower, closed*closed*coil).Power()
	b.Ballast, _ = units.FromSI(units.KindPower, closed*closed*ballast).Power()
	b.Carries = average+loads <= rating*share
	b.Capacity, _ = units.FromSI(units.KindTime, capacity).Time()
	if draw := average + loads; draw > 0 {
		b.Without, _ = units.FromSI(units.KindTime, capacity/draw).Time()
	}
	if closed > 0 {
		b.LeftOn, _ = units.FromSI(units.KindTime, capacity/closed).Time()
	}
	return b
}
