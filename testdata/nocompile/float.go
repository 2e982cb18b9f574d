// The number leaves by naming its unit.
package wrong

import "gapbook.example/units"

var x = float64(units.Thou(20)) // want `cannot convert units\.Thou\(20\) \(value of struct type units\.Length\) to type float64`
