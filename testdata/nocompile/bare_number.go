// A bare number is no length: name its unit.
package wrong

import "gapbook.example/units"

func setGap(units.Length) {}

func bench() {
	setGap(0.02) // want `cannot use 0\.02 \(untyped float constant\) as units\.Length value in argument to setGap`
	setGap(5)    // want `cannot use 5 \(untyped int constant\) as units\.Length value in argument to setGap`
}
