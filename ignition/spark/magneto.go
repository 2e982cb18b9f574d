package spark

import (
	"fmt"
	"math"

	"gapbook.example/units"
)

// A Magneto is a coil that a turning magnet feeds, broken by points: on a
// flywheel, with a rotor, or as an energy-transfer set whose generator coil is
// shorted by points and feeds a separate high-tension coil.
//
// Without a measured [Magnet.Linkage] its kilovolts are worth ±50 %: what it is
// for is ratios (air gap, magnet, condenser, resistance, edge gap) and the shape
// over speed. Angles are of the magnet, from neutral, where its flux through
// the core passes nought, positive the way it turns.
type Magneto struct {
	Magnet    Magnet
	Coil      Coil
	Points    Points
	Condenser Condenser
	Lead      units.Resistance
	Plug      Plug
	// Closes and Opens are when the points do.
	Closes, Opens units.MagnetAngle
	// From is optional: start at rest there with the points open, so that what
	// the coil does before they close is carried along. Nil starts at rest as
	// they close.
	From *units.MagnetAngle
	// Speed of the magnet; unused with an impulse coupling.
	Speed units.Speed
	// Impulse is optional: the rotor is held, snaps over and fires.
	Impulse *Impulse
	// Module is optional: a breakerless module in place of points. Opens is
	// then not used, and Closes is where the coil is at rest.
	Module *Module
	// Source is optional: an energy-transfer set's generator coil. The magnet
	// then feeds it and not the coil.
	Source *SourceCoil
}

// Magnet is the flux that a magnet sends through the core.
type Magnet struct {
	// Linkage is the peak flux linkage of the primary (or of the source coil):
	// peak flux times turns. Measure it as the integral of the primary's open
	// voltage over the main swing, halved: turn the magnet with a drill and
	// read a scope.
	Linkage units.FluxLinkage
	// Flux is the profile: shares of Linkage at angles in order, half cosines
	// between, constant outside. From 2 to 16 knots.
	Flux []FluxKnot
	// Saturation is optional: the core's share of the reluctance and the
	// linkage at which it takes no more. It is used while the points are
	// closed.
	Saturation *Saturation
}

// A FluxKnot is one point of a flux profile.
type FluxKnot struct {
	At units.MagnetAngle
	// Share of the peak linkage there, from -1 to 1.
	Share float64
}

// Saturation of the core: i = (ψ/L)(1 - s + s/(1 - |ψ|/ψs)).
type Saturation struct {
	CoreShare float64 // s, at least 0 and less than 1
	Linkage   units.FluxLinkage
}

// over is the current that a linkage takes over what it would without
// saturation.
func (s *Saturation) over(psi float64) float64 {
	x := min(math.Abs(psi)/s.Linkage.Webers(), 1-1e-9)
	return 1 - s.CoreShare + s.CoreShare/(1-x)
}

// Impulse is a spring coupling: the rotor rests at Hold, is let go, and passes
// the opening of the points at Snap, its speed under load. [SnapSpeed] works
// that out from spring and inertia.
type Impulse struct {
	// Hold is where the rotor is held, before the opening.
	Hold units.MagnetAngle
	// Snap is the rotor's speed as the points open, more than nought.
	Snap units.Speed
}

// SourceCoil is the generator coil of an energy-transfer set.
type SourceCoil struct {
	Inductance units.Inductance
	Resistance units.Resistance
}

// A MagnetoEvent is one spark of a magneto: an [Event] and the pulse before it.
// Current is that of the source coil where there is one.
type MagnetoEvent struct {
	Event
	// Tripped is set where a module opened, and Trip is where: below its
	// threshold speed it does not, and all else is nought. Set for points too.
	Tripped bool
	Trip    units.MagnetAngle
	// Opposite is the greatest voltage at the plug against the sense of the
	// opening, within 1 ms, with the gap disabled.
	Opposite units.Voltage
}

// magnetoOpenSeconds is how long the run without a gap is followed: the ring is
// over, and the next swing of the magnet is another event.
const magnetoOpenSeconds = 1e-3

