package timing

import (
	"math"

	"gapbook.example/ignition/meter"
	"gapbook.example/units"
)

// A Drive is how the points are worked: how many lobes, on a shaft that turns
// so often for one turn of the crank. The zero Drive is one lobe on the crank
// itself, as under a flywheel.
type Drive struct {
	// Lobes on the breaker's shaft; 0 counts as 1.
	Lobes int
	// Turns of the breaker's shaft for one turn of the crank: 0.5 for the
	// camshaft of a four-stroke engine, 1 for the crank; 0 counts as 1.
	Turns float64
}

// CrankLobe is one lobe on the crank: one spark a turn, every second one
// wasted in a four-stroke engine.
func CrankLobe() Drive { return Drive{Lobes: 1, Turns: 1} }

// CamLobe is one lobe on a camshaft at half speed: one spark in two turns.
func CamLobe() Drive { return Drive{Lobes: 1, Turns: 0.5} }

// TwoLobe is two lobes on a camshaft at half speed: one spark a turn, for two
// cylinders in turn or for both at once.
func TwoLobe() Drive { return Drive{Lobes: 2, Turns: 0.5} }

func (d Drive) lobes() float64 { return float64(max(d.Lobes, 1)) }

func (d Drive) turns() float64 {
	if d.Turns <= 0 || !isFinite(d.Turns) {
		return 1
	}
	return d.Turns
}

// Period returns the angle of the breaker's shaft from one lobe to the next.
func (d Drive) Period() units.CamAngle { return units.CamDegrees(360 / d.lobes()) }

// Crank returns the crank angle during which the breaker's shaft turns by an
// angle: twice as much on a camshaft at half speed.
func (d Drive) Crank(a units.CamAngle) units.CrankAngle {
	return units.CrankDegrees(a.CamDegrees() / d.turns())
}

// Cam returns the angle of the breaker's shaft during a crank angle.
func (d Drive) Cam(a units.CrankAngle) units.CamAngle { return units.CamDegrees(a.BTDC() * d.turns()) }

// SparksPerTurn returns how often the points open in one turn of the crank.
func (d Drive) SparksPerTurn() units.Ratio { return units.Number(d.lobes() * d.turns()) }

// SparkRate returns how often the points open in a second.
//
// Source: lobes × turns × rpm/60; for one cylinder of a four-stroke engine
// rpm/120, as a general motoring text has it (25 a second at 3000 rpm).
func (d Drive) SparkRate(crank Measured[units.Speed]) Measured[units.Frequency] {
	per := d.lobes() * d.turns() / 60
	return Measured[units.Frequency]{units.Hertz(math.Abs(crank.Value.RPM()) * per), units.Hertz(crank.Uncertainty.RPM() * per)}
}

// DwellTime returns how long the points stay closed between two sparks, where
// they are closed for a share of the time (0.5, 50 %). It is zero at rest and
// for a share outside 0 to 1.
//
// Source: share over spark rate; an ignition measurement page has 4 ms for four
// lobes, 60 of 90° closed, at 5000 rpm.
func (d Drive) DwellTime(share Measured[units.Ratio], crank Measured[units.Speed]) Measured[units.Time] {
	rate, s := d.SparkRate(crank), share.Value.Number()
	hz := rate.Value.Hertz()
	if hz <= 0 || s < 0 || s > 1 {
		return Measured[units.Time]{}
	}
	in := [...]meter.Input{
		{Sensitivity: 1 / hz, Uncertainty: share.Uncertainty.Number()},
		{Sensitivity: s / hz / hz, Uncertainty: rate.Uncertainty.Hertz()},
	}
	return Measured[units.Time]{units.Seconds(s / hz), units.Seconds(meter.Combine(in[:], nil))}
}

// DwellAngle returns the dwell as an angle of the breaker's shaft.
func (d Drive) DwellAngle(share units.Ratio) units.CamAngle {
	return units.CamDegrees(share.Number() * 360 / d.lobes())
}

// DwellShare returns a dwell angle as a share of the time between two sparks.
func (d Drive) DwellShare(dwell units.CamAngle) units.Ratio {
	return units.Number(dwell.CamDegrees() * d.lobes() / 360)
}

// DwellFromTimes returns the dwell angle from what a scope shows: how long the
// points are closed, of the time from one spark to the next. It is zero where
// the period is not over nought.
func (d Drive) DwellFromTimes(closed, period Measured[units.Time]) Measured[units.CamAngle] {
	c, t := closed.Value.Seconds(), period.Value.Seconds()
	if t <= 0 {
		return Measured[units.CamAngle]{}
	}
	whole := 360 / d.lobes()
	in := [...]meter.Input{
		{Sensitivity: whole / t, Uncertainty: closed.Uncertainty.Seconds()},
		{Sensitivity: whole * c / t / t, Uncertainty: period.Uncertainty.Seconds()},
	}
	return Measured[units.CamAngle]{units.CamDegrees(whole * c / t), units.CamDegrees(meter.Combine(in[:], nil))}
}

// Swept returns the crank angle that goes by in a time at a speed.
//
// Source: 6° a second for each rpm; a radio amateur's technical page has
// 36,000° a second at 6000 rpm.
func Swept(t Measured[units.Time], crank Measured[units.Speed]) Measured[units.CrankAngle] {
	s, rpm := t.Value.Seconds(), crank.Value.RPM()
	in := [...]meter.Input{
		{Sensitivity: 6 * rpm, Uncertainty: t.Uncertainty.Seconds()},
		{Sensitivity: 6 * s, Uncertainty: crank.Uncertainty.RPM()},
	}
	return Measured[units.CrankAngle]{units.CrankDegrees(6 * rpm * s), units.CrankDegrees(meter.Combine(in[:], nil))}
}
