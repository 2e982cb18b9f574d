// A shaft turns in rpm; sparks come in Hz.
package wrong

import "gapbook.example/units"

func setSpeed(units.Speed) {}

func bench() {
	setSpeed(units.Hertz(30))              // want `cannot use units\.Hertz\(30\) \(value of struct type units\.Frequency\) as units\.Speed value`
	setSpeed(units.Speed(units.Hertz(30))) // want `cannot convert units\.Hertz\(30\) \(value of struct type units\.Frequency\) to type units\.Speed`
}