// check fills the circuit of a magneto at its speed, time 0 as the points open.
func (m *Magneto) check(c *circuit, k *checker) {
	p := Parts{
		Battery: Battery{Voltage: volts(1)}, Coil: m.Coil, Points: m.Points, Condenser: m.Condenser, Lead: m.Lead, Plug: m.Plug,
		Run: Run{m.Speed, 0.5, 1},
	}
	if m.Impulse != nil {
		p.Run.Speed = m.Impulse.Snap
	}
	p.circuit(c, k)
	bad := func(key, format string, args ...any) {
		k.add(key, fmt.Sprintf(format, args...), "")
	}
	c.batteryVolts = 0
	c.openSeconds = mostOpenSeconds
	c.webers = m.Magnet.Linkage.Webers()
	if !(c.webers > 0 && c.webers <= 1000) {
		bad("magnet.linkage", "it is %v, and has to be more than nought and at most 1000 Wb", m.Magnet.Linkage)
	}
	flux := m.Magnet.Flux
	if len(flux) < 2 || len(flux) > maxKnots {
		bad("magnet.flux", "it has %d knots, and needs from 2 to %d", len(flux), maxKnots)
		return
	}
	opens, closes := m.Opens.MagnetDegrees(), m.Closes.MagnetDegrees()
	if m.Module != nil {
		opens = flux[len(flux)-1].At.MagnetDegrees()
		m.Module.check(c, k)
		if m.Impulse != nil || m.Magnet.Saturation != nil || m.From != nil || m.Source != nil {
			bad("module", "a module is not computed with an impulse coupling, saturation, a source coil or a start before rest")
		}
	}
	if m.Impulse != nil {
		closes = m.Impulse.Hold.MagnetDegrees()
	}
	key := "points.closes"
	if m.Impulse != nil {
		key = "impulse.hold"
	}
	if !(closes < opens && opens-closes <= 360) {
		bad(key, "the points close at %g° and open at %g°: they have to close first, within one turn", closes, opens)
	}
	if m.From != nil {
		if !(m.From.MagnetDegrees() < closes && closes-m.From.MagnetDegrees() <= 720 && m.Impulse == nil) {
			bad("points.from", "it is %v, and has to lie before the closing of the points, without an impulse coupling", *m.From)
		}
	}
	for i, f := range flux {
		at := f.At.MagnetDegrees()
		if !(!math.IsNaN(f.Share) && math.Abs(f.Share) <= 1) {
			bad("magnet.flux", "the share at %v is %g, and has to be from -1 to 1", f.At, f.Share)
		}
		if !(math.Abs(at) <= 3600) {
			bad("magnet.flux", "%v is too many turns away", f.At)
		}
		if !(i == 0 || at-flux[i-1].At.MagnetDegrees() >= 1e-3) {
			bad("magnet.flux", "%v does not come after the knot before it", f.At)
		}
	}
	if s := m.Magnet.Saturation; s != nil {
		if !(s.CoreShare >= 0 && s.CoreShare < 1) {
			bad("magnet.core_share", "it is %g, and has to be at least 0 and less than 1", s.CoreShare)
		}
		if !(s.Linkage.Webers() >= 1.05*c.webers) {
			bad("magnet.saturation", "the core saturates at %v, and the magnet alone sends %v: it has to be a twentieth more", s.Linkage, m.Magnet.Linkage)
		}
	}
	if s := m.Magnet.Saturation; s != nil && len(k.problems) == 0 {
		// The linear phases see the linkage that the magnet would send through
		// a core that does not saturate.
		c.webers *= s.over(c.webers)
	}
	c.emf = [3]float64{1, c.turns, c.turns * c.thirdTurns}
	if s := m.Source; s != nil {
		if !(m.Coil.Shorted == nil) {
			bad("coil.shorted_turns", "shorted turns are not computed with a source coil")
		}
		if !(m.Impulse == nil && m.Magnet.Saturation == nil && m.From == nil) {
			bad("source_coil", "a source coil is not computed with an impulse coupling, saturation or a start before closing")
		}
		c.sourceHenries, c.sourceOhms = s.Inductance.Henries(), s.Resistance.Ohms()
		if !(c.sourceHenries >= 1e-6 && c.sourceHenries <= 100) {
			bad("source_coil.inductance", "it is %v, and has to be from 1 µH to 100 H", s.Inductance)
		}
		if !(c.sourceOhms >= 1e-3 && c.sourceOhms <= 1e6) {
			bad("source_coil.resistance", "it is %v, and has to be from 1 mΩ to 1 MΩ", s.Resistance)
		}
		c.emf = [3]float64{0, 0, 1}
	}
	rate := 6 * p.Run.Speed.RPM() // degrees a second
	c.nKnots = len(flux)
	for i, f := range flux {
		c.knots[i] = knot{(f.At.MagnetDegrees() - opens) / rate, f.Share}
	}
	c.closedSeconds = (opens - closes) / rate
}

