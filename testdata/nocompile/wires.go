// Wire sizes do not add, and a gauge is a whole number.
package wrong

import "gapbook.example/units"

var two = units.AWG(18).Add(units.AWG(18)) // want `units\.AWG\(18\)\.Add undefined \(type units\.WireSize has no field or method Add\)`

var half = units.AWG(18.5) // want `cannot use 18\.5 \(untyped float constant\) as int value in argument to units\.AWG \(truncated\)`
