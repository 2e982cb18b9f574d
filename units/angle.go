package units

import "math"

// The units of a crank angle that name its sense.
var (
	btdcUnit, _, _ = lookup(KindCrankAngle, "° BTDC")
	atdcUnit, _, _ = lookup(KindCrankAngle, "° ATDC")
	atdcGroup      = [...]uint8{atdcUnit}
)

// Radians returns q in radians, positive before top dead centre:
// degrees × π/180, rounded.
func (q CrankAngle) Radians() float64 { return q.crankDegrees * (math.Pi / 180) }

// Radians returns q in radians: degrees × π/180, rounded.
func (q PlaneAngle) Radians() float64 { return q.planeDegrees * (math.Pi / 180) }

// RadiansPerSecond returns q in radians a second: rpm × π/30, rounded.
func (q Speed) RadiansPerSecond() float64 { return q.revolutionsPerMinute * (math.Pi / 30) }
