// Order is by Cmp.
package wrong

import "gapbook.example/units"

var less = units.Thou(18) < units.Thou(20) // want `operator < not defined on struct`