// Check returns every value that no spark can be computed from; none means
// that [ComputeMagneto] will not refuse the magneto.
func (m *Magneto) Check() Problems {
	var c circuit
	var k checker
	m.check(&c, &k)
	return k.problems
}

// ComputeMagneto works out one spark of a magneto. The linear phases are exact,
// as in [Compute], with the magnet's voltage running on while the points are
// open; closed points with an impulse coupling or a saturating core are followed
// by the primary's linkage alone (leakage times left out, 1e-4 or so). Flux
// profiles are inputs, eddy currents are left out: above some 3,000 rpm read
// kilovolts as an upper value. The error is a [Problems], or [ErrNoSolution].
func ComputeMagneto(m *Magneto) (MagnetoEvent, error) {
	return m.compute(true)
}

// compute works out both parts, or only what is available.
func (m *Magneto) compute(fired bool) (MagnetoEvent, error) {
	var c circuit
	var k checker
	m.check(&c, &k)
	if k.problems != nil {
		return MagnetoEvent{}, k.problems
	}
	var b bare
	var e MagnetoEvent
	var ok bool
	if e.Trip, e.Tripped, ok = m.run(&c, &b, nil, true, fired); !ok {
		return MagnetoEvent{}, ErrNoSolution
	}
	if !e.Tripped {
		return MagnetoEvent{}, nil
	}
	if !b.into(&e.Event) {
		return MagnetoEvent{}, ErrNoSolution
	}
	e.Opposite = volts(b.open.oppositeVolts)
	return e, nil
}

// run computes the parts asked for, on a circuit that check has filled. log, if
// not nil, gets every stretch of the one part that was asked for.
func (m *Magneto) run(c *circuit, b *bare, log *[]stretch, wantOpen, wantFired bool) (trip units.MagnetAngle, tripped, ok bool) {
	*b = bare{}
	c.prepare()
	r := runner{c: c, log: log}
	var z vector
	trip = m.Opens
	switch {
	case m.Module != nil:
		end := m.Magnet.Flux[len(m.Magnet.Flux)-1].At.MagnetDegrees()
		at, tripped, ok := r.trip(m.Module, m.Speed, end, &z)
		if !ok || !tripped {
			return units.MagnetAngle{}, false, ok
		}
		q, _ := units.FromSI(units.KindMagnetAngle, end+6*m.Speed.RPM()*at).MagnetAngle()
		trip = q
		c.shift(at)
		if log != nil {
			for i := range *log {
				(*log)[i].start -= at
			}
		}
	case m.Impulse != nil || m.Magnet.Saturation != nil:
		c.closedScalar(m, &z)
	default:
		if m.From != nil {
			from := (m.Opens.MagnetDegrees() - m.From.MagnetDegrees()) / (6 * m.Speed.RPM())
			if !r.drift(&z, setting{points: open}, -from, -c.closedSeconds) {
				return trip, true, false
			}
		}
		if !r.drift(&z, setting{points: closed}, -c.closedSeconds, 0) {
			return trip, true, false
		}
	}
	w := 0
	if c.sourceHenries > 0 {
		w = 2
	}
	o := c.current(w)
	b.amperes = o.apply(&z)
	for _, x := range z[:c.windings] {
		b.joules += x * x / 2
	}
	done := false
	switch {
	case wantOpen && wantFired:
		done = r.both(z, &b.open, &b.fired)
	case wantFired:
		done = r.open(z, true, &b.fired)
	default:
		c.openSeconds = magnetoOpenSeconds
		done = r.open(z, false, &b.open)
	}
	if !done {
		return trip, true, false
	}
	return trip, true, r.rings(b)
}

// drift follows the state through one setting from one time to another, knot by
// knot, without looking for events.
func (r *runner) drift(z *vector, set setting, from, to float64) bool {
	p, ok := r.phase(set)
	if !ok {
		return false
	}
	var rest vector
	r.c.rest(set, 0, &rest)
	var s segment
	var now instant
	var d drive
	for t := from; to-t > 1e-15*math.Abs(from); {
		left := to - t
		magnet := r.c.driveAt(t, &d, &left)
		s.phase = p
		s.begin(&rest, z, magnet)
		if r.log != nil {
			*r.log = append(*r.log, stretch{set: set, from: *z, start: t, seconds: left})
		}
		s.at(left, &now)
		s.state(&now, z)
		t += left
	}
	return true
}

