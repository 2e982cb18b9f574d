package specs

import "slices"

// ruleGapSystem holds plug and points gaps to the engine's kind of ignition.
//
// A magneto wants a smaller plug gap than a coil on a battery, and a magneto
// with a rotor smaller points gaps than a flywheel. A gap that fits another
// kind is mostly another engine's, or the other gap of the same page. The bands
// are data: [plausible] with systems in limits.
//
// Refused: plug_gap 0.055 in on a flywheel magneto where limits say 0.3 to
// 1.2 mm.
var ruleGapSystem = lintRule{code: "gap-system", claim: func(l *linter, c claim) {
	if slices.Contains([]Key{PlugGap, PointsGap, "air_gap", "trigger_gap"}, c.Quantity) {
		l.within(c, c.ofKind(), "plausible for the "+c.info.Title+" of such an ignition")
	}
}}
