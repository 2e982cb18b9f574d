// A conversion does not name a unit either.
package wrong

import "gapbook.example/units"

var gap = units.Length(0.02) // want `cannot convert 0\.02 \(untyped float constant\) to type units\.Length`
