// Nobody sets the inside of a quantity.
package wrong

import "gapbook.example/units"

var gap = units.Length{0.02} // want `implicit assignment to unexported field metres in struct literal of type units\.Length`

var metres = units.Thou(20).metres // want `units\.Thou\(20\)\.metres undefined \(type units\.Length has no field or method metres, but does have method Metres\)`
