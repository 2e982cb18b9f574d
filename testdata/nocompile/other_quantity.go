// A resistance is no length.
package wrong

import "gapbook.example/units"

func setGap(units.Length) {}

func bench() {
	setGap(units.Ohms(3.4)) // want `cannot use units\.Ohms\(3\.4\) \(value of struct type units\.Resistance\) as units\.Length value in argument to setGap`
}
