// A temperature is no temperature rise, and two of them do not add.
package wrong

import "gapbook.example/units"

var t = units.Celsius(20).Add(units.Celsius(20)) // want `cannot use units\.Celsius\(20\) \(value of struct type units\.Temperature\) as units\.TemperatureDifference value`

var rise units.TemperatureDifference = units.Celsius(20) // want `cannot use units\.Celsius\(20\) \(value of struct type units\.Temperature\) as units\.TemperatureDifference value in variable declaration`

var same = units.TemperatureDifference(units.Celsius(20)) // want `cannot convert units\.Celsius\(20\) \(value of struct type units\.Temperature\) to type units\.TemperatureDifference`
