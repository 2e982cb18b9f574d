// Quantities add by method, like with like.
package wrong

import "gapbook.example/units"

var sum = units.Thou(20).Add(units.Volts(12)) // want `cannot use units\.Volts\(12\) \(value of struct type units\.Voltage\) as units\.Length value in argument to units\.Thou\(20\)\.Add`

var other = units.Thou(20) + units.Thou(2) // want `operator \+ not defined on units\.Thou\(20\)`
