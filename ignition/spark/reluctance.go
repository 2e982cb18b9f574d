package spark

import (
	"math"

	"gapbook.example/units"
)

// A MagnetCircuit is the magnetic circuit of a flywheel magneto as reluctances:
// magnet, its leakage, two air gaps in series, the leakage between the legs, the
// core under the coil. One network gives linkage and inductance, so that an air
// gap moves both together.
type MagnetCircuit struct {
	// MMF of the magnet, in ampere turns.
	MMF units.Current
	// Reluctances in amperes per weber.
	Magnet, MagnetLeakage, LegLeakage, Core float64
	// Gap of air on each side, and its area in square metres.
	Gap  units.Length
	Area float64
	// Turns of the primary.
	Turns float64
}

// vacuumPermeability is µ0 in H/m (CODATA 2018: 4π × 10⁻⁷ to 1e-9).
const vacuumPermeability = 4e-7 * math.Pi

// Solve returns the peak linkage of the primary and its inductance. ok is false
// unless every value is finite and more than nought; the gap may be nought.
func (m MagnetCircuit) Solve() (linkage units.FluxLinkage, inductance units.Inductance, ok bool) {
	for _, v := range [...]float64{m.MMF.Amperes(), m.Magnet, m.MagnetLeakage, m.LegLeakage, m.Core, m.Area, m.Turns} {
		if !(v > 0) || math.IsInf(v, 0) {
			return linkage, inductance, false
		}
	}
	g := m.Gap.Metres()
	if !(g >= 0) {
		return linkage, inductance, false
	}
	gaps := 2 * g / (vacuumPermeability * m.Area)
	mmf := m.MMF.Amperes() * m.MagnetLeakage / (m.Magnet + m.MagnetLeakage)
	source := m.Magnet * m.MagnetLeakage / (m.Magnet + m.MagnetLeakage)
	loop := source + gaps
	seen := m.LegLeakage * loop / (m.LegLeakage + loop)
	through := mmf * m.LegLeakage / (m.LegLeakage + loop)
	lam := m.Turns * through / (seen + m.Core)
	l := m.Turns * m.Turns / (seen + m.Core)
	if !(lam > 0 && lam < 1e4 && l > 0 && l < 1e4) {
		return linkage, inductance, false
	}
	linkage, _ = units.FromSI(units.KindFluxLinkage, lam).FluxLinkage()
	inductance, _ = units.FromSI(units.KindInductance, l).Inductance()
	return linkage, inductance, true
}

// Shares of a usual flywheel magneto's circuit (assumed: those of a network of
// three legs with a gap of 0.0125 in): the gaps' part of the magnet's loop, and
// the part of the inductance that does not cross the gaps.
const (
	gapShare     = 0.30
	innerShare   = 0.40
	mostGapTimes = 100
)

// WithGap is the magneto with its air gap times as wide as it was, where the
// circuit's reluctances are not known: linkage over 1 + 0.30 (times - 1),
// inductance by 0.40 + 0.60 of that ratio. Good to 2 % against the network it
// was taken from, over half to two and a half times the gap. times is kept
// between 0 and 100.
func (m Magneto) WithGap(times float64) Magneto {
	if !(times > 0) {
		times = 0
	}
	ratio := 1 / (1 + gapShare*(min(times, mostGapTimes)-1))
	m.Magnet.Linkage = m.Magnet.Linkage.Scale(ratio)
	m.Coil.PrimaryInductance = m.Coil.PrimaryInductance.Scale(innerShare + (1-innerShare)*ratio)
	return m
}

// ComingIn is the slowest speed of the magnet at which the magneto makes a
// voltage, to 0.1 %, found between low and high; ok is false where it makes that
// at low already or not at high. It is no sure thing where kilovolts fall again
// with speed. The error is that of [ComputeMagneto].
func ComingIn(m *Magneto, need units.Voltage, low, high units.Speed) (speed units.Speed, ok bool, err error) {
	q := *m
	makes := func(rpm float64) (bool, error) {
		q.Speed, _ = units.FromSI(units.KindSpeed, rpm).Speed()
		e, err := q.compute(false)
		return err == nil && e.Open.Secondary.Cmp(need) >= 0, err
	}
	a, b := low.RPM(), high.RPM()
	atLow, err := makes(a)
	if err != nil {
		return speed, false, err
	}
	atHigh, err := makes(b)
	if err != nil || atLow || !atHigh {
		return speed, false, err
	}
	for b > a*1.001 {
		mid := math.Sqrt(a * b)
		yes, err := makes(mid)
		if err != nil {
			return speed, false, err
		}
		if yes {
			b = mid
		} else {
			a = mid
		}
	}
	speed, _ = units.FromSI(units.KindSpeed, b).Speed()
	return speed, true, nil
}
