// Crank and cam degrees are two to one in a four-stroke engine.
package wrong

import "gapbook.example/units"

func setTiming(units.CrankAngle) {}

func bench() {
	setTiming(units.CamDegrees(10))                   // want `cannot use units\.CamDegrees\(10\) \(value of struct type units\.CamAngle\) as units\.CrankAngle value`
	setTiming(units.CrankAngle(units.CamDegrees(10))) // want `cannot convert units\.CamDegrees\(10\) \(value of struct type units\.CamAngle\) to type units\.CrankAngle`
	setTiming(units.MagnetDegrees(10))                // want `cannot use units\.MagnetDegrees\(10\) \(value of struct type units\.MagnetAngle\) as units\.CrankAngle value`
	setTiming(units.Degrees(10))                      // want `cannot use units\.Degrees\(10\) \(value of struct type units\.PlaneAngle\) as units\.CrankAngle value`
}
