// One quantity does not convert to another, though both are a float inside.
package wrong

import "gapbook.example/units"

var gap = units.Length(units.Ohms(3.4)) // want `cannot convert units\.Ohms\(3\.4\) \(value of struct type units\.Resistance\) to type units\.Length`
