// A newton metre of torque is no joule.
package wrong

import "gapbook.example/units"

var spark units.Energy = units.NewtonMetres(20) // want `cannot use units\.NewtonMetres\(20\) \(value of struct type units\.Torque\) as units\.Energy value in variable declaration`
