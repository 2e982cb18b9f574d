// A limit has a unit too.
package wrong

import "gapbook.example/units"

var small = units.Thou(20) == 20 // want `mismatched types units\.Length and untyped int`

var smaller = units.Thou(18).Cmp(20) // want `cannot use 20 \(untyped int constant\) as units\.Length value in argument to units\.Thou\(18\)\.Cmp`
