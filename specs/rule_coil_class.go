package specs

import "gapbook.example/units"

// ruleCoilClass holds resistances to the class of the coil.
//
// The kind of ignition says which coil it is: a primary of 0.3 Ω belongs to
// capacitor discharge, one of 4 Ω to points on a battery, and a coil that feeds
// a capacitor reads hundreds of times what one that feeds points reads. The
// bands are data: [plausible] with systems in limits.
//
// Refused: primary 12 Ω on a capacitor-discharge set where limits say at most
// 3 Ω.
var ruleCoilClass = lintRule{code: "coil-class", claim: func(l *linter, c claim) {
	if c.info.Kind == units.KindResistance {
		l.within(c, c.ofKind(), "plausible for the "+c.info.Title+" of such an ignition")
	}
}}
