package spark

import (
	"math"

	"gapbook.example/units"
)

// SnapSpeed works out [Impulse.Snap] from the coupling's spring: the work that
// the spring's mean torque does from the hold to the opening of the points goes
// into the turning rotor, the coil's heat and the energy that it stores,
//
//	J ω²/2 = T δ - W(ω)
//
// with the rotor's inertia J in kg m². W is taken from the closed points of the
// magneto at that very speed, and is no small part: more than half of the
// rotor's energy at 300 rpm in the usual rotor magneto. Friction and the magnet's
// own pull on its poles are left out; that pull is given back within the swing.
// m needs an [Impulse], whose Snap is not used. The error is a [Problems].
func SnapSpeed(m *Magneto, spring units.Torque, inertia float64) (units.Speed, error) {
	q := *m
	var ps Problems
	if m.Impulse == nil {
		ps = append(ps, Problem{"impulse", "this magneto has no impulse coupling", "say where it holds the rotor"})
	}
	if t := spring.NewtonMetres(); !(t > 1e-9 && t <= 1e4) {
		ps = append(ps, Problem{"impulse.spring_torque", "it is " + spring.String() + ", and has to be more than nought", "the mean over its travel"})
	}
	if !(inertia >= 1e-9 && inertia <= 100) {
		ps = append(ps, Problem{"impulse.inertia", "it is " + amount(inertia, "") + " kg m², and has to be more than nought and at most 100", "a rotor of half a kilogram and 30 mm across has some 6e-5"})
	}
	if ps != nil {
		return units.Speed{}, ps
	}
	travel := (m.Opens.MagnetDegrees() - m.Impulse.Hold.MagnetDegrees()) * math.Pi / 180
	work := spring.NewtonMetres() * travel
	rpm := func(joules float64) float64 { return 30 / math.Pi * math.Sqrt(2*max(joules, 0)/inertia) }
	// What is left over for turning, less what turning at a speed takes, falls
	// through nought once; bisect.
	low, high := 1e-2, min(rpm(work), 1e5)
	for range 60 {
		mid := (low + high) / 2
		q.Impulse = &Impulse{m.Impulse.Hold, units.RPM(mid)}
		var c circuit
		var k checker
		q.check(&c, &k)
		if k.problems != nil {
			return units.Speed{}, k.problems
		}
		c.prepare()
		var z vector
		taken := c.closedScalar(&q, &z)
		for _, x := range z[:c.windings] {
			taken += x * x / 2
		}
		if w := mid * math.Pi / 30; inertia*w*w/2+taken > work {
			high = mid
		} else {
			low = mid
		}
		if high-low < 1e-9*high {
			break
		}
	}
	return units.RPM((low + high) / 2), nil
}

// Retard is how much later than the drive the points open with an impulse
// coupling: its lag, and how far the drive turns while the rotor snaps over,
//
//	lag + drive × 2 δ/snap
//
// in degrees of the magnet; the crank's are as many times more as the magnet
// turns slower. Nought without a coupling.
func (m *Magneto) Retard(lag units.MagnetAngle, drive units.Speed) units.MagnetAngle {
	if m.Impulse == nil || !(m.Impulse.Snap.RPM() > 0) {
		return units.MagnetAngle{}
	}
	travel := m.Opens.Sub(m.Impulse.Hold)
	return lag.Add(travel.Scale(2 * drive.RPM() / m.Impulse.Snap.RPM()))
}
