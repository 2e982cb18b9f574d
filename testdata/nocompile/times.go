// A length times a length is no length.
package wrong

import "gapbook.example/units"

var area = units.Thou(20).Metres() * units.Thou(20) // want `mismatched types float64 and units\.Length`

var square = units.Thou(20) * units.Thou(20) // want `operator \* not defined on units\.Thou\(20\) \(value of struct type units\.Length\)`