// The closed phase with one state takes at least scalarSteps steps between
// knots, none longer than scalarPart of the coil's time constant; its error
// falls as their fourth power. It forgets what happened scalarMemory time
// constants ago.
const (
	scalarSteps  = 60
	scalarPart   = 0.2
	scalarMemory = 40
)

// closedScalar follows closed points by the primary's linkage ψ alone, for a
// rotor that gathers speed or a core that saturates:
//
//	dψ/dt = -R i,   i (1 + k²N²R/(Rfe+R2)) + kN²(1-k) e/(Rfe+R2) = H(ψ) - F f
//
// where H is the core's curve and F f the magnet's share, with a Runge-Kutta
// rule of fourth order that starts anew at every knot. The state of the other
// parts at opening follows from i.
//
// It returns the heat that the loop takes, in joules.
func (c *circuit) closedScalar(m *Magneto, z *vector) (heat float64) {
	r := c.loopOhms + c.contactOhms
	side := c.secondaryOhms
	if c.coreSiemens > 0 {
		side += 1 / c.coreSiemens
	} else {
		side = math.Inf(1)
	}
	k, n := c.coupling, c.turns
	load := 1 + k*k*n*n*r/side
	leak := k * n * n * (1 - k) / side
	curve := func(psi float64) float64 {
		i := psi / c.primaryHenries
		if s := m.Magnet.Saturation; s != nil {
			i *= s.over(psi)
		}
		return i
	}
	// angle and speed of the magnet, in time before or after opening, as time
	// at the steady speed: knots are kept so.
	start := -c.closedSeconds
	place := func(t float64) (at, rate float64) { return t, 1 }
	duration := c.closedSeconds
	if m.Impulse != nil {
		// Constant acceleration from rest: s = D (t/T)², T = 2 D/(final speed).
		duration = 2 * c.closedSeconds
		place = func(t float64) (at, rate float64) {
			x := (t + duration) / duration
			return start + c.closedSeconds*x*x, x
		}
	}
	current := func(t, psi float64) (i, e float64) {
		at, rate := place(t)
		linkage, fall := c.linkage(at)
		e = fall * rate
		return (curve(psi) - linkage/c.primaryHenries - leak*e) / load, e
	}
	slope := func(t, psi float64) float64 {
		i, _ := current(t, psi)
		return -r * i
	}
	// At rest the coil holds what the magnet sends through it: no current.
	still := func(linkage float64) float64 {
		low, high := min(linkage, 0), max(linkage, 0)
		for range 60 {
			if mid := (low + high) / 2; curve(mid) < linkage/c.primaryHenries {
				low = mid
			} else {
				high = mid
			}
		}
		return (low + high) / 2
	}
	linkage, _ := c.linkage(start)
	psi := still(linkage)
	t := -duration
	// Time constants, the longest and, where the core saturates, the shortest.
	slowest := c.primaryHenries * load / r
	quickest := slowest
	if s := m.Magnet.Saturation; s != nil {
		x := m.Magnet.Linkage.Webers() / s.Linkage.Webers()
		quickest /= 1 - s.CoreShare + s.CoreShare/((1-x)*(1-x))
	}
	if first := -scalarMemory * slowest; t < first {
		t = first
		at, _ := place(t)
		linkage, _ = c.linkage(at)
		psi = still(linkage) // near enough: it is forgotten
	}
	for t < 0 {
		// To the next knot: at which time is the magnet there?
		end := 0.0
		at, _ := place(t)
		for i := range c.nKnots {
			if s := c.knots[i].seconds; s > at+1e-12*c.closedSeconds && s < 0 {
				end = s
				if m.Impulse != nil {
					end = duration*math.Sqrt((s-start)/c.closedSeconds) - duration
				}
				break
			}
		}
		steps := max(scalarSteps, int(math.Ceil((end-t)/(scalarPart*quickest))))
		h := (end - t) / float64(steps)
		for range steps {
			a := slope(t, psi)
			b := slope(t+h/2, psi+h/2*a)
			d := slope(t+h/2, psi+h/2*b)
			f := slope(t+h, psi+h*d)
			psi += h / 6 * (a + 2*b + 2*d + f)
			t += h
			heat += h / 6 * (a*a + 4*d*d + f*f) / r // Simpson's rule; slope is -R i
		}
		t = end
	}
	i, e := current(0, psi)
	vS := n * (k*r*i + (1-k)*e)
	c.energyState(i, vS*c.coreSiemens, 0, c.contactOhms*i, vS, vS, z)
	return heat
}
